"""The words of the Air page: air, its age, where it came from, and how it moves."""

from __future__ import annotations

from datetime import datetime, timedelta

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication, QLocale

from shellcoat.desk.air.look import LatestAir, LoggedAir, Span
from shellcoat.desk.moments import write_date
from shellcoat.desk.session import DeskSession
from shellcoat.forecast.starting_values import starting_values
from shellcoat.operations.wording import write_ago, write_time
from shellcoat.shop import AirMovement
from shellcoat.units import Quantity, write_duration

translate = QCoreApplication.translate

_AGES_SHOWN = timedelta(days=30)
"""An older reading is told by its date alone: nobody counts in hundreds of days."""

_SPANS = {
    Span.TODAY: QT_TRANSLATE_NOOP("Air", "Today"),
    Span.THREE_DAYS: QT_TRANSLATE_NOOP("Air", "3 days"),
    Span.WEEK: QT_TRANSLATE_NOOP("Air", "Week"),
    Span.ALL: QT_TRANSLATE_NOOP("Air", "All"),
}
_NOTHING_IN = {
    Span.TODAY: QT_TRANSLATE_NOOP("Air", "The air was not read today."),
    Span.THREE_DAYS: QT_TRANSLATE_NOOP("Air", "The air was not read in the last three days."),
    Span.WEEK: QT_TRANSLATE_NOOP("Air", "The air was not read in the last week."),
    Span.ALL: QT_TRANSLATE_NOOP("Air", "The air was never read."),
}
_MOVEMENTS = {
    AirMovement.STILL_ROOM: QT_TRANSLATE_NOOP("Air", "still room"),
    AirMovement.FAN_IN_ROOM: QT_TRANSLATE_NOOP("Air", "fan in the room"),
    AirMovement.FAN_ON_SHELL: QT_TRANSLATE_NOOP("Air", "fan on the shell"),
    AirMovement.STRONG_DRAUGHT: QT_TRANSLATE_NOOP("Air", "strong draught"),
}


def span_word(span: Span) -> str:
    """The name of a span on its button."""
    return translate("Air", str(_SPANS[span]))


def nothing_in(span: Span) -> str:
    """That a span holds no reading."""
    return translate("Air", str(_NOTHING_IN[span]))


def movement_word(movement: AirMovement) -> str:
    """How the air moves."""
    return translate("Air", str(_MOVEMENTS[movement]))


def movement_help(movement: AirMovement, session: DeskSession) -> str:
    """The air speed the forecast takes for it."""
    speed = starting_values().air_speed_m_s[movement]
    return translate("Air", "about {speed}").format(
        speed=session.write(speed, Quantity.SPEED, decimals=2)
    )


def air_words(temp_c: float, rh: float, session: DeskSession) -> str:
    """One reading, such as "21.5 °C, 48 %"."""
    temperature = session.write(temp_c, Quantity.TEMPERATURE)
    return f"{temperature}, {session.write(rh, Quantity.HUMIDITY)}"


def count_words(count: int) -> str:
    """How many readings an import brought in."""
    if count == 1:
        return translate("Air", "1 reading")
    return translate("Air", "{count} readings").format(count=QLocale().toString(count))


def logged_words(row: LoggedAir, session: DeskSession) -> str:
    """What a line of the list holds."""
    if row.temp_c is None or row.rh is None:
        return count_words(row.count)
    return air_words(row.temp_c, row.rh, session)


def time_words(row: LoggedAir, session: DeskSession) -> str:
    """When a line of the list was read: one time, or from when to when."""
    if row.first_at == row.last_at:
        return write_time(row.first_at, session.opened.zone, session.now())
    ends = [moment.astimezone(session.opened.zone) for moment in (row.first_at, row.last_at)]
    of_this_year = {end.year for end in ends} == {session.now().year}
    first, last = (
        f"{write_date(end)} {'' if of_this_year else f'{end.year} '}{end:%H:%M}" for end in ends
    )
    return f"{first} – {last}"


def age_words(latest: LatestAir, session: DeskSession) -> str:
    """When the latest reading was taken, and how long ago that is."""
    now, read_at = session.now(), latest.reading.read_at
    moment = write_time(read_at, session.opened.zone, now)
    if now - read_at > _AGES_SHOWN:
        return translate("Air", "Read {moment}").format(moment=moment)
    ago = write_ago(read_at, now)
    return translate("Air", "Read {ago}, {moment}").format(ago=ago, moment=moment)


def is_old(latest: LatestAir, now: datetime) -> bool:
    """Whether the forecast no longer leans on this reading alone."""
    return (now - latest.reading.read_at).total_seconds() > starting_values().reading_age_s


def old_words() -> str:
    """What to do about an old reading."""
    age = write_duration(starting_values().reading_age_s)
    words = translate("Air", "More than {age} old. Read it again to be surer of the times.")
    return words.format(age=age)
