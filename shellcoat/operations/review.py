"""The review before burnout: evidence put together, a decision signed, and whether it holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review_frozen import Evidence, freeze
from shellcoat.operations.review_record import news_since
from shellcoat.operations.review_wording import Translate, as_it_is
from shellcoat.shop import Coat, CoatKind, Decision, Ledger, Review, Shell, ShellState

if TYPE_CHECKING:
    from shellcoat.forecast.answers import ShellForecast
    from shellcoat.operations.open_shop import ForecastInput
    from shellcoat.review.case import CoatAir, ReviewCase


class UnsignedError(MendableError):
    """A decision without the name of the person who takes it."""


class ChangedMeanwhileError(MendableError):
    """Evidence that is older than the book."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewInput:
    """What evidence is put together from, frozen, so that it can be done in another thread."""

    shell: Shell
    forecast: ForecastInput
    ledger: Ledger
    head: str
    now: datetime
    decimal_mark: str = "."
    translate: Translate = as_it_is


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """What a person decides: by name, with a note. `review_id` makes asking twice one signature."""

    decision: Decision
    name: str
    note: str = ""
    wait_until: datetime | None = None
    review_id: UUID = field(default_factory=uuid4)


class Standing(Enum):
    """Whether a signed review still says what the book says."""

    CURRENT = "current"
    OUT_OF_DATE = "out of date"


@dataclass(frozen=True, slots=True)
class ReviewState:
    """Whether a signed review holds; `why` names every change since, in words."""

    standing: Standing
    why: tuple[str, ...] = ()


def review_input(
    opened: OpenShop,
    shell: Shell,
    now: datetime,
    *,
    decimal_mark: str = ".",
    translate: Translate = as_it_is,
) -> ReviewInput:
    """Freeze what stands in the book now."""
    return ReviewInput(
        shell=shell,
        forecast=opened.forecast_input(now, [shell]),
        ledger=opened.book.snapshot(),
        head=opened.book.head,
        now=now,
        decimal_mark=decimal_mark,
        translate=translate,
    )


def make_review(opened: OpenShop, given: ReviewInput) -> Evidence:
    """Put the evidence together; from any thread."""
    from shellcoat.operations.review_report import write_report

    case = review_case(opened, given)
    return Evidence(
        report=write_report(opened.shop, case, given),
        shell=case.shell,
        coats=case.coats,
        forecast=case.forecast,
        curve=opened.curve(given.forecast),
    )


def review_case(opened: OpenShop, given: ReviewInput) -> ReviewCase:
    """The records and answers of one shell as the review room takes them."""
    from shellcoat.operations.review_answers import melt_plan, newest_answers
    from shellcoat.operations.strength import shell_strength
    from shellcoat.review.case import ReviewCase

    shell, (case,) = given.shell, given.forecast.cases
    forecast = opened.forecast(given.forecast)[shell.id]
    strength = shell_strength(shell, forecast)
    return ReviewCase(
        shell=shell,
        coats=case.coats,
        forecast=forecast,
        wall=opened.wall(given.forecast),
        spots=strength.answers,
        metal=strength.match,
        now=given.now,
        safe_quantile=given.forecast.shop.safe_quantile,
        care=case.care,
        checks=case.checks,
        defects=given.ledger.defects(shell.id),
        answers=newest_answers(given.ledger, shell.id),
        melt=melt_plan(given.ledger, shell.id),
        air=dict(_prime_air(given.forecast, forecast)),
    )


def _prime_air(given: ForecastInput, forecast: ShellForecast) -> Iterator[tuple[UUID, CoatAir]]:
    """What was read over each prime coat, from its dip until it was safely dry or dipped again."""
    (case,) = given.cases
    ends = [*(coat.dipped_at for coat in case.coats[1:]), given.now]
    for coat, answer, end in zip(case.coats, forecast.coats, ends, strict=False):
        dry = min(end, answer.safe_at or end)
        air = _air_over(given, coat, dry) if coat.step.kind is CoatKind.PRIME else None
        if air is not None:
            yield coat.id, air


def _air_over(given: ForecastInput, coat: Coat, end: datetime) -> CoatAir | None:
    from shellcoat.review.case import CoatAir

    log = given.logs[coat.room_id]
    over = (log.at_s >= coat.dipped_at.timestamp()) & (log.at_s <= end.timestamp())
    temps = log.temp_c[over].tolist()
    return CoatAir(min(temps), max(temps), len(temps)) if temps else None


def sign_review(
    opened: OpenShop, evidence: Evidence, signature: Signature, now: datetime
) -> Review:
    """Keep a decision with its evidence; asked twice for the same one, the one kept is given."""
    kept = opened.ledger.live.get(signature.review_id)
    if kept is not None and isinstance(kept.record, Review):
        return kept.record
    _refuse_unsigned(signature)
    _refuse_stale(opened, evidence)
    report = evidence.report
    review = Review(
        id=signature.review_id,
        shell_id=evidence.shell.id,
        decision=signature.decision,
        name=signature.name.strip(),
        at=now,
        evidence_at=report.made_at,
        head=report.head,
        book_entries=report.book_entries,
        shell_entries=report.shell_entries,
        findings=freeze(evidence),
        wait_until=signature.wait_until,
        note=signature.note,
    )
    opened.record(review, now)
    return review


def _refuse_unsigned(signature: Signature) -> None:
    if not signature.name.strip():
        raise UnsignedError("Name: the decision is yours; type your name to sign it.")


def _refuse_stale(opened: OpenShop, evidence: Evidence) -> None:
    report = evidence.report
    news = news_since(opened, evidence.shell.id, report.made_at, report.book_entries)
    if news:
        raise ChangedMeanwhileError(
            f"The book has changed since this evidence was put together: {news[0]} "
            "Look at it again, then sign."
        )


def review_state(opened: OpenShop, review: Review) -> ReviewState:
    """Whether anything about the shell was entered since the review was signed."""
    news = news_since(opened, review.shell_id, review.evidence_at, review.book_entries)
    return ReviewState(Standing.OUT_OF_DATE if news else Standing.CURRENT, news)


def due_for_burnout(opened: OpenShop) -> list[Shell]:
    """Shells still on the rack with all their coats on, by label."""
    there = (ShellState.IN_WORK, ShellState.ON_HOLD)
    due = [
        shell
        for shell in opened.ledger.shells
        if shell.state in there and is_through(opened, shell)
    ]
    return sorted(due, key=lambda shell: shell.label)


def is_through(opened: OpenShop, shell: Shell) -> bool:
    """Whether all coats of its sequence are on."""
    return len(opened.ledger.coats(shell.id)) >= len(shell.sequence.steps)
