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


def one(alert: Alert, now: datetime, say_time: SayTime) -> str:
    """Say one alert in a line."""
    place = f" ({alert.rack_place.strip()})" if alert.rack_place.strip() else ""
    late = lateness(alert, now)
    ago = f", {how_long(late)} ago" if late >= WORTH_SAYING else ""
    since = f"since {say_time(alert.due_at)}{ago}"
    if alert.what is AlertWhat.REVIEW:
        return f"{alert.shell_name}{place}: final hold over {since}; ready for review"
    return f"{alert.shell_name}{place}: {_coat(alert)} dry {since}; next dip"


def many(what: AlertWhat, count: int, where: str) -> str:
    """Say several alerts of one kind in a line; `where` comes from `on_rack` or `on_racks`."""
    verb = "dry" if what is AlertWhat.NEXT_DIP else "ready for review"
    return f"{_count(count, 'shell')} {verb}{where}"


def on_rack(rack: str) -> str:
    """Say on which rack, as the end of a line."""
    if not rack:
        return ", no rack place given"
    return f" on rack {rack}" if _RACK.fullmatch(rack) else f" ({rack})"


def on_racks(count: int) -> str:
    """Say on how many racks, as the end of a line."""
    return f" in {_count(count, 'place')}"


def came_due(dips: int, reviews: int) -> str:
    """Say how much fell due while the program was closed."""
    parts = [f"{_count(dips, 'coat')} became dry"] * (dips > 0)
    parts += [f"{_count(reviews, 'final hold')} ended"] * (reviews > 0)
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
