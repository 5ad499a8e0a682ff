"""One timer per alert, kept by APScheduler in UTC.

Slow to load, so the clock imports it only when it starts. The timers are rebuilt from the
forecasts at every start; nothing is stored but in memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from uuid import UUID

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.jobstores.base import JobLookupError
from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.background import BackgroundScheduler
from apscheduler.triggers.date import DateTrigger


class Timers:
    """Rings at each due time; used from one thread."""

    def __init__(self, ring: Callable[[], None]) -> None:
        self._ring = ring
        self._due: dict[UUID, datetime] = {}
        # By default a job more than a second late is dropped with a log line; None keeps it.
        self._scheduler = BackgroundScheduler(
            timezone=UTC,
            jobstores={"default": MemoryJobStore()},
            executors={"default": ThreadPoolExecutor(1)},
            job_defaults={"coalesce": True, "misfire_grace_time": None},
        )
        self._scheduler.start(paused=True)

    def set_to(self, due: Mapping[UUID, datetime]) -> None:
        """Have one timer for each alert in `due` and no other."""
        changed = dict(due.items() - self._due.items())
        gone = self._due.keys() - due.keys()
        self._due = dict(due)
        if not changed and not gone:
            return
        # Each change wakes a running scheduler; a paused one wakes once, when it goes on.
        self._scheduler.pause()
        for about in gone:
            self._remove(about)
        for about, due_at in changed.items():
            self._add(about, due_at)
        self._scheduler.resume()

    def close(self) -> None:
        """Stop; returns when the scheduler's threads have ended."""
        # A timer that rings during the shutdown would end its thread with an error, so first
        # leave nothing to ring; removing waits for a round that is under way.
        self._scheduler.pause()
        self._scheduler.remove_all_jobs()
        self._scheduler.shutdown(wait=True)

    def _add(self, about: UUID, due_at: datetime) -> None:
        self._scheduler.add_job(
            self._ring, DateTrigger(due_at, timezone=UTC), id=str(about), replace_existing=True
        )

    def _remove(self, about: UUID) -> None:
        # It may have rung already, even this very moment.
        with suppress(JobLookupError):
            self._scheduler.remove_job(str(about))
