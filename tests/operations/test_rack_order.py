"""The rack's order: the shell that needs a person first on top, and nothing jumps about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from itertools import groupby
from types import SimpleNamespace
from typing import Any, NamedTuple, cast
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_cases import (
    DIPPING,
    HOUR,
    MINUTE,
    NOW,
    PRIME,
    SHORT_WALL,
    a_wax,
    an_entry,
    an_id,
    at,
    dip,
    on_rack,
    steady_air,
    typed_reading,
)

from shellcoat.forecast.answers import AirBasis, DryState, ShellForecast
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow, RackState, count_states, rack_rows
from shellcoat.operations.shells import set_state
from shellcoat.shop import Band, Ledger, Shell, ShellState

MOST_PRESSING_FIRST = (
    "will not dry",
    "dry – dip due",
    "ready for review",
    "bare",
    "likely dry",
    "wet",
    "holding",
    "forecast on its way",
    "on hold",
    "finished",
    "scrapped",
)
GONE = {"finished", "scrapped"}
NOTHING = Band(0.0, 0.0, 0.0)


class Case(NamedTuple):
    """A shell as it may stand: its name, its state, and what the forecast says of it."""

    name: str
    state: ShellState
    dry: DryState
    due_in_min: int | None
    coats_to_come: bool


CASES = st.builds(
    Case,
    name=st.sampled_from(("Heron", "heron", "HERON", "Teal", "Ägir", "zebra")),
    state=st.sampled_from(ShellState),
    dry=st.sampled_from(DryState),
    due_in_min=st.none() | st.integers(-3000, 3000),
    coats_to_come=st.booleans(),
)


def _shell(number: int, case: Case) -> Shell:
    return a_wax(id=an_id(number), name=case.name, label=f"{number:03d}", state=case.state)


def _forecast(shell: Shell, case: Case) -> ShellForecast:
    due_at = None if case.due_in_min is None else NOW + case.due_in_min * MINUTE
    return ShellForecast(
        shell_id=shell.id,
        made_at=NOW,
        coats_on=1,
        coats_planned=3,
        state=case.dry,
        likely_at=due_at,
        safe_at=due_at,
        due_at=due_at,
        chance_dry=0.5,
        water_left=NOTHING,
        thickness_m=NOTHING,
        thickness_at_end_m=NOTHING,
        coming_m=(),
        next_step=PRIME if case.coats_to_come else None,
        coats=(),
        warnings=(),
        air_basis=AirBasis.READINGS,
        last_reading_at=None,
    )


def _rows(shells: Sequence[Shell], forecasts: Mapping[UUID, ShellForecast]) -> list[RackRow]:
    """The rack of a shop in which the shells were entered in this order."""
    ledger = Ledger.of(an_entry(shell) for shell in shells)
    shop = cast("OpenShop", SimpleNamespace(ledger=ledger))
    return rack_rows(shop, forecasts, NOW, gone=True)


@given(cases=st.lists(CASES, max_size=12), data=st.data())
@settings(max_examples=150, deadline=None)
def test_the_order_is_total_and_no_accident_of_entry(cases: list[Case], data: Any) -> None:
    shells = [_shell(number, case) for number, case in enumerate(cases)]
    forecasts = {s.id: _forecast(s, c) for s, c in zip(shells, cases, strict=True)}
    rows = _rows(shells, forecasts)
    assert sorted(row.shell.label for row in rows) == [shell.label for shell in shells]
    shuffled = data.draw(st.permutations(shells))
    assert [row.shell.id for row in _rows(shuffled, forecasts)] == [row.shell.id for row in rows]


@given(cases=st.lists(CASES, max_size=12))
@settings(max_examples=150, deadline=None)
def test_the_most_urgent_is_on_top(cases: list[Case]) -> None:
    shells = [_shell(number, case) for number, case in enumerate(cases)]
    forecasts = {s.id: _forecast(s, c) for s, c in zip(shells, cases, strict=True)}
    rows = _rows(shells, forecasts)
    ranks = [MOST_PRESSING_FIRST.index(row.state.value) for row in rows]
    assert ranks == sorted(ranks)
    for _, same in groupby(rows, key=lambda row: row.state):
        group = list(same)
        due = [row.forecast.due_at for row in group if row.forecast and row.forecast.due_at]
        assert due == sorted(due)
        unknown = [row.forecast is None or row.forecast.due_at is None for row in group]
        assert unknown == sorted(unknown), "a shell without a time stands below those with one"
    assert sum(count_states(rows).values()) == len(rows)
    assert list(count_states(rows)) == [state for state, _ in groupby(row.state for row in rows)]


@given(cases=st.lists(CASES, max_size=12))
@settings(max_examples=50, deadline=None)
def test_what_has_left_the_rack_shows_only_when_asked_for(cases: list[Case]) -> None:
    shells = [_shell(number, case) for number, case in enumerate(cases)]
    forecasts = {s.id: _forecast(s, c) for s, c in zip(shells, cases, strict=True)}
    ledger = Ledger.of(an_entry(shell) for shell in shells)
    shop = cast("OpenShop", SimpleNamespace(ledger=ledger))
    everything = rack_rows(shop, forecasts, NOW, gone=True)
    assert rack_rows(shop, forecasts, NOW) == [
        row for row in everything if row.state.value not in GONE
    ]


# Every state, from what a person does and what the air does.


def state_of(opened: OpenShop, shell: Shell, now: datetime) -> RackState:
    rows = rack_rows(opened, opened.forecasts(now), now, gone=True)
    (row,) = [row for row in rows if row.shell.id == shell.id]
    return row.state


def dry_times(opened: OpenShop, shell: Shell, now: datetime) -> tuple[datetime, datetime]:
    forecast = opened.forecast_shell(shell, now)
    if forecast.likely_at is None or forecast.safe_at is None:
        raise LookupError("this coat does not dry")
    return forecast.likely_at, forecast.safe_at


def test_a_coat_goes_from_wet_to_likely_dry_to_due(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.50)
    assert state_of(opened, heron, NOW) is RackState.BARE
    dip(opened, heron, NOW)
    likely, safe = dry_times(opened, heron, NOW)
    assert NOW < likely < safe
    assert state_of(opened, heron, NOW + MINUTE) is RackState.WET
    assert state_of(opened, heron, likely + (safe - likely) / 2) is RackState.LIKELY_DRY
    assert state_of(opened, heron, safe + HOUR) is RackState.DIP_DUE


def test_after_the_last_coat_it_holds_and_then_waits_for_a_look(
    opened: OpenShop, heron: Shell
) -> None:
    steady_air(opened, 0.50)
    for hours in (-40, -20, 0):
        dip(opened, heron, at(hours))
    _, safe = dry_times(opened, heron, NOW)
    hold_ends = NOW + timedelta(seconds=SHORT_WALL.final_hold_s)
    assert safe < hold_ends, "else this tells nothing of the hold"
    assert state_of(opened, heron, safe + HOUR) is RackState.HOLDING
    assert state_of(opened, heron, hold_ends - MINUTE) is RackState.HOLDING
    assert state_of(opened, heron, hold_ends + MINUTE) is RackState.READY_FOR_REVIEW


def test_in_air_as_wet_as_the_coat_it_will_not_dry(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 1.0)
    dip(opened, heron, NOW)
    assert state_of(opened, heron, at(1)) is RackState.WILL_NOT_DRY
    rows = rack_rows(opened, opened.forecasts(at(1)), at(1))
    assert rows[0].shell.id == heron.id


@pytest.mark.parametrize(
    ("state", "shown"),
    [
        (ShellState.ON_HOLD, RackState.ON_HOLD),
        (ShellState.FINISHED, RackState.FINISHED),
        (ShellState.SCRAPPED, RackState.SCRAPPED),
    ],
)
def test_what_a_person_decided_stands_over_what_the_air_did(
    opened: OpenShop, heron: Shell, state: ShellState, shown: RackState
) -> None:
    typed_reading(opened, at(-1), 22.0, 0.5)
    dip(opened, heron, at(-30))
    set_state(opened, heron.id, state, NOW)
    assert state_of(opened, heron, NOW) is shown


def test_every_state_of_the_rack_is_named_above() -> None:
    assert tuple(state.value for state in RackState) == MOST_PRESSING_FIRST


def test_a_shell_on_hold_goes_on_drying_on_paper(opened: OpenShop, heron: Shell) -> None:
    """Put back in work it is due at once if it dried while it stood aside."""
    steady_air(opened, 0.50, room_id=DIPPING)
    dip(opened, heron, at(-30))
    set_state(opened, heron.id, ShellState.ON_HOLD, at(-29))
    (row,) = rack_rows(opened, opened.forecasts(NOW), NOW)
    assert row.forecast is not None
    assert row.forecast.state is DryState.DRY
    set_state(opened, heron.id, ShellState.IN_WORK, NOW)
    assert state_of(opened, heron, NOW) is RackState.DIP_DUE


def test_ten_shells_of_a_rack_stand_in_the_order_a_dipper_would_take_them(
    opened: OpenShop,
) -> None:
    steady_air(opened, 0.50)
    shells = {name: on_rack(opened, name) for name in ("bare", "fresh", "older", "held", "gone")}
    dip(opened, shells["older"], at(-40))
    dip(opened, shells["held"], at(-40))
    set_state(opened, shells["held"].id, ShellState.ON_HOLD, NOW)
    set_state(opened, shells["gone"].id, ShellState.FINISHED, NOW)
    dip(opened, shells["fresh"], NOW)
    rows = rack_rows(opened, opened.forecasts(NOW), NOW, gone=True)
    names = [row.shell.name.removeprefix("Water bird, ") for row in rows]
    assert names == ["older", "bare", "fresh", "held", "gone"]
    assert [row.coats_on for row in rows] == [1, 0, 1, 1, 0]
