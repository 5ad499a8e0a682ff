"""Entries: the envelope around everything logged, with who, when and why.

Nothing is ever changed: a correction is a new entry that names the one it replaces, an undo is
a `Withdrawal` that does the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.air import AirReading, ReadingBatch, Room
from shellcoat.shop.checks import check_name, check_text, check_time
from shellcoat.shop.coat import Coat
from shellcoat.shop.core import CoreCare
from shellcoat.shop.defect import Defect
from shellcoat.shop.dry_check import DryCheck, InfraredReading, Weighing
from shellcoat.shop.outcome import Outcome
from shellcoat.shop.photo import Photo
from shellcoat.shop.review import MeltPlan, Review, ReviewAnswer
from shellcoat.shop.sequence import DipSequence
from shellcoat.shop.shell import Shell
from shellcoat.shop.shop import Shop
from shellcoat.shop.wall_check import CaliperReading, PlateTest, RheologyTest, StuccoGrain


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """Takes back a record that should not have been logged; `id` is that record's."""

    id: UUID


class AlertStep(Enum):
    """What has happened to an alert."""

    TOLD = "told"
    SEEN = "seen"
    PUT_OFF = "put off"


class EndlessPutOffError(MendableError):
    """An alert that is put off without an end, or until a time that is over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertMark:
    """A step in an alert's life: `about` is the alert, `due_at` when it fell due.

    What is put off has an end, `until`; who put it off stands in the entry.
    """

    id: UUID
    about: UUID
    step: AlertStep
    due_at: datetime
    at: datetime
    until: datetime | None = None

    def __post_init__(self) -> None:
        check_time("Due time", self.due_at)
        check_time("Time of the mark", self.at)
        if self.until is not None:
            check_time("Put off until", self.until)
        if (self.step is AlertStep.PUT_OFF) != (self.until is not None):
            raise EndlessPutOffError("Put off until: give the time at which to be told again.")
        if self.until is not None and self.until <= self.at:
            raise EndlessPutOffError("Put off until: this time is over. Give one that lies ahead.")


ShellCheck = DryCheck | InfraredReading | Weighing | CaliperReading
"""What was found out about one shell."""

SlurryTest = PlateTest | RheologyTest | StuccoGrain
"""What was found out about a slurry or a stucco, for every shell it goes on."""

ReviewRecord = Defect | ReviewAnswer | MeltPlan | Review
"""What is kept of one shell's review before burnout."""

Record = (
    Shop
    | Room
    | DipSequence
    | Shell
    | Coat
    | CoreCare
    | ShellCheck
    | SlurryTest
    | ReviewRecord
    | Photo
    | Outcome
    | AirReading
    | ReadingBatch
    | AlertMark
    | Withdrawal
)

KINDS: dict[str, type[Record]] = {
    "shop": Shop,
    "room": Room,
    "dip_sequence": DipSequence,
    "shell": Shell,
    "coat": Coat,
    "core_care": CoreCare,
    "dry_check": DryCheck,
    "infrared_reading": InfraredReading,
    "weighing": Weighing,
    "caliper_reading": CaliperReading,
    "plate_test": PlateTest,
    "rheology_test": RheologyTest,
    "stucco_grain": StuccoGrain,
    "defect": Defect,
    "review_answer": ReviewAnswer,
    "melt_plan": MeltPlan,
    "review": Review,
    "photo": Photo,
    "outcome": Outcome,
    "air_reading": AirReading,
    "reading_batch": ReadingBatch,
    "alert_mark": AlertMark,
    "withdrawal": Withdrawal,
}
NAMES: dict[type[Record], str] = {kind: name for name, kind in KINDS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the book: a record, who entered it when, and what it replaces and why."""

    id: UUID
    recorded_at: datetime
    who: str
    record: Record
    station: str = ""
    replaces: UUID | None = None
    reason: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the entry", self.recorded_at)
        check_name("Name of the person", self.who)
        check_text("Station", self.station)
        check_text("Reason", self.reason)

    @property
    def kind(self) -> str:
        """The record's name in the book."""
        return NAMES[type(self.record)]
