"""The life of an alert: pending, due, told, seen, put off, done.

The states are those of IEC 62682 and ANSI/ISA-18.2, scaled to a studio: told is unacknowledged,
seen is acknowledged, put off is shelved (always with an end, and by somebody), suppressed is what
a shell on hold or finished does to its own alerts, done is the return to normal.

An alert is never stored; it follows from the forecast, from the coats that stand in the ledger,
and from the marks that say what has been told, seen and put off. So it survives a restart, an
undone dip and a reading that comes late. Each putting off begins another turn: once its end is
over the alert is told again, and may be seen or put off again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from functools import lru_cache
from uuid import UUID, uuid5

from shellcoat.shop import AlertMark, AlertStep, Coat, Entry, Ledger


class AlertKind(Enum):
    """A prompt calls to the next act of normal work, an alarm to something abnormal."""

    PROMPT = "prompt"
    ALARM = "alarm"


class AlertWhat(Enum):
    """What a person is called to.

    A coat that is dry and a dip that is due are one prompt, since both come at the safe time.
    """

    NEXT_DIP = "next dip"
    REVIEW = "review"
    CORE_NOT_DRYING = "core not drying"
    CORE_CLOSING = "core closing over water"
    CORE_LOCKED = "core closed over water"
    COAT_NOT_DRYING = "coat not drying"
    PAST_LATEST_DIP = "past the latest dip"
    ROOM_SWING = "room swing"
    NO_READING = "no reading"
    BACKUP = "backup failing"

    @property
    def kind(self) -> AlertKind:
        """Whether it is a prompt or an alarm."""
        return AlertKind.PROMPT if self in PROMPTS else AlertKind.ALARM


PROMPTS = frozenset({AlertWhat.NEXT_DIP, AlertWhat.REVIEW})


class AlertState(Enum):
    """How far an alert has come."""

    PENDING = "pending"
    DUE = "due"
    TOLD = "told"
    SEEN = "seen"
    PUT_OFF = "put off"
    DONE = "done"
    SUPPRESSED = "suppressed"


UNTOLD = (AlertState.PENDING, AlertState.DUE, AlertState.PUT_OFF)
"""States from which an alert is still to be told, now or later."""

OPEN = (AlertState.DUE, AlertState.TOLD, AlertState.SEEN, AlertState.PUT_OFF)
"""States of what waits for a person, whether they know of it or not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One call to a person; `about` is its identity, which its marks in the book carry too.

    `due_at` of a prompt is the forecast's safe time (for a review, the end of the final hold), of
    an alarm when its limit was passed, until it is told; from then on the time it was told with.
    `shell_id` and `coat_id` are None where it is about a room or the book. `subject` names the
    core or the room, or says what is wrong; `since` is the last reading or the last good backup.
    `turn` counts how often it was put off, `until` is the end of the last time.
    """

    about: UUID
    what: AlertWhat
    state: AlertState
    due_at: datetime
    coat_id: UUID | None = None
    shell_id: UUID | None = None
    shell_name: str = ""
    rack_place: str = ""
    coat_number: int = 0
    coats_planned: int = 0
    subject: str = ""
    since: datetime | None = None
    turn: int = 0
    until: datetime | None = None

    @property
    def kind(self) -> AlertKind:
        """Whether it is a prompt or an alarm."""
        return self.what.kind

    @property
    def calls_at(self) -> datetime:
        """When it is to be told: when due, or once the time is over until which it was put off."""
        return self.until or self.due_at


def identity(coat: Coat, what: AlertWhat, subject: str = "") -> UUID:
    """Name the alert of a coat as dipped; each thing there is to say has a name of its own.

    A coat whose time was put right dries anew and is told anew. A last coat that was told as
    "ready for review" stops being the last when another is added to the sequence, and then its
    next dip is still to be told. An alarm that comes and goes over one coat is one alarm: a
    forecast at the very edge of its certainty would otherwise call again and again.
    """
    name = f"{what.value} {coat.dipped_at.isoformat()}"
    return _named(coat.id, f"{name} {subject}" if subject else name)


def mark_id(about: UUID, step: AlertStep, turn: int = 0) -> UUID:
    """Name the mark of an alert, so that it is found at once and only one program can make it."""
    return _named(about, f"{step.value} {turn}" if turn else step.value)


# The same few names are asked for at every look, and hashing is most of what a look costs.
_named = lru_cache(maxsize=20_000)(uuid5)


def to_tell(alerts: Iterable[Alert], now: datetime) -> list[Alert]:
    """Pick what is to be told at `now` and has not been told, or not since it was put off."""
    return [alert for alert in alerts if alert.state in UNTOLD and alert.calls_at <= now]


def lateness(alert: Alert, now: datetime) -> timedelta:
    """Tell how long ago an alert fell due; nothing before it does."""
    return max(now - alert.due_at, timedelta(0))


@dataclass(frozen=True, slots=True)
class Trail:
    """What the marks of one alert say: its turn, the time it carries, and how far it has come."""

    turn: int = 0
    until: datetime | None = None
    due_at: datetime | None = None
    furthest: AlertStep | None = None

    def state(self, due_at: datetime, now: datetime) -> AlertState:
        """How far an alert has come that is neither done nor suppressed."""
        if self.furthest is not None:
            return AlertState.SEEN if self.furthest is AlertStep.SEEN else AlertState.TOLD
        if self.until is not None:
            return AlertState.PUT_OFF if now < self.until else AlertState.DUE
        return AlertState.DUE if due_at <= now else AlertState.PENDING


@dataclass(frozen=True, slots=True)
class Marks:
    """Finds marks by their ids: a search would grow with the book, and each repaint asks."""

    ledger: Ledger
    unsaved: Mapping[UUID, Entry]

    def trail(self, about: UUID) -> Trail:
        """Follow an alert through its turns; seen counts for more than told."""
        turn, last = 0, None
        while (put_off := self._find(about, AlertStep.PUT_OFF, turn)) is not None:
            turn, last = turn + 1, put_off
        mark = self._find(about, AlertStep.SEEN, turn) or self._find(about, AlertStep.TOLD, turn)
        known = mark or last
        return Trail(
            turn=turn,
            until=last.until if last else None,
            due_at=known.due_at if known else None,
            furthest=mark.step if mark else None,
        )

    def who(self, alert: Alert) -> str:
        """Who put an alert off, or marked it as seen; nobody where it was only told."""
        entry = self._entry(mark_id(alert.about, AlertStep.SEEN, alert.turn))
        if entry is None and alert.turn:
            entry = self._entry(mark_id(alert.about, AlertStep.PUT_OFF, alert.turn - 1))
        return entry.who if entry else ""

    def _find(self, about: UUID, step: AlertStep, turn: int) -> AlertMark | None:
        entry = self._entry(mark_id(about, step, turn))
        return entry.record if entry and isinstance(entry.record, AlertMark) else None

    def _entry(self, wanted: UUID) -> Entry | None:
        return self.ledger.live.get(wanted) or self.unsaved.get(wanted)
