"""Reading chunks: good rows go in, every other row is reported by its line and reason."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logger_files import Dialect, some_readings

from shellcoat.feeds.errors import SpreadsheetGivenError
from shellcoat.feeds.logger_shape import inspect_file
from shellcoat.feeds.reading_chunks import ReadingChunk, read_chunks

HEAD = "Time,Temperature (°C),Humidity (%)\n"
NOW = datetime(2015, 3, 1, tzinfo=UTC)


def lines_of(count: int = 30) -> list[str]:
    return Dialect("").text(some_readings(count)).splitlines()


def read_with(
    path: Path, at: int, broken: str, *, chunk_rows: int = 1000, quoted: bool = False
) -> list[ReadingChunk]:
    """Put a row in front of the line `at`, counted from 1, and read the file."""
    lines = Dialect("", quoted=quoted).text(some_readings(30)).splitlines()
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    shape = inspect_file(path)
    lines.insert(at - 1, broken)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return list(read_chunks(path, shape, UTC, chunk_rows=chunk_rows, now=NOW))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


@pytest.mark.parametrize("quoted", [False, True])
@pytest.mark.parametrize("chunk_rows", [1000, 4])
@pytest.mark.parametrize(
    ("broken", "reason"),
    [
        ("2015-02-09 18:00:00,,45.0", "temperature is not a number"),
        ("2015-02-09 18:00:00,---,45.0", "temperature is not a number"),
        ("2015-02-09 18:00:00,1_8,45.0", "temperature is not a number"),
        ("2015-02-09 18:00:00,inf,45.0", "temperature is not a number"),
        ("2015-02-09 18:00:00,18.5,NaN", "humidity is not a number"),
        ("2015-02-30 18:00:00,18.5,45.0", "time cannot be read"),
        ("2015-02-09 25:00:00,18.5,45.0", "time cannot be read"),
        ("2015-02-09 18:61:00,18.5,45.0", "time cannot be read"),
        ("2015-02-09,18.5,45.0", "time cannot be read"),
        (",18.5,45.0", "time cannot be read"),
        ("2015-02-09 18:00:00 CET,18.5,45.0", "time cannot be read"),
        ("2015-02-09 18:00:00,18.5", "cut off"),
        ("2015-02-09 18:00:00,18.5,45.0,1", "4 cells where 3"),
        ("power failure", "cut off"),
        ("2015-02-09 18:00:00,18.5,4\x005.0", "humidity is not a number"),
    ],
)
def test_unreadable_row_is_reported_and_the_others_go_in(
    path: Path, broken: str, reason: str, chunk_rows: int, quoted: bool
) -> None:
    chunks = read_with(path, 11, broken, chunk_rows=chunk_rows, quoted=quoted)
    (bad,) = [row for chunk in chunks for row in chunk.bad]
    assert bad.line == 11
    assert reason in bad.reason
    assert bad.text == broken
    at_ms = [ms for chunk in chunks for ms in chunk.at_ms]
    assert at_ms == [reading.at_ms for reading in some_readings(30)]
    assert sum(chunk.rows for chunk in chunks) == 31


@pytest.mark.parametrize(
    ("broken", "reason"),
    [
        ("2015-02-09 18:00:00,70.1,45.0", "-30 to 70"),
        ("2015-02-09 18:00:00,-30.1,45.0", "-30 to 70"),
        ("2015-02-09 18:00:00,18.5,103.1", "0 to 103%"),
        ("2015-02-09 18:00:00,18.5,-0.1", "0 to 103%"),
        ("1989-12-31 23:59:59,18.5,45.0", "1990"),
        ("0001-01-01 00:00:00,18.5,45.0", "1990"),
        ("2015-03-02 00:00:01,18.5,45.0", "future"),
        ("9999-12-31 23:59:59,18.5,45.0", "future"),
    ],
)
def test_impossible_row_is_set_aside(path: Path, broken: str, reason: str) -> None:
    (chunk,) = read_with(path, 11, broken)
    (aside,) = chunk.aside
    assert (aside.line, aside.text) == (11, broken)
    assert reason in aside.reason
    assert chunk.bad == []
    assert len(chunk.at_ms) == 30


@pytest.mark.parametrize(
    "edge",
    [
        "2015-02-09 18:00:00,70,0",
        "2015-02-09 18:00:00,-30,100",
        "1990-01-01 00:00:00,18.5,45.0",
        "2015-03-02 00:00:00,18.5,45.0",
    ],
)
def test_values_at_the_edge_are_taken(path: Path, edge: str) -> None:
    (chunk,) = read_with(path, 11, edge)
    assert (len(chunk.at_ms), chunk.bad, chunk.aside, chunk.clamped) == (31, [], [], 0)


@pytest.mark.parametrize("percent", ["100.1", "103.0"])
def test_humidity_a_little_above_saturation_is_clamped_and_counted(
    path: Path, percent: str
) -> None:
    (chunk,) = read_with(path, 11, f"2015-02-09 18:00:00,18.5,{percent}")
    assert chunk.clamped == 1
    assert chunk.rh[9] == 1.0


@pytest.mark.parametrize(
    "passed", ["", " ", ",,", "# battery changed", "// note", "#,1,2", HEAD.strip()]
)
def test_blank_comment_and_repeated_header_are_no_rows(path: Path, passed: str) -> None:
    (chunk,) = read_with(path, 11, passed)
    assert (chunk.rows, chunk.bad, chunk.aside) == (30, [], [])


def test_cell_with_a_line_end_keeps_later_lines_numbered(path: Path) -> None:
    rows = [f'2015-02-09 18:{m:02}:00,18.5,45.0,"two\nlines"' for m in range(20)]
    path.write_text(f"Time,Temp °C,RH %,Note\n{chr(10).join(rows)}\n", encoding="utf-8")
    shape = inspect_file(path)
    (chunk,) = read_chunks(path, shape, UTC)
    assert len(chunk.at_ms) == 20
    rows[10] = '2015-02-09 18:10:00,off,45.0,"two\nlines"'
    path.write_text(f"Time,Temp °C,RH %,Note\n{chr(10).join(rows)}\n", encoding="utf-8")
    (chunk,) = read_chunks(path, shape, UTC)
    assert [bad.line for bad in chunk.bad] == [22]
    assert len(chunk.at_ms) == 19


def test_open_quote_costs_its_own_row_only(path: Path) -> None:
    (chunk,) = read_with(path, 11, '2015-02-09 18:00:00,"18.5,45.0')
    assert [bad.line for bad in chunk.bad] == [11]
    assert len(chunk.at_ms) == 30


def test_bytes_that_are_no_text_cost_one_row_only(path: Path) -> None:
    lines = [line.encode() for line in lines_of()]
    path.write_bytes(b"\n".join(lines))
    shape = inspect_file(path)
    lines[5] = b"2015-02-09 18:00:00,\xff\xfe,45"
    path.write_bytes(b"\n".join(lines))
    (chunk,) = read_chunks(path, shape, UTC)
    assert [bad.line for bad in chunk.bad] == [6]
    assert len(chunk.at_ms) == 29


def test_file_swapped_for_a_workbook_is_refused(path: Path) -> None:
    path.write_text("\n".join(lines_of()), encoding="utf-8")
    shape = inspect_file(path)
    path.write_bytes(b"PK\x03\x04" + bytes(50))
    with pytest.raises(SpreadsheetGivenError):
        read_chunks(path, shape, UTC)


def test_without_now_no_time_is_too_late(path: Path) -> None:
    path.write_text(HEAD + "2150-01-01 00:00,20,40\n2150-01-01 00:01,20,40\n", encoding="utf-8")
    (chunk,) = read_chunks(path, inspect_file(path), UTC)
    assert len(chunk.at_ms) == 2


def test_bytes_read_rise_to_the_size_of_the_file(path: Path) -> None:
    start = datetime(2015, 1, 1, tzinfo=UTC)
    rows = [f"{start + timedelta(minutes=i):%Y-%m-%d %H:%M},20.5,40.5" for i in range(60_000)]
    path.write_text(HEAD + "\n".join(rows), encoding="utf-8")
    shape = inspect_file(path)
    chunks = list(read_chunks(path, shape, UTC, chunk_rows=7000))
    done = [chunk.bytes_read for chunk in chunks]
    assert done == sorted(done)
    assert done[-1] == path.stat().st_size
    assert [len(chunk.at_ms) for chunk in chunks[:-1]] == [6999, *[7000] * 7]
    assert sum(len(chunk.at_ms) for chunk in chunks) == 60_000


@settings(max_examples=60, deadline=None)
@given(
    faulty=st.sets(st.integers(0, 39)),
    chunk_rows=st.integers(1, 50),
    quoted=st.booleans(),
    broken=st.sampled_from(["junk", '"x', "2015-02-09 18:00:00,x,1", "1,2,3,4,5", ",,x"]),
)
def test_bad_rows_never_cost_good_ones(
    tmp_path_factory: pytest.TempPathFactory,
    faulty: set[int],
    chunk_rows: int,
    quoted: bool,
    broken: str,
) -> None:
    path = tmp_path_factory.mktemp("bad") / "log.csv"
    readings = some_readings(40)
    lines = Dialect("", quoted=quoted).text(readings).splitlines()
    path.write_text("\n".join(lines), encoding="utf-8")
    shape = inspect_file(path)
    for row in faulty:
        lines[row + 1] = broken
    path.write_text("\n".join(lines), encoding="utf-8")
    chunks = list(read_chunks(path, shape, UTC, chunk_rows=chunk_rows))
    kept = [reading.at_ms for row, reading in enumerate(readings) if row not in faulty]
    assert [ms for chunk in chunks for ms in chunk.at_ms] == kept
    assert [bad.line for chunk in chunks for bad in chunk.bad] == [r + 2 for r in sorted(faulty)]


def test_fahrenheit_and_kelvin_at_their_fixed_points(path: Path) -> None:
    # 32 °F and 273.15 K are 0 °C by definition of the scales.
    for unit, cell in (("°F", "32"), ("K", "273.15")):
        path.write_text(
            f"Time,Temp ({unit}),RH %\n2015-02-09 18:00,{cell},40\n2015-02-09 18:01,{cell},40\n",
            encoding="utf-8",
        )
        (chunk,) = read_chunks(path, inspect_file(path), UTC)
        assert math.isclose(chunk.temp_c[0], 0.0, abs_tol=1e-12)


def test_decimal_mark_can_be_overridden(path: Path) -> None:
    path.write_text(
        "Time;T °C;RH %\n2015-02-09 18:00;20;40\n2015-02-09 18:01;20;40\n", encoding="utf-8"
    )
    shape = inspect_file(path)
    path.write_text("Time;T °C;RH %\n2015-02-09 18:00;20,5;40\n", encoding="utf-8")
    (chunk,) = read_chunks(path, replace(shape, decimal_mark="."), UTC)
    assert len(chunk.bad) == 1
    (chunk,) = read_chunks(path, replace(shape, decimal_mark=","), UTC)
    assert chunk.temp_c == [20.5]
