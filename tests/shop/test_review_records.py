"""Records of the review: what they refuse, and what the ledger makes of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest

from shellcoat.errors import MendableError
from shellcoat.shop import (
    Band,
    CoatKind,
    CoatStep,
    Decision,
    Defect,
    DefectKind,
    DipSequence,
    Entry,
    Ledger,
    LookAnswer,
    MeltPlan,
    Record,
    Review,
    ReviewAnswer,
    ReviewQuestion,
    Shell,
)
from shellcoat.shop.defect import DefectTimesError
from shellcoat.shop.ledger import NoSuchEntryError
from shellcoat.shop.review import LONGEST_FINDINGS, ReviewDataError

NOON = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
ONE, OTHER = UUID(int=1), UUID(int=2)

CRACK = Defect(id=UUID(int=3), shell_id=ONE, kind=DefectKind.CRACK, where="neck", at=NOON)
ANSWER = ReviewAnswer(
    id=UUID(int=4),
    shell_id=ONE,
    question=ReviewQuestion.DRAINS,
    answer=LookAnswer.YES,
    by="Ana",
    at=NOON,
)
MELT = MeltPlan(id=UUID(int=5), shell_id=ONE, at=NOON, extra_share=0.2, capacity_kg=40.0)
REVIEW = Review(
    id=UUID(int=6),
    shell_id=ONE,
    decision=Decision.BURN_OUT,
    name="Ana",
    at=NOON,
    evidence_at=NOON - HOUR,
    head="0f" * 32,
    book_entries=12,
    shell_entries=4,
    findings="{}",
)
SHELL = Shell(
    id=ONE,
    name="Heron",
    label="H1",
    room_id=OTHER,
    started_at=NOON,
    sequence=DipSequence(
        id=OTHER,
        name="Wall",
        steps=(
            CoatStep(
                kind=CoatKind.BACKUP,
                slurry="backup",
                thickness_m=Band(0.8e-3, 1.2e-3, 1.5e-3),
                water_kg_m2=Band(0.2, 0.25, 0.3),
            ),
        ),
        target_thickness_m=2e-3,
        final_hold_s=86400.0,
    ),
)


def entry(record: Record) -> Entry:
    return Entry(id=uuid4(), recorded_at=NOON, who="Ana", record=record)


@pytest.mark.parametrize(
    ("record", "change"),
    [
        (CRACK, {"where": " "}),
        (CRACK, {"note": "\x07"}),
        (CRACK, {"at": NOON.replace(tzinfo=None)}),
        (ANSWER, {"by": ""}),
        (MELT, {"extra_share": -0.1}),
        (MELT, {"extra_share": 15.0}),  # per cent
        (MELT, {"capacity_kg": 0.0}),
        (REVIEW, {"name": ""}),
        (REVIEW, {"head": ""}),
        (REVIEW, {"book_entries": 0}),
        (REVIEW, {"shell_entries": 0}),
        (REVIEW, {"findings": "x" * (LONGEST_FINDINGS + 1)}),
        (REVIEW, {"findings": "\ud800"}),
    ],
)
def test_what_cannot_be_kept_is_refused(record: Record, change: dict[str, object]) -> None:
    with pytest.raises(MendableError):
        replace(record, **change)


def test_nothing_is_mended_before_it_is_found() -> None:
    with pytest.raises(DefectTimesError, match="neck"):
        replace(CRACK, mended_at=NOON - HOUR)
    assert replace(CRACK, mended_at=NOON + HOUR).closed_at == NOON + HOUR


def test_a_crack_is_open_until_mended_and_a_patch_is_a_mend() -> None:
    assert CRACK.closed_at is None
    assert replace(CRACK, kind=DefectKind.PATCH).closed_at == NOON


def test_only_waiting_has_an_end_and_it_lies_ahead() -> None:
    wait = {"decision": Decision.WAIT_UNTIL}
    for change in (wait, {"wait_until": NOON + HOUR}, wait | {"wait_until": NOON}):
        with pytest.raises(ReviewDataError):
            replace(REVIEW, **change)
    assert replace(REVIEW, **wait, wait_until=NOON + HOUR).wait_until == NOON + HOUR


@pytest.mark.parametrize("record", [CRACK, ANSWER, MELT, REVIEW])
def test_each_belongs_to_a_shell_of_the_book(record: Record) -> None:
    with pytest.raises(NoSuchEntryError, match="not in this book"):
        Ledger.of([entry(record)])


def test_the_ledger_gives_each_shell_its_own_by_time() -> None:
    later = replace(CRACK, id=uuid4(), at=NOON + HOUR)
    other = replace(SHELL, id=OTHER, label="H2")
    elsewhere = replace(CRACK, id=uuid4(), shell_id=OTHER)
    ledger = Ledger.of(
        entry(each) for each in (SHELL, other, later, elsewhere, CRACK, ANSWER, MELT, REVIEW)
    )
    assert ledger.defects(ONE) == (CRACK, later)
    assert ledger.defects(OTHER) == (elsewhere,)
    assert ledger.review_answers(ONE) == (ANSWER,)
    assert ledger.melt_plans == [MELT]
    assert ledger.reviews(ONE) == (REVIEW,)
    assert ledger.reviews(OTHER) == ()
