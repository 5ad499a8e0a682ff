"""The window and the command line at one book: locks, news, and sudden death."""

from __future__ import annotations

import threading
from contextlib import closing
from pathlib import Path

import book_writer
import pytest
from book_builders import (
    ROOM,
    SHELL,
    a_coat,
    a_reading,
    an_entry,
    at,
    by_hand,
    new_book,
    start_python,
)

from shellcoat.book import Book, check, connection, lock, open_book
from shellcoat.book.faults import BookBusyError, SlotTakenError
from shellcoat.book.lock import WriteLock, lock_path
from shellcoat.shop import Entry
from shellcoat.shop.ledger import AlreadyReplacedError

WRITER = str(Path(book_writer.__file__))


def test_one_book_sees_what_the_other_wrote(book: Book, path: Path) -> None:
    with open_book(path) as other:
        told: list[tuple[Entry, ...]] = []
        other.listeners.append(told.append)
        entry = an_entry(a_coat(1), 1)
        book.append([entry])
        assert other.ledger.coats(SHELL) == ()
        assert other.refresh() == (entry,)
        assert other.ledger == book.ledger
        assert other.head == book.head
        assert told == [(entry,)]
        assert other.refresh() == ()
        assert told == [(entry,)]


def test_two_books_take_turns_and_both_hear_of_everything(book: Book, path: Path) -> None:
    with open_book(path) as other:
        told: list[Entry] = []
        book.listeners.append(told.extend)
        entries = [an_entry(a_coat(hour), hour) for hour in range(1, 7)]
        for turn, entry in zip([book, other] * 3, entries, strict=True):
            turn.append([entry])
        book.refresh()
        assert told == entries
        assert book.ledger == other.ledger
    book.close()
    assert check.check_book(path).sound


def test_the_second_to_log_a_dip_is_refused_though_it_has_not_looked(
    book: Book, path: Path
) -> None:
    with open_book(path) as other:
        first, second = an_entry(a_coat(1), 1), an_entry(a_coat(1.01), 1)
        book.append([first], slots={first.id: "coat:1"})
        with pytest.raises(SlotTakenError) as refused:
            other.append([second], slots={second.id: "coat:1"})
        assert refused.value.entry == first
        assert other.ledger.coats(SHELL) == (first.record,)


def test_news_is_told_even_when_the_own_entry_is_refused(book: Book, path: Path) -> None:
    coat = an_entry(a_coat(1), 1)
    book.append([coat])
    with open_book(path) as other:
        told: list[Entry] = []
        other.listeners.append(told.extend)
        first = an_entry(a_coat(1, id=coat.record.id, tank="A"), 2, replaces=coat.id)
        book.append([first])
        with pytest.raises(AlreadyReplacedError):
            other.append([an_entry(first.record, 2, replaces=coat.id)])
        assert told == [first]


def test_a_reader_hears_news_too(book: Book, path: Path) -> None:
    with open_book(path, read_only=True) as reader:
        entry = an_entry(a_reading(1))
        book.append([entry])
        assert reader.refresh() == (entry,)
        assert len(reader.readings(ROOM, at(0), at(2))) == 1


def test_a_busy_book_names_who_holds_it(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "PATIENCE_S", 0.02)
    with closing(WriteLock(path)) as other, open_book(path) as late:
        with other.held(), pytest.raises(BookBusyError, match=r"written by process \d+ on"):
            late.append([an_entry(a_reading(1))])
        late.append([an_entry(a_reading(2))])
    assert len(book.refresh()) == 1


def test_a_lock_whose_holder_is_unreadable_is_held_by_somebody(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "PATIENCE_S", 0.02)
    with closing(WriteLock(path)) as one, closing(WriteLock(path)) as other, one.held():
        lock_path(path).write_text("???")
        with pytest.raises(BookBusyError, match="another program"), other.held():
            pass


def test_a_lock_may_be_taken_again_while_held(path: Path) -> None:
    with closing(WriteLock(path)) as one, closing(WriteLock(path, 0.02)) as other:
        with one.held():
            with one.held():
                pass
            with pytest.raises(BookBusyError), other.held():
                pass
        with other.held():
            pass


def test_a_stranger_in_the_middle_of_writing_makes_the_book_busy(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connection, "EVERY_CONNECTION", ("PRAGMA busy_timeout = 20",))
    with new_book(path) as book:
        with closing(connection.connect_to_write(path)) as stranger:
            stranger.execute("BEGIN IMMEDIATE")
            with pytest.raises(BookBusyError, match="Nothing was saved"):
                book.append([an_entry(a_reading(1))])
            stranger.execute("ROLLBACK")
        book.append([an_entry(a_reading(2))])
        assert len(book.ledger.typed_readings) == 1


def test_entries_a_stranger_wrote_in_between_are_noticed(book: Book, path: Path) -> None:
    by_hand(
        path,
        "CREATE TABLE strange (x)",  # any change by another connection, though none of entries
    )
    book.append([an_entry(a_reading(1))])
    assert len(book.ledger.typed_readings) == 1


def test_workers_read_while_entries_come_in(book: Book) -> None:
    """One thread appends, others read; neither the ledger nor the readings ever tear."""
    stop = threading.Event()
    faults: list[BaseException] = []

    def read() -> None:
        try:
            while not stop.is_set():
                ledger = book.snapshot()
                assert len(ledger.typed_readings) == len(ledger.entries) - 4
                assert len(book.readings(ROOM, at(0), at(99))) >= len(ledger.typed_readings)
        except BaseException as fault:  # noqa: BLE001  carried to the test's own thread
            faults.append(fault)

    workers = [threading.Thread(target=read) for _ in range(2)]
    for worker in workers:
        worker.start()
    for number in range(60):
        book.append([an_entry(a_reading(number / 60))])
    stop.set()
    for worker in workers:
        worker.join()
    assert faults == []
    assert len(book.ledger.typed_readings) == 60


def test_two_programs_write_at_once_and_nothing_is_lost(book: Book, path: Path) -> None:
    writers = [start_python(WRITER, str(path), str(ROOM), who, "40") for who in ("Ana", "Olu")]
    own = [an_entry(a_reading(number)) for number in range(40)]
    for entry in own:
        book.append([entry])
    said = [writer.communicate(timeout=60)[0].split() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0]
    book.refresh()
    kept = [str(entry_id) for entry_id in book.ledger.entries]
    assert len(kept) == len(set(kept)) == 4 + 3 * 40
    assert {*said[0], *said[1], *(str(entry.id) for entry in own)} <= set(kept)
    with open_book(path, read_only=True) as again:
        assert again.ledger == book.ledger
        assert list(again.ledger.entries) == list(book.ledger.entries)
    book.close()
    assert check.check_book(path).sound


def test_a_program_killed_at_any_moment_loses_nothing_it_has_said(path: Path) -> None:
    """Twenty programs are killed while they write; each id they said is kept, once."""
    new_book(path).close()
    acknowledged: list[str] = []
    for number in range(20):
        writer = start_python(WRITER, str(path), str(ROOM), f"W{number}", "100000")
        assert writer.stdout is not None
        acknowledged.append(writer.stdout.readline().strip())
        threading.Event().wait(0.003 * number)
        writer.kill()
        acknowledged += writer.communicate()[0].split()
    assert len(acknowledged) > 20
    with open_book(path) as book:
        kept = [str(entry_id) for entry_id in book.ledger.entries]
    assert set(acknowledged) <= set(kept)
    assert len(kept) == len(set(kept))
    report = check.check_book(path)
    assert report.problems == []
