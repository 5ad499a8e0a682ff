"""The life of an alert: pending, due, told, seen, done.

An alert is about one coat. It is never stored; it follows from the forecast, from the coats that
stand in the ledger, and from the marks that say what has been told and seen. So it survives a
restart, an undone dip and a reading that comes late.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from uuid import UUID, uuid5

from shellcoat.forecast.answers import ShellForecast
from shellcoat.shop import AlertMark, AlertStep, Coat, Ledger, Shell, ShellState


class AlertWhat(Enum):
    """What a person is called to."""

    NEXT_DIP = "next dip"
    REVIEW = "review"


class AlertState(Enum):
    """How far an alert has come."""

    PENDING = "pending"
    DUE = "due"
    TOLD = "told"
    SEEN = "seen"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One call to one shell; `about` is its identity, which its marks in the book carry too.

    `due_at` is the forecast's safe time (for a review, the end of the final hold) until the
    alert is told, and from then on the time it was told with.
    """

    about: UUID
    coat_id: UUID
    shell_id: UUID
    shell_name: str
    rack_place: str
    coat_number: int
    coats_planned: int
    due_at: datetime
    what: AlertWhat
    state: AlertState


def identity(coat: Coat, what: AlertWhat) -> UUID:
    """Name the alert of a coat as dipped; the review has a name of its own.

    A coat whose time was put right dries anew and is told anew. A last coat that was told as
    "ready for review" stops being the last when another is added to the sequence, and then its
    next dip is still to be told.
    """
    return uuid5(coat.id, f"{what.value} {coat.dipped_at.isoformat()}")


def mark_id(about: UUID, step: AlertStep) -> UUID:
    """Name the mark of an alert, so that it is found at once and only one program can make it."""
    return uuid5(about, step.value)


def alerts_of(
    forecasts: Mapping[UUID, ShellForecast],
    ledger: Ledger,
    now: datetime,
    unsaved: Iterable[AlertMark] = (),
) -> list[Alert]:
    """Give the alerts of every forecast shell, oldest due first.

    For each shell that of its present coat, and the one its last dip was the answer to. The
    ledger decides which coats stand, for a forecast may still be of the moment before the last
    dip. `unsaved` are marks the book could not take.
    """
    marks = _Marks(ledger, {mark.id: mark for mark in unsaved})
    found = [
        alert
        for shell_id, forecast in forecasts.items()
        if shell_id in ledger.live
        for alert in _shell_alerts(
            ledger.shell(shell_id), ledger.coats(shell_id), forecast, marks, now
        )
    ]
    return sorted(found, key=lambda alert: (alert.due_at, alert.shell_name, alert.about))


def to_tell(alerts: Iterable[Alert], now: datetime) -> list[Alert]:
    """Pick what is due at `now` and has never been told."""
    untold = (AlertState.PENDING, AlertState.DUE)
    return [alert for alert in alerts if alert.state in untold and alert.due_at <= now]


def lateness(alert: Alert, now: datetime) -> timedelta:
    """Tell how long ago an alert fell due; nothing before it does."""
    return max(now - alert.due_at, timedelta(0))


@dataclass(frozen=True, slots=True)
class _Marks:
    """Finds marks by their ids: a search would grow with the book, and each repaint asks."""

    ledger: Ledger
    unsaved: Mapping[UUID, AlertMark]

    def furthest(self, about: UUID) -> AlertMark | None:
        """Find how far an alert has come: seen counts for more than told."""
        return self._find(about, AlertStep.SEEN) or self._find(about, AlertStep.TOLD)

    def _find(self, about: UUID, step: AlertStep) -> AlertMark | None:
        wanted = mark_id(about, step)
        entry = self.ledger.live.get(wanted)
        found = self.unsaved.get(wanted) if entry is None else entry.record
        return found if isinstance(found, AlertMark) else None


def _shell_alerts(
    shell: Shell,
    coats: tuple[Coat, ...],
    forecast: ShellForecast,
    marks: _Marks,
    now: datetime,
) -> Iterator[Alert]:
    for number, coat in list(enumerate(coats, start=1))[-2:]:
        what = AlertWhat.NEXT_DIP if shell.next_step(number) else AlertWhat.REVIEW
        about = identity(coat, what)
        mark = marks.furthest(about)
        due_at = mark.due_at if mark else _due_at(forecast, coat, what)
        if due_at is None:
            continue
        waiting = number == len(coats) and shell.state is ShellState.IN_WORK
        yield Alert(
            about=about,
            coat_id=coat.id,
            shell_id=shell.id,
            shell_name=shell.name,
            rack_place=shell.rack_place,
            coat_number=number,
            coats_planned=len(shell.sequence.steps),
            due_at=due_at,
            what=what,
            state=_state(mark, due_at, now) if waiting else AlertState.DONE,
        )


def _due_at(forecast: ShellForecast, coat: Coat, what: AlertWhat) -> datetime | None:
    """Look up when a coat calls; None while the forecast knows nothing that fits."""
    answer = next((one for one in forecast.coats if one.coat_id == coat.id), None)
    if answer is None:
        return None
    if what is AlertWhat.NEXT_DIP:
        return answer.safe_at
    holds = forecast.next_step is None and forecast.coats[-1] is answer
    return forecast.due_at if holds else None


def _state(mark: AlertMark | None, due_at: datetime, now: datetime) -> AlertState:
    if mark is not None:
        return AlertState.SEEN if mark.step is AlertStep.SEEN else AlertState.TOLD
    return AlertState.DUE if due_at <= now else AlertState.PENDING
