"""The rack: every shell in the order in which it needs a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.forecast.answers import DryState, ShellForecast
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Coat, Shell, ShellState


class RackState(Enum):
    """What a shell on the rack needs, the most pressing first."""

    WILL_NOT_DRY = "will not dry"
    DIP_DUE = "dry – dip due"
    READY_FOR_REVIEW = "ready for review"
    BARE = "bare"
    LIKELY_DRY = "likely dry"
    WET = "wet"
    HOLDING = "holding"
    COMING = "forecast on its way"
    ON_HOLD = "on hold"
    FINISHED = "finished"
    SCRAPPED = "scrapped"


ORDER = {state: rank for rank, state in enumerate(RackState)}
GONE = (RackState.FINISHED, RackState.SCRAPPED)
_SHELVED = {
    ShellState.ON_HOLD: RackState.ON_HOLD,
    ShellState.FINISHED: RackState.FINISHED,
    ShellState.SCRAPPED: RackState.SCRAPPED,
}
_DRYING = {
    DryState.BARE: RackState.BARE,
    DryState.WET: RackState.WET,
    DryState.LIKELY_DRY: RackState.LIKELY_DRY,
    DryState.OUT_OF_SIGHT: RackState.WILL_NOT_DRY,
}


@dataclass(frozen=True, slots=True)
class RackRow:
    """One shell on the rack; `forecast` is None while it is being made, or not wanted."""

    shell: Shell
    state: RackState
    coats_on: int
    forecast: ShellForecast | None


def rack_state(shell: Shell, forecast: ShellForecast, now: datetime) -> RackState:
    """What this shell needs now."""
    if shell.state in _SHELVED:
        return _SHELVED[shell.state]
    if forecast.state is not DryState.DRY:
        return _DRYING[forecast.state]
    if forecast.next_step is not None:
        return RackState.DIP_DUE
    held = forecast.due_at is not None and forecast.due_at <= now
    return RackState.READY_FOR_REVIEW if held else RackState.HOLDING


def rack_rows(
    opened: OpenShop,
    forecasts: Mapping[UUID, ShellForecast],
    now: datetime,
    *,
    gone: bool = False,
) -> list[RackRow]:
    """All shells, the one that needs a person first on top; finished ones only when asked for."""
    rows = [_row(opened, shell, forecasts, now) for shell in opened.ledger.shells]
    shown = [row for row in rows if gone or row.state not in GONE]
    return sorted(shown, key=_urgency)


def _row(
    opened: OpenShop, shell: Shell, forecasts: Mapping[UUID, ShellForecast], now: datetime
) -> RackRow:
    forecast = forecasts.get(shell.id)
    coats = opened.ledger.coats(shell.id)
    coats_on = len(coats)
    if forecast is None or not is_about(forecast, coats):
        return RackRow(shell, _SHELVED.get(shell.state, RackState.COMING), coats_on, None)
    return RackRow(shell, rack_state(shell, forecast, now), coats_on, forecast)


def _urgency(row: RackRow) -> tuple[int, float, str, str]:
    """By state, then by how long due or how soon, then by name so that nothing jumps about."""
    due = row.forecast.due_at if row.forecast else None
    moment = due.timestamp() if due else float("inf")
    return ORDER[row.state], moment, row.shell.name.casefold(), str(row.shell.id)


def is_about(forecast: ShellForecast, coats: Sequence[Coat]) -> bool:
    """Whether a forecast is of just these coats; after a dip the next one is on its way."""
    return [answer.coat_id for answer in forecast.coats] == [coat.id for coat in coats]


def count_states(rows: list[RackRow]) -> dict[RackState, int]:
    """How many shells stand in each state that occurs, the most pressing first."""
    present = [row.state for row in rows]
    return {state: present.count(state) for state in RackState if state in present}
