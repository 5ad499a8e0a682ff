"""What is found out about a logger file by itself, what is asked, and what is refused."""

from __future__ import annotations

import io
import zipfile
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from logger_files import Dialect, Reading, formatted, some_readings, us_bare

from shellcoat.errors import MendableError
from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.errors import (
    EmptyFileError,
    FileTooLargeError,
    LoggerFileError,
    MissingQuantityError,
    NoReadingsError,
    NotATableError,
    NoTimeColumnError,
    NotTextError,
    OpenQuestionError,
    ShapeMismatchError,
    SpreadsheetGivenError,
    UnevenColumnsError,
    UnreadableFileError,
)
from shellcoat.feeds.logger_shape import describe, inspect_file
from shellcoat.feeds.reading_chunks import read_chunks
from shellcoat.feeds.wall_times import DateOrder

FIFTH = datetime(2015, 2, 5, 8, 0, tzinfo=UTC)


def written(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


def test_dew_point_wet_bulb_and_absolute_humidity_are_never_taken(path: Path) -> None:
    names = "Time,Dew Point °C,Wet Bulb Temp °C,Temp °C,Humidity Ratio,Abs. humidity g/m³,RH %"
    rows = "\n".join(f"2015-02-04 17:{m:02},5.1,10.2,20.3,0.0061,8.4,45.5" for m in range(20))
    shape = inspect_file(written(path, f"{names}\n{rows}\n"))
    assert (shape.temp_column, shape.humidity_column) == (3, 6)


def test_first_channel_is_taken_and_the_other_named(path: Path) -> None:
    names = "Time,Ch1 Temp °C,Ch1 RH %,Ch2 Temp °C,Ch2 RH %"
    rows = "\n".join(f"2015-02-04 17:{m:02},20.3,45.5,25.5,30.5" for m in range(20))
    shape = inspect_file(written(path, f"{names}\n{rows}\n"))
    assert (shape.temp_column, shape.humidity_column) == (1, 2)
    assert any("Ch2 Temp" in finding for finding in shape.findings)


@pytest.mark.parametrize(
    ("values", "unit"),
    [("20.5", TempUnit.CELSIUS), ("69.5", TempUnit.FAHRENHEIT), ("294.5", TempUnit.KELVIN)],
)
def test_unit_without_a_name_is_judged_by_values_and_told(
    path: Path, values: str, unit: TempUnit
) -> None:
    rows = "\n".join(f"2015-02-04 17:{m:02},{values},45.5" for m in range(20))
    shape = inspect_file(written(path, f"Time,Temperature,Humidity\n{rows}\n"))
    assert shape.temp_unit is unit
    assert any(unit.value in finding for finding in shape.findings)


def test_unit_that_could_be_either_is_asked(path: Path) -> None:
    rows = "\n".join(f"2015-02-04 17:{m:02},45.0,45.5" for m in range(20))
    shape = inspect_file(written(path, f"Time,Temperature,Humidity\n{rows}\n"))
    assert [question.field for question in shape.open_questions] == ["temp_unit"]
    with pytest.raises(OpenQuestionError, match="unit"):
        read_chunks(path, shape, UTC)
    celsius = replace(shape, temp_unit=TempUnit.CELSIUS)
    assert celsius.open_questions == ()
    assert next(read_chunks(path, celsius, UTC)).temp_c[0] == 45.0


def test_one_day_of_strokes_is_asked_and_either_answer_holds(path: Path) -> None:
    readings = some_readings(20, FIFTH)
    path.write_bytes(Dialect("", us_bare).data(readings))
    shape = inspect_file(path)
    (question,) = shape.open_questions
    assert {choice.value for choice in question.choices} == {
        DateOrder.DAY_FIRST,
        DateOrder.MONTH_FIRST,
    }
    assert shape.sample[0].at_ms is None
    assert any("Still to be answered" in line for line in describe(shape))
    american = replace(shape, date_order=DateOrder.MONTH_FIRST)
    assert american.sample[0].at_ms == readings[0].at_ms
    assert next(read_chunks(path, american, UTC)).at_ms == [r.at_ms for r in readings]
    other = replace(shape, date_order=DateOrder.DAY_FIRST)
    second_of_may = datetime(2015, 5, 2, 8, 0, tzinfo=UTC).timestamp() * 1000
    assert next(read_chunks(path, other, UTC)).at_ms[0] == second_of_may


@pytest.mark.parametrize(
    ("pattern", "named", "order"),
    [
        ("%d/%m/%Y %H:%M", "Date (dd/mm/yyyy)", DateOrder.DAY_FIRST),
        ("%m/%d/%Y %H:%M", "Date mm/dd/yyyy", DateOrder.MONTH_FIRST),
        ("%d.%m.%Y %H:%M", "Date", DateOrder.DAY_FIRST),
    ],
)
def test_one_day_is_not_asked_where_names_or_dots_tell(
    path: Path, pattern: str, named: str, order: DateOrder
) -> None:
    readings = some_readings(20, FIFTH)
    path.write_bytes(Dialect("", formatted(pattern), (named, "Temp °C", "RH %")).data(readings))
    assert inspect_file(path).date_order is order


def test_a_13th_far_down_in_a_large_file_decides(path: Path) -> None:
    start = datetime(2015, 5, 5, tzinfo=UTC)
    readings = [Reading(start + timedelta(minutes=i), 20.0, 50.0) for i in range(13_000)]
    path.write_bytes(Dialect("", formatted("%d/%m/%Y %H:%M")).data(readings))
    assert inspect_file(path).date_order is DateOrder.DAY_FIRST


def test_dates_that_read_the_same_either_way_are_not_asked(path: Path) -> None:
    readings = some_readings(20, datetime(2015, 2, 2, 8, tzinfo=UTC))
    path.write_bytes(Dialect("", us_bare).data(readings))
    assert inspect_file(path).questions == ()


def test_columns_without_names_are_asked_for(path: Path) -> None:
    path.write_bytes(Dialect("", header=None).data(some_readings()))
    shape = inspect_file(path)
    assert {q.field for q in shape.open_questions} == {
        "temp_column",
        "temp_unit",
        "humidity_column",
        "humidity_unit",
    }
    assert all(q.choices for q in shape.open_questions)
    with pytest.raises(OpenQuestionError):
        read_chunks(path, shape, UTC)
    answered = replace(
        shape,
        temp_column=1,
        temp_unit=TempUnit.CELSIUS,
        humidity_column=2,
        humidity_unit=HumidityUnit.PERCENT,
    )
    assert next(read_chunks(path, answered, UTC)).temp_c == [r.temp_c for r in some_readings()]


def test_chosen_column_and_unit_override_what_was_found(path: Path) -> None:
    rows = "\n".join(f"2015-02-04 17:{m:02},20.3,50.5,68.9" for m in range(20))
    written(path, f"Time,Temp °C,RH %,Probe °F\n{rows}\n")
    shape = replace(inspect_file(path), temp_column=3, temp_unit=TempUnit.FAHRENHEIT)
    # 68.9 °F is (68.9 - 32) * 5 / 9 = 20.5 °C.
    assert next(read_chunks(path, shape, UTC)).temp_c == pytest.approx([20.5] * 20)
    assert shape.sample[0].temp_c == pytest.approx(20.5)


def test_column_no_row_has_is_refused(path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings()))
    with pytest.raises(ShapeMismatchError):
        read_chunks(path, replace(inspect_file(path), temp_column=7), UTC)


