"""Checks are logged once, corrected with their history, left out with a reason, taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from shop_cases import HOUR, MINUTE, NOW, PRIME, a_wax, an_id, at, at_the_book, on_rack

from shellcoat.operations.checks import (
    CheckInFutureError,
    NoReasonError,
    correct_check,
    leave_out,
    log_check,
    take_back_check,
    take_in,
)
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop, TakenBackError
from shellcoat.operations.shells import set_state
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    DryFinding,
    InfraredReading,
    PlateTest,
    Record,
    RheologyTest,
    Shell,
    ShellState,
    StuccoGrain,
    WallPlace,
    Weighing,
)
from shellcoat.shop.checks import MissingTextError
from shellcoat.shop.ledger import NoSuchEntryError


def a_touch(shell: Shell, when: datetime = NOW, **changes: Any) -> DryCheck:
    """Somebody laid the back of a hand on it."""
    plain = {"id": an_id("touch"), "shell_id": shell.id, "at": when, "finding": DryFinding.DRY}
    return DryCheck(**(plain | changes))


def one_of_each(shell: Shell, when: datetime = NOW) -> list[Any]:
    """Every kind of check."""
    on_it = {"shell_id": shell.id, "at": when}
    of_it = {"slurry": PRIME.slurry, "at": when}
    return [
        a_touch(shell, when),
        InfraredReading(id=an_id("gun"), **on_it, surface_temp_c=18.5),
        Weighing(id=an_id("scale"), **on_it, mass_kg=12.4),
        CaliperReading(id=an_id("jaws"), **on_it, place=WallPlace.FLAT, thickness_m=5e-3),
        PlateTest(id=an_id("plate"), **of_it, area_m2=0.02, mass_kg=0.018),
        RheologyTest(id=an_id("cup"), **of_it, viscosity_pa_s=0.6, density_kg_m3=2700.0),
        StuccoGrain(id=an_id("sand"), stucco=PRIME.stucco, finest_m=1e-4, coarsest_m=3e-4),
    ]


EACH = pytest.mark.parametrize("place", range(7), ids=lambda place: f"kind {place + 1}")


def in_book(opened: OpenShop) -> list[Record]:
    """Every check that stands."""
    ledger = opened.ledger
    return [*(check for own in ledger.checks().values() for check in own), *ledger.slurry_tests]


@EACH
def test_a_check_is_in_the_book_with_who_made_it(
    opened: OpenShop, heron: Shell, path: Path, place: int
) -> None:
    check = one_of_each(heron)[place]
    assert log_check(opened, check, NOW) == check
    (entry,) = opened.ledger.history(check.id)
    assert (entry.who, entry.station, entry.recorded_at) == ("Ana", "bench", NOW)
    with at_the_book(path) as other:
        assert in_book(other) == [check]


@EACH
def test_logged_twice_it_is_once(opened: OpenShop, heron: Shell, place: int) -> None:
    check = one_of_each(heron)[place]
    log_check(opened, check, NOW)
    log_check(opened, check, NOW + MINUTE)
    assert in_book(opened) == [check]
    assert len(opened.ledger.history(check.id)) == 1


def test_a_second_press_after_a_correction_gives_what_stands(
    opened: OpenShop, heron: Shell
) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    wet = correct_check(opened, replace(check, finding=DryFinding.STILL_WET), NOW, "wrong key")
    assert log_check(opened, check, NOW) == wet
    assert in_book(opened) == [wet]


@pytest.mark.parametrize("place", range(6), ids=lambda place: f"kind {place + 1}")
def test_what_has_not_been_made_yet_is_refused_in_words(
    opened: OpenShop, heron: Shell, place: int
) -> None:
    with pytest.raises(CheckInFutureError, match=r"^Time of the check: 15:00 has not come yet\."):
        log_check(opened, one_of_each(heron, at(1))[place], NOW)
    assert in_book(opened) == []
    log_check(opened, one_of_each(heron, NOW + AHEAD_ALLOWED)[place], NOW)
    assert len(in_book(opened)) == 1


def test_a_correction_into_the_future_is_refused_too(opened: OpenShop, heron: Shell) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    with pytest.raises(CheckInFutureError, match="15:00"):
        correct_check(opened, replace(check, at=at(1)), NOW, "wrong hour")
    assert in_book(opened) == [check]


def test_a_correction_takes_its_place_and_keeps_what_it_said(
    opened: OpenShop, heron: Shell
) -> None:
    check = log_check(opened, one_of_each(heron)[2], NOW)
    right = replace(check, mass_kg=12.0, at=NOW - HOUR)
    assert correct_check(opened, right, NOW, "the hook hung on it") == right
    assert in_book(opened) == [right]
    history = opened.ledger.history(check.id)
    assert [(entry.record.mass_kg, entry.reason) for entry in history] == [
        (12.4, ""),
        (12.0, "the hook hung on it"),
    ]


@EACH
def test_left_out_it_stays_with_its_reason_and_can_be_taken_in_again(
    opened: OpenShop, heron: Shell, place: int
) -> None:
    check = log_check(opened, one_of_each(heron)[place], NOW)
    out = leave_out(opened, check, NOW, "  made by a guest ")
    assert out == replace(check, left_out="made by a guest")
    assert in_book(opened) == [out]
    assert take_in(opened, out, NOW) == check
    assert in_book(opened) == [check]
    assert [entry.reason for entry in opened.ledger.history(check.id)] == [
        "",
        "made by a guest",
        "taken in again",
    ]


@pytest.mark.parametrize("reason", ["", "  ", "\n\t"])
def test_leaving_out_needs_a_reason(opened: OpenShop, heron: Shell, reason: str) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    with pytest.raises(NoReasonError, match="Say why"):
        leave_out(opened, check, NOW, reason)
    assert in_book(opened) == [check]


def test_a_reason_that_cannot_be_kept_changes_nothing(opened: OpenShop, heron: Shell) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    with pytest.raises(MissingTextError, match="Reason to leave it out"):
        leave_out(opened, check, NOW, "bell\a")
    assert in_book(opened) == [check]


def test_leaving_out_what_a_page_shows_from_before_keeps_the_correction(
    opened: OpenShop, heron: Shell
) -> None:
    """Another station put the mass right meanwhile."""
    shown = log_check(opened, one_of_each(heron)[2], NOW)
    correct_check(opened, replace(shown, mass_kg=12.0), NOW, "the hook hung on it")
    assert leave_out(opened, shown, NOW, "scale not level").mass_kg == 12.0
    assert take_in(opened, shown, NOW).mass_kg == 12.0


def test_asking_for_what_is_so_already_writes_nothing(opened: OpenShop, heron: Shell) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    take_in(opened, check, NOW)
    assert len(opened.ledger.history(check.id)) == 1
    leave_out(opened, check, NOW, "guest")
    leave_out(opened, check, NOW, "guest")
    assert len(opened.ledger.history(check.id)) == 2
    assert leave_out(opened, check, NOW, "it was raining in").left_out == "it was raining in"


@EACH
def test_taken_back_it_is_gone_and_stays_in_the_history(
    opened: OpenShop, heron: Shell, place: int
) -> None:
    check = log_check(opened, one_of_each(heron)[place], NOW)
    take_back_check(opened, check.id, NOW, "on the wrong shell")
    assert in_book(opened) == []
    assert [entry.reason for entry in opened.ledger.history(check.id)] == ["", "on the wrong shell"]


def test_what_was_taken_back_cannot_be_changed_and_says_by_whom(
    opened: OpenShop, heron: Shell
) -> None:
    check = log_check(opened, a_touch(heron), NOW)
    take_back_check(opened, check.id, NOW, "never made")
    changes = (
        lambda: correct_check(opened, check, NOW, "other"),
        lambda: leave_out(opened, check, NOW, "guest"),
        lambda: take_in(opened, check, NOW),
        lambda: take_back_check(opened, check.id, NOW, "again"),
    )
    for change in changes:
        with pytest.raises(TakenBackError, match="taken back by Ana at 2026-03-05 14:00"):
            change()
    assert in_book(opened) == []


def test_a_check_of_a_shell_nobody_knows_is_refused(opened: OpenShop) -> None:
    with pytest.raises(NoSuchEntryError, match="not in this book"):
        log_check(opened, a_touch(a_wax("stranger")), NOW)
    assert in_book(opened) == []


def test_a_finished_shell_can_still_be_measured(opened: OpenShop) -> None:
    shell = on_rack(opened, "done")
    set_state(opened, shell.id, ShellState.FINISHED, NOW)
    check = log_check(opened, one_of_each(shell)[3], NOW)
    assert in_book(opened) == [check]
