"""The alert clock: calls when something is due, through sleep and changes of the system clock.

Timers ring to the second, but they wait in a time of their own: none of them notices that the
computer slept or that somebody set its clock. So a heartbeat compares the wall clock with every
due time. The heartbeat is a wait of this module's own thread and not a job of the scheduler,
whose interval jobs stand still for an hour when the clock is set back by one.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from contextlib import closing
from datetime import UTC, datetime, timedelta
from types import TracebackType
from typing import TYPE_CHECKING, Self
from uuid import UUID

from shellcoat.alerts.life import UNTOLD, Alert

if TYPE_CHECKING:
    from shellcoat.alerts.timers import Timers

HEARTBEAT_S = 15.0
"""Seconds between two looks at the wall clock: what sleep may delay an alert by on waking."""

STEP = timedelta(minutes=2)
"""A wall clock that gains or loses more than this in one heartbeat has been set."""

# Linux stops its monotonic clock in sleep, so there it is another; macOS counts sleep in this one,
# though not in the clock behind `time.monotonic`; Windows has neither (from memory).
_COUNTS_SLEEP: int | None = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))

_log = logging.getLogger(__name__)


def utc_now() -> datetime:
    """Read the wall clock."""
    return datetime.now(UTC)


def steady_seconds() -> float:
    """Read a clock nobody can set, one that counts sleep where the system has such a one."""
    if _COUNTS_SLEEP is None:
        return time.monotonic()
    return time.clock_gettime(_COUNTS_SLEEP)


def ignore_step(_step: timedelta) -> None:
    """Take no notice of a clock that was set."""


class AlertClock:
    """Calls `on_due` with the time when an armed alert falls due.

    Both callbacks run in the clock's own thread, one at a time, and must not wait for the
    thread that closes the clock. An alert that is still armed when it has been called is called
    again at every heartbeat, so a telling that failed is tried again; whoever tells arms the
    clock anew afterwards. `on_clock_step` gets how far the wall clock was set.
    """

    def __init__(
        self,
        on_due: Callable[[datetime], None],
        on_clock_step: Callable[[timedelta], None] = ignore_step,
        *,
        now: Callable[[], datetime] = utc_now,
        monotonic: Callable[[], float] = steady_seconds,
        heartbeat_s: float = HEARTBEAT_S,
    ) -> None:
        self._on_due = on_due
        self._on_clock_step = on_clock_step
        self._now = now
        self._monotonic = monotonic
        self._heartbeat_s = heartbeat_s
        self._armed: Mapping[UUID, datetime] = {}
        self._called: set[UUID] = set()
        self._last_look = (now(), monotonic())
        self._wake = threading.Event()
        self._closing = threading.Event()
        self._thread: threading.Thread | None = None

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def start(self) -> None:
        """Start the clock's thread; what is due already is called at once."""
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="alert clock", daemon=True)
            self._thread.start()

    def arm(self, alerts: Iterable[Alert]) -> None:
        """Watch the untold ones of these alerts, and no others; cheap, from any thread."""
        armed = {alert.about: alert.calls_at for alert in alerts if alert.state in UNTOLD}
        if armed != self._armed:
            self._armed = armed
            self._wake.set()

    def beat(self, *, again: bool = True) -> None:
        """Look at the clocks once; call what is due, also what was called before if `again`."""
        now = self._now()
        self._look_for_step(now)
        due = {about for about, due_at in self._armed.items() if due_at <= now}
        fresh = due - self._called
        self._called = due
        if fresh or (again and due):
            self._on_due(now)

    def close(self) -> None:
        """Stop; when this returns, no thread of the clock is left.

        Called from a callback it returns first, and the threads end after that callback.
        """
        self._closing.set()
        self._wake.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join()

    def _look_for_step(self, now: datetime) -> None:
        steady = self._monotonic()
        last_now, last_steady = self._last_look
        self._last_look = (now, steady)
        step = (now - last_now) - timedelta(seconds=steady - last_steady)
        if abs(step) > STEP:
            self._on_clock_step(step)

    def _run(self) -> None:
        # Loaded here, in the background, as it takes longer than a window may stand still.
        from shellcoat.alerts.timers import Timers

        next_heartbeat = time.monotonic()
        with closing(Timers(self._wake.set)) as timers:
            while not self._closing.is_set():
                again = time.monotonic() >= next_heartbeat
                if again:
                    next_heartbeat = time.monotonic() + self._heartbeat_s
                self._turn(timers, again)
                self._wake.wait(max(next_heartbeat - time.monotonic(), 0.0))
                self._wake.clear()

    def _turn(self, timers: Timers, again: bool) -> None:
        try:
            timers.set_to(self._still_to_come())
            self.beat(again=again)
        except Exception:  # noqa: BLE001 - a door: alerts outlive a caller's bug
            _log.exception("A call of the alert clock failed; it is tried again.")

    def _still_to_come(self) -> dict[UUID, datetime]:
        now = self._now()
        return {about: due_at for about, due_at in self._armed.items() if due_at > now}
