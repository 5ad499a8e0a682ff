"""Logger readings: in as columns, out as columns, bit by bit the same."""

from __future__ import annotations

import hashlib
import math
import struct
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import numpy as np
import pytest
from book_builders import (
    MINUTE,
    NOW,
    NOW_MS,
    ROOM,
    a_batch,
    a_reading,
    a_withdrawal,
    an_entry,
    an_id,
    at,
    keep_readings,
    some_columns,
)
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.book import Book, ReadingColumns, open_book
from shellcoat.book.check import check_book
from shellcoat.book.faults import ReadingsError
from shellcoat.book.readings import ROWS_AT_ONCE
from shellcoat.shop import AirAtDip, Entry, ReadingBatch

OTHER_ROOM = an_id("other room")


def everything(book: Book, room_id: object = ROOM) -> list[tuple[int, float, float]]:
    found = book.readings(room_id, at(-1000), at(1000))
    return list(zip(found.at_ms.tolist(), found.temp_c.tolist(), found.rh.tolist(), strict=True))


def as_rows(columns: ReadingColumns) -> list[tuple[int, float, float]]:
    return list(
        zip(columns.at_ms.tolist(), columns.temp_c.tolist(), columns.rh.tolist(), strict=True)
    )


def test_readings_come_back_bit_by_bit(book: Book, path: Path) -> None:
    columns = some_columns(500)
    keep_readings(book, a_batch(columns), columns)
    book.close()
    with open_book(path) as again:
        found = again.readings(ROOM, at(-1), at(1000))
    assert found.at_ms.dtype == np.int64
    for name in ("at_ms", "temp_c", "rh"):
        assert getattr(found, name).tobytes() == getattr(columns, name).tobytes()


@pytest.mark.parametrize(
    "count",
    [1, ROWS_AT_ONCE - 1, ROWS_AT_ONCE, ROWS_AT_ONCE + 1, 2 * ROWS_AT_ONCE, 3 * ROWS_AT_ONCE - 1],
)
def test_no_reading_is_lost_where_one_statement_ends(book: Book, path: Path, count: int) -> None:
    columns = some_columns(count)
    keep_readings(book, a_batch(columns), columns)
    assert everything(book) == as_rows(columns)
    book.close()
    report = check_book(path)
    assert (report.problems, report.readings) == ([], count)


@given(
    st.lists(
        st.tuples(st.integers(1, 10_000), st.floats(-30, 70), st.floats(0, 1)),
        min_size=1,
        max_size=20,
    )
)
def test_the_digest_is_that_of_the_packed_columns(rows: list[tuple[int, float, float]]) -> None:
    at_ms = np.cumsum([NOW_MS] + [row[0] for row in rows[1:]]).tolist()
    columns = ReadingColumns.of(at_ms, [r[1] for r in rows], [r[2] for r in rows])
    # Packed by the standard library, little-endian; minus zero counts as zero.
    packed = b"".join(struct.pack("<q", moment) for moment in at_ms)
    packed += b"".join(struct.pack("<d", row[1] or 0.0) for row in rows)
    packed += b"".join(struct.pack("<d", row[2] or 0.0) for row in rows)
    assert columns.digest == hashlib.sha256(packed).hexdigest()


def test_minus_zero_survives_as_zero(book: Book) -> None:
    columns = ReadingColumns.of([NOW_MS], [-0.0], [-0.0])
    keep_readings(book, a_batch(columns), columns)
    ((_, temp_c, rh),) = everything(book)
    assert (math.copysign(1, temp_c), math.copysign(1, rh)) == (1, 1)


def test_typed_and_logged_readings_are_one_run(book: Book) -> None:
    columns = some_columns(3)
    typed = an_entry(a_reading(0.025, temp_c=19.0, rh=0.45))  # 90 s, between two logged ones
    keep_readings(book, a_batch(columns), columns)
    book.append([typed])
    rows = as_rows(columns)
    assert everything(book) == [*rows[:2], (NOW_MS + 90_000, 19.0, 0.45), rows[2]]


def test_batches_are_merged_by_time_whatever_their_order(book: Book) -> None:
    late, early = some_columns(3, NOW_MS + 10 * MINUTE), some_columns(3, NOW_MS)
    keep_readings(book, a_batch(late), late)
    keep_readings(book, a_batch(early), early)
    assert everything(book) == as_rows(early) + as_rows(late)


def test_at_one_instant_the_typed_reading_counts_else_the_one_entered_last(book: Book) -> None:
    first = ReadingColumns.of([NOW_MS, NOW_MS + MINUTE], [20.0, 20.0], [0.5, 0.5])
    second = ReadingColumns.of([NOW_MS, NOW_MS + MINUTE], [21.0, 21.0], [0.5, 0.5])
    book.append([an_entry(a_reading(0, temp_c=18.0))])
    keep_readings(book, a_batch(first), first)
    keep_readings(book, a_batch(second), second)
    assert [row[1] for row in everything(book)] == [18.0, 21.0]


def test_a_corrected_batch_counts_as_entered_when_it_was_corrected(book: Book) -> None:
    columns, other = (ReadingColumns.of([NOW_MS], [temp_c], [0.5]) for temp_c in (20.0, 21.0))
    first = a_batch(columns)
    keep_readings(book, first, columns)
    keep_readings(book, a_batch(other), other)
    better = ReadingColumns.of([NOW_MS], [22.0], [0.5])
    head = replace(a_batch(better).record, id=first.record.id)
    keep_readings(book, an_entry(head, 1, replaces=first.id), better)
    assert [row[1] for row in everything(book)] == [22.0]


