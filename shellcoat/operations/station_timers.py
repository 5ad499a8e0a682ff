"""The station's timers: draining, hanging after the stucco, and the time between dips.

They run on the wall clock, so that they go on while the program is closed. Where the clock is set
while they run, they move with it: what a timer still has to run is what counts.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from enum import Enum
from uuid import UUID, uuid4

from shellcoat.shop import CoatKind

MOST_TIMERS = 12
LONGEST_S = 7 * 86_400
SHORTEST_S = 5

STEP_ALLOWED = timedelta(seconds=10)
"""Two clocks read one after the other may differ by so much without either having been set."""


class TimerKind(Enum):
    """What a timer waits for."""

    DRAIN = "drain"
    STUCCO = "stucco hang"
    BETWEEN = "between dips"


NEXT_WORDS = {
    TimerKind.DRAIN: "DRAINED: STUCCO NOW",
    TimerKind.STUCCO: "HUNG: TO THE RACK",
    TimerKind.BETWEEN: "TIME FOR THE NEXT DIP",
}

USUAL_S: Mapping[tuple[TimerKind, CoatKind], int] = {
    (TimerKind.DRAIN, CoatKind.PRIME): 60,
    (TimerKind.DRAIN, CoatKind.BACKUP): 45,
    (TimerKind.DRAIN, CoatKind.SEAL): 90,
    (TimerKind.STUCCO, CoatKind.PRIME): 60,
    (TimerKind.STUCCO, CoatKind.BACKUP): 60,
    (TimerKind.STUCCO, CoatKind.SEAL): 60,
    (TimerKind.BETWEEN, CoatKind.PRIME): 4 * 3600,
    (TimerKind.BETWEEN, CoatKind.BACKUP): 3 * 3600,
    (TimerKind.BETWEEN, CoatKind.SEAL): 4 * 3600,
}
"""Seconds to begin with, until the shop sets its own: common practice, from memory. The forecast,
not the timer between dips, says when a coat is dry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningTimer:
    """One timer: what it waits for, on which shell and coat, and from when to when."""

    id: UUID
    kind: TimerKind
    about: str
    started_at: datetime
    ends_at: datetime

    def left_s(self, now: datetime) -> float:
        """What it still has to run [s], never below nothing."""
        return max((self.ends_at - now).total_seconds(), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timers:
    """All that run, the one that ends first on top; `seen_at` is when they were last looked at."""

    running: tuple[RunningTimer, ...] = ()
    seen_at: datetime | None = None

    def start(self, kind: TimerKind, about: str, seconds: float, now: datetime) -> Timers:
        """With one more; the one that ends last goes where there are too many."""
        timer = RunningTimer(
            id=uuid4(),
            kind=kind,
            about=about,
            started_at=now,
            ends_at=now + timedelta(seconds=min(max(seconds, SHORTEST_S), LONGEST_S)),
        )
        others = self.running[: MOST_TIMERS - 1]
        return _sorted((*others, timer), now)

    def stop(self, timer_id: UUID) -> Timers:
        """Without one of them."""
        return replace(self, running=tuple(one for one in self.running if one.id != timer_id))

    def settle(self, now: datetime, passed_s: float | None) -> Timers:
        """Look at them again `passed_s` [s] later by a clock that nobody sets.

        Without such a clock (the program was closed) a wall clock that has gone back was set;
        one that has gone on tells the time that passed.
        """
        if self.seen_at is None:
            return replace(self, seen_at=now)
        passed = timedelta(seconds=passed_s) if passed_s is not None else None
        expected = self.seen_at + passed if passed is not None else max(self.seen_at, now)
        step = now - expected
        if abs(step) <= STEP_ALLOWED:
            return replace(self, seen_at=now)
        return _sorted(tuple(_moved(one, step) for one in self.running), now)

    def ended(self, now: datetime) -> tuple[tuple[RunningTimer, ...], Timers]:
        """Those that have ended, and the rest: each is told of once, since it then is gone."""
        over = tuple(one for one in self.running if one.ends_at <= now)
        rest = tuple(one for one in self.running if one.ends_at > now)
        return over, replace(self, running=rest)

    def written(self) -> str:
        """As text, to be kept."""
        plain = {
            "seen_at": self.seen_at.isoformat() if self.seen_at else None,
            "running": [_plain(one) for one in self.running],
        }
        return json.dumps(plain)


def read_timers(text: str) -> Timers:
    """The timers that were kept; none where the text is not one of ours."""
    try:
        plain = json.loads(text)
        seen = plain["seen_at"]
        return Timers(
            running=tuple(_read(one) for one in plain["running"]),
            seen_at=_read_time(seen) if seen else None,
        )
    except (ValueError, KeyError, TypeError):
        return Timers()


def _plain(timer: RunningTimer) -> dict[str, str]:
    return {
        "id": str(timer.id),
        "kind": timer.kind.value,
        "about": timer.about,
        "started_at": timer.started_at.isoformat(),
        "ends_at": timer.ends_at.isoformat(),
    }


def _read(plain: Mapping[str, str]) -> RunningTimer:
    return RunningTimer(
        id=UUID(plain["id"]),
        kind=TimerKind(plain["kind"]),
        about=str(plain["about"]),
        started_at=_read_time(plain["started_at"]),
        ends_at=_read_time(plain["ends_at"]),
    )


def _read_time(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


def _moved(timer: RunningTimer, step: timedelta) -> RunningTimer:
    return replace(timer, started_at=timer.started_at + step, ends_at=timer.ends_at + step)


def _sorted(timers: tuple[RunningTimer, ...], now: datetime) -> Timers:
    return Timers(running=tuple(sorted(timers, key=lambda one: one.ends_at)), seen_at=now)


def write_left(seconds: float) -> str:
    """What a timer has still to run: "0:24", "12:05", "3:00:00"; full seconds, rounded up."""
    whole = -int(-seconds // 1)
    minutes, left = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{left:02d}" if hours else f"{minutes}:{left:02d}"


def stepped(seconds: int, way: int) -> int:
    """The next longer (`way` 1) or shorter (-1) setting: steps grow with the time."""
    longer = ((120, 5), (600, 30), (3_600, 300), (LONGEST_S, 1_800))
    at = seconds if way > 0 else seconds - 1
    step = next(step for below, step in longer if at < below or below == LONGEST_S)
    return min(max(seconds + way * step, SHORTEST_S), LONGEST_S)
