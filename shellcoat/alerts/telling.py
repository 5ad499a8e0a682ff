"""Telling: marked in the book first, then told in every way there is.

The mark comes first, so that an alert is told once although the program may die at any moment.
Where the book cannot take the mark, the alert is told all the same: twice is better than never.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol
from uuid import UUID

from shellcoat.alerts import words
from shellcoat.alerts.folding import TellingLine, fold
from shellcoat.alerts.life import OPEN, Alert, AlertState, mark_id, to_tell
from shellcoat.alerts.limits import longest_put_off
from shellcoat.alerts.words import SayTime
from shellcoat.book.faults import EntryIdReusedError
from shellcoat.errors import MendableError, ShellcoatError
from shellcoat.shop import AlertMark, AlertStep, Entry, Ledger

FLOOD_WITHIN = timedelta(minutes=10)
"""The time over which new alerts are counted before they are folded, see `folding.MOST_LINES`."""


class PutOffTooLongError(MendableError):
    """An alert put off until nobody remembers it, or until a time that is over."""


class MarkedBook(Protocol):
    """What telling needs of a book."""

    @property
    def read_only(self) -> bool:
        """Whether nothing can be written."""

    @property
    def ledger(self) -> Ledger:
        """What stands in the book."""

    def append(self, entries: Sequence[Entry]) -> None:
        """Keep entries durably, passing over those that are in the book already."""


class Way(Protocol):
    """One way to reach a person, such as a banner or a sound.

    A way that does not work raises a `ShellcoatError` or an `OSError` that says why.
    """

    @property
    def name(self) -> str:
        """What people call it, such as "desktop notification"."""

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Tell a person; must not wait for one."""


@dataclass(frozen=True, slots=True)
class Told:
    """What one telling told, and in words what of it did not work."""

    lines: tuple[TellingLine, ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def alerts(self) -> tuple[Alert, ...]:
        """The alerts that were told."""
        return tuple(alert for line in self.lines for alert in line.alerts)


_Marked = tuple[Alert, Entry]


class Teller:
    """Tells what is due, once, and marks it in the book."""

    def __init__(
        self, book: MarkedBook, station: str, ways: Sequence[Way], say_time: SayTime
    ) -> None:
        self._book = book
        self._station = station
        self._ways = tuple(ways)
        self._say_time = say_time
        # Reentrant, because the book calls its listeners before `append` returns.
        self._guard = threading.RLock()
        self._claimed: set[UUID] = set()
        self._unsaved: dict[UUID, Entry] = {}
        self._lately: deque[tuple[datetime, int]] = deque()

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        """Marks the book could not take, for `alerts_of`; tried again with the next mark."""
        return tuple(self._unsaved.values())

    def tell(self, alerts: Iterable[Alert], now: datetime, who: str) -> Told:
        """Tell those of the alerts that are due and have not been told."""
        marked = [
            (alert, self._mark(alert, AlertStep.TOLD, now, who)) for alert in to_tell(alerts, now)
        ]
        claimed = self._claim(marked)
        if not claimed:
            return Told()
        faults: list[str] = []
        try:
            faults += self._keep_or_remember([mark for _, mark in claimed])
        finally:
            # Even when a listener of the book raises, for by then the marks are kept.
            lines = self._lines(self._ours(claimed), now)
            faults += self._call_ways(lines)
        return Told(lines, tuple(faults))

    def _lines(self, alerts: Sequence[Alert], now: datetime) -> tuple[TellingLine, ...]:
        """Fold alerts, also where they come one by one but many in ten minutes."""
        with self._guard:
            # A clock that was set back leaves tellings of the future, which count no more.
            recent = [one for one in self._lately if timedelta(0) <= now - one[0] < FLOOD_WITHIN]
            self._lately = deque([*recent, (now, len(alerts))])
        lately = sum(count for _, count in recent)
        return tuple(fold(alerts, now, self._say_time, lately=lately))

    def mark_seen(self, alerts: Iterable[Alert], now: datetime, who: str) -> None:
        """Mark alerts as seen by a person, who gets the error if the book cannot take it."""
        over = (AlertState.SEEN, AlertState.DONE, AlertState.SUPPRESSED)
        marks = [
            self._mark(alert, AlertStep.SEEN, now, who)
            for alert in alerts
            if alert.state not in over
        ]
        if marks:
            self._keep(marks)

    def put_off(self, alerts: Iterable[Alert], until: datetime, now: datetime, who: str) -> None:
        """Put off alerts that wait for a person; they are told again once the time is over."""
        longest = longest_put_off()
        if not now < until <= now + longest:
            raise PutOffTooLongError(
                f"Put off until: give a time that lies ahead, by {longest.days} days at most."
            )
        marks = [
            self._mark(alert, AlertStep.PUT_OFF, now, who, until)
            for alert in alerts
            if alert.state in OPEN
        ]
        if marks:
            self._keep(marks)

    def _mark(
        self,
        alert: Alert,
        step: AlertStep,
        now: datetime,
        who: str,
        until: datetime | None = None,
    ) -> Entry:
        name = mark_id(alert.about, step, alert.turn)
        mark = AlertMark(
            id=name, about=alert.about, step=step, due_at=alert.due_at, at=now, until=until
        )
        return Entry(id=name, recorded_at=now, who=who, station=self._station, record=mark)

    def _claim(self, marked: Sequence[_Marked]) -> list[_Marked]:
        with self._guard:
            claimed = [pair for pair in marked if pair[1].id not in self._claimed]
            self._claimed.update(mark.id for _, mark in claimed)
        return claimed

    def _ours(self, claimed: Sequence[_Marked]) -> list[Alert]:
        """Leave out what another program has told in the meantime: its mark stands."""
        entries = self._book.ledger.entries
        return [alert for alert, mark in claimed if entries.get(mark.id, mark) == mark]

    def _keep_or_remember(self, marks: Sequence[Entry]) -> list[str]:
        with self._guard:
            try:
                self._keep(marks)
            except ShellcoatError as fault:
                self._unsaved |= {mark.id: mark for mark in marks}
                return [words.not_marked(fault)]
        return []

    def _keep(self, marks: Sequence[Entry]) -> None:
        with self._guard:
            waiting = self._unsaved | {mark.id: mark for mark in marks}
            if self._book.read_only:
                self._unsaved = waiting
                return
            keep_marks(self._book, waiting.values())
            self._unsaved = {}

    def _call_ways(self, lines: Sequence[TellingLine]) -> list[str]:
        faults: list[str] = []
        # The stack calls every way, even those after one that fails in an unforeseen manner.
        with ExitStack() as stack:
            for way in reversed(self._ways if lines else ()):
                stack.callback(_call_way, way, lines, faults)
        return faults


def keep_marks(book: MarkedBook, marks: Iterable[Entry]) -> None:
    """Keep marks in the book, but where another program was first, leave its mark."""
    waiting = {mark.id: mark for mark in marks}
    while waiting:
        try:
            book.append(tuple(waiting.values()))
        except EntryIdReusedError as first:
            del waiting[first.entry.id]
        else:
            return


def _call_way(way: Way, lines: Sequence[TellingLine], faults: list[str]) -> None:
    try:
        way.tell(lines)
    except (ShellcoatError, OSError) as fault:
        faults.append(words.way_failed(way.name, fault))
