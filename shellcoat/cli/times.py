"""Times typed on the command line, on the shop's wall clock."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from shellcoat.errors import MendableError

FORMATS = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S")


class UnreadableTimeError(MendableError):
    """A time that cannot be read, or that the clock never showed."""


def read_time(text: str, zone: ZoneInfo, now: datetime) -> datetime:
    """Read "14:05" (today) or "2026-02-09 14:05" on the clock of `zone`, as UTC.

    An offset, "2026-10-25 02:30 +01:00", says which of the two half past twos is meant; without
    one the first is.
    """
    text = text.strip()
    today = now.astimezone(zone).date().isoformat()
    for candidate in (text, f"{today} {text}"):
        moment = _parse(candidate, zone)
        if moment is not None:
            return moment.astimezone(UTC)
    raise UnreadableTimeError(
        f'Time: "{text}" is not understood. Write it like 14:05 or 2026-02-09 14:05.'
    )


def _parse(text: str, zone: ZoneInfo) -> datetime | None:
    for form in FORMATS:
        for suffix in ("", " %z", "%z"):
            try:
                parsed = datetime.strptime(text, form + suffix)  # noqa: DTZ007 - zone comes next
            except ValueError:
                continue
            return parsed if parsed.tzinfo else _on_clock(parsed, zone)
    return None


def _on_clock(wall: datetime, zone: ZoneInfo) -> datetime:
    local = wall.replace(tzinfo=zone)
    if local.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != wall:
        raise UnreadableTimeError(
            f"Time: the clock skips {wall:%H:%M} on {wall:%Y-%m-%d} in {zone.key}. "
            "Give the time it really showed."
        )
    return local
