"""Clock changes: the hour that comes twice, the hour that never is, and plain days.

Instants are checked against the standard library's zoneinfo, asked the other way round: from
UTC to the wall, which is never ambiguous.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shellcoat.feeds.logger_shape import inspect_file
from shellcoat.feeds.reading_chunks import ReadingChunk, read_chunks

BERLIN = ZoneInfo("Europe/Berlin")
NEW_YORK = ZoneInfo("America/New_York")
# Changes at one minute past midnight, at half an hour, and south of the equator.
ODD = ("America/St_Johns", "Australia/Lord_Howe", "America/Santiago", "Africa/Casablanca")


def log_of(moments: list[datetime], zone: ZoneInfo) -> str:
    """What a logger whose clock follows the zone writes at some instants."""
    rows = [f"{moment.astimezone(zone):%Y-%m-%d %H:%M:%S},20.5,45.5" for moment in moments]
    return "Time,Temperature (°C),Humidity (%)\n" + "\n".join(rows) + "\n"


def read_log(path: Path, text: str, zone: ZoneInfo, chunk_rows: int = 1000) -> list[ReadingChunk]:
    path.write_text(text, encoding="utf-8")
    return list(read_chunks(path, inspect_file(path), zone, chunk_rows=chunk_rows))


def times_in(chunks: list[ReadingChunk]) -> list[datetime]:
    return [datetime.fromtimestamp(ms / 1000, UTC) for chunk in chunks for ms in chunk.at_ms]


def every(minutes: int, start: datetime, hours: int = 8) -> list[datetime]:
    step = timedelta(minutes=minutes)
    return [start + i * step for i in range(hours * 60 // minutes)]


# Instants about four hours before the changes of 2025.
CHANGES = [
    (BERLIN, datetime(2025, 10, 25, 21, 0, tzinfo=UTC)),
    (BERLIN, datetime(2025, 3, 29, 21, 0, tzinfo=UTC)),
    (NEW_YORK, datetime(2025, 11, 2, 2, 0, tzinfo=UTC)),
    (NEW_YORK, datetime(2025, 3, 9, 3, 0, tzinfo=UTC)),
]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


@pytest.mark.parametrize("newest_first", [False, True])
@pytest.mark.parametrize("chunk_rows", [1000, 7])
@pytest.mark.parametrize("minutes", [1, 10, 30, 60])
@pytest.mark.parametrize(("zone", "start"), CHANGES)
def test_every_instant_over_a_change_comes_back(
    path: Path, zone: ZoneInfo, start: datetime, minutes: int, chunk_rows: int, newest_first: bool
) -> None:
    moments = every(minutes, start)
    if newest_first:
        moments.reverse()
    chunks = read_log(path, log_of(moments, zone), zone, chunk_rows)
    assert times_in(chunks) == moments
    assert [bad for chunk in chunks for bad in chunk.bad] == []


def test_repeated_hour_in_berlin_by_hand(path: Path) -> None:
    # On 26 October 2025 clocks in Berlin went from 3:00 CEST back to 2:00 CET, at 1:00 UTC.
    text = "Time,Temperature (°C),Humidity (%)\n" + "".join(
        f"2025-10-26 {clock}:00,20.5,45.5\n"
        for clock in ("01:30", "02:00", "02:30", "02:00", "02:30", "03:00")
    )
    hours = [time.strftime("%d %H:%M") for time in times_in(read_log(path, text, BERLIN))]
    assert hours == ["25 23:30", "26 00:00", "26 00:30", "26 01:00", "26 01:30", "26 02:00"]


def test_skipped_hour_in_berlin_is_reported(path: Path) -> None:
    # On 30 March 2025 clocks in Berlin went from 2:00 CET to 3:00 CEST, at 1:00 UTC.
    text = "Time,Temperature (°C),Humidity (%)\n" + "".join(
        f"2025-03-30 {clock}:00,20.5,45.5\n" for clock in ("01:30", "02:00", "02:30", "03:00")
    )
    (chunk,) = read_log(path, text, BERLIN)
    assert [(bad.line, "skipped" in bad.reason) for bad in chunk.bad] == [(3, True), (4, True)]
    hours = [time.strftime("%H:%M") for time in times_in([chunk])]
    assert hours == ["00:30", "01:00"]


def test_row_logged_twice_in_the_repeated_hour_stays_in_its_pass(path: Path) -> None:
    moments = every(1, datetime(2025, 10, 25, 23, 30, tzinfo=UTC), hours=3)
    doubled = [moment for moment in moments for _ in range(2)]
    assert times_in(read_log(path, log_of(doubled, BERLIN), BERLIN)) == doubled


def test_gaps_in_both_passes_do_not_mix_them(path: Path) -> None:
    start = datetime(2025, 10, 26, 0, 0, tzinfo=UTC)  # the first 2:00
    moments = [start + timedelta(minutes=m) for m in (0, 1, 2, 40, 41, 65, 66, 110, 111, 125)]
    assert times_in(read_log(path, log_of(moments, BERLIN), BERLIN)) == moments


def test_times_with_their_own_offset_need_no_zone(path: Path) -> None:
    moments = every(10, datetime(2025, 10, 25, 21, 0, tzinfo=UTC))
    text = "Time,Temperature (°C),Humidity (%)\n" + "".join(
        f"{moment.astimezone(BERLIN).isoformat()},20.5,45.5\n" for moment in moments
    )
    assert times_in(read_log(path, text, NEW_YORK)) == moments


@pytest.mark.parametrize("name", ODD)
@settings(max_examples=15, deadline=None)
@given(day=st.integers(0, 365 * 9), minutes=st.sampled_from([5, 15, 30]))
def test_odd_zones_come_back_too(
    tmp_path_factory: pytest.TempPathFactory, name: str, day: int, minutes: int
) -> None:
    zone = ZoneInfo(name)
    moments = every(minutes, datetime(2010, 1, 1, tzinfo=UTC) + timedelta(days=day), hours=60)
    path = tmp_path_factory.mktemp("zones") / "log.csv"
    assert times_in(read_log(path, log_of(moments, zone), zone)) == moments


@pytest.mark.parametrize("name", ODD)
def test_all_changes_of_ten_years_in_odd_zones(path: Path, name: str) -> None:
    zone = ZoneInfo(name)
    moments = every(30, datetime(2008, 1, 1, tzinfo=UTC), hours=24 * 3653)
    assert times_in(read_log(path, log_of(moments, zone), zone, 20_000)) == moments
