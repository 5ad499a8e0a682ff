"""Backups: whole, dated, thinned out, and the way back."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from book_builders import (
    NOW,
    SHELL,
    a_coat,
    an_entry,
    at,
    by_hand,
    digest_of,
    full_book,
    new_book,
)

from shellcoat.book import Book, open_book
from shellcoat.book.backup import (
    back_up,
    backup_folder,
    backups,
    due_for_backup,
    prune,
    restore,
    to_keep,
)
from shellcoat.book.faults import (
    BookInUseError,
    DamagedBookError,
    NotABookError,
    NotSavedError,
)
from shellcoat.book.lock import lock_path


@pytest.fixture
def folder(path: Path) -> Path:
    return backup_folder(path)


def test_a_backup_is_the_whole_book_under_a_dated_name(told_book: Book, folder: Path) -> None:
    berlin = datetime(2026, 3, 2, 15, 15, tzinfo=timezone(timedelta(hours=1)))
    copy = back_up(told_book, folder, berlin)
    assert copy.name == "heron yard 2026-03-02 141500Z.shellbook"
    assert copy.parent.name == "heron yard backups"
    with open_book(copy, read_only=True) as found:
        assert found.ledger == told_book.ledger
        assert found.head == told_book.head
        assert found.id == told_book.id


def test_a_backup_leaves_nothing_but_itself(told_book: Book, folder: Path) -> None:
    copy = back_up(told_book, folder, NOW)
    assert list(folder.iterdir()) == [copy]


def test_two_backups_in_one_second_are_two(told_book: Book, folder: Path) -> None:
    first, second = back_up(told_book, folder, NOW), back_up(told_book, folder, NOW)
    assert first != second
    assert {copy.path for copy in backups(folder)} == {first, second}


def test_a_backup_is_as_the_book_was_at_that_moment(book: Book, folder: Path) -> None:
    back_up(book, folder, NOW)
    book.append([an_entry(a_coat(1))])
    back_up(book, folder, at(1))
    found = backups(folder)
    assert [(copy.made_at, copy.entries, copy.book_name) for copy in found] == [
        (at(1), 5, "heron yard"),
        (NOW, 4, "heron yard"),
    ]
    assert all(copy.size_bytes == copy.path.stat().st_size for copy in found)


def test_a_backup_that_cannot_be_made_says_so(book: Book, path: Path) -> None:
    blocked = path.with_name("not a folder")
    blocked.write_text("a file is in the way")
    with pytest.raises(NotSavedError):
        back_up(book, blocked / "backups", NOW)


def test_what_is_no_sound_backup_is_not_listed(book: Book, folder: Path) -> None:
    copy = back_up(book, folder, NOW)
    (folder / "heron yard 2026-01-01 000000Z.shellbook").write_text("cut off")
    (folder / "heron yard.shellbook").write_bytes(copy.read_bytes())
    (folder / "notes.txt").write_text("hello")
    assert [found.path for found in backups(folder)] == [copy]
    assert backups(folder / "nowhere") == []


def test_a_backup_is_due_when_the_last_is_old_and_something_is_new(
    book: Book, folder: Path
) -> None:
    assert due_for_backup(book, folder, NOW)
    back_up(book, folder, NOW)
    assert not due_for_backup(book, folder, at(100))  # nothing has come since
    book.append([an_entry(a_coat(1))])
    assert not due_for_backup(book, folder, at(3.9))
    assert due_for_backup(book, folder, at(4))
    assert due_for_backup(book, folder, at(-100))  # the clock was put back


def test_the_copies_of_another_book_do_not_count(book: Book, folder: Path, path: Path) -> None:
    with new_book(path.with_name("other.shellbook")) as other:
        back_up(other, folder, NOW)
        other_copy = back_up(other, folder, at(-2))
    assert due_for_backup(book, folder, NOW)
    own = [back_up(book, folder, at(hours)) for hours in (-1, -30, -31)]
    assert prune(folder, NOW) == [own[2]]
    assert other_copy.exists()


HOURLY = [at(-number) for number in range(24 * 400)]


def test_the_rule_for_an_hourly_backup() -> None:
    kept = to_keep(HOURLY, NOW)
    today = [moment for moment in kept if moment > at(-10)]
    assert len(today) == 10
    days = {moment.date() for moment in kept if moment >= NOW - timedelta(days=30)}
    assert len(days) == 31
    weeks = {moment.isocalendar()[:2] for moment in kept}
    assert len(weeks) == 54  # a year reaches into as many, from a Monday back to a Sunday
    # The last ten hours, which take in the end of yesterday; one each of the 29 days before;
    # one each of the 48 weeks of which no day is kept already.
    assert len(kept) == 10 + 29 + 48
    assert min(kept) >= NOW - timedelta(days=365)


def test_the_last_of_each_day_stays() -> None:
    day = [datetime(2026, 2, 20, hour, tzinfo=UTC) for hour in (6, 12, 23)]
    newer = [datetime(2026, 2, 21, 5, tzinfo=UTC)]
    assert to_keep(day + newer, NOW) == {day[-1], newer[0]}


def test_the_newest_stays_however_old_and_the_future_is_not_touched() -> None:
    assert to_keep([at(-24 * 900), at(-24 * 800)], NOW) == {at(-24 * 800)}
    assert to_keep([at(50), at(60)], NOW) == {at(50), at(60)}
    assert to_keep([], NOW) == set()


def test_pruning_again_changes_nothing() -> None:
    kept = to_keep(HOURLY, NOW)
    assert to_keep(kept, NOW) == kept


def test_pruning_as_the_days_go_by_keeps_what_pruning_once_would() -> None:
    """Backups come twice a day and are pruned each time; a year on, the rule still holds."""
    kept: set[datetime] = set()
    moment = NOW
    for number in range(2 * 380):
        moment = NOW + timedelta(hours=12 * number)
        kept = to_keep(kept | {moment}, moment)
    assert len({one.date() for one in kept if one >= moment - timedelta(days=30)}) == 31
    assert len({one.isocalendar()[:2] for one in kept}) >= 52
    assert len(kept) < 100


def test_prune_removes_the_files_the_rule_lets_go(book: Book, folder: Path) -> None:
    moments = [at(-hours) for hours in (1, 30, 31, 32, 24 * 500)]
    copies = [back_up(book, folder, moment) for moment in moments]
    assert set(prune(folder, NOW)) == {copies[2], copies[3], copies[4]}
    assert {copy.path for copy in backups(folder)} == {copies[0], copies[1]}


def test_restoring_keeps_what_was_there(book: Book, path: Path, folder: Path) -> None:
    copy = back_up(book, folder, NOW)
    book.append([an_entry(a_coat(1))])
    later = book.ledger
    book.close()
    kept = restore(copy, path, at(2))
    assert kept == path.with_name("heron yard before restoring 2026-03-02 100000Z.shellbook")
    with open_book(path) as restored, open_book(kept) as before:
        assert len(restored.ledger.entries) == 4
        assert before.ledger == later
        restored.append([an_entry(a_coat(2))])
    assert copy.exists()


def test_restoring_where_nothing_is_left(book: Book, path: Path, folder: Path) -> None:
    copy = back_up(book, folder, NOW)
    book.close()
    path.unlink()
    assert restore(copy, path, NOW) is None
    with open_book(path) as restored:
        assert len(restored.ledger.entries) == 4


def test_restoring_over_a_damaged_book_keeps_the_damaged_file(path: Path, folder: Path) -> None:
    with full_book(path) as book:
        copy = back_up(book, folder, NOW)
    path.write_bytes(path.read_bytes()[:5000])
    damaged = digest_of(path)
    kept = restore(copy, path, NOW)
    assert kept is not None
    assert digest_of(kept) == damaged
    with open_book(path) as restored:
        assert len(restored.ledger.coats(SHELL)) == 1


def test_what_a_killed_program_left_in_the_log_is_not_lost_by_restoring(
    book: Book, path: Path, folder: Path
) -> None:
    copy = back_up(book, folder, NOW)
    entry = an_entry(a_coat(1))
    book.append([entry])
    killed = path.with_name("killed.shellbook")
    for suffix in ("", "-wal", "-shm"):
        killed.with_name(killed.name + suffix).write_bytes(
            path.with_name(path.name + suffix).read_bytes()
        )
    kept = restore(copy, killed, NOW)
    assert kept is not None
    with open_book(kept) as before, open_book(killed) as restored:
        assert before.ledger.coats(SHELL) == (entry.record,)
        assert restored.ledger.coats(SHELL) == ()


def test_an_open_book_is_not_put_aside(book: Book, path: Path, folder: Path) -> None:
    copy = back_up(book, folder, NOW)
    entry = an_entry(a_coat(1))
    book.append([entry])
    with pytest.raises(BookInUseError, match="Close it there first"):
        restore(copy, path, NOW)
    book.append([an_entry(a_coat(2))])
    assert [file.name for file in path.parent.glob("*restoring*")] == []
    with open_book(path, read_only=True) as again:
        assert len(again.ledger.coats(SHELL)) == 2


def garble(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:6000])


def forget(path: Path) -> None:
    by_hand(path, "PRAGMA application_id = 0")


@pytest.mark.parametrize(("spoil", "error"), [(garble, DamagedBookError), (forget, NotABookError)])
def test_a_backup_that_is_not_sound_is_not_restored(
    book: Book, path: Path, folder: Path, spoil: Callable[[Path], None], error: type[Exception]
) -> None:
    copy = back_up(book, folder, NOW)
    book.close()
    before = digest_of(path)
    spoil(copy)
    with pytest.raises(error):
        restore(copy, path, NOW)
    assert digest_of(path) == before


def test_restoring_leaves_only_what_it_says(book: Book, path: Path, folder: Path) -> None:
    copy = back_up(book, folder, NOW)
    book.close()
    kept = restore(copy, path, NOW)
    assert kept is not None
    assert {*path.parent.iterdir()} == {path, kept, folder, lock_path(path)}
    with closing(sqlite3.connect(kept)) as connection:
        assert connection.execute("SELECT count(*) FROM entry").fetchone() == (4,)
