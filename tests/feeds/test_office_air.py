"""The real log of office air: read as it is, and checked against its own humidity ratio."""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import psychrolib
import pytest

from shellcoat import places
from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.logger_shape import describe, inspect_file
from shellcoat.feeds.reading_chunks import ReadingChunk, read_chunks
from shellcoat.feeds.wall_times import DateOrder

LOG = places.demos_dir() / "air_logs" / "office_air_2015-02.csv"
MOLAR_RATIO = 0.621945  # water to dry air; ASHRAE Handbook Fundamentals 2017, chapter 1, eq. 20


@pytest.fixture(scope="module")
def chunk() -> ReadingChunk:
    (only,) = read_chunks(LOG, inspect_file(LOG), UTC, now=datetime(2026, 1, 1, tzinfo=UTC))
    return only


def test_shape_is_found_without_help() -> None:
    shape = inspect_file(LOG)
    assert shape.questions == ()
    named = [shape.columns[i] for i in shape.used_columns]
    assert named == ["date", "Temperature", "Humidity"]
    assert shape.columns[0] == ""
    assert shape.temp_unit is TempUnit.CELSIUS
    assert shape.humidity_unit is HumidityUnit.PERCENT
    assert shape.date_order is DateOrder.YEAR_FIRST
    assert any("no name" in line for line in describe(shape))


def test_every_row_is_read(chunk: ReadingChunk) -> None:
    assert (len(chunk.at_ms), chunk.bad, chunk.aside, chunk.clamped) == (8143, [], [], 0)
    first, last = (datetime.fromtimestamp(chunk.at_ms[i] / 1000, UTC) for i in (0, -1))
    assert first == datetime(2015, 2, 4, 17, 51, tzinfo=UTC)
    assert last == datetime(2015, 2, 10, 9, 33, tzinfo=UTC)
    assert (chunk.temp_c[0], chunk.rh[0]) == (23.18, pytest.approx(0.27272))


def humidity_ratios(path: Path) -> list[float]:
    with path.open(newline="", encoding="utf-8") as file:
        return [float(row[6]) for row in list(csv.reader(file))[1:]]


def test_temperature_and_humidity_explain_the_authors_humidity_ratio(chunk: ReadingChunk) -> None:
    # One room has one pressure: solve each row's humidity ratio for it, take the middle one,
    # and every row must agree. A wrong column or unit would need a pressure of its own per row.
    psychrolib.SetUnitSystem(psychrolib.SI)
    given = humidity_ratios(LOG)
    rows = list(zip(chunk.temp_c, chunk.rh, given, strict=True))
    vapour = [rh * psychrolib.GetSatVapPres(temp_c) for temp_c, rh, _ in rows]
    pressures = [pv * (MOLAR_RATIO / ratio + 1) for pv, ratio in zip(vapour, given, strict=True)]
    pressure = median(pressures)
    assert pressure == pytest.approx(101_325, rel=0.03)
    found = [psychrolib.GetHumRatioFromRelHum(temp_c, rh, pressure) for temp_c, rh, _ in rows]
    assert found == pytest.approx(given, rel=1e-6)
