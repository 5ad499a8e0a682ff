"""Brings the alert clock's calls onto the window's thread, and tells a person there."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence, Set
from datetime import datetime
from uuid import UUID

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QSystemTrayIcon

from shellcoat.alerts.alarms import BackupFault
from shellcoat.alerts.clock import AlertClock
from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.folding import TellingLine, fold, summary
from shellcoat.alerts.life import OPEN, Alert, AlertKind, AlertState, Marks
from shellcoat.alerts.sounding import Sounding
from shellcoat.alerts.telling import Teller
from shellcoat.desk.alerts.outlets import BrokerOutlet, CalendarOutlet
from shellcoat.desk.alerts.ways import SoundPlayer, TrayWay
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_time
from shellcoat.shop import AlertMark, AlertStep, Entry

log = logging.getLogger(__name__)

SOUND_LOOK_MS = 15_000


class AlertBridge(QObject):
    """Keeps the clock armed with what the forecast says, and tells what falls due.

    Signals
    -------
    told, alarmed : lines of prompts and of alarms for their banners
    came_due_while_away : the summary of what fell due while the program was closed
    clock_stepped : by how many seconds the system clock was set
    changed : the alerts are others, or have come further
    answered : the kind of which a person has seen, or put off, the last that waited
    """

    told = Signal(object)
    alarmed = Signal(object)
    came_due_while_away = Signal(object)
    clock_stepped = Signal(float)
    failed = Signal(str)
    changed = Signal()
    answered = Signal(object)
    _due = Signal(object)
    _stepped = Signal(float)

    def __init__(self, session: DeskSession, tray: QSystemTrayIcon | None, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._first = True
        self._started = False
        self._telling = False
        self._shown: set[tuple[UUID, int]] = set()
        self._backup: BackupFault | None = None
        self.alerts: list[Alert] = []
        self.sounding = Sounding()
        self.sound = SoundPlayer(self)
        self.tray = TrayWay(tray)
        self.calendar = CalendarOutlet(session, self)
        self.broker = BrokerOutlet(session, self)
        for outlet in (self.calendar, self.broker):
            outlet.failed.connect(self.failed)
        opened, ways = session.opened, (self.tray, self.broker)
        self._teller = Teller(opened.book, opened.station, ways, self.say_time)
        self._clock = AlertClock(
            self._due.emit, lambda step: self._stepped.emit(step.total_seconds()), now=session.now
        )
        self._due.connect(self._on_due, Qt.ConnectionType.QueuedConnection)
        self._stepped.connect(self._on_step, Qt.ConnectionType.QueuedConnection)
        session.forecasts_changed.connect(self._on_forecasts)
        session.changed.connect(self._on_kept)
        self._sound_timer = QTimer(self)
        self._sound_timer.setInterval(SOUND_LOOK_MS)
        self._sound_timer.timeout.connect(self.look_at_sound)

    def say_time(self, moment: datetime) -> str:
        """A time as the shop's pages write it."""
        return write_time(moment, self._session.opened.zone, self._session.now())

    def waiting(self, kind: AlertKind) -> list[Alert]:
        """What has been told and not yet been seen, oldest first."""
        told = [alert for alert in self.alerts if alert.state is AlertState.TOLD]
        return [alert for alert in told if alert.kind is kind]

    def open_alerts(self, kind: AlertKind) -> list[Alert]:
        """Everything that waits for a person, also what was seen or put off, oldest first."""
        return [alert for alert in self.alerts if alert.kind is kind and alert.state in OPEN]

    def who(self, alert: Alert) -> str:
        """Who put an alert off or marked it as seen."""
        unsaved = {entry.id: entry for entry in self._teller.unsaved}
        return Marks(self._session.opened.ledger, unsaved).who(alert)

    def start(self) -> None:
        """Sum up what fell due while away, then let the clock run."""
        self._on_forecasts()
        self._clock.start()
        self._sound_timer.start()
        self.broker.follow()
        self._started = True

    @Slot()
    def _on_forecasts(self) -> None:
        self._look(self._session.now())
        if self._first and self._session.forecasts:
            self._first = False
            self._tell_of_absence()
        elif not self._first:
            self._say_what_others_told()
        self._clock.arm(self.alerts)
        if self._started and self._session.forecasts:
            self.calendar.update(self.alerts)

    @Slot(object)
    def _on_kept(self, entries: Sequence[Entry]) -> None:
        """Take in what was kept, by whatever station: other habits, and alerts told and seen."""
        if not self._started:
            return
        self.broker.follow()
        marks = [entry.record for entry in entries if isinstance(entry.record, AlertMark)]
        if marks and not self._telling and not self._first:
            self._look(self._session.now())
            self._say_what_others_told()
            self._tell_answered({mark.about for mark in marks if mark.step is not AlertStep.TOLD})

    def _say_what_others_told(self) -> None:
        """Whichever station tells first tells alone; the others show and sound it all the same."""
        fresh = self._told_now() - self._shown
        self._shown = self._told_now()
        if fresh:
            alerts = [one for one in self.alerts if (one.about, one.turn) in fresh]
            self._say(fold(alerts, self._session.now(), self.say_time))

    def _told_now(self) -> set[tuple[UUID, int]]:
        told = [one for one in self.alerts if one.state is AlertState.TOLD]
        return {(one.about, one.turn) for one in told}

    def _tell_answered(self, abouts: Set[UUID]) -> None:
        """Let the banners go of a kind of which the last that waited is among these."""
        for kind in {alert.kind for alert in self.alerts if alert.about in abouts}:
            if not self.waiting(kind):
                self.answered.emit(kind)

    def _look(self, now: datetime) -> None:
        ledger, forecasts = self._session.opened.ledger, self._session.forecasts
        found = alerts_of(forecasts, ledger, now, self._teller.unsaved, self._backup)
        if found != self.alerts:
            self.alerts = found
            self.changed.emit()

    def _tell_of_absence(self) -> None:
        away = summary(self.alerts, self._session.now())
        if away.came_due or away.unseen:
            self._tell()
            self.came_due_while_away.emit(away.lines(self._session.now(), self.say_time))
            self._show_unseen_alarms()
        self._shown = self._told_now()

    def _show_unseen_alarms(self) -> None:
        """What was told before the restart and nobody has seen stands in its banner again."""
        unseen = fold(self.waiting(AlertKind.ALARM), self._session.now(), self.say_time)
        if unseen:
            self.alarmed.emit([line.text for line in unseen])

    @Slot(object)
    def _on_due(self, _now: datetime) -> None:
        self._look(self._session.now())
        self._tell()

    def _tell(self) -> None:
        """Tell what is due; the banners get the lines, faults of the ways are told too."""
        now, opened = self._session.now(), self._session.opened
        self._telling = True
        try:
            told = self._teller.tell(self.alerts, now, opened.who)
        finally:
            self._telling = False
        for fault in told.faults:
            log.warning("%s", fault)
            self.failed.emit(fault)
        if told.lines:
            self._look(now)
            self._shown |= {(one.about, one.turn) for one in told.alerts}
            self._say(told.lines)
        self._clock.arm(self.alerts)

    def _say(self, lines: Sequence[TellingLine]) -> None:
        """Show lines in the banners of their kinds, and let them sound."""
        self.sounding.tell({line.kind for line in lines})
        for kind, signal in ((AlertKind.PROMPT, self.told), (AlertKind.ALARM, self.alarmed)):
            texts = [line.text for line in lines if line.kind is kind]
            if texts:
                signal.emit(texts)
        self.look_at_sound()

    @Slot()
    def look_at_sound(self) -> None:
        """Play what is to be heard now, if anything is."""
        kind = self.sounding.look(self.alerts, self._session.opened.shop, self._session.now())
        if kind is not None:
            self.sound.play(kind)

    def mute(self, until: datetime | None) -> None:
        """Hold the sound until a time; None lets it sound again."""
        self.sounding.muted_until = until
        self.changed.emit()

    def mark_all_seen(self, kind: AlertKind) -> None:
        """A person has seen everything of a kind that was told."""
        self.mark_seen(self.waiting(kind))

    def mark_seen(self, alerts: Sequence[Alert]) -> None:
        """A person has seen these."""
        now, who = self._session.now(), self._session.opened.who
        self._attempt(lambda: self._teller.mark_seen(alerts, now, who), alerts)

    def put_off(self, alerts: Sequence[Alert], until: datetime) -> None:
        """A person wants to be told of these again later."""
        now, who = self._session.now(), self._session.opened.who
        self._attempt(lambda: self._teller.put_off(alerts, until, now, who), alerts)

    def _attempt(self, act: Callable[[], None], alerts: Sequence[Alert]) -> None:
        self._session.attempt(act)
        self._look(self._session.now())
        self._clock.arm(self.alerts)
        self._tell_answered({alert.about for alert in alerts})

    @Slot(object)
    def on_backup(self, fault: BackupFault | None) -> None:
        """Take in whether the book could be copied."""
        self._backup = fault
        self._look(self._session.now())
        # Where there is no shell yet, no forecast comes that would end the waiting for it.
        if not self._first or not self._session.opened.ledger.shells:
            self._tell()

    @Slot(float)
    def _on_step(self, seconds: float) -> None:
        self._session.refresh_forecasts()
        self.clock_stepped.emit(seconds)

    def close(self) -> None:
        """Stop the clock."""
        self._started = False
        self._sound_timer.stop()
        self.broker.close()
        self._clock.close()
