"""`read` and `import-air`: the air by hand and from a logger's file."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from cli_shop import FINE, MEND, NOW, USAGE, Run, add_room, entries_in, make_book

from shellcoat.book import open_book
from shellcoat.shop import AirReading

SPACE = "\u00a0"
LOG = """\
Time;Temperature (°C);Humidity (%)
2026-03-04 08:00;20,5;48
2026-03-04 08:10;20,7;47
2026-03-04 08:20;20,9;47
2026-03-04 08:30;sensor;47
2026-03-04 08:40;21,2;46
2026-03-04 08:50;21,4;146
"""


def readings_in(path: Path) -> list[AirReading]:
    with open_book(path, read_only=True) as book:
        return book.ledger.typed_readings


# By hand.


@pytest.mark.parametrize(
    ("temperature", "humidity", "temp_c", "rh"),
    [
        ("21.5 C", "48 %", 21.5, 0.48),
        ("21.5", "48", 21.5, 0.48),
        ("72F", "0.48", 22.2222, 0.48),
        ("21,5 °C", "48,5 %", 21.5, 0.485),
        ("-5 C", "90 %", -5.0, 0.9),
        ("-5", "100 %", -5.0, 1.0),
    ],
)
def test_a_reading_as_people_type_it(
    book: Path, run: Run, temperature: str, humidity: str, temp_c: float, rh: float
) -> None:
    ran = run("read", book, temperature, humidity)
    assert ran.code == FINE, ran.err
    (reading,) = readings_in(book)
    assert reading.temp_c == pytest.approx(temp_c, abs=1e-3)
    assert reading.rh == pytest.approx(rh)
    assert reading.read_at == NOW
    assert ran.out.startswith("Dipping room: ")
    assert ran.out.endswith("at 14:00.\n")


def test_a_bare_number_is_in_the_shops_unit(tmp_path: Path, run: Run) -> None:
    path = make_book(tmp_path / "us.shellbook", units="us")
    ran = run("read", path, "72", "48", "--at", "09:00")
    (reading,) = readings_in(path)
    assert reading.temp_c == pytest.approx(22.2222, abs=1e-3)
    assert reading.read_at == datetime(2026, 3, 5, 8, 0, tzinfo=UTC)
    assert f"72.0{SPACE}°F" in ran.out
    assert f"48{SPACE}%" in ran.out


@pytest.mark.parametrize(
    ("temperature", "humidity", "field", "said"),
    [
        ("21 mm", "48 %", "Air temperature", "is a length, not a temperature"),
        ("21 C", "48 C", "Humidity", "is a temperature, not a percentage"),
        ("21 C", "148 %", "Humidity", "100"),
        ("210 C", "48 %", "Air temperature", "70"),
        ("warm", "48 %", "Air temperature", "does not begin with a number"),
        ("21 C", "1", "Humidity", "1 %"),
        ("21 C", "", "Humidity", ""),
        ("1.234,5 C", "48", "Air temperature", ""),
    ],
)
def test_a_wrong_reading_names_the_field_and_leaves_the_book_alone(
    book: Path, run: Run, temperature: str, humidity: str, field: str, said: str
) -> None:
    before = entries_in(book)
    ran = run("read", book, temperature, humidity)
    assert ran.code == MEND
    assert ran.err.startswith(f"shellcoat: {field}: ")
    assert said in ran.err
    assert entries_in(book) == before


def test_a_reading_to_come_is_refused(book: Path, run: Run) -> None:
    ran = run("read", book, "21 C", "48 %", "--at", "15:00")
    assert ran.code == MEND
    assert "15:00 has not come yet" in ran.err


def test_with_two_rooms_the_room_must_be_said(book: Path, run: Run) -> None:
    add_room(book, "Drying room")
    ran = run("read", book, "21 C", "48 %")
    assert ran.code == MEND
    assert "--room: Dipping room, Drying room" in ran.err
    assert run("read", book, "21 C", "48 %", "--room", " drying room ").code == FINE
    (reading,) = readings_in(book)
    with open_book(book, read_only=True) as opened:
        assert opened.ledger.room(reading.room_id).name == "Drying room"


def test_a_reading_makes_the_next_forecast_rest_on_it(book: Path, run: Run) -> None:
    run("dip", book, "H-1")
    assert "has not been read yet" in run("rack", book).out
    run("read", book, "21 C", "48 %")
    assert "has not been read yet" not in run("rack", book).out


def test_both_numbers_are_needed(book: Path, run: Run) -> None:
    assert run("read", book, "21 C").code == USAGE


# From a file.


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "logger 1.csv"
    path.write_text(LOG, encoding="utf-8")
    return path


def test_a_look_says_what_was_understood_and_imports_nothing(
    book: Path, run: Run, log: Path
) -> None:
    before = entries_in(book)
    ran = run("import-air", book, log, "--look")
    assert ran.code == FINE
    for words in ("semicolon", "a comma", "°C", "First reading"):
        assert words in ran.out
    assert entries_in(book) == before


def test_the_good_rows_go_in_and_the_others_are_told_by_line(
    book: Path, run: Run, log: Path
) -> None:
    ran = run("import-air", book, log)
    assert ran.code == FINE, ran.err
    assert "logger 1.csv: 6 rows read, 4 readings taken in." in ran.out
    assert "line 5" in ran.out
    assert "line 7" in ran.out
    with open_book(book, read_only=True) as opened:
        last = opened.last_reading(opened.ledger.rooms[0].id)
    assert last is not None
    # 08:40 in Madrid, for the file's times are the shop's.
    assert last.read_at == datetime(2026, 3, 4, 7, 40, tzinfo=UTC)
    assert (last.temp_c, last.rh) == (21.2, 0.46)


def test_a_file_imported_twice_adds_nothing(book: Path, run: Run, log: Path) -> None:
    run("import-air", book, log)
    before = entries_in(book)
    ran = run("import-air", book, log)
    assert ran.code == FINE
    assert "0 readings taken in" in ran.out
    assert ": 4" in ran.out
    assert entries_in(book) == before


def test_a_logger_with_a_clock_of_its_own(book: Path, run: Run, log: Path) -> None:
    assert run("import-air", book, log, "--zone", "UTC").code == FINE
    with open_book(book, read_only=True) as opened:
        last = opened.last_reading(opened.ledger.rooms[0].id)
    assert last is not None
    assert last.read_at == datetime(2026, 3, 4, 8, 40, tzinfo=UTC)


@pytest.mark.parametrize("zone", ["Mars/Olympus", "../../etc/passwd", "CEST+1"])
def test_a_zone_no_clock_knows_is_named(book: Path, run: Run, log: Path, zone: str) -> None:
    before = entries_in(book)
    ran = run("import-air", book, log, "--zone", zone)
    assert ran.code == MEND
    assert zone in ran.err
    assert entries_in(book) == before


def test_with_two_rooms_an_import_asks_which(book: Path, run: Run, log: Path) -> None:
    add_room(book, "Drying room")
    ran = run("import-air", book, log)
    assert ran.code == MEND
    assert "Say which room with --room" in ran.err
    assert run("import-air", book, log, "--room", "Drying room").code == FINE


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02\xff" * 400, b"name,colour\nheron,grey\nteal,green\n", b"PK\x03\x04" * 99],
    ids=["empty", "no text", "no air", "a zip"],
)
def test_what_is_no_log_is_refused_by_name(
    book: Path, run: Run, tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    before = entries_in(book)
    ran = run("import-air", book, path)
    assert ran.code == MEND
    assert "odd.csv" in ran.err
    assert entries_in(book) == before


def test_a_missing_log_is_named(book: Path, run: Run, tmp_path: Path) -> None:
    ran = run("import-air", book, tmp_path / "nothing.csv")
    assert ran.code == MEND
    assert "nothing.csv" in ran.err
