"""Imports into a book: once each, a chunk a time, stopped and taken up again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from logger_files import Dialect, Reading, some_readings
from numpy.typing import ArrayLike

from shellcoat import places
from shellcoat.book import ReadingColumns, create_book
from shellcoat.errors import MendableError
from shellcoat.feeds import import_report, reading_chunks
from shellcoat.feeds.errors import UnknownRoomError
from shellcoat.feeds.import_air import AirBook, ImportProgress, ImportReport, import_air
from shellcoat.feeds.logger_shape import inspect_file
from shellcoat.shop import Entry, Ledger, ReadingBatch, Room
from shellcoat.shop.checks import MissingTextError

NOW = datetime(2015, 3, 1, tzinfo=UTC)
DRYING_ROOM = Room(id=uuid4(), name="Drying room")
WAX_ROOM = Room(id=uuid4(), name="Wax room")


def rooms_entered() -> list[Entry]:
    return [
        Entry(id=uuid4(), recorded_at=NOW, who="Ines", record=room)
        for room in (DRYING_ROOM, WAX_ROOM)
    ]


@dataclass
class FakeBook:
    """Keeps readings in a dictionary, as a book would, and checks each batch against its head."""

    ledger: Ledger = field(default_factory=lambda: Ledger.of(rooms_entered()))
    kept: dict[UUID, dict[int, tuple[float, float]]] = field(default_factory=dict)

    def add_readings(
        self, entry: Entry, at_ms: ArrayLike, temp_c: ArrayLike, rh: ArrayLike
    ) -> None:
        assert isinstance(entry.record, ReadingBatch)
        columns = ReadingColumns.of(at_ms, temp_c, rh)
        columns.check_against(entry.record)
        self.ledger.apply(entry)
        room = self.kept.setdefault(entry.record.room_id, {})
        assert room.keys().isdisjoint(columns.at_ms.tolist())
        values = zip(columns.temp_c.tolist(), columns.rh.tolist(), strict=True)
        room.update(zip(columns.at_ms.tolist(), values, strict=True))

    def reading_times(self, room_id: UUID, first_ms: int, last_ms: int) -> set[int]:
        return {ms for ms in self.kept.get(room_id, {}) if first_ms <= ms <= last_ms}


@pytest.fixture(params=["fake", "real"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[AirBook]:
    if request.param == "fake":
        yield FakeBook()
        return
    with create_book(tmp_path / "shop.shellbook", rooms_entered(), now=NOW) as real:
        yield real


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


@pytest.fixture
def small_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten rows a chunk, so that small files have many."""
    plain = reading_chunks.read_chunks

    def read_small(*args: object, **named: object) -> Iterator[reading_chunks.ReadingChunk]:
        return plain(*args, **named, chunk_rows=10)  # type: ignore[arg-type]

    monkeypatch.setattr("shellcoat.feeds.import_air.read_chunks", read_small)


def run(
    book: AirBook,
    path: Path,
    *,
    room: Room = DRYING_ROOM,
    who: str = "Ines",
    stop: Callable[[], bool] = lambda: False,
    progress: Callable[[ImportProgress], None] = lambda _: None,
) -> ImportReport:
    return import_air(
        book,
        path,
        inspect_file(path),
        room.id,
        zone=ZoneInfo("UTC"),
        who=who,
        now=NOW,
        progress=progress,
        stop=stop,
    )


def times_in(book: AirBook, room: Room = DRYING_ROOM) -> list[int]:
    return sorted(book.reading_times(room.id, 0, 2**42))


def test_readings_come_in_under_one_import_with_their_source(
    book: AirBook, path: Path, small_chunks: None
) -> None:
    readings = some_readings(35)
    path.write_bytes(Dialect("").data(readings))
    report = run(book, path)
    assert (report.rows, report.imported, report.duplicates, report.stopped) == (35, 35, 0, False)
    assert (report.first_at, report.last_at) == (readings[0].at, readings[-1].at)
    assert times_in(book) == [reading.at_ms for reading in readings]
    batches = book.ledger.batches
    assert len({batch.import_id for batch in batches}) == 1
    assert {batch.source_name for batch in batches} == {"log.csv"}
    assert sum(batch.count for batch in batches) == 35
    assert len(batches) == 4


