"""Times, spans and warnings in a person's words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_cases import HOUR, NOW, at, at_the_book, dip, on_rack, shop_book

from shellcoat.forecast.answers import ShellWarning, WarningKind
from shellcoat.operations.wording import (
    write_ago,
    write_time,
    write_warning,
)
from shellcoat.units import UnitPreferences, UnitSystem

MADRID, KOLKATA, LORD_HOWE = map(ZoneInfo, ("Europe/Madrid", "Asia/Kolkata", "Australia/Lord_Howe"))
SPACE = "\u00a0"
METRIC, US = UnitPreferences(UnitSystem.METRIC), UnitPreferences(UnitSystem.US)

# NOW is Thursday 5 March 2026, 14:00 in Madrid.


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (NOW, "14:00"),
        (NOW.replace(hour=22, minute=59), "23:59"),
        (NOW.replace(hour=23), "Fri 00:00"),
        (NOW.replace(day=4, hour=23), "00:00"),
        (NOW.replace(day=4, hour=22, minute=59), "Wed 23:59"),
        (NOW.replace(day=2), "Mon 14:00"),
        (NOW.replace(day=7), "Sat 14:00"),
        (datetime(2026, 2, 20, 8, 5, tzinfo=UTC), "Fri 20 Feb 09:05"),
        (datetime(2026, 3, 14, 12, 0, tzinfo=UTC), "Sat 14 Mar 13:00"),
        (datetime(2025, 12, 31, 22, 59, tzinfo=UTC), "Wed 31 Dec 2025 23:59"),
        (datetime(2025, 12, 31, 23, 0, tzinfo=UTC), "Thu 1 Jan 00:00"),
        (datetime(2027, 1, 8, 12, 0, tzinfo=UTC), "Fri 8 Jan 2027 13:00"),
    ],
)
def test_today_this_week_and_older(moment: datetime, words: str) -> None:
    assert write_time(moment, MADRID, NOW) == words


def test_a_weekday_alone_never_means_this_day_of_another_week() -> None:
    for days in (-7, 7):
        words = write_time(NOW + timedelta(days=days), MADRID, NOW)
        assert "Mar" in words or "Feb" in words


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), "02:30 +02:00"),
        (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), "02:30 +01:00"),
        (datetime(2026, 10, 24, 23, 59, tzinfo=UTC), "01:59"),
        (datetime(2026, 10, 25, 0, 0, tzinfo=UTC), "02:00 +02:00"),
        (datetime(2026, 10, 25, 1, 59, tzinfo=UTC), "02:59 +01:00"),
        (datetime(2026, 10, 25, 2, 0, tzinfo=UTC), "03:00"),
        # The hour a spring night skips is on no clock and has no two readings.
        (datetime(2026, 3, 29, 0, 59, tzinfo=UTC), "01:59"),
        (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), "03:00"),
        (datetime(2026, 3, 29, 1, 30, tzinfo=UTC), "03:30"),
    ],
)
def test_the_hour_that_comes_twice_shows_its_offset(moment: datetime, words: str) -> None:
    assert write_time(moment, MADRID, moment) == words


def test_half_an_hour_that_comes_twice() -> None:
    """Lord Howe Island goes back by thirty minutes, at 15:00 UTC on 4 April 2026."""
    first, second = (datetime(2026, 4, 4, 14, 45, tzinfo=UTC) + half * HOUR / 2 for half in (0, 1))
    words = [write_time(moment, LORD_HOWE, second) for moment in (first, second)]
    assert words == ["01:45 +11:00", "01:45 +10:30"]
    assert write_time(second + HOUR / 2, LORD_HOWE, second) == "02:15"


@pytest.mark.parametrize(
    ("zone", "day"),
    [
        ("Europe/Madrid", datetime(2026, 10, 25, 12, tzinfo=UTC)),
        ("Europe/Madrid", datetime(2026, 3, 29, 12, tzinfo=UTC)),
        ("America/St_Johns", datetime(2026, 11, 1, 16, tzinfo=UTC)),
        ("Australia/Lord_Howe", datetime(2026, 4, 5, 1, tzinfo=UTC)),
        ("Asia/Kolkata", datetime(2026, 11, 1, 6, tzinfo=UTC)),
    ],
)
def test_no_two_minutes_of_a_day_are_written_alike(zone: str, day: datetime) -> None:
    clock = ZoneInfo(zone)
    minutes = [day + timedelta(minutes=number) for number in range(-1000, 1000)]
    today = [one for one in minutes if one.astimezone(clock).date() == day.date()]
    assert 23 * 60 <= len(today) <= 25 * 60
    assert len({write_time(one, clock, day) for one in today}) == len(today)


@given(
    minutes=st.integers(0, 50_000_000),
    zone=st.sampled_from((MADRID, KOLKATA, LORD_HOWE)),
    days=st.integers(-400, 400),
)
def test_what_is_written_is_on_the_clock_of_that_zone(
    minutes: int, zone: ZoneInfo, days: int
) -> None:
    moment = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    words = write_time(moment, zone, moment + timedelta(days=days))
    local = moment.astimezone(zone)
    assert f"{local.hour:02d}:{local.minute:02d}" in words


def test_a_book_carried_to_another_zone_shows_the_shops_clock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The machine stands in St John's; the shop is in Kolkata and its dips were there."""
    path = shop_book(tmp_path / "far.shellbook", zone="Asia/Kolkata")
    with at_the_book(path) as shop:
        dip(shop, on_rack(shop), NOW)
    monkeypatch.setenv("TZ", "America/St_Johns")
    with at_the_book(path) as shop:
        (coat,) = shop.ledger.coats(shop.ledger.shells[0].id)
        assert write_time(coat.dipped_at, shop.zone, at(1)) == "18:30"
        assert coat.utc_offset_min == 330


