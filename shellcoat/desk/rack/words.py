"""The words of a rack row: two short lines a column, the first to act on, the second to check."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.answers import ShellForecast
from shellcoat.operations.rack import RackRow, RackState
from shellcoat.operations.wording import write_ago, write_time, write_warnings

Lines = tuple[str, str]

HOLDS = {
    RackState.HOLDING: "hold until {time}",
    RackState.READY_FOR_REVIEW: "hold over since {time}",
}


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Rack", text)


def shell_lines(row: RackRow) -> Lines:
    """Label and name; place and metal."""
    shell = row.shell
    below = " · ".join(part for part in (shell.rack_place, shell.metal) if part)
    return f"{shell.label}  {shell.name}", below


def coat_lines(row: RackRow) -> Lines:
    """Coats on and planned; the sequence."""
    planned = len(row.shell.sequence.steps)
    counted = translate("coat {on} of {planned}").format(on=row.coats_on, planned=planned)
    return counted, row.shell.sequence.name


def dry_lines(row: RackRow, session: DeskSession, now: datetime) -> Lines:
    """When it is safely dry and when likely; or since when it waits."""
    forecast = row.forecast
    if forecast is None or row.state in (RackState.BARE, RackState.FINISHED, RackState.SCRAPPED):
        return "", ""
    zone = session.opened.zone
    if row.state in HOLDS and forecast.due_at:
        words = translate(HOLDS[row.state])
        due = write_time(forecast.due_at, zone, now)
        return words.format(time=due), write_ago(forecast.due_at, now)
    if forecast.safe_at is None:
        return translate("not within a week"), _likely(forecast, session, now)
    safe = write_time(forecast.safe_at, zone, now)
    if forecast.safe_at <= now:
        return translate("dry since {time}").format(time=safe), write_ago(forecast.safe_at, now)
    return translate("safe {time}").format(time=safe), _likely(forecast, session, now)


def _likely(forecast: ShellForecast, session: DeskSession, now: datetime) -> str:
    if forecast.likely_at is None:
        return ""
    likely = write_time(forecast.likely_at, session.opened.zone, now)
    return translate("likely {time}").format(time=likely)


def next_lines(row: RackRow) -> Lines:
    """Slurry and stucco of the next coat."""
    step = row.shell.next_step(row.coats_on)
    if step is None:
        return translate("all coats on"), ""
    return step.slurry, step.stucco or translate("no stucco")


def look_text(row: RackRow, session: DeskSession) -> str:
    """Why a person should look at this shell; empty when there is nothing."""
    if row.forecast is None:
        return ""
    return "  ".join(write_warnings(row.forecast, session.opened.units))