def test_values_reach_the_book_unchanged(path: Path) -> None:
    book = FakeBook()
    readings = some_readings(35)
    path.write_bytes(Dialect("").data(readings))
    run(book, path)
    kept = book.kept[DRYING_ROOM.id]
    assert kept == {r.at_ms: (r.temp_c, r.percent / 100) for r in readings}


def test_importing_again_brings_nothing_new(book: AirBook, path: Path, small_chunks: None) -> None:
    path.write_bytes(Dialect("").data(some_readings(35)))
    run(book, path)
    again = run(book, path)
    assert (again.rows, again.imported, again.duplicates) == (35, 0, 35)
    assert len(book.ledger.batches) == 4
    assert "reading of that time: 35." in " ".join(again.summary())


def test_longer_export_of_the_same_logger_brings_only_the_rest(
    book: AirBook, path: Path, small_chunks: None
) -> None:
    path.write_bytes(Dialect("").data(some_readings(25)))
    run(book, path)
    path.write_bytes(Dialect("").data(some_readings(60)))
    report = run(book, path)
    assert (report.imported, report.duplicates) == (35, 25)
    assert times_in(book) == [reading.at_ms for reading in some_readings(60)]


def test_rooms_do_not_share_readings(book: AirBook, path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings(35)))
    run(book, path)
    assert run(book, path, room=WAX_ROOM).imported == 35
    assert times_in(book, WAX_ROOM) == times_in(book)


def test_first_of_two_rows_of_one_time_counts(path: Path, small_chunks: None) -> None:
    book = FakeBook()
    readings = some_readings(12)
    later = [Reading(r.at, r.temp_c + 1, r.percent) for r in readings]
    # One row comes again in its own chunk, all of them in later ones.
    path.write_bytes(Dialect("").data([readings[0], later[0], *readings[1:], *later]))
    report = run(book, path)
    assert (report.imported, report.duplicates) == (12, 13)
    assert [value[0] for value in book.kept[DRYING_ROOM.id].values()] == [
        r.temp_c for r in readings
    ]


@pytest.mark.parametrize("order", ["newest first", "shuffled"])
def test_any_order_of_rows_comes_in(
    book: AirBook, path: Path, small_chunks: None, order: str
) -> None:
    readings = some_readings(60)
    rows = readings[::-1] if order == "newest first" else readings[::2] + readings[1::2]
    path.write_bytes(Dialect("").data(rows))
    assert run(book, path).imported == 60
    assert times_in(book) == [reading.at_ms for reading in readings]


def test_stop_keeps_what_is_in_and_the_next_import_goes_on(
    book: AirBook, path: Path, small_chunks: None
) -> None:
    path.write_bytes(Dialect("").data(some_readings(95)))
    asked = iter([False, False, False, True])
    report = run(book, path, stop=lambda: next(asked))
    assert report.stopped
    assert report.imported == 29  # three chunks of ten lines, the first with the names
    assert len(times_in(book)) == 29
    assert "import the file again" in report.summary()[-1]
    rest = run(book, path)
    assert (rest.imported, rest.duplicates, rest.stopped) == (66, 29, False)
    assert times_in(book) == [reading.at_ms for reading in some_readings(95)]


def test_a_dip_can_be_logged_between_two_chunks(path: Path, small_chunks: None) -> None:
    book = FakeBook()
    path.write_bytes(Dialect("").data(some_readings(35)))
    seen: list[int] = []

    def log_a_room(_: ImportProgress) -> None:
        entry = Entry(id=uuid4(), recorded_at=NOW, who="Ola", record=Room(id=uuid4(), name="Bay"))
        book.ledger.apply(entry)
        seen.append(len(times_in(book)))

    run(book, path, progress=log_a_room)
    assert seen == [9, 19, 29, 35]
    assert len(book.ledger.rooms) == 6


def test_progress_only_rises_and_ends_at_the_whole_file(path: Path) -> None:
    start = datetime(2015, 1, 1, tzinfo=UTC)
    readings = [Reading(start + timedelta(minutes=i), 20.0, 50.0) for i in range(70_000)]
    path.write_bytes(Dialect("").data(readings))
    steps: list[ImportProgress] = []
    run(FakeBook(), path, progress=steps.append)
    assert len(steps) == 4
    for before, after in pairwise(steps):
        assert before.fraction <= after.fraction
        assert before.rows < after.rows
        assert before.imported < after.imported
    assert steps[-1].fraction == 1.0
    assert steps[-1].rows == 70_000


