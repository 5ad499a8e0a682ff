"""Backups: whole copies under dated names, thinned out with age, and the way back."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from shellcoat.book import journal
from shellcoat.book.book import Book
from shellcoat.book.connection import connect_to_write, copy_database, side_files
from shellcoat.book.faults import (
    BookBusyError,
    BookInUseError,
    DamagedBookError,
    NotABookError,
    NotSavedError,
)
from shellcoat.book.folders import backup_folder, discard, free_name, put_in_place
from shellcoat.book.lock import WriteLock
from shellcoat.book.opening import SUFFIX, look_at, looking, refuse_damaged

__all__ = [
    "Backup",
    "back_up",
    "backup_folder",
    "backups",
    "due_for_backup",
    "prune",
    "restore",
    "to_keep",
]

STAMP = "%Y-%m-%d %H%M%SZ"
NAME = re.compile(r"(.+) (\d{4}-\d{2}-\d{2} \d{6}Z)(?: \(\d+\))?" + re.escape(SUFFIX))

# How often, and how long copies are kept: common practice for office backups.
EVERY = timedelta(hours=4)
KEEP_ALL, MOST_OF_ALL = timedelta(hours=24), 10
KEEP_DAILY = timedelta(days=30)
KEEP_WEEKLY = timedelta(days=365)


@dataclass(frozen=True, slots=True, order=True)
class Backup:
    """One copy: when it was made, of which book, how large [bytes], how many entries."""

    made_at: datetime
    path: Path
    book_name: str
    size_bytes: int
    entries: int


@dataclass(frozen=True, slots=True)
class _Copy:
    """A file whose name says that it is a copy."""

    path: Path
    book_name: str
    made_at: datetime


def back_up(book: Book, folder: Path, now: datetime) -> Path:
    """Copy a book as it stands, check the copy, and give it its dated name."""
    name = f"{book.path.stem} {now.astimezone(UTC):{STAMP}}{SUFFIX}"
    unfinished = folder / f".{name}.unfinished"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        discard(unfinished)
        book.copy_into(unfinished)
        refuse_damaged(unfinished)
        path = free_name(folder / name)
        put_in_place(unfinished, path)
    except OSError as cause:
        raise NotSavedError(folder / name, str(cause)) from cause
    finally:
        discard(unfinished)
    return path


def backups(folder: Path) -> list[Backup]:
    """List the copies in a folder, newest first; a file that is no sound book is left out."""
    return list(_sound(_copies(folder)))


def due_for_backup(book: Book, folder: Path, now: datetime) -> bool:
    """Tell whether a copy should be made: the last is old, and entries have come since."""
    own = [copy for copy in _copies(folder) if copy.book_name == book.path.stem]
    newest = next(_sound(own), None)
    if newest is None:
        return True
    age = abs(now - newest.made_at)  # a copy dated in the future says that a clock was wrong
    return age >= EVERY and newest.entries != len(book.ledger.entries)


def prune(folder: Path, now: datetime) -> list[Path]:
    """Remove the copies that `to_keep` does not name, book by book, and tell which."""
    by_book: dict[str, list[_Copy]] = defaultdict(list)
    for copy in _copies(folder):
        by_book[copy.book_name].append(copy)
    gone = []
    for copies in by_book.values():
        kept = to_keep((copy.made_at for copy in copies), now)
        gone += [copy.path for copy in copies if copy.made_at not in kept]
    return [path for path in gone if _removed(path)]


def _removed(path: Path) -> bool:
    """Remove a copy; one that another program holds stays until the next time."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return False
    return True


def to_keep(times: Iterable[datetime], now: datetime) -> set[datetime]:
    """Choose which copies stay.

    The ten newest of the last 24 hours, the last of each day for 30 days, the last of each
    week for a year; always the newest of all, and whatever is dated in the future.
    """
    newest_first = sorted(set(times), reverse=True)
    past = [moment for moment in newest_first if moment <= now]
    recent = [moment for moment in past if moment >= now - KEEP_ALL]
    daily = _last_of_each(past, "%Y-%m-%d", now - KEEP_DAILY)
    weekly = _last_of_each(past, "%G-%V", now - KEEP_WEEKLY)
    future = [moment for moment in newest_first if moment > now]
    return {*newest_first[:1], *future, *recent[:MOST_OF_ALL], *daily, *weekly}


def restore(backup: Path, path: Path, now: datetime) -> Path | None:
    """Put a copy in a book's place; tell where what stood there before is kept."""
    path = path.resolve()
    look_at(backup)
    refuse_damaged(backup)
    unfinished = path.with_name(f".{path.name}.unfinished")
    lock = WriteLock(path)
    try:
        discard(unfinished)
        with lock.held(), looking(backup) as connection:
            copy_database(connection, unfinished)
            kept = _put_aside(path, now)
            put_in_place(unfinished, path)
    except OSError as cause:
        raise NotSavedError(path, str(cause)) from cause
    finally:
        discard(unfinished)
        lock.close()
    return kept


def _copies(folder: Path) -> list[_Copy]:
    copies = []
    for path in folder.glob(f"*{SUFFIX}") if folder.is_dir() else ():
        told = NAME.fullmatch(path.name)
        if told is not None:
            made_at = datetime.strptime(told[2], STAMP).replace(tzinfo=UTC)
            copies.append(_Copy(path, told[1], made_at))
    return sorted(copies, key=lambda copy: (copy.made_at, copy.path.name), reverse=True)


def _sound(copies: Iterable[_Copy]) -> Iterator[Backup]:
    for copy in copies:
        try:
            with looking(copy.path) as connection:
                entries = journal.count(connection)
        except (NotABookError, DamagedBookError):
            continue
        size = copy.path.stat().st_size
        yield Backup(copy.made_at, copy.path, copy.book_name, size, entries)


def _last_of_each(newest_first: Iterable[datetime], period: str, since: datetime) -> set[datetime]:
    last: dict[str, datetime] = {}
    for moment in newest_first:
        if moment >= since:
            last.setdefault(f"{moment:{period}}", moment)
    return set(last.values())


def _put_aside(path: Path, now: datetime) -> Path | None:
    if not path.exists():
        return None
    stamp = f"{now.astimezone(UTC):{STAMP}}"
    kept = free_name(path.with_name(f"{path.stem} before restoring {stamp}{path.suffix}"))
    with suppress(NotABookError, DamagedBookError):  # those go just as they are
        _fold_log_in(path)
    for old, new in zip((path, *side_files(path)), (kept, *side_files(kept)), strict=True):
        if old.exists():
            old.replace(new)
    return kept


def _fold_log_in(path: Path) -> None:
    """Make the book one single file, which works only when nobody else has it open."""
    try:
        with looking(path, connect_to_write) as connection:
            connection.execute("PRAGMA busy_timeout = 0")
            connection.execute("PRAGMA journal_mode = DELETE")
    except BookBusyError as cause:
        raise BookInUseError(path) from cause
