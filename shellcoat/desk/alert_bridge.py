"""Brings the alert clock's calls onto the window's thread, and tells a person there."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta

from PySide6.QtCore import QObject, Qt, QUrl, Signal, Slot
from PySide6.QtWidgets import QApplication, QSystemTrayIcon

from shellcoat.alerts.clock import AlertClock
from shellcoat.alerts.folding import AwaySummary, TellingLine, summary
from shellcoat.alerts.life import Alert, AlertState, alerts_of
from shellcoat.alerts.telling import Teller, Way
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_time
from shellcoat.places import resources_dir

log = logging.getLogger(__name__)


class SoundWay:
    """The two bell tones; a machine that cannot play them beeps."""

    name = "sound"

    def __init__(self, session: DeskSession) -> None:
        self._session = session
        self._effect: QObject | None = None

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Play once, unless the shop has silenced it."""
        if not lines or not self._session.opened.shop.sound:
            return
        # Loaded when first needed: the multimedia library takes longer to load than the window.
        try:
            from PySide6.QtMultimedia import QMediaDevices, QSoundEffect
        except ImportError:
            QApplication.beep()  # a machine without a sound library
            return
        if not QMediaDevices.audioOutputs():
            QApplication.beep()
            return
        if self._effect is None:
            effect = QSoundEffect(self._session)
            effect.setSource(QUrl.fromLocalFile(str(resources_dir() / "sounds" / "coat_dry.wav")))
            self._effect = effect
        self._effect.play()  # type: ignore[attr-defined]


class TrayWay:
    """The system's own notification, a courtesy: it may not appear, and nothing rests on it."""

    name = "desktop notification"

    def __init__(self, tray: QSystemTrayIcon) -> None:
        self._tray = tray

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Show the lines as one message."""
        if lines and self._tray.isVisible() and QSystemTrayIcon.supportsMessages():
            text = "\n".join(line.text for line in lines)
            self._tray.showMessage("shellcoat", text, self._tray.icon(), 20_000)


class AlertBridge(QObject):
    """Keeps the clock armed with what the forecast says, and tells what falls due.

    Signals
    -------
    told : lines for the banner
    came_due_while_away : the summary of what fell due while the program was closed
    clock_stepped : by how many seconds the system clock was set
    """

    told = Signal(object)
    came_due_while_away = Signal(object)
    clock_stepped = Signal(float)
    failed = Signal(str)
    _due = Signal(object)
    _stepped = Signal(float)

    def __init__(self, session: DeskSession, tray: QSystemTrayIcon | None, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._first = True
        self._alerts: list[Alert] = []
        ways: list[Way] = [SoundWay(session)]
        if tray is not None:
            ways.append(TrayWay(tray))
        self._teller = Teller(session.opened.book, session.opened.station, ways, self._say_time)
        self._clock = AlertClock(self._due.emit, self._emit_step, now=session.now)
        self._due.connect(self._on_due, Qt.ConnectionType.QueuedConnection)
        self._stepped.connect(self._on_step, Qt.ConnectionType.QueuedConnection)
        session.forecasts_changed.connect(self._on_forecasts)

    def _say_time(self, moment: datetime) -> str:
        return write_time(moment, self._session.opened.zone, self._session.now())

    def _emit_step(self, step: timedelta) -> None:
        self._stepped.emit(step.total_seconds())

    @property
    def waiting(self) -> list[Alert]:
        """What has been told and not yet been seen, oldest first."""
        return [alert for alert in self._alerts if alert.state is AlertState.TOLD]

    def start(self) -> None:
        """Sum up what fell due while away, then let the clock run."""
        self._on_forecasts()
        self._clock.start()

    @Slot()
    def _on_forecasts(self) -> None:
        self._look(self._session.now())
        if self._first and self._session.forecasts:
            self._first = False
            self._tell_of_absence()
        self._clock.arm(self._alerts)

    def _look(self, now: datetime) -> None:
        opened = self._session.opened
        self._alerts = alerts_of(self._session.forecasts, opened.ledger, now, self._teller.unsaved)

    def _tell_of_absence(self) -> None:
        away: AwaySummary = summary(self._alerts, self._session.now())
        if away.came_due or away.unseen:
            self._tell()
            self.came_due_while_away.emit(away.lines(self._session.now(), self._say_time))

    @Slot(object)
    def _on_due(self, _now: datetime) -> None:
        self._look(self._session.now())
        self._tell()

    def _tell(self) -> None:
        """Tell what is due; the banner gets the lines, faults of the ways are told too."""
        now, opened = self._session.now(), self._session.opened
        told = self._teller.tell(self._alerts, now, opened.who)
        for fault in told.faults:
            log.warning("%s", fault)
            self.failed.emit(fault)
        if told.lines:
            self._look(now)
            self.told.emit([line.text for line in told.lines])
        self._clock.arm(self._alerts)

    @Slot()
    def mark_seen(self) -> None:
        """A person has seen everything that was told."""
        opened, now = self._session.opened, self._session.now()
        waiting = self.waiting

        def mark() -> bool:
            self._teller.mark_seen(waiting, now, opened.who)
            return True

        if not opened.book.read_only:
            self._session.attempt(mark)
        self._look(now)

    @Slot(float)
    def _on_step(self, seconds: float) -> None:
        self._session.refresh_forecasts()
        self.clock_stepped.emit(seconds)

    def close(self) -> None:
        """Stop the clock."""
        self._clock.close()