def test_report_tells_bad_aside_and_clamped_rows(book: AirBook, path: Path) -> None:
    lines = Dialect("").text(some_readings(30)).splitlines()
    lines[5:5] = [
        "2015-02-09 18:00:00,off,45",
        "2015-02-09 18:00:01,85,45",
        "2015-02-09 18:00:02,20,101",
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    report = run(book, path)
    assert (report.rows, report.imported) == (33, 31)
    assert (report.bad_count, report.aside_count, report.clamped) == (1, 1, 1)
    assert (report.bad[0].line, report.aside[0].line) == (6, 7)
    told = " ".join(report.summary())
    assert "33 rows read, 31 readings taken in" in told
    assert "first on line 6: the temperature is not a number" in told


def test_only_the_first_thousand_bad_rows_are_kept_but_all_counted(path: Path) -> None:
    lines = Dialect("").text(some_readings(30)).splitlines() + ["2015-02-09 18:00:00,x,1"] * 2500
    path.write_text("\n".join(lines), encoding="utf-8")
    report = run(FakeBook(), path)
    assert report.bad_count == 2500
    assert [bad.line for bad in report.bad] == list(range(32, 1032))


@pytest.mark.parametrize("newest_first", [False, True])
def test_gaps_are_told_also_between_chunks(
    path: Path, small_chunks: None, newest_first: bool
) -> None:
    start = datetime(2015, 2, 9, tzinfo=UTC)
    # Ten minutes apart; nothing from minute 50 to 250 and from 350 to 420; 30 more is no gap.
    minutes = [*range(0, 60, 10), *range(250, 360, 10), *range(420, 500, 10), 520, 530]
    readings = [Reading(start + timedelta(minutes=m), 20.0, 50.0) for m in minutes]
    path.write_bytes(Dialect("").data(readings[::-1] if newest_first else readings))
    report = run(FakeBook(), path)
    spans = sorted(((gap.start - start), (gap.end - start)) for gap in report.gaps)
    assert spans == [
        (timedelta(minutes=50), timedelta(minutes=250)),
        (timedelta(minutes=350), timedelta(minutes=420)),
    ]
    assert report.gap_count == 2
    assert "the longest from 2015-02-09 00:50 to 2015-02-09 04:10 UTC" in " ".join(report.summary())


def test_file_of_bad_rows_brings_nothing_and_says_so(book: AirBook, path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings(5)))
    shape = inspect_file(path)
    path.write_text("Time,Temperature (°C),Humidity (%)\nx,y,z\n", encoding="utf-8")
    report = import_air(
        book,
        path,
        shape,
        DRYING_ROOM.id,
        zone=UTC,
        who="Ines",
        now=NOW,
        progress=lambda _: None,
        stop=lambda: False,
    )
    assert (report.rows, report.imported, report.first_at) == (1, 0, None)
    assert "No reading was understood." in report.summary()
    assert book.ledger.batches == []


def test_unknown_room_and_nameless_person_are_refused(book: AirBook, path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings(5)))
    with pytest.raises(UnknownRoomError, match="room") as caught:
        run(book, path, room=Room(id=uuid4(), name="Nowhere"))
    assert isinstance(caught.value, MendableError)
    with pytest.raises(MissingTextError):
        run(book, path, who=" ")
    assert book.ledger.batches == []


def test_file_name_the_book_cannot_keep_is_made_plain(book: AirBook, tmp_path: Path) -> None:
    path = tmp_path / "log\t\udc80.csv"
    try:
        path.write_bytes(Dialect("").data(some_readings(5)))
    except OSError:
        pytest.skip("this system has no such file names")
    run(book, path)
    assert book.ledger.batches[0].source_name == "log??.csv"


def test_the_office_log_comes_in_whole(book: AirBook) -> None:
    log = places.demos_dir() / "air_logs" / "office_air_2015-02.csv"
    report = run(book, log)
    assert (report.imported, report.duplicates, report.bad_count) == (8143, 0, 0)
    assert report.gap_count == 0
    (batch,) = book.ledger.batches
    assert batch.count == 8143


def test_spans_of_chunks_join_in_the_tally() -> None:
    tally = import_report.ImportTally("log.csv", 60_000)
    for first in (0, 6_000_000, 3_000_000):
        tally.add_times(np.array([first, first + 60_000], np.int64))
    assert tally.span_ms == (0, 6_060_000)
