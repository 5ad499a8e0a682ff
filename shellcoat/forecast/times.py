"""Between aware times and seconds on the axis of the forecast."""

from __future__ import annotations

from datetime import UTC, datetime
from math import ceil
from typing import overload


def seconds(moment: datetime) -> float:
    """Seconds since 1970 in UTC [s]."""
    return moment.timestamp()


def seconds_or_none(moment: datetime | None) -> float | None:
    """Seconds since 1970 in UTC [s]; None stays None."""
    return None if moment is None else seconds(moment)


@overload
def from_seconds(value: float) -> datetime: ...
@overload
def from_seconds(value: None) -> None: ...
def from_seconds(value: float | None) -> datetime | None:
    """The UTC time of seconds since 1970 [s], up to the full second; None stays None.

    Rounded up, so that at the time that was told a coat is dry and not almost dry.
    """
    return None if value is None else datetime.fromtimestamp(ceil(value), UTC)
