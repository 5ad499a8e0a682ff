"""A thorough look at a book: the file, the references, the chain, the readings, the ledger."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from sqlite3 import Connection

import msgspec

from shellcoat.book import chain, journal
from shellcoat.book.connection import connect_to_read
from shellcoat.book.faults import DamagedBookError
from shellcoat.book.opening import look_at, looking
from shellcoat.book.pictures import digest_of, fetch_pictures
from shellcoat.book.readings import fetch_batch
from shellcoat.book.tables import PICTURES_SINCE, EntryRow, guards_of
from shellcoat.errors import MendableError
from shellcoat.shop import Entry, Ledger, Photo, ReadingBatch

HASHES = ("previous_hash", "hash")
MOST_PROBLEMS = 20

REFERENCES = "PRAGMA foreign_key_check"
INTEGRITY = f"PRAGMA integrity_check({MOST_PROBLEMS})"
TRIGGERS = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
READINGS = "SELECT count(*) FROM air_reading"
PICTURES = "SELECT sha256, data FROM picture"


@dataclass(slots=True)
class CheckReport:
    """What a check found; `problems` names each fault and where it is."""

    path: Path
    problems: list[str] = field(default_factory=list)
    entries: int = 0
    readings: int = 0
    photos: int = 0
    head: str = ""
    sqlite_version: str = sqlite3.sqlite_version

    @property
    def sound(self) -> bool:
        """Whether nothing at all is wrong."""
        return not self.problems


def check_book(path: Path) -> CheckReport:
    """Check everything that can be checked; changes nothing."""
    report = CheckReport(path.resolve())
    try:
        version = look_at(report.path)
        with looking(report.path, connect_to_read) as connection:
            report.problems += _file_problems(connection, version)
            _check_content(connection, report, version)
    except DamagedBookError as cause:
        report.problems.append(f"file: {cause.what}")
    del report.problems[MOST_PROBLEMS:]
    return report


def _check_content(connection: Connection, report: CheckReport, version: int) -> None:
    book_id, _ = journal.identity(connection, report.path)
    rows = journal.rows_after(connection, 0)
    report.entries = len(rows)
    ((report.readings,),) = connection.execute(READINGS).fetchall()
    report.head = rows[-1].hash if rows else chain.first_link(book_id)
    report.problems += _chain_problems(rows, chain.first_link(book_id))
    entries = list(_readable(rows, report.problems))
    report.problems += _ledger_problems(entries)
    report.problems += _batch_problems(connection, entries, report.readings)
    photos = [(seq, entry.record) for seq, entry in entries if isinstance(entry.record, Photo)]
    report.photos = len({photo.id for _, photo in photos})
    if version >= PICTURES_SINCE:
        report.problems += _picture_problems(connection, photos)


def _file_problems(connection: Connection, version: int) -> Iterator[str]:
    for (found,) in connection.execute(INTEGRITY):
        if found != "ok":
            yield f"file: {found}"
    for table, _, parent, _ in connection.execute(REFERENCES):
        yield f"a row of {table} refers to a row of {parent} that is not there"
    missing = guards_of(version).difference(name for (name,) in connection.execute(TRIGGERS))
    if missing:
        yield f"guards against change are missing: {', '.join(sorted(missing))}"


def _chain_problems(rows: Sequence[EntryRow], first_link: str) -> Iterator[str]:
    """Name the first broken link; what follows it proves nothing any more."""
    previous = first_link
    for number, row in enumerate(rows, start=1):
        columns = {name: value for name, value in row._asdict().items() if name not in HASHES}
        if row.seq != number:
            yield f"entry {number}: is missing"
            return
        if (row.previous_hash, row.hash) != (previous, chain.link(previous, columns)):
            yield f"entry {number}: was changed after it was kept (its hash does not fit)"
            return
        previous = row.hash


def _readable(rows: Sequence[EntryRow], problems: list[str]) -> Iterator[tuple[int, Entry]]:
    for row in rows:
        try:
            yield row.seq, journal.entry_of(row)
        except (msgspec.MsgspecError, MendableError, ValueError, OverflowError) as cause:
            problems.append(f"entry {row.seq}: cannot be read ({cause})")


def _ledger_problems(entries: list[tuple[int, Entry]]) -> Iterator[str]:
    ledger = Ledger()
    for seq, entry in entries:
        try:
            ledger.apply(entry)
        except MendableError as cause:
            yield f"entry {seq}: {cause}"


def _batch_problems(
    connection: Connection, entries: list[tuple[int, Entry]], readings: int
) -> Iterator[str]:
    vouched_for = 0
    for seq, entry in entries:
        if isinstance(entry.record, ReadingBatch):
            vouched_for += entry.record.count
            try:
                fetch_batch(connection, seq).check_against(entry.record)
            except MendableError as cause:
                yield f"entry {seq}: {cause}"
    if vouched_for != readings:
        yield f"{readings} readings are kept, but the batches speak of {vouched_for}"


def _picture_problems(connection: Connection, photos: list[tuple[int, Photo]]) -> Iterator[str]:
    for seq, photo in photos:
        try:
            fetch_pictures(connection, photo).check_against(photo)
        except MendableError as cause:
            yield f"entry {seq}: {cause}"
    spoken_of = {digest for _, photo in photos for digest in photo.digests}
    for digest, data in connection.execute(PICTURES):
        if digest not in spoken_of:
            yield f"picture {digest[:12]}: no photo speaks of it"
        elif digest_of(data) != digest:
            yield f"picture {digest[:12]}: was changed after it was kept"
