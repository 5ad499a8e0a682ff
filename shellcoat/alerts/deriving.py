"""Which alerts there are: derived from forecasts, ledger, limits and the time, never stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.alerts.alarms import BackupFault, Found, backup_alarm, reading_alarms, shell_alarms
from shellcoat.alerts.life import Alert, AlertState, AlertWhat, Marks, identity
from shellcoat.forecast.answers import ShellForecast
from shellcoat.shop import AlertHabits, Coat, Entry, Ledger, Shell, ShellState


def alerts_of(
    forecasts: Mapping[UUID, ShellForecast],
    ledger: Ledger,
    now: datetime,
    unsaved: Iterable[Entry] = (),
    backup: BackupFault | None = None,
) -> list[Alert]:
    """Give every prompt and alarm, oldest due first.

    For each forecast shell the prompt of its present coat, the one its last dip was the answer to,
    and its alarms; then those of the rooms and of the book. The ledger decides which coats stand,
    for a forecast may still be of the moment before the last dip. `unsaved` are marks the book
    could not take, `backup` what is wrong with the backups.
    """
    marks = Marks(ledger, {entry.id: entry for entry in unsaved})
    shop = ledger.shop
    cases = [
        ShellCase(ledger.shell(shell_id), ledger.coats(shell_id), forecast)
        for shell_id, forecast in forecasts.items()
        if shell_id in ledger.live
    ]
    habits = shop.alerts if shop else AlertHabits()
    found = [alert for case in cases for alert in _prompts(case, marks, now)]
    found += [
        _alarm(one, marks, now)
        for case in cases
        if case.in_step
        for one in shell_alarms(case.shell, case.coats, case.forecast, now)
    ]
    wet = [(case.coats[-1], case.forecast) for case in cases if case.in_step]
    found += [_alarm(one, marks, now) for one in reading_alarms(wet, ledger, habits)]
    if shop is not None and backup is not None:
        found.append(_alarm(backup_alarm(backup, shop.id, now), marks, now))
    return sorted(found, key=lambda alert: (alert.due_at, alert.shell_name, alert.about))


@dataclass(frozen=True, slots=True)
class ShellCase:
    """A shell with the coats that stand, and what was forecast of it."""

    shell: Shell
    coats: tuple[Coat, ...]
    forecast: ShellForecast

    @property
    def in_step(self) -> bool:
        """Whether it is in work, with coats on, and the forecast is of just these coats."""
        known = [answer.coat_id for answer in self.forecast.coats]
        same = known == [coat.id for coat in self.coats]
        return same and bool(known) and self.shell.state is ShellState.IN_WORK


def _prompts(case: ShellCase, marks: Marks, now: datetime) -> Iterator[Alert]:
    shell, coats = case.shell, case.coats
    for number, coat in list(enumerate(coats, start=1))[-2:]:
        what = AlertWhat.NEXT_DIP if shell.next_step(number) else AlertWhat.REVIEW
        about = identity(coat, what)
        trail = marks.trail(about)
        due_at = trail.due_at or _due_at(case.forecast, coat, what)
        if due_at is None:
            continue
        state = trail.state(due_at, now)
        if number < len(coats):
            state = AlertState.DONE
        elif shell.state is not ShellState.IN_WORK:
            state = AlertState.SUPPRESSED
        yield Alert(
            about=about,
            what=what,
            state=state,
            due_at=due_at,
            coat_id=coat.id,
            shell_id=shell.id,
            shell_name=shell.name,
            rack_place=shell.rack_place,
            coat_number=number,
            coats_planned=len(shell.sequence.steps),
            turn=trail.turn,
            until=trail.until,
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


def _alarm(found: Found, marks: Marks, now: datetime) -> Alert:
    trail = marks.trail(found.about)
    due_at = trail.due_at or found.due_at
    shell = found.shell
    return Alert(
        about=found.about,
        what=found.what,
        state=trail.state(due_at, now),
        due_at=due_at,
        coat_id=found.coat_id,
        shell_id=shell.id if shell else None,
        shell_name=shell.name if shell else "",
        rack_place=shell.rack_place if shell else "",
        coat_number=found.coat_number,
        coats_planned=len(shell.sequence.steps) if shell else 0,
        subject=found.subject,
        since=found.since,
        turn=trail.turn,
        until=trail.until,
    )
