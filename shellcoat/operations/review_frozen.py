"""The evidence of a review as it was read, frozen so that it can be printed again word by word."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.errors import WorldError
from shellcoat.forecast.answers import DryingCurve, ShellForecast
from shellcoat.review.finding import Verdict
from shellcoat.shop import Coat, Shell

VERSION = 1


class FrozenReviewError(WorldError):
    """Findings that cannot be read back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportLine:
    """One check in words: `kind` names it for programs, `title` and `said` for people."""

    kind: str
    title: str
    verdict: Verdict
    said: str
    seen: tuple[str, ...]
    would_change: tuple[str, ...]
    records: tuple[UUID, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatLine:
    """One coat in words, as a row of the report."""

    number: str
    dipped: str
    coat: str
    waited: str
    safe_after: str
    left: str
    early: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewReport:
    """The report in words, with the state of the book it was read from.

    `head` is the hash over all entries then, `book_entries` how many there were, `shell_entries`
    how many about this shell.
    """

    shop: str
    label: str
    name: str
    about: str
    tally: str
    made_at: datetime
    made: str
    head: str
    book_entries: int
    shell_entries: int
    lines: tuple[ReportLine, ...]
    coats: tuple[CoatLine, ...]
    cautions: str
    length_unit: str
    zone: str
    decimal_mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """A report with the records and answers its drawings are made from."""

    report: ReviewReport
    shell: Shell
    coats: tuple[Coat, ...]
    forecast: ShellForecast
    curve: DryingCurve | None
    version: int = VERSION


def freeze(evidence: Evidence) -> str:
    """The evidence as JSON text."""
    import msgspec

    return msgspec.json.encode(evidence).decode()


def thaw(findings: str) -> Evidence:
    """The evidence as it was frozen."""
    import msgspec

    try:
        return msgspec.json.decode(findings, type=Evidence)
    except msgspec.MsgspecError as cause:
        raise FrozenReviewError(
            f"The findings of this review cannot be read back ({cause}). Check the book under "
            "Book, or open it with the version of the program that signed it."
        ) from cause
