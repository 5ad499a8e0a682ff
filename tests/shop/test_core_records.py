"""Cores and what is done to them: refusals in words, and their place in the ledger."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.shop import (
    CareKind,
    Core,
    CoreCare,
    Entry,
    Ledger,
    Opening,
    OpeningFacing,
    Withdrawal,
)
from shellcoat.shop.checks import MissingTextError, NaiveTimeError
from shellcoat.shop.core import MOST_OPENINGS, CoreDataError
from shellcoat.shop.ledger import AlreadyReplacedError, WrongReplacementError

NOON = datetime(2015, 2, 9, 11, 0, tzinfo=UTC)
HERON, GREBE = UUID(int=910), UUID(int=911)
BODY = UUID(int=920)
MOUTH = Opening(width_m=0.020, height_m=0.030)
HOLLOW = Core(id=BODY, name="body", area_m2=0.03, openings=(MOUTH,))


def care(number: int = 1, minute: float = 0.0, **changes: object) -> CoreCare:
    """A plug put in so many minutes after noon."""
    fields = {
        "id": UUID(int=number),
        "shell_id": HERON,
        "core_id": BODY,
        "kind": CareKind.PLUG,
        "at": NOON + timedelta(minutes=minute),
    }
    return CoreCare(**(fields | changes))


def entry(record: object, replaces: UUID | None = None, who: str = "Ana") -> Entry:
    """A record in its envelope."""
    return Entry(id=uuid4(), recorded_at=NOON, who=who, record=record, replaces=replaces)


@pytest.mark.parametrize(
    ("field", "low", "high"),
    [
        ("width_m", 1e-4, 0.030),
        ("height_m", 0.020, 5.0),
        ("neck_m", 0.0, 2.0),
        ("level_m", 0.0, 10.0),
    ],
)
def test_an_opening_keeps_its_limits_and_nothing_beyond(field, low, high) -> None:
    for value in (low, high):
        assert getattr(replace(MOUTH, **{field: value}), field) == value
    for value in (low - 1e-5, high + 1e-5, float("nan"), float("inf")):
        with pytest.raises(MendableError):
            replace(MOUTH, **{field: value})


def test_the_refused_figure_is_named_with_what_is_allowed() -> None:
    with pytest.raises(ValueOutOfRangeError, match=r"Neck length.*3.*0 to 2 m"):
        replace(MOUTH, neck_m=3.0)
    with pytest.raises(ValueOutOfRangeError, match=r"Wall of the core.*1e-05 to 20 m2"):
        replace(HOLLOW, area_m2=0.0)
    with pytest.raises(ValueOutOfRangeError, match=r"Plug after coat.*0 to 40"):
        replace(HOLLOW, plug_after=41)


def test_the_width_is_the_smaller_measure() -> None:
    with pytest.raises(CoreDataError, match=r"0\.04 m is more than its height 0\.03 m.*smaller"):
        replace(MOUTH, width_m=0.040)


def test_a_core_has_a_name_and_a_bounded_number_of_openings() -> None:
    with pytest.raises(MissingTextError, match="Core name"):
        replace(HOLLOW, name="  ")
    assert len(replace(HOLLOW, openings=(MOUTH,) * MOST_OPENINGS).openings) == MOST_OPENINGS
    with pytest.raises(CoreDataError, match=r"body: 13 openings.*Put small ones together"):
        replace(HOLLOW, openings=(MOUTH,) * (MOST_OPENINGS + 1))


def test_turning_swaps_up_and_down_and_leaves_the_side() -> None:
    assert [facing.turned for facing in OpeningFacing] == [
        OpeningFacing.DOWN,
        OpeningFacing.SIDE,
        OpeningFacing.UP,
    ]
    assert all(facing.turned.turned is facing for facing in OpeningFacing)


@pytest.mark.parametrize("kind", [CareKind.PLUG, CareKind.TURN, CareKind.OPEN])
def test_only_blown_air_has_a_flow(kind) -> None:
    with pytest.raises(CoreDataError, match="only there"):
        care(kind=kind, flow_m3_s=1e-4)
    with pytest.raises(CoreDataError, match="air flow where air is blown in"):
        care(kind=CareKind.BLOW)


def test_a_flow_keeps_its_limits() -> None:
    for flow in (1e-6, 1.0):
        assert care(kind=CareKind.BLOW, flow_m3_s=flow).flow_m3_s == flow
    for flow in (0.0, 1.1, float("nan")):
        with pytest.raises(ValueOutOfRangeError, match="Air flow"):
            care(kind=CareKind.BLOW, flow_m3_s=flow)


def test_care_ends_after_it_begins_and_says_its_zone() -> None:
    blow = care(kind=CareKind.BLOW, flow_m3_s=1e-4, until=NOON)
    assert blow.until == blow.at
    with pytest.raises(CoreDataError, match="end lies before the beginning"):
        replace(blow, until=NOON - timedelta(seconds=1))
    with pytest.raises(NaiveTimeError, match=r"^Time:"):
        replace(blow, at=NOON.replace(tzinfo=None))
    with pytest.raises(NaiveTimeError, match=r"^End:"):
        replace(blow, until=NOON.replace(tzinfo=None))


@given(st.lists(st.tuples(st.integers(0, 600), st.booleans()), max_size=12))
def test_the_ledger_lists_care_by_shell_and_time_however_it_was_entered(rows) -> None:
    acts = [
        care(number, minute, shell_id=HERON if heron else GREBE)
        for number, (minute, heron) in enumerate(rows, start=1)
    ]
    found = Ledger.of(map(entry, acts)).care()
    assert {act for own in found.values() for act in own} == set(acts)
    for shell_id, own in found.items():
        assert [act.shell_id for act in own] == [shell_id] * len(own)
        assert [act.at for act in own] == sorted(act.at for act in own)
    assert found == Ledger.of(map(entry, reversed(acts))).care()


def test_care_that_is_corrected_stands_once_in_its_new_place() -> None:
    first, second = entry(care(1, 10.0)), entry(care(2, 20.0))
    moved = care(1, 30.0)
    ledger = Ledger.of([first, second, entry(moved, replaces=first.id)])
    assert ledger.care() == {HERON: (second.record, moved)}
    assert [line.record.at for line in ledger.history(moved.id)] == [first.record.at, moved.at]


def test_care_that_is_taken_back_is_gone_and_stays_in_the_history() -> None:
    first = entry(care())
    ledger = Ledger.of([first, entry(Withdrawal(id=first.record.id), replaces=first.id)])
    assert ledger.care() == {}
    assert len(ledger.history(first.record.id)) == 2


def test_care_is_corrected_once_and_only_by_its_own() -> None:
    first = entry(care())
    ledger = Ledger.of([first, entry(care(1, 5.0), replaces=first.id, who="Ben")])
    with pytest.raises(AlreadyReplacedError, match="Ben"):
        ledger.apply(entry(care(1, 6.0), replaces=first.id))
    with pytest.raises(WrongReplacementError):
        ledger.apply(entry(care(2, 6.0), replaces=first.id))
    with pytest.raises(WrongReplacementError, match="already"):
        ledger.apply(entry(care(1, 6.0)))