# How long ago.


@pytest.mark.parametrize(
    ("ago", "words"),
    [
        (timedelta(0), "just now"),
        (timedelta(seconds=59), "just now"),
        (timedelta(seconds=-59), "just now"),
        (timedelta(seconds=60), f"1{SPACE}min ago"),
        (timedelta(minutes=59, seconds=20), f"59{SPACE}min ago"),
        (timedelta(hours=3, minutes=40), f"3{SPACE}h 40{SPACE}min ago"),
        (timedelta(hours=24), f"1{SPACE}d ago"),
        (timedelta(days=2, hours=4), f"2{SPACE}d 4{SPACE}h ago"),
        (timedelta(minutes=-5), f"in 5{SPACE}min"),
        (timedelta(days=-1, hours=-2), f"in 1{SPACE}d 2{SPACE}h"),
    ],
)
def test_how_long_ago(ago: timedelta, words: str) -> None:
    assert write_ago(NOW - ago, NOW) == words


def test_an_hour_is_an_hour_over_the_change_of_the_clock() -> None:
    change = datetime(2026, 10, 25, 1, tzinfo=UTC)
    assert write_ago(change - HOUR / 2, change + HOUR / 2) == f"1{SPACE}h ago"


# Warnings.


@pytest.mark.parametrize("units", [METRIC, US], ids=["metric", "us"])
@pytest.mark.parametrize("kind", WarningKind)
def test_every_kind_of_warning_is_a_whole_sentence(
    kind: WarningKind, units: UnitPreferences
) -> None:
    sentence = write_warning(ShellWarning(kind, 3, 0.4, 0.3), units)
    assert sentence[0].isupper() or sentence[0].isdigit()
    assert sentence.endswith(".")
    assert "{" not in sentence
    assert "None" not in sentence


@pytest.mark.parametrize(
    ("warning", "units", "said"),
    [
        (ShellWarning(WarningKind.DIPPED_EARLY, 4, 0.334), METRIC, ["Coat 4", f"33{SPACE}%"]),
        (ShellWarning(WarningKind.ROOM_SWING, 2, 2.3, 1.7), METRIC, ["2.3", "1.7", "K"]),
        # 1.7 K is the 3 °F of the Investment Casting Institute.
        (ShellWarning(WarningKind.ROOM_SWING, 2, 2.3, 1.7), US, ["4.1", "3.1", "°F"]),
        (ShellWarning(WarningKind.AIR_TOO_DRY, 1, 0.31, 0.5), METRIC, [f"31{SPACE}%", "50"]),
        (ShellWarning(WarningKind.AIR_TOO_HUMID, 5, 0.82, 0.55), METRIC, [f"82{SPACE}%", "55"]),
        (
            ShellWarning(WarningKind.NO_RECENT_READING, None, 30 * 3600.0, 12 * 3600.0),
            METRIC,
            [f"1{SPACE}d 6{SPACE}h"],
        ),
    ],
)
def test_a_warning_says_what_was_seen_and_the_limit(
    warning: ShellWarning, units: UnitPreferences, said: list[str]
) -> None:
    sentence = write_warning(warning, units)
    for words in said:
        assert words in sentence