@pytest.mark.parametrize(
    ("label", "minutes"),
    [("Date Time, GMT+01:00", 60), ("Time (UTC)", 0), ("Time UTC-0330", -210), ("Time", None)],
)
def test_offset_in_the_name_is_used(path: Path, label: str, minutes: int | None) -> None:
    readings = some_readings()
    path.write_bytes(
        Dialect("", header=(label, "Temp °C", "RH %"), quoted_header=True).data(readings)
    )
    shape = inspect_file(path)
    assert shape.utc_offset_min == minutes
    shift = (minutes or 0) * 60_000
    assert next(read_chunks(path, shape, UTC)).at_ms[0] == readings[0].at_ms - shift


def test_humidity_as_fraction_is_told(path: Path) -> None:
    path.write_bytes(Dialect("", header=("Time", "T", "RH"), fraction=True).data(some_readings()))
    shape = inspect_file(path)
    assert shape.humidity_unit is HumidityUnit.FRACTION
    assert any("fraction" in line for line in describe(shape))


def test_newest_first_is_noticed(path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings()[::-1]))
    shape = inspect_file(path)
    assert shape.newest_first
    assert shape.interval_ms == 17 * 60_000


def test_description_is_plain_sentences(path: Path) -> None:
    path.write_bytes(Dialect("").data(some_readings()))
    lines = describe(inspect_file(path))
    assert all(line.endswith(".") for line in lines)
    assert "Temperature" in " ".join(lines)
    assert "line 2" in lines[0]


# What is refused, and how.


