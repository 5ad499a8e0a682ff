"""Which entries of the book the evidence about one shell rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import islice
from uuid import UUID

from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.wording import write_dated
from shellcoat.shop import (
    AirReading,
    CaliperReading,
    Coat,
    CoreCare,
    Defect,
    DryCheck,
    Entry,
    InfraredReading,
    Ledger,
    MeltPlan,
    ReadingBatch,
    Record,
    ReviewAnswer,
    Shell,
    ShellCheck,
    Weighing,
    Withdrawal,
)

About = Coat | CoreCare | ShellCheck | Defect | ReviewAnswer | MeltPlan
"""What the evidence about a shell is made of, beside the shell itself and its air."""

_NOUNS: dict[type[Record], str] = {
    Shell: "what is known of the shell",
    Coat: "a coat",
    CoreCare: "work on a core",
    DryCheck: "a touch",
    InfraredReading: "an infrared reading",
    Weighing: "a weighing",
    CaliperReading: "a measured wall",
    Defect: "a defect",
    ReviewAnswer: "an answer",
    MeltPlan: "the melt",
    AirReading: "the air of its drying",
    ReadingBatch: "the air of its drying",
}


def entries_about(
    ledger: Ledger, shell_id: UUID, until: datetime, after: int = 0
) -> Iterator[Entry]:
    """Entries about one shell, in the book's order, but for the first `after` of the book.

    `until` is when the evidence was put together: air read later is none of it. Moving a shell to
    another place or state changes no evidence.
    """
    air = _SpanOfAir.of(ledger, shell_id, until)
    for entry in islice(list(ledger.entries.values()), after, None):
        record = subject(ledger, entry)
        own = isinstance(record, About) and record.shell_id == shell_id
        if own or air.holds(record) or _redescribes(ledger, entry, shell_id):
            yield entry


def subject(ledger: Ledger, entry: Entry) -> Record:
    """What an entry is about: of a withdrawal, what it takes back."""
    if isinstance(entry.record, Withdrawal) and entry.replaces is not None:
        return ledger.entries[entry.replaces].record
    return entry.record


def _redescribes(ledger: Ledger, entry: Entry, shell_id: UUID) -> bool:
    record = entry.record
    if not isinstance(record, Shell) or record.id != shell_id:
        return False
    before = ledger.entries[entry.replaces].record if entry.replaces else None
    if not isinstance(before, Shell):
        return True
    moved = replace(before, state=record.state, rack_place=record.rack_place, note=record.note)
    return moved != record


@dataclass(frozen=True, slots=True)
class _SpanOfAir:
    """The rooms a shell's coats hung in, and from when to when their air was evidence."""

    rooms: frozenset[UUID]
    first: datetime
    last: datetime

    @classmethod
    def of(cls, ledger: Ledger, shell_id: UUID, until: datetime) -> _SpanOfAir:
        """From the first dip until the final hold is over, or until the evidence was taken."""
        coats = ledger.coats(shell_id)
        if not coats:
            return cls(frozenset(), until, until)
        hold = timedelta(seconds=ledger.shell(shell_id).sequence.final_hold_s)
        over = min(until, coats[-1].dipped_at + hold)
        return cls(frozenset(coat.room_id for coat in coats), coats[0].dipped_at, over)

    def holds(self, record: Record) -> bool:
        """Whether a reading, or a batch of them, falls into it."""
        if isinstance(record, AirReading):
            return self._meets(record.room_id, record.read_at, record.read_at)
        if isinstance(record, ReadingBatch):
            return self._meets(record.room_id, record.first_at, record.last_at)
        return False

    def _meets(self, room_id: UUID, first: datetime, last: datetime) -> bool:
        return room_id in self.rooms and first <= self.last and self.first <= last


def news_since(
    opened: OpenShop, shell_id: UUID, until: datetime, book_entries: int
) -> tuple[str, ...]:
    """Every change to the evidence since it was put together, in words.

    It was put together at `until`, from a book of so many entries.
    """
    found = entries_about(opened.ledger, shell_id, until, book_entries)
    return tuple(_tell(opened, entry) for entry in found)


def _tell(opened: OpenShop, entry: Entry) -> str:
    noun = _NOUNS[type(subject(opened.ledger, entry))]
    done = "was corrected" if entry.replaces else "was logged"
    if isinstance(entry.record, Withdrawal):
        done = "was taken back"
    return f"{noun} {done} by {entry.who}, {write_dated(entry.recorded_at, opened.zone)}."
