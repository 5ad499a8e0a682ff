"""What stands at the dipping station, in which words, and which shells come together."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from shop_cases import NOW, a_wax, an_id, at, dip, on_rack, steady_air

from shellcoat.forecast.answers import CoreAnswer, ShellForecast
from shellcoat.operations.dips import DipProposal, propose_dip, undo_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow, RackState, rack_rows
from shellcoat.operations.scans import UncheckedScanError, shell_scanned
from shellcoat.operations.shells import NoSuchShellError, start_shell
from shellcoat.operations.station import (
    Batch,
    Board,
    LineKind,
    board_after,
    board_before,
    expected_row,
    find_rows,
    is_due,
    same_step_rows,
    watch_notes,
)
from shellcoat.operations.wording import write_time
from shellcoat.shop import Band, Shell
from shellcoat.shop.label_code import MisreadCodeError, code_text

DRY_AFTER = 30.0
"""Hours after which a short wall is dry in steady air at 50 %."""


def proposal_at(opened: OpenShop, shell: Shell, hours: float) -> DipProposal:
    forecast = opened.forecast_shell(shell, at(hours))
    return propose_dip(opened, shell, forecast)


def board_at(opened: OpenShop, shell: Shell, hours: float) -> Board:
    return board_before(proposal_at(opened, shell, hours), opened, at(hours))


def named(opened: OpenShop, name: str, label: str) -> Shell:
    return start_shell(opened, replace(a_wax(label), name=name, label=label), at(-48))


def said(board: Board) -> dict[LineKind, str]:
    return {line.kind: line.text for line in board.lines}


def rows_at(opened: OpenShop, hours: float) -> list[RackRow]:
    return rack_rows(opened, opened.forecasts(at(hours)), at(hours))


def test_a_bare_wax_waits_for_nothing(opened: OpenShop, heron: Shell) -> None:
    board = board_at(opened, heron, 0)
    assert said(board) == {
        LineKind.COAT: "COAT 1 OF 3",
        LineKind.SLURRY: "ZIRCON PRIME",
        LineKind.STUCCO: "ZIRCON SAND",
        LineKind.STATE: "BARE WAX",
    }
    assert not board.early
    assert any("Blow the prime off gently" in note for note in board.notes)


def test_a_wet_coat_is_early_with_its_spread(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.5)
    dip(opened, heron, at(0), tank="P1")
    board = board_at(opened, heron, 0.25)
    forecast = opened.forecast_shell(heron, at(0.25))
    assert forecast.likely_at is not None
    assert forecast.safe_at is not None
    likely, safe = (
        write_time(moment, opened.zone, at(0.25))
        for moment in (forecast.likely_at, forecast.safe_at)
    )
    assert said(board)[LineKind.STATE] == f"EARLY: LIKELY DRY {likely}, SAFE {safe}".upper()
    assert board.early
    assert board.notes[0].startswith(f"Early: likely dry {likely}, safe {safe}; dry now with a")


def test_a_dry_coat_says_since_when(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.5)
    dip(opened, heron, at(0))
    board = board_at(opened, heron, DRY_AFTER)
    assert said(board)[LineKind.STATE].startswith("DRY SINCE ")
    assert not board.early
    assert not any("Blow" in note for note in board.notes)  # a backup coat comes next


def test_the_tank_of_the_slurry_stands_before_it(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, at(-1), tank="P1")
    other = on_rack(opened, "egret")
    assert said(board_at(opened, other, 0))[LineKind.SLURRY] == "TANK P1: ZIRCON PRIME"


def test_a_coat_without_stucco_says_so(opened: OpenShop, heron: Shell) -> None:
    for hours in (0, 1):
        dip(opened, heron, at(hours))
    assert said(board_at(opened, heron, 2))[LineKind.STUCCO] == "NO STUCCO"
    dip(opened, heron, at(2))
    assert said(board_at(opened, heron, 3)) == {LineKind.COAT: "ALL 3 COATS ARE ON"}


def test_after_the_dip_the_times_stand_there(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.5)
    coat = dip(opened, heron, at(0))
    waiting = board_after(opened, coat, None, at(0))
    assert said(waiting)[LineKind.DRY] == "TIMES ON THEIR WAY"
    forecast = opened.forecast_shell(heron, at(0))
    lines = said(board_after(opened, coat, forecast, at(0)))
    assert lines[LineKind.COAT] == "COAT 1 ON"
    assert lines[LineKind.DRY].startswith("LIKELY DRY ")
    assert lines[LineKind.STATE].startswith("SAFE ")


def with_core(proposal: DipProposal, **changes: object) -> DipProposal:
    core = CoreAnswer(
        core_id=an_id("core"),
        name="left arm",
        likely_at=None,
        safe_at=None,
        chance_dry=0.5,
        chance_by_due=0.5,
        water_kg=Band(0.0, 0.01, 0.02),
        dry_kg=0.001,
        steam_l=Band(0.0, 10.0, 20.0),
        width_m=0.02,
        closes_at=(None, None, None),
        closed=False,
        plugged=False,
    )
    forecast: ShellForecast = proposal.forecast
    cores = (replace(core, **changes),)  # type: ignore[arg-type]
    return replace(proposal, forecast=replace(forecast, cores=cores))


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, ["Drain the core “left arm”."]),
        (
            {"width_m": 0.0032},
            ["Drain the core “left arm”.", "Its opening is down to 3.20\u00a0mm: keep it clear."],
        ),
        (
            {"width_m": 0.0032, "closes_at": (2, 3, 4)},
            [
                "Drain the core “left arm”.",
                "Its opening is down to 3.20\u00a0mm: keep it clear. This coat may close it.",
            ],
        ),
        ({"closed": True}, []),
        ({"plugged": True}, []),
    ],
)
def test_cores_are_drained_and_fine_openings_told_in_millimetres(
    opened: OpenShop, heron: Shell, changes: dict[str, object], expected: list[str]
) -> None:
    dip(opened, heron, at(0))
    proposal = with_core(proposal_at(opened, heron, 1), **changes)
    assert list(watch_notes(proposal, opened.units)) == expected


def test_the_one_that_is_due_comes_before_bare_and_wet_ones(opened: OpenShop) -> None:
    steady_air(opened, 0.5)
    dry, wet = on_rack(opened, "dry"), on_rack(opened, "wet")
    bare = on_rack(opened, "bare")
    dip(opened, dry, at(0))
    dip(opened, wet, at(DRY_AFTER - 0.25))
    rows = rows_at(opened, DRY_AFTER)
    states = {row.shell.id: row.state for row in rows}
    assert states[dry.id] is RackState.DIP_DUE
    first = expected_row(rows)
    assert first is not None
    assert first.shell.id == dry.id
    assert is_due(first)
    rest = expected_row([row for row in rows if row.shell.id != dry.id])
    assert rest is not None
    assert rest.shell.id == bare.id
    early = expected_row([row for row in rows if row.shell.id == wet.id])
    assert early is not None
    assert not is_due(early)


def test_nothing_is_expected_of_shells_that_are_through(opened: OpenShop, heron: Shell) -> None:
    for hours in (-3, -2, -1):
        dip(opened, heron, at(hours))
    assert expected_row(rows_at(opened, 0)) is None
    assert expected_row([]) is None


def test_a_batch_offers_the_shells_with_the_same_next_coat(opened: OpenShop) -> None:
    shells = [on_rack(opened, name) for name in ("one", "two", "three")]
    dip(opened, shells[2], at(-1))
    step = shells[0].sequence.steps[0]
    found = {row.shell.id for row in same_step_rows(rows_at(opened, 0), step)}
    assert found == {shells[0].id, shells[1].id}


def test_a_batch_goes_on_skips_and_goes_back(opened: OpenShop) -> None:
    shells = [on_rack(opened, name) for name in ("one", "two", "three")]
    batch = Batch(waiting=tuple(shell.id for shell in shells))
    batch = batch.skipped()
    assert [batch.current, batch.size] == [shells[1].id, 3]
    coat = dip(opened, shells[1], at(0))
    batch = batch.dipped(coat)
    assert batch.done == ((shells[1].id, coat.id),)
    assert batch.waiting == (shells[2].id, shells[0].id)
    undo_coat(opened, coat.id, at(0.1))
    batch = batch.undone()
    assert batch.waiting == (shells[1].id, shells[2].id, shells[0].id)
    assert batch.undone() == batch
    assert Batch(waiting=()).current is None


@pytest.mark.parametrize("typed", ["wb-08", "WB", "08", "8", "tea", "Teal, p", "pair"])
def test_first_letters_and_numbers_find_a_shell(opened: OpenShop, typed: str) -> None:
    teal = named(opened, "Teal, pair", "WB-08")
    named(opened, "Heron", "H-11")
    assert [row.shell.id for row in find_rows(rows_at(opened, 0), typed)] == [teal.id]


def test_labels_come_before_names(opened: OpenShop) -> None:
    named(opened, "B standing for bell", "X-1")
    label = named(opened, "Heron", "B-1")
    assert next(row.shell.id for row in find_rows(rows_at(opened, 0), "b")) == label.id
    assert len(find_rows(rows_at(opened, 0), "")) == 2


def test_scans_are_codes_labels_or_whole_names(opened: OpenShop) -> None:
    teal = named(opened, "Teal, pair", "WB-08")
    for text in (code_text("WB-08"), "WB-08", "wb-08 ", "TEAL, PAIR"):
        assert shell_scanned(opened, text).id == teal.id
    assert shell_scanned(opened, code_text("WB-08"), checked=True).id == teal.id
    with pytest.raises(UncheckedScanError, match="no check character"):
        shell_scanned(opened, "WB-08", checked=True)
    with pytest.raises(NoSuchShellError):
        shell_scanned(opened, "Teal")  # first letters are no scan
    wrong = code_text("WB-08")[:-1] + "Z"
    with pytest.raises(MisreadCodeError):
        shell_scanned(opened, wrong)


def test_today_s_times_are_those_of_the_shop_s_clock(opened: OpenShop, heron: Shell) -> None:
    assert a_wax().sequence == heron.sequence
    steady_air(opened, 0.5)
    dip(opened, heron, NOW)
    forecast = opened.forecast_shell(heron, NOW)
    assert forecast.safe_at is not None
    madrid = forecast.safe_at + timedelta(hours=1)  # UTC+1 in March
    line = said(board_at(opened, heron, 0))[LineKind.STATE]
    assert f"{madrid:%H:%M}" in line
