"""Disks that fill up, fail, or fail and keep it all the same."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path

import pytest
from book_builders import (
    SHELL,
    a_batch,
    a_coat,
    a_reading,
    an_entry,
    keep_readings,
    some_columns,
)

from shellcoat.book import Book, open_book
from shellcoat.book import book as book_module
from shellcoat.book.check import check_book
from shellcoat.book.connection import pragma
from shellcoat.book.faults import NotSavedError, SaveUnknownError
from shellcoat.shop import Entry


def disk_error(name: str = "SQLITE_IOERR_FSYNC") -> sqlite3.OperationalError:
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = name
    return error


def fail_at_commit(
    monkeypatch: pytest.MonkeyPatch, *, kept: bool, error: BaseException | None = None
) -> None:
    """Let the next commit fail, before or after it has reached the disk."""
    real: Callable[..., object] = book_module.transaction

    @contextmanager
    def failing(connection: object) -> object:
        monkeypatch.setattr(book_module, "transaction", real)
        if kept:
            with real(connection):
                yield
        else:
            with real(connection):
                yield
                raise error or disk_error()
        raise error or disk_error()

    monkeypatch.setattr(book_module, "transaction", failing)


def test_a_commit_that_failed_is_reported_and_leaves_the_book_usable(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[Entry] = []
    book.listeners.append(told.extend)
    entry = an_entry(a_coat(1), 1)
    fail_at_commit(monkeypatch, kept=False)
    with pytest.raises(NotSavedError, match="the disk reported an error") as refused:
        book.append([entry], slots={entry.id: "coat:1"})
    assert "stands as it was before" in str(refused.value)
    assert told == []
    assert book.ledger.coats(SHELL) == ()
    book.append([entry], slots={entry.id: "coat:1"})
    assert told == [entry]
    with open_book(path, read_only=True) as again:
        assert again.ledger.coats(SHELL) == (entry.record,)


def test_a_commit_that_failed_but_is_on_the_disk_counts_as_kept(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[Entry] = []
    book.listeners.append(told.extend)
    entry, later = an_entry(a_coat(1), 1), an_entry(a_coat(8), 8)
    fail_at_commit(monkeypatch, kept=True)
    book.append([entry], slots={entry.id: "coat:1"})
    assert told == [entry]
    book.append([later])
    with open_book(path, read_only=True) as again:
        assert again.ledger.coats(SHELL) == (entry.record, later.record)
        assert again.ledger == book.ledger
    book.close()
    assert check_book(path).sound


def test_when_nobody_can_say_nobody_says(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = an_entry(a_coat(1), 1)
    away = path.with_name("unplugged")
    fail_at_commit(monkeypatch, kept=False)
    redial = book._file.redial

    def unplugged() -> object:
        path.rename(away)
        return redial()

    monkeypatch.setattr(book._file, "redial", unplugged)
    with pytest.raises(SaveUnknownError, match="Open the book again and look"):
        book.append([entry])
    away.rename(path)
    monkeypatch.setattr(book._file, "redial", redial)
    book.append([entry])
    assert book.ledger.coats(SHELL) == (entry.record,)


def test_what_was_cut_off_just_after_the_commit_is_found_again(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry, later = an_entry(a_coat(1), 1), an_entry(a_coat(8), 8)
    fail_at_commit(monkeypatch, kept=True, error=KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        book.append([entry])
    book.append([later])
    assert book.ledger.coats(SHELL) == (entry.record, later.record)


def log_on_and_on(book: Book, kept: list[Entry]) -> None:
    for number in range(200):
        entry = an_entry(a_reading(number))
        book.append([entry])
        kept.append(entry)


def test_a_full_disk_keeps_what_there_was(book: Book, path: Path) -> None:
    connection = book._file.live()
    pages = pragma(connection, "page_count")
    connection.execute(f"PRAGMA max_page_count = {pages + 4}")
    kept: list[Entry] = []
    with pytest.raises(NotSavedError, match="the disk is full"):
        log_on_and_on(book, kept)
    assert kept
    assert len(book.ledger.typed_readings) == len(kept)
    book.append([an_entry(a_reading(500))])  # the new connection has no such limit
    with open_book(path, read_only=True) as again:
        assert again.ledger == book.ledger
        assert len(again.ledger.typed_readings) == len(kept) + 1
    book.close()
    assert check_book(path).sound


def test_a_batch_that_does_not_fit_leaves_no_reading_behind(book: Book, path: Path) -> None:
    connection = book._file.live()
    pages = pragma(connection, "page_count")
    connection.execute(f"PRAGMA max_page_count = {pages + 20}")
    columns = some_columns(20_000)
    with pytest.raises(NotSavedError, match="the disk is full"):
        keep_readings(book, a_batch(columns), columns)
    book.close()
    report = check_book(path)
    assert (report.problems, report.readings, report.entries) == ([], 0, 4)
