"""Until when an alert can be put off at a press: times on the shop's wall clock."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

MORNING = time(7, 0)
"""When a shop begins its day: common practice."""

STILL_NIGHT = time(4, 0)
"""Before this hour whoever is awake means the morning of the same date by "tomorrow"."""

QUARTER = timedelta(minutes=15)
HOUR = timedelta(hours=1)


def tomorrow_morning(now: datetime, zone: ZoneInfo) -> datetime:
    """The next morning on the shop's wall clock, in UTC; also when the clocks change in between."""
    local = now.astimezone(zone)
    day = local.date() if local.time() < STILL_NIGHT else local.date() + timedelta(days=1)
    return datetime.combine(day, MORNING, zone).astimezone(UTC)