def workbook() -> bytes:
    """A zip as a spreadsheet program writes it."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
    return whole.getvalue()


@pytest.mark.parametrize(
    ("data", "error", "says"),
    [
        (b"", EmptyFileError, "empty"),
        (b"\n\n\n", NotATableError, "no rows"),
        (workbook(), SpreadsheetGivenError, "save it as CSV"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(500), SpreadsheetGivenError, "CSV"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20, NotTextError, "not a text file"),
        (b"\x7fELF\x02\x01\x01" + bytes(1000), NotTextError, "not a text file"),
        (b"Time,Temperature,Humidity\n", NoReadingsError, "no readings"),
        ("Datum;Temperatur °C;Feuchte %\n".encode("cp1252"), NoReadingsError, "no readings"),
        (b"Temp,RH\n20.1,45\n20.2,46\n", NoTimeColumnError, "date and time"),
        (b"Time,Temp,RH\n12:00,20.1,45\n12:01,20.2,46\n", NoTimeColumnError, "date and time"),
        (b"Date,Temp,RH\n2015-02-04,20.1,45\n2015-02-05,20.2,46\n", NoTimeColumnError, "time"),
        (b"Time,Temp\n2015-02-04 12:00,20.1\n2015-02-04 12:01,20.2\n", MissingQuantityError, "hum"),
        (b"Dear all,\nplease find the log attached.\n", NotATableError, "no rows"),
        (
            b"Time,Temp,RH\n04.02.2015 12:00,20,1,45,5\n04.02.2015 12:01,20,2,45,5\n",
            UnevenColumnsError,
            "semicolons",
        ),
    ],
)
def test_what_is_no_log_is_refused_in_words(
    path: Path, data: bytes, error: type[LoggerFileError], says: str
) -> None:
    path.write_bytes(data)
    with pytest.raises(error, match=says) as caught:
        inspect_file(path)
    assert isinstance(caught.value, MendableError)
    assert "log.csv" in str(caught.value)


def test_missing_file_and_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError):
        inspect_file(tmp_path / "gone.csv")
    with pytest.raises(UnreadableFileError):
        inspect_file(tmp_path)


def test_file_over_two_gigabytes_is_refused_without_reading(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(2_000_000_001)  # a hole, not two gigabytes on the disk
    with pytest.raises(FileTooLargeError, match="2 GB"):
        inspect_file(path)


@pytest.mark.timeout(20)
@pytest.mark.parametrize(
    "bomb",
    [
        "1," * 3_000_000,
        '"' * 3_000_000,
        '"' + "2015-02-04 12:00,20,40\n" * 100_000,
        "x" * 5_000_000,
        "2015-02-04 12:00," + "9" * 4_000_000,
        '"\n' * 300_000,
        "/".join(["1"] * 200_000) + "\n",
    ],
    ids=["cells", "quotes", "open quote", "long line", "long number", "quoted ends", "dates"],
)
def test_bombs_neither_hang_nor_surprise(path: Path, bomb: str) -> None:
    good = "Time,Temperature,Humidity\n2015-02-04 12:00,20.1,45\n2015-02-04 12:01,20.1,45\n"
    written(path, good + bomb + "\n2015-02-04 12:02,20.1,45\n")
    chunks = list(read_chunks(path, inspect_file(path), UTC))
    assert sum(len(chunk.at_ms) for chunk in chunks) >= 3
    assert all(len(row.text) <= 120 for chunk in chunks for row in chunk.bad)
    written(path, bomb)
    with suppress(LoggerFileError):
        inspect_file(path)


tables = st.lists(
    st.lists(
        st.sampled_from(
            ["2015-02-04 12:00", "04/02/2015", "12:00:01 PM", "20.5", "45,5", "", "Temp", "RH %",
             '"', "-", "1423051200", "nan", "1_0", "٣", "\x00", "°C", "2015-02-04T12:00Z", "#",
             "31.12.9999 23:59", "01.01.0001 00:00", "1e999", "99999999999"]
        ),
        max_size=6,
    ),
    max_size=12,
)  # fmt: skip
delimited = st.builds(
    lambda rows, mark: "\n".join(mark.join(row) for row in rows), tables, st.sampled_from(",;\t|")
)


def settle_or_refuse(path: Path) -> None:
    """Look at a file, answer every question with the first choice, and read it."""
    with suppress(LoggerFileError):
        shape = inspect_file(path)
        describe(shape)
        for question in shape.open_questions:
            shape = replace(shape, **{question.field: question.choices[0].value})
        for chunk in read_chunks(path, shape, UTC, chunk_rows=5):
            assert len(chunk.at_ms) == len(chunk.temp_c) == len(chunk.rh)
            assert all(0 <= rh <= 1 for rh in chunk.rh)
        describe(shape)


@settings(max_examples=300, deadline=5000)
@given(text=st.one_of(st.text(max_size=400), delimited))
@example("Time,Temp,RH\n31.12.9999 23:59,20,40\n01.01.0001 00:00,20,40\n")
def test_any_text_gives_a_shape_or_a_feeds_error(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.mktemp("any") / "any.csv"
    path.write_bytes(text.encode("utf-8", "replace"))
    settle_or_refuse(path)


@settings(max_examples=200, deadline=5000)
@given(data=st.binary(max_size=600))
def test_any_bytes_give_a_shape_or_a_feeds_error(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    path = tmp_path_factory.mktemp("any") / "any.csv"
    path.write_bytes(data)
    settle_or_refuse(path)


def test_named_column_is_found_though_its_sensor_was_loose_most_of_the_time(path: Path) -> None:
    rows = "\n".join(
        f"2015-02-04 17:{m:02},{'20.5' if m % 10 == 0 else '---'},45.5,3.1" for m in range(60)
    )
    shape = inspect_file(written(path, f"Time,Temp °C,RH %,Battery V\n{rows}\n"))
    assert (shape.temp_column, shape.humidity_column) == (1, 2)
