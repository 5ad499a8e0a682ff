"""The ledger: what stands now, folded from the entries one by one."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeVar, cast, get_args
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.air import AirReading, ReadingBatch, Room
from shellcoat.shop.coat import Coat
from shellcoat.shop.core import CoreCare
from shellcoat.shop.defect import Defect
from shellcoat.shop.entry import (
    AlertMark,
    Entry,
    Record,
    ReviewRecord,
    ShellCheck,
    SlurryTest,
    Withdrawal,
)
from shellcoat.shop.outcome import Outcome
from shellcoat.shop.photo import Photo
from shellcoat.shop.review import MeltPlan, Review, ReviewAnswer
from shellcoat.shop.sequence import DipSequence
from shellcoat.shop.shell import Shell
from shellcoat.shop.shop import Shop


class NoSuchEntryError(MendableError):
    """A correction of an entry that is not in this book."""


class AlreadyReplacedError(MendableError):
    """A correction of an entry that somebody has corrected before."""


class WrongReplacementError(MendableError):
    """A correction that names an entry about something else."""


Kept = TypeVar("Kept", Defect, ReviewAnswer, Review)

OfOneShell = Coat | ShellCheck | ReviewRecord | Photo | Outcome
"""What cannot be in the book without its shell."""

OF_ONE_SHELL: dict[type[Record], str] = {
    Coat: "coat",
    Defect: "defect",
    Review: "review",
    Photo: "photo",
    Outcome: "outcome",
}


@dataclass(slots=True)
class Ledger:
    """Everything that stands in the book now, and the history behind each record."""

    live: dict[UUID, Entry] = field(default_factory=dict)
    entries: dict[UUID, Entry] = field(default_factory=dict)
    replaced_by: dict[UUID, UUID] = field(default_factory=dict)
    coats_by_shell: dict[UUID, list[Coat]] = field(default_factory=dict)
    coats_ever: dict[UUID, int] = field(default_factory=dict)

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Ledger:
        """Fold entries, oldest first."""
        ledger = cls()
        for entry in entries:
            ledger.apply(entry)
        return ledger

    def check(self, entry: Entry) -> None:
        """Refuse an entry that does not fit what stands."""
        if entry.id in self.entries:
            raise WrongReplacementError("This entry is in the book already.")
        if isinstance(entry.record, OfOneShell):
            self._check_shell(entry.record)
        if entry.replaces is None:
            self._check_first(entry)
            return
        old = self.entries.get(entry.replaces)
        if old is None:
            raise NoSuchEntryError("The entry to correct is not in this book. Open it again.")
        kinds = (type(old.record), Withdrawal)
        same = isinstance(entry.record, kinds) and old.record.id == entry.record.id
        if not same or isinstance(old.record, Withdrawal):
            raise WrongReplacementError("A correction must name the entry of the same record.")
        if isinstance(entry.record, Photo) and isinstance(old.record, Photo):
            _check_same_picture(entry.record, old.record)
        by = self.replaced_by.get(old.id)
        if by is not None:
            first = self.entries[by]
            raise AlreadyReplacedError(
                f"{first.who} has already changed this entry at "
                f"{self.on_the_clock(first.recorded_at)}. Look at the new one first."
            )

    def _check_shell(self, record: OfOneShell) -> None:
        owner = self.live.get(record.shell_id)
        if owner is None or not isinstance(owner.record, Shell):
            what = OF_ONE_SHELL.get(type(record), "check")
            raise NoSuchEntryError(
                f"The {what} belongs to a shell that is not in this book. Choose the shell again."
            )

    def _check_first(self, entry: Entry) -> None:
        if isinstance(entry.record, Withdrawal):
            raise NoSuchEntryError("Nothing is named to take back.")
        if entry.record.id in self.live:
            raise WrongReplacementError("This record is in the book already; correct it instead.")

    def apply(self, entry: Entry) -> None:
        """Take one more entry in."""
        self.check(entry)
        self.entries[entry.id] = entry
        if entry.replaces is not None:
            self.replaced_by[entry.replaces] = entry.id
            self._lift(self.entries[entry.replaces].record)
        elif isinstance(entry.record, Coat):
            shell_id = entry.record.shell_id
            self.coats_ever[shell_id] = self.coats_ever.get(shell_id, 0) + 1
        if isinstance(entry.record, Withdrawal):
            self.live.pop(entry.record.id, None)
            return
        self.live[entry.record.id] = entry
        if isinstance(entry.record, Coat):
            coats = self.coats_by_shell.setdefault(entry.record.shell_id, [])
            insort(coats, entry.record, key=lambda coat: (coat.dipped_at, coat.id))

    def _lift(self, record: Record) -> None:
        if isinstance(record, Coat):
            self.coats_by_shell[record.shell_id].remove(record)

    def _all(self, *kinds: type[Record]) -> Iterator[Record]:
        # A list first: a worker that imports readings may add to the ledger meanwhile.
        standing = list(self.live.values())
        return (entry.record for entry in standing if isinstance(entry.record, kinds))

    @property
    def shop(self) -> Shop | None:
        """The shop, once it has been named."""
        return cast("Shop | None", next(self._all(Shop), None))

    @property
    def rooms(self) -> list[Room]:
        """All rooms, in the order they were entered."""
        return cast("list[Room]", list(self._all(Room)))

    @property
    def sequences(self) -> list[DipSequence]:
        """All dip sequences, retired ones included."""
        return cast("list[DipSequence]", list(self._all(DipSequence)))

    @property
    def shells(self) -> list[Shell]:
        """All shells, whatever their state."""
        return cast("list[Shell]", list(self._all(Shell)))

    @property
    def typed_readings(self) -> list[AirReading]:
        """Readings typed by hand."""
        return cast("list[AirReading]", list(self._all(AirReading)))

    @property
    def batches(self) -> list[ReadingBatch]:
        """Heads of the logger readings that stand."""
        return cast("list[ReadingBatch]", list(self._all(ReadingBatch)))

    @property
    def marks(self) -> list[AlertMark]:
        """What has been told and seen."""
        return cast("list[AlertMark]", list(self._all(AlertMark)))

    def care(self) -> dict[UUID, tuple[CoreCare, ...]]:
        """What was done to the cores of each shell, by time."""
        return cast("dict[UUID, tuple[CoreCare, ...]]", self._by_shell(CoreCare))

    def checks(self) -> dict[UUID, tuple[ShellCheck, ...]]:
        """What was found out about each shell, by time; also what is left out."""
        return cast("dict[UUID, tuple[ShellCheck, ...]]", self._by_shell(*get_args(ShellCheck)))

    def defects(self, shell_id: UUID) -> tuple[Defect, ...]:
        """What was found on a shell, by time."""
        return self._about(shell_id, Defect)

    def review_answers(self, shell_id: UUID) -> tuple[ReviewAnswer, ...]:
        """What people answered about a shell before burnout, by time."""
        return self._about(shell_id, ReviewAnswer)

    @property
    def melt_plans(self) -> list[MeltPlan]:
        """How metal is to be melted, for every shell, by time."""
        plans = cast("list[MeltPlan]", list(self._all(MeltPlan)))
        return sorted(plans, key=lambda plan: (plan.at, plan.id))

    def reviews(self, shell_id: UUID) -> tuple[Review, ...]:
        """The signed reviews of a shell, by time."""
        return self._about(shell_id, Review)

    def photos(self, shell_id: UUID) -> tuple[Photo, ...]:
        """The photos of a shell, by the time they were taken."""
        found = cast("list[Photo]", list(self._all(Photo)))
        own = [photo for photo in found if photo.shell_id == shell_id]
        return tuple(sorted(own, key=lambda photo: (photo.taken_at, photo.id)))

    @property
    def outcomes(self) -> dict[UUID, Outcome]:
        """What became of each shell that was poured."""
        found = cast("list[Outcome]", list(self._all(Outcome)))
        return {outcome.shell_id: outcome for outcome in found}

    def _about(self, shell_id: UUID, kind: type[Kept]) -> tuple[Kept, ...]:
        found = cast("list[Kept]", list(self._all(kind)))
        own = [record for record in found if record.shell_id == shell_id]
        return tuple(sorted(own, key=lambda record: (record.at, record.id)))

    def _by_shell(self, *kinds: type[Record]) -> dict[UUID, tuple[CoreCare | ShellCheck, ...]]:
        found = cast("list[CoreCare | ShellCheck]", list(self._all(*kinds)))
        by_shell: dict[UUID, list[CoreCare | ShellCheck]] = {}
        for record in sorted(found, key=lambda record: (record.at, record.id)):
            by_shell.setdefault(record.shell_id, []).append(record)
        return {shell_id: tuple(own) for shell_id, own in by_shell.items()}

    @property
    def slurry_tests(self) -> list[SlurryTest]:
        """What was found out about slurries and stuccos; also what is left out."""
        return cast("list[SlurryTest]", list(self._all(*get_args(SlurryTest))))

    def on_the_clock(self, moment: datetime) -> str:
        """A moment on the shop's wall clock, or in UTC before the shop is named."""
        shop = self.shop
        if shop is None:
            return f"{moment:%Y-%m-%d %H:%M} UTC"
        return f"{moment.astimezone(shop.clock):%Y-%m-%d %H:%M}"

    def shell(self, shell_id: UUID) -> Shell:
        """The shell of that id."""
        return cast("Shell", self.live[shell_id].record)

    def room(self, room_id: UUID) -> Room:
        """The room of that id."""
        return cast("Room", self.live[room_id].record)

    def coats(self, shell_id: UUID) -> tuple[Coat, ...]:
        """The shell's coats that stand, by time of the dip."""
        return tuple(self.coats_by_shell.get(shell_id, ()))

    def history(self, record_id: UUID) -> list[Entry]:
        """Every entry about one record, oldest first."""
        return [entry for entry in list(self.entries.values()) if entry.record.id == record_id]


def _check_same_picture(new: Photo, old: Photo) -> None:
    """Refuse a correction that would turn one picture into another."""
    if new.digests != old.digests:
        raise WrongReplacementError(
            "A correction of a photo keeps its picture. Take the photo back and add the other one."
        )
