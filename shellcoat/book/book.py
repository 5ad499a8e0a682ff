"""The book: one file that keeps everything a shop logs, and only ever grows."""

from __future__ import annotations

import gc
import sqlite3
import threading
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self
from uuid import UUID

import msgspec

from shellcoat.book import chain, journal
from shellcoat.book.codec import to_milliseconds
from shellcoat.book.connection import copy_database, faults_named, transaction
from shellcoat.book.faults import (
    BookBusyError,
    DamagedBookError,
    EntryIdReusedError,
    NotSavedError,
    SaveUnknownError,
    SlotTakenError,
    in_words,
    primary_name,
)
from shellcoat.book.file import BookFile
from shellcoat.book.journal import End, Line
from shellcoat.book.lock import WriteLock
from shellcoat.book.pictures import Pictures, fetch_picture, fetch_pictures
from shellcoat.book.tables import EntryRow
from shellcoat.errors import MendableError, WorldError
from shellcoat.shop import AirAtDip, Entry, Ledger, Photo, ReadingBatch

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from shellcoat.book.air import RoomAir
    from shellcoat.book.readings import ReadingColumns

Listener = Callable[[tuple[Entry, ...]], None]


def branch(ledger: Ledger) -> Ledger:
    """Copy a ledger so that the copy can take entries without the original changing."""
    return Ledger(
        live=dict(ledger.live),
        entries=dict(ledger.entries),
        replaced_by=dict(ledger.replaced_by),
        coats_by_shell={shell: list(coats) for shell, coats in ledger.coats_by_shell.items()},
        coats_ever=dict(ledger.coats_ever),
    )


