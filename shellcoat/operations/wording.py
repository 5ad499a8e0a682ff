"""Times, warnings and findings in a person's words."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from shellcoat.forecast.answers import ShellForecast, ShellWarning, WarningKind
from shellcoat.units import Quantity, UnitPreferences, UnitSystem, write_duration, write_quantity

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def write_time(moment: datetime, zone: ZoneInfo, now: datetime) -> str:
    """Write a time on the shop's wall clock: "14:05" today, "Tue 14:05" within three days.

    In the hour that an autumn night has twice, the offset from UTC tells which one is meant.
    """
    local, today = moment.astimezone(zone), now.astimezone(zone).date()
    clock = f"{local:%H:%M}{_offset_if_repeated(moment, zone)}"
    days = (local.date() - today).days
    if days == 0:
        return clock
    weekday = WEEKDAYS[local.weekday()]
    if abs(days) <= 3:
        return f"{weekday} {clock}"
    year = f" {local.year}" if local.year != today.year else ""
    return f"{weekday} {local.day} {MONTHS[local.month - 1]}{year} {clock}"


def write_dated(moment: datetime, zone: ZoneInfo) -> str:
    """Write a time on the shop's wall clock with its date, as on paper: "Wed 25 Nov 2026 14:05"."""
    local = moment.astimezone(zone)
    day = f"{WEEKDAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local.year}"
    return f"{day} {local:%H:%M}{_offset_if_repeated(moment, zone)}"


def _offset_if_repeated(moment: datetime, zone: ZoneInfo) -> str:
    """The offset, " +02:00", where the same wall time comes twice; else nothing."""
    local = moment.astimezone(zone)
    other = local.replace(fold=1 - local.fold)
    if local.utcoffset() == other.utcoffset() or not _exists(other, zone):
        return ""
    text = f"{local:%z}"
    return f" {text[:3]}:{text[3:5]}"


def _exists(local: datetime, zone: ZoneInfo) -> bool:
    """Whether this wall time is on the clock at all; the spring gap's is not."""
    return local.astimezone(ZoneInfo("UTC")).astimezone(zone).replace(fold=0) == local.replace(
        fold=0
    )


def write_ago(then: datetime, now: datetime) -> str:
    """How long ago, in words."""
    if abs(now - then) < timedelta(minutes=1):
        return "just now"
    span = write_duration(round(abs((now - then).total_seconds()) / 60.0) * 60.0)
    return f"{span} ago" if then < now else f"in {span}"


def write_chance(chance: float) -> str:
    """A probability in words that never claim to be sure."""
    if chance < 0.01:
        return "under 1 %"
    return "over 99 %" if chance > 0.99 else f"{100.0 * chance:.0f} %"


_SENTENCES = {
    WarningKind.DIPPED_EARLY: (
        "Coat {coat} went on before the wall was safely dry: about {seen} of the water was still "
        "in it."
    ),
    WarningKind.ROOM_SWING: (
        "The room swung by {seen} while prime coat {coat} dried; more than {limit} can crack it."
    ),
    WarningKind.AIR_TOO_DRY: (
        "The air at {seen} is too dry for prime coat {coat}, which wants at least {limit}: it may "
        "crack or lift."
    ),
    WarningKind.AIR_TOO_HUMID: (
        "The air at {seen} is damper than coat {coat} wants ({limit} at most): it dries slowly."
    ),
    WarningKind.NO_RECENT_READING: (
        "The air was last read {seen} ago. Read it now to be surer of the times."
    ),
    WarningKind.NO_READING: (
        "The air of this room has not been read yet; the times assume ordinary indoor air."
    ),
    WarningKind.CORE_WET: (
        "The core “{core}” will not be dry when the shell is due: about {seen} of water is still "
        "in it."
    ),
    WarningKind.CORE_CLOSING: (
        "The opening of the core “{core}”, {seen} wide, may close at coat {coat}. Dry it, and "
        "widen or plug it before that dip."
    ),
    WarningKind.CORE_LOCKED: (
        "The core “{core}” is closed with about {seen} of water in it. Open it, or let nobody "
        "burn it out."
    ),
    WarningKind.NOT_DRYING: (
        "Coat {coat} will not be safely dry within a week in this air. Move the air, dry it, or "
        "warm the room gently."
    ),
}


_SEEN_IN = {
    WarningKind.ROOM_SWING: Quantity.TEMPERATURE_DIFFERENCE,
    WarningKind.CORE_WET: Quantity.MASS,
    WarningKind.CORE_LOCKED: Quantity.MASS,
    WarningKind.CORE_CLOSING: Quantity.LENGTH,
}


def write_little_water(mass_kg: float, units: UnitPreferences) -> str:
    """A core's water [kg] in grams, or in ounces: kilograms would be all noughts."""
    symbol = "g" if units.system is UnitSystem.METRIC else "oz"
    small = UnitPreferences(units.system, {Quantity.MASS: symbol})
    return write_quantity(mass_kg, Quantity.MASS, small, decimals=0 if symbol == "g" else 1)


def write_warning(warning: ShellWarning, units: UnitPreferences) -> str:
    """One warning as a sentence with its numbers in the person's units."""

    def write(value: float | None) -> str:
        if value is None:
            return ""
        if warning.kind is WarningKind.NO_RECENT_READING:
            return write_duration(value)
        quantity = _SEEN_IN.get(warning.kind, Quantity.HUMIDITY)
        if quantity is Quantity.MASS:
            return write_little_water(value, units)
        return write_quantity(value, quantity, units)

    return _SENTENCES[warning.kind].format(
        coat=warning.coat_number,
        seen=write(warning.seen),
        limit=write(warning.limit),
        core=warning.core,
    )


def write_warnings(forecast: ShellForecast, units: UnitPreferences) -> tuple[str, ...]:
    """All warnings of a shell as sentences."""
    return tuple(write_warning(warning, units) for warning in forecast.warnings)