def test_a_batch_taken_back_is_gone_from_the_readings(book: Book, path: Path) -> None:
    columns, other = some_columns(5), some_columns(5, NOW_MS + 100 * MINUTE)
    batch = a_batch(columns)
    keep_readings(book, batch, columns)
    keep_readings(book, a_batch(other), other)
    book.append([a_withdrawal(batch, 1)])
    assert everything(book) == as_rows(other)
    with open_book(path, read_only=True) as again:
        assert everything(again) == as_rows(other)


def test_a_batch_can_be_moved_to_another_room(book: Book) -> None:
    columns = some_columns(5)
    batch = a_batch(columns)
    keep_readings(book, batch, columns)
    moved = replace(batch.record, room_id=OTHER_ROOM)
    keep_readings(book, an_entry(moved, 1, replaces=batch.id, reason="Wrong room"), columns)
    assert everything(book) == []
    assert everything(book, OTHER_ROOM) == as_rows(columns)


def test_a_span_takes_in_both_its_ends(book: Book) -> None:
    columns = some_columns(10)
    keep_readings(book, a_batch(columns), columns)
    book.append([an_entry(a_reading(-1))])
    first, last = NOW + timedelta(minutes=2), NOW + timedelta(minutes=5)
    assert book.readings(ROOM, first, last).at_ms.tolist() == [
        NOW_MS + minute * MINUTE for minute in (2, 3, 4, 5)
    ]


def test_a_room_without_readings_gives_empty_columns(book: Book) -> None:
    found = book.readings(uuid4(), at(0), at(1))
    assert len(found) == 0
    assert found.temp_c.dtype == np.float64
    assert book.last_reading(uuid4()) is None


def test_the_last_reading_is_the_latest_typed_or_logged(book: Book) -> None:
    columns = some_columns(3)
    keep_readings(book, a_batch(columns), columns)
    expected = AirAtDip(
        temp_c=columns.temp_c[-1], rh=columns.rh[-1], read_at=NOW + timedelta(minutes=2)
    )
    assert book.last_reading(ROOM) == expected
    typed = an_entry(a_reading(1, temp_c=17.5, rh=0.61))
    book.append([typed])
    assert book.last_reading(ROOM) == AirAtDip(temp_c=17.5, rh=0.61, read_at=at(1))
    book.append([a_withdrawal(typed)])
    assert book.last_reading(ROOM) == expected


def test_the_times_known_already(book: Book) -> None:
    columns = some_columns(5)
    keep_readings(book, a_batch(columns), columns)
    book.append([an_entry(a_reading(0.1))])
    times = book.reading_times(ROOM, NOW_MS + MINUTE, NOW_MS + 7 * MINUTE)
    assert times == {NOW_MS + MINUTE * minute for minute in (1, 2, 3, 4, 6)}


def test_the_same_batch_twice_is_as_good_as_once(book: Book) -> None:
    columns = some_columns(5)
    batch = a_batch(columns)
    keep_readings(book, batch, columns)
    keep_readings(book, batch, columns)
    assert everything(book) == as_rows(columns)


@pytest.mark.parametrize(
    ("at_ms", "temp_c", "rh", "named"),
    [
        ([], [], [], "no readings"),
        ([1], [20.0, 21.0], [0.5], "differ in number"),
        ([2, 1], [20.0, 20.0], [0.5, 0.5], "Reading 2 is not later"),
        ([1, 1], [20.0, 20.0], [0.5, 0.5], "Reading 2 is not later"),
        ([1, 2], [20.0, math.nan], [0.5, 0.5], "Reading 2 has the temperature nan"),
        ([1, 2], [20.0, math.inf], [0.5, 0.5], "Reading 2 has the temperature inf"),
        ([1, 2], [71.0, 20.0], [0.5, 0.5], "Reading 1 has the temperature 71"),
        ([1, 2], [20.0, 20.0], [0.5, 50.0], "Reading 2 has the relative humidity 50"),
        ([-(10**15)], [20.0], [0.5], "Reading 1 has the time"),
    ],
)
def test_impossible_readings_are_refused_by_number(
    at_ms: list[int], temp_c: list[float], rh: list[float], named: str
) -> None:
    with pytest.raises(ReadingsError, match=named):
        ReadingColumns.of(at_ms, temp_c, rh).check()


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"count": 4}, "number"),
        ({"first_at": at(-1)}, "first time"),
        ({"last_at": at(9)}, "last time"),
        ({"digest": "0" * 64}, "digest"),
    ],
)
def test_readings_must_be_those_their_batch_vouches_for(
    book: Book, changes: dict[str, object], named: str
) -> None:
    columns = some_columns(5)
    batch = a_batch(columns)
    false: Entry = replace(batch, record=replace(batch.record, **changes))
    with pytest.raises(ReadingsError, match=f"The readings' {named} is"):
        keep_readings(book, false, columns)
    assert everything(book) == []


def test_readings_do_not_go_under_another_record(book: Book) -> None:
    with pytest.raises(ReadingsError, match="belong to a batch"):
        keep_readings(book, an_entry(a_reading(1)), some_columns())


def test_a_head_tells_of_its_readings() -> None:
    head = a_batch(some_columns(4)).record
    assert isinstance(head, ReadingBatch)
    assert (head.count, head.first_at, head.last_at) == (4, NOW, NOW + timedelta(minutes=3))