@contextmanager
def without_collector() -> Iterator[None]:
    """Read entries without looking for garbage among them: every one of them stays."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Book:
    """An open book; `open_book` and `create_book` make one.

    `ledger` is what stands in the book as far as this object has seen; it changes in place, on
    the thread that appends or refreshes. A worker on another thread takes a `snapshot`, which
    never changes. `listeners` are called with the new entries after they are safely kept; what
    one of them raises comes out of the call that wrote, but undoes nothing.

    Opening needs neither SQLAlchemy nor numpy, which take several times as long to load as a
    book: what writes, and what reads logger readings, is loaded where it is first called.
    """

    def __init__(self, path: Path, lock: WriteLock | None) -> None:
        self.path = path
        self.listeners: list[Listener] = []
        self._file = BookFile(path, lock)
        self._guard = threading.RLock()
        self._untold: deque[tuple[Entry, ...]] = deque()
        self.ledger = Ledger()
        self._snapshot: Ledger | None = None
        self._places: dict[UUID, int] = {}
        self._air: dict[UUID, RoomAir] | None = None
        try:
            with faults_named(path):
                self._file.try_to_write()
                self.id, self.created_at = journal.identity(self._file.live(), path)
                self._end = End(0, chain.first_link(self.id))
                self._take_news()
        except BaseException:
            self._file.hang_up()
            raise
        self._untold.clear()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def read_only(self) -> bool:
        """Whether this book was opened to read only."""
        return self._file.read_only

    @property
    def head(self) -> str:
        """The hash of the last entry, which vouches for the whole book up to it."""
        return self._end.hash

    def append(self, entries: Sequence[Entry], *, slots: Mapping[UUID, str] | None = None) -> None:
        """Keep entries, all of them or none; returns when they are safely on the disk.

        `slots` gives entries, by id, a key that can be taken only once in a book. An entry that
        is in the book already is passed over, so appending twice is as good as once.
        """
        slots = slots or {}
        self.take_in([Line(entry, slots.get(entry.id)) for entry in entries])

    def add_readings(
        self, entry: Entry, at_ms: ArrayLike, temp_c: ArrayLike, rh: ArrayLike
    ) -> None:
        """Keep a batch of logger readings: its head, which `entry` holds, and every reading."""
        from shellcoat.book.readings import ReadingColumns

        self.take_in([Line(entry, readings=ReadingColumns.of(at_ms, temp_c, rh))])

    def add_photo(self, entry: Entry, pictures: Pictures) -> None:
        """Keep a photo: its record, which `entry` holds, and its bytes."""
        self.take_in([Line(entry, pictures=pictures)])

    def take_in(self, lines: Sequence[Line]) -> None:
        """Keep whole lines: entries, slots, readings and pictures, all of them or none."""
        for line in lines:
            line.check()
        self.warm_up()  # before the lock, for which others wait
        try:
            with self._guard, self._file.lock.held():
                self._write(lines)
        finally:
            self._tell()

    def refresh(self) -> tuple[Entry, ...]:
        """Take in what other programs have added to the file, and tell the listeners."""
        with self._guard, faults_named(self.path):
            news = self._take_news()
        self._tell()
        return news

    def readings(self, room_id: UUID, first: datetime, last: datetime) -> ReadingColumns:
        """Give a room's readings from `first` to `last`, typed and logged, by rising time."""
        return self._readings(room_id, to_milliseconds(first), to_milliseconds(last))

    def reading_times(self, room_id: UUID, first_ms: int, last_ms: int) -> set[int]:
        """Give the times [ms since 1970] at which a room has readings, both ends included."""
        return set(self._readings(room_id, first_ms, last_ms).at_ms.tolist())

    def last_reading(self, room_id: UUID) -> AirAtDip | None:
        """Give a room's latest reading, or None if it has none."""
        with self._guard, faults_named(self.path):
            return self._air_of(room_id).last(self._file.live())

    def picture(self, digest: str) -> bytes:
        """Give a picture of a photo, or its thumbnail, by its SHA-256; from any thread."""
        with self._guard, faults_named(self.path):
            return fetch_picture(self._file.live(), digest)

    def pictures(self, photo: Photo) -> Pictures:
        """Give picture and thumbnail of a photo."""
        with self._guard, faults_named(self.path):
            return fetch_pictures(self._file.live(), photo)

    def snapshot(self) -> Ledger:
        """Give a copy of the ledger as it is now, for a worker to read while others write."""
        with self._guard:
            if self._snapshot is None:
                self._snapshot = branch(self.ledger)
            return self._snapshot

    def read_through(self) -> tuple[list[Line], str]:
        """Read every line from the file, readings included, and the hash of the last.

        Pictures are left out, as a book of photos may not fit into memory: `pictures` gives them.
        """
        with self._guard, faults_named(self.path):
            self._take_news()
            lines = list(journal.lines(self._file.live(), self._end.seq))
        self._tell()
        return lines, self._end.hash

    def copy_into(self, target: Path) -> None:
        """Copy the book as it stands at this moment into a new file."""
        with self._guard, faults_named(self.path):
            copy_database(self._file.live(), target)

    def warm_up(self) -> None:
        """Load what only writing needs, from any thread, so that the first entry need not wait."""
        if not self.read_only:
            import shellcoat.book.writing  # noqa: F401

    def close(self) -> None:
        """Close the file; a book that dies unclosed loses nothing, but leaves files beside it."""
        with self._guard:
            self._file.close()

    # Reading.

    def _readings(self, room_id: UUID, first_ms: int, last_ms: int) -> ReadingColumns:
        with self._guard, faults_named(self.path):
            return self._air_of(room_id).readings(self._file.live(), first_ms, last_ms)

    def _air_of(self, room_id: UUID) -> RoomAir:
        from shellcoat.book import air

        if self._air is None:
            self._air = air.by_room(self.ledger, self._places)
        return self._air.get(room_id) or air.RoomAir()

    def _take_news(self) -> tuple[Entry, ...]:
        if not self._file.changed():
            return ()
        with without_collector():
            rows = journal.rows_after(self._file.live(), self._end.seq)
            news = tuple(self._read(row) for row in rows)
        self._file.read_up()
        if news:
            self._untold.append(news)
        return news

    def _read(self, row: EntryRow) -> Entry:
        try:
            entry = journal.entry_of(row)
            self._enter(entry, End(row.seq, row.hash))
        except (msgspec.MsgspecError, MendableError, ValueError, OverflowError) as cause:
            what = f"entry {row.seq} cannot be read ({cause})"
            raise DamagedBookError(self.path, what) from cause
        return entry

    def _enter(self, entry: Entry, end: End) -> None:
        self.ledger.apply(entry)
        if isinstance(entry.record, ReadingBatch):
            self._places[entry.id] = end.seq
        self._end, self._air, self._snapshot = end, None, None

    # Writing.

    def _write(self, lines: Sequence[Line]) -> None:
        with faults_named(self.path):
            self._take_news()
            fresh = self._new_among(lines)
            self._refuse_misfits([line.entry for line in fresh])
            self._refuse_taken_slots(fresh)
        if fresh:
            rows = journal.rows_of(fresh, self._end)
            with self._file.unsure():
                self._save(fresh, rows)
                for line, row in zip(fresh, rows, strict=True):
                    self._enter(line.entry, End(row["seq"], row["hash"]))
            self._untold.append(tuple(line.entry for line in fresh))

    def _new_among(self, lines: Sequence[Line]) -> list[Line]:
        fresh: dict[UUID, Line] = {}
        for line in lines:
            entry = line.entry
            known = self.ledger.entries.get(entry.id, entry)
            known = fresh[entry.id].entry if entry.id in fresh else known
            if known != entry:
                raise EntryIdReusedError(known)
            if entry.id not in self.ledger.entries:
                fresh[entry.id] = line
        return list(fresh.values())

    def _refuse_misfits(self, entries: Sequence[Entry]) -> None:
        if len(entries) == 1:  # nearly always, and much quicker in a long book
            self.ledger.check(entries[0])
            return
        trial = branch(self.ledger)
        for entry in entries:
            trial.apply(entry)

    def _refuse_taken_slots(self, lines: Sequence[Line]) -> None:
        wanted = [(line.slot, line.entry) for line in lines if line.slot is not None]
        if not wanted:
            return
        takers = journal.taken_slots(self._file.live(), [slot for slot, _ in wanted])
        taken = {slot: self.ledger.entries[entry_id] for slot, entry_id in takers.items()}
        for slot, entry in wanted:
            if slot in taken:
                logged_at = self.ledger.on_the_clock(taken[slot].recorded_at)
                raise SlotTakenError(taken[slot], logged_at)
            taken[slot] = entry

    def _save(self, lines: Sequence[Line], rows: Sequence[dict[str, Any]]) -> None:
        writer = self._file.writer()
        try:
            with transaction(self._file.live()):
                writer.store(lines, rows)
        except sqlite3.Error as error:
            self._settle({line.entry.id for line in lines}, error)

    def _settle(self, ids: set[UUID], raised: sqlite3.Error) -> None:
        """Find out whether a commit that failed is on the disk all the same.

        Looking the ids up settles it; trying again could log a dip twice.
        """
        try:
            found = journal.kept(self._file.redial(), ids)
        except (sqlite3.Error, WorldError) as cause:
            raise SaveUnknownError(self.path, in_words(raised)) from cause
        if found == ids:
            return
        if primary_name(raised) == "SQLITE_BUSY":
            raise BookBusyError(self.path, "another program") from raised
        raise NotSavedError(self.path, in_words(raised)) from raised

    def _tell(self) -> None:
        """Call every listener with everything new, even when one of them raises."""
        calls = []
        # Window and worker may tell at the same moment: each takes what the other left.
        with suppress(IndexError):
            while True:
                entries = self._untold.popleft()
                calls += [(listener, entries) for listener in self.listeners]
        with ExitStack() as stack:
            for listener, entries in reversed(calls):  # the stack runs them last in, first out
                stack.callback(listener, entries)
