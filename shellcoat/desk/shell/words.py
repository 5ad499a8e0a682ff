"""The sentences of the Shell page, also read aloud for its plots."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.answers import AirBasis, DryState, ShellForecast
from shellcoat.operations.wording import write_ago, write_time
from shellcoat.shop import Shell, ShellState
from shellcoat.units import Quantity


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Shell", text)


def head_words(session: DeskSession, shell: Shell) -> str:
    """Sequence, place, metal, room, state."""
    room = session.opened.ledger.room(shell.room_id).name
    parts = (shell.sequence.name, shell.rack_place, room, shell.metal)
    state = "" if shell.state is ShellState.IN_WORK else translate(shell.state.value)
    return " · ".join(part for part in (state, *parts, shell.note) if part)


def state_words(session: DeskSession, shell: Shell, forecast: ShellForecast, now: datetime) -> str:
    """Coats, dry state and wall in one line."""
    wall = session.write_band(
        forecast.thickness_m.low, forecast.thickness_m.high, Quantity.THICKNESS
    )
    target = session.write(shell.sequence.target_thickness_m, Quantity.THICKNESS)
    counted = translate("Coat {on} of {planned}").format(
        on=forecast.coats_on, planned=forecast.coats_planned
    )
    grown = translate("wall {wall}, target {target}").format(wall=wall, target=target)
    return f"{counted} · {_dry_words(session, forecast, now)} · {grown}"


def _dry_words(session: DeskSession, forecast: ShellForecast, now: datetime) -> str:
    zone = session.opened.zone
    if forecast.state is DryState.BARE:
        return translate("bare wax")
    if forecast.safe_at is None or forecast.likely_at is None:
        return translate("not safely dry within a week in this air")
    safe = write_time(forecast.safe_at, zone, now)
    if forecast.state is DryState.DRY:
        return translate("dry since {safe} ({ago})").format(
            safe=safe, ago=write_ago(forecast.safe_at, now)
        )
    likely = write_time(forecast.likely_at, zone, now)
    return translate("likely dry {likely}, safe {safe}").format(likely=likely, safe=safe)


_BASIS = {
    AirBasis.READINGS: "from this room's readings",
    AirBasis.OLD_READINGS: "from old readings",
    AirBasis.ASSUMED: "in assumed indoor air, for want of a reading",
}


def curve_words(session: DeskSession, forecast: ShellForecast, now: datetime) -> str:
    """The drying plot in a sentence."""
    left = forecast.water_left
    return translate(
        "About {likely} of the water is left ({low} to {high}), {basis}; {dry}."
    ).format(
        likely=f"{left.likely:.0%}",
        low=f"{left.low:.0%}",
        high=f"{left.high:.0%}",
        basis=translate(_BASIS[forecast.air_basis]),
        dry=_dry_words(session, forecast, now),
    )


def growth_words(session: DeskSession, shell: Shell, forecast: ShellForecast) -> str:
    """The growth plot in a sentence."""
    end = forecast.thickness_at_end_m
    return translate(
        "{on} of {planned} coats, {wall} so far; {end} expected, target {target}."
    ).format(
        on=forecast.coats_on,
        planned=forecast.coats_planned,
        wall=session.write(forecast.thickness_m.likely, Quantity.THICKNESS),
        end=session.write_band(end.low, end.high, Quantity.THICKNESS),
        target=session.write(shell.sequence.target_thickness_m, Quantity.THICKNESS),
    )
