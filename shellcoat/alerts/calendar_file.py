"""The calendar file: what is due and when, for a phone or another calendar to read (RFC 5545).

An event belongs to one coat and one call, so its UID stays while its time moves. What changed
counts up its SEQUENCE and carries a new LAST-MODIFIED; what is over is cancelled, and dropped a
month later. A due time has to move by more than a few minutes before its event does.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, cast
from uuid import uuid5

from icalendar import Alarm, Calendar, Event

from shellcoat.alerts import words
from shellcoat.alerts.life import Alert, AlertState, AlertWhat
from shellcoat.alerts.limits import calendar_steady
from shellcoat.errors import MendableError, WorldError

PRODUCT = "-//shellcoat//alerts//EN"
LENGTH = timedelta(minutes=15)
KEEP_CANCELLED = timedelta(days=30)
TIMED = (AlertWhat.NEXT_DIP, AlertWhat.REVIEW, AlertWhat.PAST_LATEST_DIP)
"""What has a time to plan by; what is wrong right now belongs into no calendar."""

SHOWN = (
    AlertState.PENDING,
    AlertState.DUE,
    AlertState.TOLD,
    AlertState.SEEN,
    AlertState.PUT_OFF,
)
# Two workers of one window may want to bring it up to date at the same moment.
_one_at_a_time = threading.Lock()

CONFIRMED, CANCELLED = "CONFIRMED", "CANCELLED"


class NotOurCalendarError(MendableError):
    """A file in the way that another program wrote, or that cannot be read."""


class CalendarFolderError(WorldError):
    """A folder that is gone, or that nothing can be written into."""


@dataclass(frozen=True, slots=True, order=True)
class Planned:
    """One event as it should stand in the calendar, apart from its history."""

    uid: str
    start: datetime
    title: str
    note: str
    place: str


def planned(alerts: Iterable[Alert]) -> tuple[Planned, ...]:
    """What belongs into the calendar, in a lasting order."""
    events = (_planned(one) for one in alerts if one.what in TIMED and one.state in SHOWN)
    return tuple(sorted(events))


def _planned(alert: Alert) -> Planned:
    name = uuid5(alert.coat_id or alert.about, f"calendar {alert.what.value}")
    return Planned(
        uid=f"{name}@shellcoat",
        # Whole minutes: a calendar shows no more.
        start=alert.calls_at.replace(second=0, microsecond=0),
        title=f"{alert.shell_name}: {words.in_calendar(alert)}",
        note=words.CALENDAR_NOTE,
        place=alert.rack_place.strip(),
    )


def write_calendar(path: Path, name: str, events: Sequence[Planned], now: datetime) -> bool:
    """Bring the file up to date; tells whether there was anything to write."""
    with _one_at_a_time:
        return _write(path, name, events, now)


def _write(path: Path, name: str, events: Sequence[Planned], now: datetime) -> bool:
    standing = _read(path)
    made = [_event(one, standing.get(one.uid), now) for one in events]
    wanted = {one.uid for one in events}
    gone = [_cancelled(old, now) for uid, old in standing.items() if uid not in wanted]
    kept = [event for event in gone if now - _time(event, "LAST-MODIFIED") < KEEP_CANCELLED]
    everything = [*made, *kept]
    before = {uid: event.to_ical() for uid, event in standing.items()}
    if path.exists() and before == {str(event["UID"]): event.to_ical() for event in everything}:
        return False
    _replace(path, _calendar(name, everything).to_ical())
    return True


def _read(path: Path) -> dict[str, Event]:
    """The events that stand in the file, by UID."""
    try:
        text = path.read_bytes()
    except FileNotFoundError:
        return {}
    except OSError as cause:
        raise CalendarFolderError(_not_written(path, cause)) from cause
    try:
        calendar = Calendar.from_ical(text)
        ours = str(calendar.get("PRODID")) == PRODUCT
        events = {str(event["UID"]): cast("Event", event) for event in calendar.walk("VEVENT")}
    except (ValueError, KeyError, IndexError) as cause:
        raise _not_ours(path) from cause
    if not ours:
        raise _not_ours(path)
    return events


def _not_ours(path: Path) -> NotOurCalendarError:
    return NotOurCalendarError(
        f"{path} is not a calendar this program wrote, so it is left alone. Move it away or "
        "choose another folder."
    )


def _not_written(path: Path, cause: OSError) -> str:
    return (
        f"The calendar {path} cannot be written: {cause.strerror or cause}. Choose a folder that "
        "is there and can be written into."
    )


def _event(one: Planned, old: Event | None, now: datetime) -> Event:
    """The event as it was where nothing changed, or with one more in its sequence."""
    if old is None:
        return _fresh(one, 0, now)
    moved = abs(one.start - _time(old, "DTSTART")) >= calendar_steady()
    # A forecast that wavers by minutes keeps its event.
    steady = replace(one, start=one.start if moved else _time(old, "DTSTART"))
    event = _fresh(steady, _sequence(old) + 1, now)
    same = _time(event, "DTSTART") == _time(old, "DTSTART") and all(
        _text(event, key) == _text(old, key)
        for key in ("SUMMARY", "DESCRIPTION", "LOCATION", "STATUS")
    )
    return old if same else event


def _time(event: Event, key: str) -> datetime:
    moment: Any = event[key]
    return cast("datetime", moment.dt)


def _text(event: Event, key: str) -> str:
    return str(event.get(key, ""))


def _sequence(event: Event) -> int:
    return int(_text(event, "SEQUENCE") or 0)


def _fresh(one: Planned, sequence: int, now: datetime) -> Event:
    event = Event()
    event.add("uid", one.uid)
    event.add("dtstamp", now)
    event.add("last-modified", now)
    event.add("sequence", sequence)
    event.add("dtstart", one.start)
    event.add("dtend", one.start + LENGTH)
    event.add("summary", one.title)
    event.add("description", one.note)
    if one.place:
        event.add("location", one.place)
    event.add("status", CONFIRMED)
    event.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", one.title)
    alarm.add("trigger", timedelta(0))
    event.add_component(alarm)
    return event


def _cancelled(old: Event, now: datetime) -> Event:
    if _text(old, "STATUS") == CANCELLED:
        return old
    event = Event()
    event.update(old)
    # Without its reminder: nothing rings for what is over.
    changes = {
        "SEQUENCE": _sequence(old) + 1,
        "STATUS": CANCELLED,
        "DTSTAMP": now,
        "LAST-MODIFIED": now,
    }
    for key, value in changes.items():
        event.pop(key, None)
        event.add(key, value)
    return event


def _calendar(name: str, events: Iterable[Event]) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for event in sorted(events, key=lambda one: str(one["UID"])):
        calendar.add_component(event)
    return calendar


def _replace(path: Path, data: bytes) -> None:
    """Put a whole file in the place of the old one, so that nobody ever reads half of it."""
    # Named after the process, for two stations may share the folder.
    unfinished = path.with_name(f".{path.name}.{os.getpid()}.unfinished")
    try:
        with unfinished.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as cause:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
        raise CalendarFolderError(_not_written(path, cause)) from cause
