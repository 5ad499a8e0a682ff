"""Keeping entries: all or nothing, once, and told only when kept."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path
from uuid import uuid4

import pytest
from book_builders import (
    NOW,
    ROOM,
    SHELL,
    a_batch,
    a_coat,
    a_reading,
    a_shell,
    a_withdrawal,
    an_entry,
    at,
    opening_entries,
    some_columns,
)

from shellcoat.book import Book, create_book, journal, open_book
from shellcoat.book.book import branch
from shellcoat.book.chain import first_link
from shellcoat.book.faults import (
    ClosedBookError,
    EntryIdReusedError,
    ReadingsError,
    ReadOnlyBookError,
    SlotTakenError,
)
from shellcoat.shop import Coat, Entry, Ledger
from shellcoat.shop.checks import MissingTextError
from shellcoat.shop.ledger import AlreadyReplacedError, NoSuchEntryError


def test_a_coat_is_there_after_opening_again(book: Book, path: Path) -> None:
    entry = an_entry(a_coat(1), 1, station="Bench 2", reason="")
    book.append([entry])
    book.close()
    with open_book(path) as again:
        assert again.ledger.entries[entry.id] == entry
        assert again.ledger.coats(SHELL) == (entry.record,)
        assert (again.id, again.created_at, again.head) == (book.id, NOW, book.head)


def test_a_correction_and_an_undo_are_kept_beside_what_they_replace(book: Book, path: Path) -> None:
    coat = an_entry(a_coat(1), 1)
    better = an_entry(replace(coat.record, tank="B"), 2, replaces=coat.id, reason="Other tank")
    book.append([coat])
    book.append([better])
    book.append([a_withdrawal(better, 3)])
    book.close()
    with open_book(path) as again:
        assert again.ledger.coats(SHELL) == ()
        assert [entry.who for entry in again.ledger.history(coat.record.id)] == ["Ines"] * 3
        assert again.ledger == book.ledger


def test_entries_go_in_together_or_not_at_all(book: Book, path: Path) -> None:
    good, orphan = an_entry(a_coat(1), 1), an_entry(a_coat(1, shell_id=uuid4()), 1)
    before = len(book.ledger.entries)
    with pytest.raises(NoSuchEntryError):
        book.append([good, orphan])
    assert len(book.ledger.entries) == before
    with open_book(path, read_only=True) as again:
        assert len(again.ledger.entries) == before


def test_an_entry_may_build_on_one_before_it_in_the_same_append(book: Book) -> None:
    shell = a_shell("second")
    book.append([an_entry(shell), an_entry(a_coat(1, shell_id=shell.id))])
    assert len(book.ledger.coats(shell.id)) == 1


def test_appending_twice_is_as_good_as_once(book: Book, path: Path) -> None:
    entry = an_entry(a_coat(1), 1)
    told: list[Entry] = []
    book.listeners.append(told.extend)
    book.append([entry], slots={entry.id: "coat:1"})
    head = book.head
    book.append([entry], slots={entry.id: "coat:1"})
    book.append([entry, entry])
    assert book.head == head
    assert told == [entry]
    with open_book(path, read_only=True) as again:
        assert len(again.ledger.coats(SHELL)) == 1


def test_one_id_cannot_stand_for_two_entries(book: Book) -> None:
    entry = an_entry(a_coat(1), 1)
    book.append([entry])
    with pytest.raises(EntryIdReusedError, match=str(entry.id)):
        book.append([replace(entry, who="Olu")])
    fresh = an_entry(a_reading(1))
    with pytest.raises(EntryIdReusedError):
        book.append([fresh, replace(fresh, who="Olu")])


def test_a_double_dip_is_refused_with_the_first_one(book: Book) -> None:
    first, second = an_entry(a_coat(1), 1), an_entry(a_coat(1.01), 1)
    book.append([first], slots={first.id: f"coat:{SHELL}:1"})
    with pytest.raises(SlotTakenError, match="Ines has logged this already, at 2026-03-02 10:00"):
        book.append([second], slots={second.id: f"coat:{SHELL}:1"})
    with pytest.raises(SlotTakenError) as refused:
        book.append([second], slots={second.id: f"coat:{SHELL}:1"})
    assert refused.value.entry == first
    assert book.ledger.coats(SHELL) == (first.record,)


def test_a_double_dip_within_one_append_is_refused(book: Book) -> None:
    first, second = an_entry(a_coat(1), 1), an_entry(a_coat(2), 1)
    with pytest.raises(SlotTakenError):
        book.append([first, second], slots={first.id: "coat:1", second.id: "coat:1"})
    assert book.ledger.coats(SHELL) == ()


def test_the_second_to_correct_an_entry_is_told_who_was_first(book: Book) -> None:
    coat = an_entry(a_coat(1), 1)
    book.append([coat])
    book.append([an_entry(replace(coat.record, tank="A"), 2, replaces=coat.id)])
    with pytest.raises(AlreadyReplacedError, match="Ines has already changed"):
        book.append([an_entry(replace(coat.record, tank="B"), 2, replaces=coat.id)])


def test_listeners_hear_only_of_what_is_on_the_disk(book: Book, path: Path) -> None:
    seen: list[int] = []

    def look_at_the_file(entries: tuple[Entry, ...]) -> None:
        with open_book(path, read_only=True) as other:
            seen.append(sum(entry.id in other.ledger.entries for entry in entries))

    book.listeners.append(look_at_the_file)
    book.append([an_entry(a_reading(1)), an_entry(a_reading(2))])
    assert seen == [2]


def test_a_listener_that_fails_undoes_nothing_and_silences_nobody(book: Book) -> None:
    told: list[Entry] = []

    def fail(_: tuple[Entry, ...]) -> None:
        raise ZeroDivisionError

    book.listeners += [fail, told.extend]
    entry = an_entry(a_reading(1))
    with pytest.raises(ZeroDivisionError):
        book.append([entry])
    assert told == [entry]
    assert entry.id in book.ledger.entries


def test_a_listener_may_write(book: Book) -> None:
    def answer(entries: tuple[Entry, ...]) -> None:
        if isinstance(entries[0].record, Coat):
            book.append([an_entry(a_reading(5))])

    book.listeners.append(answer)
    book.append([an_entry(a_coat(1))])
    assert len(book.ledger.typed_readings) == 1


def test_listeners_are_called_in_their_order(book: Book) -> None:
    told: list[str] = []
    book.listeners += [lambda _: told.append("first"), lambda _: told.append("second")]
    book.append([an_entry(a_reading(1))])
    assert told == ["first", "second"]


def test_a_snapshot_never_changes(book: Book) -> None:
    before = book.snapshot()
    shells, coats = len(before.shells), before.coats(SHELL)
    book.append([an_entry(a_shell("next")), an_entry(a_coat(1))])
    assert (len(before.shells), before.coats(SHELL)) == (shells, coats)
    assert book.snapshot() == book.ledger
    assert book.snapshot() is book.snapshot()


def test_a_branch_copies_every_part_of_a_ledger() -> None:
    ledger = Ledger.of(opening_entries())
    ledger.apply(an_entry(a_coat(1)))
    copy = branch(ledger)
    assert copy == ledger
    for field in fields(Ledger):
        assert getattr(copy, field.name) is not getattr(ledger, field.name)
    copy.apply(an_entry(a_coat(2)))
    assert len(ledger.coats(SHELL)) == 1


def test_a_book_opened_to_read_refuses_to_write(book: Book, path: Path) -> None:
    with open_book(path, read_only=True) as reader:
        assert reader.read_only
        assert not book.read_only
        with pytest.raises(ReadOnlyBookError, match="opened to read only"):
            reader.append([an_entry(a_coat(1))])


def test_a_closed_book_says_so(book: Book) -> None:
    book.close()
    book.close()
    with pytest.raises(ClosedBookError, match="Open it again"):
        book.append([an_entry(a_coat(1))])
    with pytest.raises(ClosedBookError):
        book.readings(ROOM, at(0), at(1))


def test_what_writes_has_no_connection_of_its_own(book: Book) -> None:
    """Two connections that write one file could damage it, as SQLite says of its older releases."""
    book.append([an_entry(a_reading(1))])
    writing = book._file.writer().connection
    assert writing.connection.driver_connection is book._file.live()
    book._file.redial()
    book.append([an_entry(a_reading(2))])
    writing = book._file.writer().connection
    assert writing.connection.driver_connection is book._file.live()


def test_closing_leaves_one_single_file(book: Book, path: Path) -> None:
    book.append([an_entry(a_coat(1))])
    book.close()
    left = {file.name for file in path.parent.iterdir()}
    assert left == {path.name, path.name + ".lock"}


def test_a_batch_of_readings_does_not_go_in_without_them(book: Book) -> None:
    with pytest.raises(ReadingsError, match="without its readings"):
        book.append([a_batch(some_columns())])


@pytest.mark.parametrize("slot", ["", "  ", "x" * 201, "half \ud800"])
def test_a_slot_must_be_text_that_can_be_kept(book: Book, slot: str) -> None:
    entry = an_entry(a_coat(1))
    with pytest.raises(MissingTextError, match="Slot"):
        book.append([entry], slots={entry.id: slot})


def test_a_new_book_holds_its_first_entries(tmp_path: Path) -> None:
    entries = opening_entries()
    slots = {entries[0].id: "the shop"}
    with create_book(tmp_path / "a.shellbook", entries, now=NOW, slots=slots) as book:
        assert list(book.ledger.entries.values()) == entries
        again = an_entry(a_reading(1))
        with pytest.raises(SlotTakenError):
            book.append([again], slots={again.id: "the shop"})


def test_an_empty_book_can_be_made(tmp_path: Path) -> None:
    with create_book(tmp_path / "a.shellbook", now=NOW) as book:
        assert book.ledger == Ledger()
        assert book.head == first_link(book.id)


def test_no_two_books_are_the_same_book(tmp_path: Path) -> None:
    one_path, other_path = tmp_path / "a.shellbook", tmp_path / "b.shellbook"
    entries = opening_entries()
    with (
        create_book(one_path, entries, now=NOW) as one,
        create_book(other_path, entries, now=NOW) as other,
    ):
        assert one.id != other.id
        assert one.head != other.head


def test_many_entries_go_in_at_once(
    book: Book, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(journal, "MOST_AT_ONCE", 7)
    entries = [an_entry(a_reading(number)) for number in range(30)]
    book.append(entries, slots={entry.id: f"reading {entry.id}" for entry in entries})
    with open_book(path, read_only=True) as again:
        assert len(again.ledger.typed_readings) == 30
    late = an_entry(a_reading(31))
    with pytest.raises(SlotTakenError):
        book.append([late], slots={late.id: f"reading {entries[-1].id}"})
