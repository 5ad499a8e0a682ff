"""Moments on the shop's wall clock, in words short enough for a plot or a table."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

translate = QCoreApplication.translate

# Not strftime: its names follow the locale of the process, which is not always the person's.
_WEEKDAYS = (
    QT_TRANSLATE_NOOP("Moments", "Mon"),
    QT_TRANSLATE_NOOP("Moments", "Tue"),
    QT_TRANSLATE_NOOP("Moments", "Wed"),
    QT_TRANSLATE_NOOP("Moments", "Thu"),
    QT_TRANSLATE_NOOP("Moments", "Fri"),
    QT_TRANSLATE_NOOP("Moments", "Sat"),
    QT_TRANSLATE_NOOP("Moments", "Sun"),
)
_MONTHS = (
    QT_TRANSLATE_NOOP("Moments", "Jan"),
    QT_TRANSLATE_NOOP("Moments", "Feb"),
    QT_TRANSLATE_NOOP("Moments", "Mar"),
    QT_TRANSLATE_NOOP("Moments", "Apr"),
    QT_TRANSLATE_NOOP("Moments", "May"),
    QT_TRANSLATE_NOOP("Moments", "Jun"),
    QT_TRANSLATE_NOOP("Moments", "Jul"),
    QT_TRANSLATE_NOOP("Moments", "Aug"),
    QT_TRANSLATE_NOOP("Moments", "Sep"),
    QT_TRANSLATE_NOOP("Moments", "Oct"),
    QT_TRANSLATE_NOOP("Moments", "Nov"),
    QT_TRANSLATE_NOOP("Moments", "Dec"),
)


def weekday_word(local: datetime) -> str:
    """Return the short name of the day of the week."""
    return translate("Moments", str(_WEEKDAYS[local.weekday()]))


def write_date(local: datetime) -> str:
    """Write day and month, such as "9 Feb"."""
    return f"{local.day}\u00a0{translate('Moments', str(_MONTHS[local.month - 1]))}"


def write_clock(local: datetime) -> str:
    """Write the time of day, with its offset in the hour that comes twice in an autumn night."""
    return f"{local:%H:%M}\u00a0{write_offset(local)}".rstrip()


def write_moment(at: datetime, zone: ZoneInfo) -> str:
    """Write a moment as "Mon 9 Feb 14:00" on the clock of `zone`."""
    local = at.astimezone(zone)
    return f"{weekday_word(local)} {write_date(local)} {write_clock(local)}"


def _comes_twice(local: datetime) -> bool:
    return local.utcoffset() != local.replace(fold=1 - local.fold).utcoffset()


def write_offset(local: datetime) -> str:
    """Write the offset from UTC in the hour that comes twice; nothing at any other time."""
    if not _comes_twice(local):
        return ""
    offset = local.utcoffset() or timedelta(0)
    sign = "\u2212" if offset < timedelta(0) else "+"
    hours, minutes = divmod(round(abs(offset).total_seconds() / 60), 60)
    return f"UTC{sign}{hours}:{minutes:02d}" if minutes else f"UTC{sign}{hours}"
