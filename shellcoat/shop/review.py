"""The review before burnout: what only a person can answer, what is decided, and by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.checks import (
    UNKEEPABLE,
    check_name,
    check_number,
    check_optional_number,
    check_text,
    check_time,
)

LONGEST_FINDINGS = 400_000
LARGEST_KG = 50_000.0


class ReviewDataError(MendableError):
    """A decision that does not hang together."""


class ReviewQuestion(Enum):
    """What no record can tell, asked so that "yes" is the answer that lets work go on."""

    SURFACE = "surface looked over"
    CORES = "all hollows recorded"
    DRAINS = "drain openings"
    VENTS = "vent openings"
    CUP_RIM = "cup rim clean"
    REINFORCEMENT = "reinforcement"
    SLURRY = "slurry in its band"
    FIRING = "firing planned"


class LookAnswer(Enum):
    """What a person says to a question."""

    YES = "yes"
    NO = "no"
    NOT_LOOKED = "not looked"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewAnswer:
    """One answer of a person about one shell; the newest to each question counts."""

    id: UUID
    shell_id: UUID
    question: ReviewQuestion
    answer: LookAnswer
    by: str
    at: datetime
    note: str = ""

    def __post_init__(self) -> None:
        check_name("Name of the person", self.by)
        check_time("Time of the answer", self.at)
        check_text("Note", self.note)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltPlan:
    """What the metal of one shell is to be melted in; the newest counts.

    `extra_share` is the metal beyond what the wax stands for, as a share of that; `capacity_kg`
    [kg] what the furnace or crucible holds, None while nobody has said.
    """

    id: UUID
    shell_id: UUID
    at: datetime
    extra_share: float
    capacity_kg: float | None = None

    def __post_init__(self) -> None:
        check_time("Time of the plan", self.at)
        check_number("Metal for cup and runners", self.extra_share, 0.0, 5.0, "(as a fraction)")
        check_optional_number("Furnace capacity", self.capacity_kg, 0.01, LARGEST_KG, "kg")


class Decision(Enum):
    """What a person decides at the review."""

    BURN_OUT = "burn out"
    WAIT_UNTIL = "wait until"
    REPAIR = "repair"
    SCRAP = "scrap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """A signed decision about one shell, with the evidence as it stood.

    The evidence was put together at `evidence_at`. `head` is the hash over all entries of the book
    then, `book_entries` how many there were and `shell_entries` how many concern this shell.
    `findings` is the evidence as JSON text, from which the report is printed again word by word.
    """

    id: UUID
    shell_id: UUID
    decision: Decision
    name: str
    at: datetime
    evidence_at: datetime
    head: str
    book_entries: int
    shell_entries: int
    findings: str
    wait_until: datetime | None = None
    note: str = ""

    def __post_init__(self) -> None:
        check_name("Name of the person who signs", self.name)
        check_name("Hash of the book", self.head)
        check_time("Time of the signature", self.at)
        check_time("Time of the evidence", self.evidence_at)
        check_text("Note", self.note)
        check_number("Entries of the book", self.book_entries, 1, 1e9, "")
        check_number("Entries about the shell", self.shell_entries, 1, 1e9, "")
        if len(self.findings) > LONGEST_FINDINGS or UNKEEPABLE.search(self.findings):
            raise ReviewDataError("The findings cannot be kept: too long, or not plain text.")
        self._check_wait()

    def _check_wait(self) -> None:
        if (self.decision is Decision.WAIT_UNTIL) != (self.wait_until is not None):
            raise ReviewDataError("Give a time to wait until where waiting is decided, only there.")
        if self.wait_until is not None:
            check_time("Time to wait until", self.wait_until)
            if self.wait_until <= self.at:
                raise ReviewDataError("The time to wait until has passed. Give a later one.")
