"""The alarms: what is abnormal about a shell, a room or the book, and since when.

Each is found anew from what stands, so an alarm is over as soon as what called for it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID, uuid5

from shellcoat.alerts.life import AlertWhat, identity
from shellcoat.alerts.limits import latest_after_prime
from shellcoat.forecast.answers import DryState, ShellForecast, WarningKind
from shellcoat.shop import AlertHabits, Coat, CoatKind, Ledger, Shell

STILL_DRYING = (DryState.WET, DryState.LIKELY_DRY, DryState.OUT_OF_SIGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupFault:
    """Why the book could not be copied, and when the last good copy was made."""

    why: str
    last_good_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Something abnormal, before the book is asked what has been told of it."""

    about: UUID
    what: AlertWhat
    due_at: datetime
    shell: Shell | None = None
    coat_id: UUID | None = None
    coat_number: int = 0
    subject: str = ""
    since: datetime | None = None


def shell_alarms(
    shell: Shell, coats: Sequence[Coat], forecast: ShellForecast, now: datetime
) -> Iterator[Found]:
    """The alarms of a shell in work, all about its present coat."""
    coat, number = coats[-1], len(coats)
    # A clock that was set back leaves a forecast from the future; what it saw holds already.
    seen_at = min(forecast.made_at, now)
    for what, core in _abnormal(forecast, number):
        yield _about_coat(shell, coat, number, what, seen_at, core)
    latest = latest_dip(shell, coat, number, forecast)
    if latest is not None:
        yield _about_coat(shell, coat, number, AlertWhat.PAST_LATEST_DIP, latest)


def _about_coat(
    shell: Shell, coat: Coat, number: int, what: AlertWhat, due_at: datetime, core: str = ""
) -> Found:
    return Found(
        about=identity(coat, what, core),
        what=what,
        due_at=due_at,
        shell=shell,
        coat_id=coat.id,
        coat_number=number,
        subject=core,
    )


def _abnormal(forecast: ShellForecast, number: int) -> Iterator[tuple[AlertWhat, str]]:
    """What the forecast warns of that asks for an act, and the core it is about."""
    closing = {one.core for one in forecast.warnings if one.kind is WarningKind.CORE_CLOSING}
    for warning in forecast.warnings:
        if warning.kind is WarningKind.CORE_LOCKED:
            yield AlertWhat.CORE_LOCKED, warning.core
        elif warning.kind is WarningKind.CORE_WET:
            shuts = warning.core in closing
            yield AlertWhat.CORE_CLOSING if shuts else AlertWhat.CORE_NOT_DRYING, warning.core
        elif warning.kind is WarningKind.NOT_DRYING:
            yield AlertWhat.COAT_NOT_DRYING, ""
        elif warning.kind is WarningKind.ROOM_SWING and warning.coat_number == number:
            yield AlertWhat.ROOM_SWING, ""


def latest_dip(shell: Shell, coat: Coat, number: int, forecast: ShellForecast) -> datetime | None:
    """The latest sensible time of the dip after a prime coat; never before that coat is dry."""
    if coat.step.kind is not CoatKind.PRIME or shell.next_step(number) is None:
        return None
    latest = coat.dipped_at + latest_after_prime()
    return max(latest, forecast.coats[-1].safe_at or latest)


def reading_alarms(
    drying: Iterable[tuple[Coat, ShellForecast]], ledger: Ledger, habits: AlertHabits
) -> Iterator[Found]:
    """One alarm for each room in which a coat dries and nobody reads the air any more.

    A room that was never read is a way of working and no alarm; its pages say so.
    """
    last = {
        coat.room_id: forecast.last_reading_at
        for coat, forecast in drying
        if forecast.state in STILL_DRYING
    }
    for room_id, read_at in last.items():
        if read_at is not None and room_id in ledger.live:
            yield Found(
                about=uuid5(room_id, f"{AlertWhat.NO_READING.value} since {read_at.isoformat()}"),
                what=AlertWhat.NO_READING,
                due_at=read_at + timedelta(seconds=habits.reading_limit_s),
                subject=ledger.room(room_id).name,
                since=read_at,
            )


def backup_alarm(fault: BackupFault, shop_id: UUID, now: datetime) -> Found:
    """The alarm of backups that fail: one from one good copy to the next."""
    since = fault.last_good_at.isoformat() if fault.last_good_at else "the beginning"
    return Found(
        about=uuid5(shop_id, f"{AlertWhat.BACKUP.value} since {since}"),
        what=AlertWhat.BACKUP,
        due_at=now,
        subject=fault.why,
        since=fault.last_good_at,
    )
