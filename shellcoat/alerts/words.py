"""The words alerts are told in, all in one place.

Times of day come from the caller's `say_time`, which knows the shop's zone and the person's
habits. A coat is dry by the forecast's safe time, which is an estimate; no line says more.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

from shellcoat.alerts.life import Alert, AlertWhat, lateness

SayTime = Callable[[datetime], str]

WORTH_SAYING = timedelta(minutes=5)
"""From this much on a line says how late it is."""

# A short code with a number, such as B3 or B-12: rack B, place 3 or 12.
_PLACE_ON_RACK = re.compile(r"([A-Za-z]{1,2})[-. ]?\d+")
_RACK = re.compile(r"[A-Za-z]{1,2}")


def how_long(span: timedelta) -> str:
    """Say a length of time the way one says it across a room."""
    minutes = int(span.total_seconds() // 60)
    days, hours = minutes // 1440, minutes // 60 % 24
    if days:
        return f"{_count(days, 'day')} {hours} h" if hours else _count(days, "day")
    if hours:
        return f"{hours} h {minutes % 60} min" if minutes % 60 else f"{hours} h"
    return f"{minutes} min" if minutes else "less than a minute"


def rack_of(rack_place: str) -> str:
    """Tell which rack a place is on; a place that is no such code stands for itself."""
    place = rack_place.strip()
    code = _PLACE_ON_RACK.fullmatch(place)
    if code:
        return code[1].upper()
    return place.upper() if _RACK.fullmatch(place) else place


def place_of(alert: Alert) -> str:
    """Tell where alerts are folded together: by rack, or by what else they are about."""
    return rack_of(alert.rack_place) if alert.shell_id else alert.subject


def one(alert: Alert, now: datetime, say_time: SayTime) -> str:
    """Say one alert in a line."""
    late = lateness(alert, now)
    ago = f", {how_long(late)} ago" if late >= WORTH_SAYING else ""
    place = f" ({alert.rack_place.strip()})" if alert.rack_place.strip() else ""
    since = "never" if alert.since is None else say_time(alert.since)
    said = _ONE[alert.what].format(
        coat=_coat(alert),
        core=alert.subject,
        since=f"since {say_time(alert.due_at)}{ago}",
        last=since,
    )
    about = "The book" if alert.what is AlertWhat.BACKUP else alert.shell_name or alert.subject
    return f"{about}{place}: {said}"


_ONE = {
    AlertWhat.NEXT_DIP: "{coat} dry {since}; next dip",
    AlertWhat.REVIEW: "final hold over {since}; ready for review",
    AlertWhat.CORE_NOT_DRYING: (
        "core “{core}” will not be dry when the shell is due; blow air in, turn it, or wait"
    ),
    AlertWhat.CORE_CLOSING: (
        "core “{core}” may close over its water at the next dip; dry it first, widen or plug it"
    ),
    AlertWhat.CORE_LOCKED: "core “{core}” is closed with water in it; open it and dry it",
    AlertWhat.COAT_NOT_DRYING: "{coat} will not dry in this air; move the air, or dry it",
    AlertWhat.PAST_LATEST_DIP: (
        "prime {coat} past its latest sensible dip {since}; dip it, or look for dust and lifting"
    ),
    AlertWhat.ROOM_SWING: "the room swung while prime {coat} dries; look for cracks",
    AlertWhat.NO_READING: "air last read {last}; read it, or look at the logger",
    AlertWhat.BACKUP: "not backed up; last good copy: {last}. {core}",
}

_MANY = {
    AlertWhat.NEXT_DIP: "dry",
    AlertWhat.REVIEW: "ready for review",
    AlertWhat.CORE_NOT_DRYING: "with a core that will not be dry in time",
    AlertWhat.CORE_CLOSING: "with a core about to close over water",
    AlertWhat.CORE_LOCKED: "with a core closed over water",
    AlertWhat.COAT_NOT_DRYING: "not drying in this air",
    AlertWhat.PAST_LATEST_DIP: "past the latest sensible dip",
    AlertWhat.ROOM_SWING: "whose prime coat saw a room swing",
    AlertWhat.NO_READING: "without a fresh air reading",
    AlertWhat.BACKUP: "not backed up",
}
_COUNTED = {AlertWhat.NO_READING: "room", AlertWhat.BACKUP: "book"}


def many(what: AlertWhat, count: int, where: str) -> str:
    """Say several alerts of one kind in a line; `where` comes from `on_rack` or `on_racks`."""
    return f"{_count(count, _COUNTED.get(what, 'shell'))} {_MANY[what]}{where}"


def on_rack(rack: str) -> str:
    """Say on which rack, as the end of a line."""
    if not rack:
        return ", no rack place given"
    return f" on rack {rack}" if _RACK.fullmatch(rack) else f" ({rack})"


def on_racks(count: int) -> str:
    """Say on how many racks, as the end of a line."""
    return f" in {_count(count, 'place')}"


def came_due(dips: int, reviews: int, alarms: int = 0) -> str:
    """Say how much fell due while the program was closed."""
    parts = [f"{_count(dips, 'coat')} became dry"] * (dips > 0)
    parts += [f"{_count(reviews, 'final hold')} ended"] * (reviews > 0)
    parts += [f"{_count(alarms, 'alarm')} came up"] * (alarms > 0)
    return f"While the program was closed: {', '.join(parts)}."


def waits_longest(alert: Alert, now: datetime, say_time: SayTime) -> str:
    """Say which of several has waited longest."""
    return f"Waiting longest: {one(alert, now, say_time)}."


def not_seen(count: int) -> str:
    """Say how many alerts were told before and never marked as seen."""
    return f"{_count(count, 'earlier alert')} not marked as seen."


def not_marked(fault: Exception) -> str:
    """Say that the book does not know of a telling, and what follows."""
    return f"Told, but not marked in the book, so it may be told again after a restart: {fault}"


def way_failed(name: str, fault: Exception) -> str:
    """Say that one way of telling did not work."""
    return f"Telling by {name} failed: {fault}"


def _coat(alert: Alert) -> str:
    if alert.coat_number > alert.coats_planned:
        return f"coat {alert.coat_number}"
    return f"coat {alert.coat_number} of {alert.coats_planned}"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


CALENDAR_NOTE = "An estimate with a spread, made by shellcoat. It moves with the air."

_IN_CALENDAR = {
    AlertWhat.NEXT_DIP: "{coat} safely dry, next dip",
    AlertWhat.REVIEW: "final hold over, ready for review",
    AlertWhat.PAST_LATEST_DIP: "latest sensible dip after prime {coat}",
}


def in_calendar(alert: Alert) -> str:
    """Say what an event is about; its time stands in the calendar itself."""
    return _IN_CALENDAR[alert.what].format(coat=_coat(alert))
