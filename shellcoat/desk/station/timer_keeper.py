"""Keeps the timers running whatever page is shown, and across restarts."""

from __future__ import annotations

import time
from collections.abc import Callable
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.bell import Bell
from shellcoat.desk.station.settings import StationSettings
from shellcoat.operations.station_timers import RunningTimer, TimerKind

TICK_MS = 250
KEEP_EVERY_S = 15.0
"""A clock that is set back while the program is closed is noticed to within this."""


def steady_s() -> float:
    """Seconds on a clock that nobody sets and that goes on while the machine sleeps.

    Python's monotonic clock does so on Windows and macOS; on Linux it stands still in sleep.
    """
    clock = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if clock is None else time.clock_gettime(clock)


class TimerKeeper(QObject):
    """The timers of one book.

    Signals
    -------
    ticked : a timer was started or stopped, or a second went by
    ended : the timers that have just run out
    """

    ticked = Signal()
    ended = Signal(object)

    def __init__(
        self,
        session: DeskSession,
        parent: QObject,
        *,
        steady: Callable[[], float] = steady_s,
        ring: Callable[[], None] | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._steady = session, steady
        self._ring = ring or Bell(self).ring
        self.settings = StationSettings(session.opened.shop.id)
        self.timers = self.settings.read_timers()
        self._steady_at: float | None = None
        self._kept_at = steady()
        self._clock = QTimer(self)
        self._clock.setInterval(TICK_MS)
        self._clock.timeout.connect(self.tick)

    def begin(self) -> None:
        """Go on with what was running when the program was closed."""
        if self.timers.running:
            self._clock.start()
            self.tick()

    def start(self, kind: TimerKind, about: str, seconds: float) -> UUID:
        """Start one more; returns its id."""
        known = {timer.id for timer in self.timers.running}
        self._settle()
        self.timers = self.timers.start(kind, about, seconds, self._session.now())
        self._keep()
        self._clock.start()
        self.ticked.emit()
        return next(timer.id for timer in self.timers.running if timer.id not in known)

    def stop(self, timer_id: UUID) -> None:
        """Stop one that runs; one that has run out is gone already."""
        self.timers = self.timers.stop(timer_id)
        self._keep()
        self.ticked.emit()

    def left(self) -> list[tuple[RunningTimer, float]]:
        """All that run with the seconds they still have, the one that ends first on top."""
        now = self._session.now()
        return [(timer, timer.left_s(now)) for timer in self.timers.running]

    @Slot()
    def tick(self) -> None:
        """Look at the clocks: move with one that was set, and tell of what has run out."""
        self._settle()
        over, self.timers = self.timers.ended(self._session.now())
        if over or self._steady() - self._kept_at > KEEP_EVERY_S:
            self._keep()
        if not self.timers.running:
            self._clock.stop()
        if over:
            if self._session.opened.shop.sound:
                self._ring()
            self.ended.emit(over)
        self.ticked.emit()

    def _settle(self) -> None:
        steady = self._steady()
        passed = None if self._steady_at is None else steady - self._steady_at
        self.timers = self.timers.settle(self._session.now(), passed)
        self._steady_at = steady

    def _keep(self) -> None:
        self._kept_at = self._steady()
        self.settings.keep_timers(self.timers)

    def close(self) -> None:
        """Stop looking; what runs goes on and is told of at the next start."""
        self._clock.stop()
        if self.timers.running:
            self._settle()
            self._keep()
