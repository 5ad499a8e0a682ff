"""Moments in words, over both clock changes."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from shellcoat.desk.moments import write_moment

MADRID = ZoneInfo("Europe/Madrid")


@pytest.mark.parametrize(
    ("at", "zone", "words"),
    [
        (datetime(2026, 2, 9, 13, 0, tzinfo=UTC), "Europe/Madrid", "Mon 9 Feb 14:00"),
        (datetime(2026, 2, 9, 23, 30, tzinfo=UTC), "Europe/Madrid", "Tue 10 Feb 00:30"),
        (datetime(2026, 7, 1, 12, 5, tzinfo=UTC), "UTC", "Wed 1 Jul 12:05"),
        # The European clocks go back on 25 October 2026 at 01:00 UTC.
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), "Europe/Madrid", "Sun 25 Oct 02:30 UTC+2"),
        (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), "Europe/Madrid", "Sun 25 Oct 02:30 UTC+1"),
        (datetime(2026, 10, 25, 2, 30, tzinfo=UTC), "Europe/Madrid", "Sun 25 Oct 03:30"),
        # The American ones on 1 November 2026 at 06:00 UTC in New York.
        (datetime(2026, 11, 1, 5, 30, tzinfo=UTC), "America/New_York", "Sun 1 Nov 01:30 UTC−4"),
        # Lord Howe Island goes back by half an hour.
        (
            datetime(2026, 4, 4, 15, 15, tzinfo=UTC),
            "Australia/Lord_Howe",
            "Sun 5 Apr 01:45 UTC+10:30",
        ),
    ],
)
def test_moment_is_written_on_the_shops_clock(at: datetime, zone: str, words: str):
    assert write_moment(at, ZoneInfo(zone)).replace("\u00a0", " ") == words


def test_the_two_half_past_twos_differ():
    first = write_moment(datetime(2026, 10, 25, 0, 30, tzinfo=UTC), MADRID)
    second = write_moment(datetime(2026, 10, 25, 1, 30, tzinfo=UTC), MADRID)
    assert first != second
