"""An invented shop, moved to where its last days are today."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from book_builders import (
    MINUTE,
    NOW_MS,
    ROOM,
    SHELL,
    a_batch,
    a_coat,
    a_shell,
    an_entry,
    at,
    keep_readings,
    some_columns,
)

from shellcoat.book import Book, open_book
from shellcoat.book.check import check_book
from shellcoat.book.exchange import export_book, import_book
from shellcoat.shop import Coat

WEEKS = timedelta(weeks=5)


def later(moment: datetime) -> datetime:
    """Five weeks on, across the change to summer time."""
    return moment + WEEKS


@pytest.fixture
def document(told_book: Book, tmp_path: Path) -> Path:
    export_book(told_book, tmp_path / "story.json")
    return tmp_path / "story.json"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    return tmp_path / "demo.shellbook"


def test_every_time_moves_and_nothing_else(told_book: Book, document: Path, target: Path) -> None:
    import_book(document, target, shift=later)
    with open_book(target) as moved:
        assert moved.created_at == later(told_book.created_at)
        assert moved.id != told_book.id
        pairs = zip(moved.ledger.entries.values(), told_book.ledger.entries.values(), strict=True)
        for new, old in pairs:
            assert new.recorded_at == later(old.recorded_at)
            assert replace(new, recorded_at=old.recorded_at, record=old.record) == old
        (coat,), (old_coat,) = moved.ledger.coats(SHELL), told_book.ledger.coats(SHELL)
        assert coat.air is not None
        assert coat.air.read_at == later(old_coat.air.read_at)
        assert moved.ledger.shell(SHELL).started_at == later(a_shell().started_at)
        assert moved.ledger.shell(SHELL).sequence == told_book.ledger.shell(SHELL).sequence
        new, old = (book.readings(ROOM, at(-9), at(9999)) for book in (moved, told_book))
        assert (new.at_ms - old.at_ms == WEEKS // timedelta(milliseconds=1)).all()
        assert np.array_equal(new.temp_c, old.temp_c)
    assert check_book(target).sound


def test_the_shops_wall_clock_follows_the_season(document: Path, target: Path) -> None:
    """Madrid is one hour ahead of UTC on 2 March 2026 and two on 6 April."""
    import_book(document, target, shift=later)
    with open_book(target) as moved:
        (coat,) = moved.ledger.coats(SHELL)
        assert coat.utc_offset_min == 120
        offset = coat.dipped_at.astimezone(ZoneInfo("Europe/Madrid")).utcoffset()
        assert offset == timedelta(minutes=coat.utc_offset_min)


def test_a_clock_that_was_not_the_shops_stays(
    told_book: Book, tmp_path: Path, target: Path
) -> None:
    away = an_entry(a_coat(20, utc_offset_min=-300), 20)
    told_book.append([away])
    export_book(told_book, tmp_path / "away.json")
    import_book(tmp_path / "away.json", target, shift=later)
    with open_book(target) as moved:
        found = moved.ledger.entries[away.id].record
        assert isinstance(found, Coat)
        assert found.utc_offset_min == -300


def test_what_was_recorded_later_is_left_out(document: Path, target: Path) -> None:
    import_book(document, target, shift=later, until=later(at(8.5)))
    with open_book(target) as moved:
        # The undo at hour 9 and the logger batch at hour 10 are yet to come.
        assert len(moved.ledger.entries) == 8
        assert len(moved.ledger.coats(SHELL)) == 2
        assert moved.ledger.batches == []
    assert check_book(target).sound


def test_until_works_without_a_shift(told_book: Book, document: Path, target: Path) -> None:
    import_book(document, target, until=at(1))
    with open_book(target) as cut:
        assert len(cut.ledger.entries) == 5
        assert cut.created_at == told_book.created_at
        assert cut.id != told_book.id


def test_readings_after_the_end_are_left_out_of_their_batch(
    book: Book, tmp_path: Path, target: Path
) -> None:
    columns, future = some_columns(60), some_columns(10, NOW_MS + 90 * MINUTE)
    keep_readings(book, a_batch(columns, 0), columns)
    keep_readings(book, a_batch(future, 0), future)
    export_book(book, tmp_path / "air.json")
    import_book(tmp_path / "air.json", target, until=at(0.5))
    with open_book(target) as cut:
        assert len(cut.readings(ROOM, at(-9), at(99))) == 31
        (batch,) = cut.ledger.batches
        assert (batch.count, batch.last_at) == (31, at(0.5))
    assert check_book(target).sound


def test_what_hangs_on_something_left_out_goes_with_it(
    book: Book, tmp_path: Path, target: Path
) -> None:
    """Clocks that were wrong: later entries that claim to be older than what they build on."""
    shell = an_entry(a_shell("late"), 5)
    coat = an_entry(a_coat(1, shell_id=shell.record.id), 1)
    correction = an_entry(replace(coat.record, tank="B"), 2, replaces=coat.id)
    own = an_entry(a_coat(1), 1)
    book.append([shell, coat, correction, own])
    export_book(book, tmp_path / "x.json")
    import_book(tmp_path / "x.json", target, until=at(3))
    with open_book(target) as cut:
        assert set(cut.ledger.entries) & {e.id for e in (shell, coat, correction, own)} == {own.id}
    assert check_book(target).sound
