"""Every dialect reads back to the readings it was written from, without a person's help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logger_files import DIALECTS, Dialect, Reading, some_readings

from shellcoat.feeds.logger_shape import describe, inspect_file
from shellcoat.feeds.reading_chunks import ReadingChunk, read_chunks

DATE_ORDER_OF = {
    "american, padded": "month first",
    "american, bare, in Fahrenheit": "month first",
    "day first with strokes": "day first",
    "date and clock apart": "day first",
    "two-figure year": "day first",
}


def read_back(path: Path, *, chunk_rows: int = 20_000) -> list[ReadingChunk]:
    return list(read_chunks(path, inspect_file(path), UTC, chunk_rows=chunk_rows))


def assert_same(chunks: Sequence[ReadingChunk], readings: Sequence[Reading]) -> None:
    assert [row for chunk in chunks for row in (*chunk.bad, *chunk.aside)] == []
    assert [ms for chunk in chunks for ms in chunk.at_ms] == [r.at_ms for r in readings]
    temps = [temp for chunk in chunks for temp in chunk.temp_c]
    assert temps == pytest.approx([r.temp_c for r in readings], rel=1e-12, abs=1e-12)
    rhs = [rh for chunk in chunks for rh in chunk.rh]
    assert rhs == pytest.approx([r.percent / 100 for r in readings], rel=1e-12)


@pytest.mark.parametrize("dialect", DIALECTS, ids=lambda dialect: dialect.name)
def test_dialect_reads_back(dialect: Dialect, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    readings = some_readings()
    path.write_bytes(dialect.data(readings))
    shape = inspect_file(path)
    assert shape.questions == ()
    assert_same(read_back(path), readings)
    assert_same(read_back(path, chunk_rows=7), readings)
    assert any("2015-02-09 17:51:00, 18.2 °C" in line for line in describe(shape))


moments = st.lists(
    st.integers(0, 500_000).map(lambda n: datetime(2014, 1, 1, tzinfo=UTC) + timedelta(minutes=n)),
    min_size=3,
    max_size=60,
    unique=True,
).map(sorted)
temps = st.integers(5_00, 32_00).map(lambda n: n / 100)
percents = st.integers(8_0, 100_0).map(lambda n: n / 10)


@settings(max_examples=80, deadline=None)
@given(dialect=st.sampled_from(DIALECTS), moments=moments, data=st.data())
def test_any_readings_in_any_dialect_read_back_exactly(
    tmp_path_factory: pytest.TempPathFactory,
    dialect: Dialect,
    moments: list[datetime],
    data: st.DataObject,
) -> None:
    path = tmp_path_factory.mktemp("logs") / "log.csv"
    readings = [Reading(at, data.draw(temps), data.draw(percents)) for at in moments]
    path.write_bytes(dialect.data(readings))
    shape = inspect_file(path)
    for question in shape.open_questions:
        assert question.field == "date_order"
        right = next(c for c in question.choices if c.label in DATE_ORDER_OF[dialect.name])
        shape = replace(shape, date_order=right.value)
    assert_same(list(read_chunks(path, shape, UTC, chunk_rows=13)), readings)
