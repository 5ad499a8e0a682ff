"""The thorough check: it finds what was changed behind the book's back, and says where."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from book_builders import by_hand, digest_of, full_book

from shellcoat.book.check import check_book
from shellcoat.book.faults import NoBookError, NotABookError

UNGUARD = [
    "DROP TRIGGER entry_no_update",
    "DROP TRIGGER entry_no_delete",
    "DROP TRIGGER air_reading_no_update",
    "DROP TRIGGER air_reading_no_delete",
    "DROP TRIGGER air_reading_sealed",
]


@pytest.fixture
def closed(path: Path) -> Path:
    full_book(path).close()
    return path


def test_a_sound_book(closed: Path) -> None:
    before = digest_of(closed)
    report = check_book(closed)
    assert report.problems == []
    assert report.sound
    assert (report.entries, report.readings) == (10, 50)
    assert digest_of(closed) == before


def test_the_head_is_that_of_the_book(path: Path) -> None:
    with full_book(path) as book:
        assert check_book(path).head == book.head


def test_the_chain_can_be_followed_with_other_tools(closed: Path) -> None:
    """SHA-256 over the hash before and the JSON of the other columns, keys sorted, no blanks."""
    with closing(sqlite3.connect(closed)) as connection:
        connection.row_factory = sqlite3.Row
        (book_id,) = connection.execute("SELECT book_id FROM book_meta").fetchone()
        rows = [dict(row) for row in connection.execute("SELECT * FROM entry ORDER BY seq")]
    previous = hashlib.sha256(book_id.encode()).hexdigest()
    assert len(rows) == 10
    for row in rows:
        told, told_previous = row.pop("hash"), row.pop("previous_hash")
        text = json.dumps(row, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        assert told_previous == previous
        previous = hashlib.sha256((previous + text).encode()).hexdigest()
        assert told == previous


@pytest.mark.parametrize(
    ("tampering", "named"),
    [
        ("UPDATE entry SET who = 'Mallory' WHERE seq = 6", "entry 6: was changed"),
        ("UPDATE entry SET recorded_at = recorded_at + 1 WHERE seq = 7", "entry 7: was changed"),
        ("UPDATE entry SET body = replace(body, '21.5', '21.6') WHERE seq = 5", "entry 5: was"),
        ("UPDATE entry SET slot = NULL WHERE seq = 5", "entry 5: was changed"),
        ("UPDATE entry SET reason = '' WHERE seq = 7", "entry 7: was changed"),
        ("UPDATE entry SET station = 'x' WHERE seq = 7", "entry 7: was changed"),
        ("UPDATE entry SET previous_hash = hash WHERE seq = 7", "entry 7: was changed"),
        ("DELETE FROM entry WHERE seq = 9", "entry 9: is missing"),
        ("UPDATE air_reading SET temp_c = temp_c + 0.1", "entry 10: The readings' digest"),
        ("DELETE FROM air_reading", "entry 10: There are no readings"),
        ("DELETE FROM air_reading", "0 readings are kept, but the batches speak of 50"),
        ("INSERT INTO air_reading VALUES (9, 5, 20.0, 0.5)", "51 readings are kept, but"),
        ("INSERT INTO air_reading VALUES (99, 5, 20.0, 0.5)", "a row of air_reading refers"),
        ("UPDATE entry SET kind = 'kiln' WHERE seq = 9", "entry 9: cannot be read"),
        ("UPDATE entry SET body = '{' WHERE seq = 9", "entry 9: cannot be read"),
        ("UPDATE entry SET replaces = NULL WHERE seq = 7", "entry 7: This record is in the book"),
    ],
)
def test_tampering_is_found_and_named(closed: Path, tampering: str, named: str) -> None:
    by_hand(closed, *UNGUARD, tampering)
    report = check_book(closed)
    assert not report.sound
    assert any(problem.startswith(named) for problem in report.problems), report.problems


def test_only_the_first_broken_link_is_named(closed: Path) -> None:
    by_hand(closed, *UNGUARD, "UPDATE entry SET who = 'Mallory'")
    changed = [problem for problem in check_book(closed).problems if "was changed" in problem]
    assert changed == ["entry 1: was changed after it was kept (its hash does not fit)"]


def test_missing_guards_are_named(closed: Path) -> None:
    by_hand(closed, "DROP TRIGGER entry_no_delete")
    assert check_book(closed).problems == ["guards against change are missing: entry_no_delete"]


@pytest.mark.parametrize("length", [4096 * 2, 4096 * 5 + 100])
def test_a_broken_file_is_reported_not_raised(closed: Path, length: int) -> None:
    closed.write_bytes(closed.read_bytes()[:length])
    report = check_book(closed)
    assert report.problems
    assert report.problems[0].startswith("file: ")


def test_what_is_no_book_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NoBookError):
        check_book(tmp_path / "nothing")
    (tmp_path / "x").write_text("hello")
    with pytest.raises(NotABookError):
        check_book(tmp_path / "x")
