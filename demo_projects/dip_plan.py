"""When the art foundry of the demo dips: a plain queue at one bench.

The rules, all of them here:

- The bench works from 7:30 to 18:45 with a break from 12:30 to 13:10, every day of the story.
- One dip at a time; the next comes 10 to 17 minutes later.
- A shell is ready again a set time after its dip, a little longer for each coat it carries.
- Two dips a day at most; the shell that has been ready longest goes first.
- A hurried coat goes on early and before all others.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from random import Random

from demo_projects.story import STORY_ENDS, on_wall, wall
from shellcoat.shop import CoatKind, DipSequence

OPENS, BREAK_FROM, BREAK_TO, CLOSES = time(7, 30), time(12, 30), time(13, 10), time(18, 45)
BETWEEN_DIPS_MIN = (10, 17)
DIPS_A_DAY = 2
WAIT_H = {CoatKind.PRIME: 5.5, CoatKind.BACKUP: 4.2, CoatKind.SEAL: 4.2}
WAIT_PER_COAT_H = 0.4


@dataclass(frozen=True, slots=True)
class Job:
    """A shell to build: from when the wax is ready, on which wall, and until when."""

    label: str
    sequence: DipSequence
    ready_at: datetime
    stopped_at: datetime = STORY_ENDS
    hurried: Mapping[int, timedelta] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PlannedDip:
    """One dip: which shell, its coat number from 1, and when."""

    label: str
    number: int
    at: datetime


@dataclass(slots=True)
class _Growing:
    """A shell on the rack while the plan is made."""

    job: Job
    dips: list[datetime] = field(default_factory=list)

    @property
    def wait(self) -> timedelta:
        """How long the present coat is left alone."""
        hurried = self.job.hurried.get(len(self.dips) + 1)
        kind = self.job.sequence.steps[len(self.dips) - 1].kind
        return hurried or timedelta(hours=WAIT_H[kind] + WAIT_PER_COAT_H * len(self.dips))

    @property
    def ready_since(self) -> datetime:
        return self.dips[-1] + self.wait if self.dips else self.job.ready_at

    @property
    def is_hurried(self) -> bool:
        return len(self.dips) + 1 in self.job.hurried

    def is_ready(self, moment: datetime) -> bool:
        today = on_wall(moment).date()
        return (
            len(self.dips) < len(self.job.sequence.steps)
            and self.ready_since <= moment < self.job.stopped_at
            and sum(on_wall(dip).date() == today for dip in self.dips) < DIPS_A_DAY
        )


def plan_dips(jobs: Iterable[Job], chance: Random) -> Iterator[PlannedDip]:
    """Lay all dips of the story over its working hours, oldest first."""
    rack = [_Growing(job) for job in jobs]
    for moment in _bench_times(chance):
        ready = [shell for shell in rack if shell.is_ready(moment)]
        if ready:
            shell = min(ready, key=lambda one: (not one.is_hurried, one.ready_since))
            shell.dips.append(moment)
            yield PlannedDip(shell.job.label, len(shell.dips), moment)


def _bench_times(chance: Random) -> Iterator[datetime]:
    """Give the moments at which the bench is free for a dip."""
    moment = wall(2, 7, 30)
    while moment < STORY_ENDS:
        clock = on_wall(moment).time()
        if OPENS <= clock < BREAK_FROM or BREAK_TO <= clock < CLOSES:
            yield moment
        moment += timedelta(minutes=chance.randint(*BETWEEN_DIPS_MIN))
