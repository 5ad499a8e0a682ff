"""A dip: what the page proposes, and that it is logged once."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from shop_cases import (
    BACKUP,
    DIPPING,
    DRYING,
    HOUR,
    MINUTE,
    NOW,
    PRIME,
    SEAL,
    an_extra,
    an_order,
    at,
    at_the_book,
    dip,
    numbered,
    on_rack,
    steady_air,
    typed_reading,
)

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.book.faults import SlotTakenError
from shellcoat.operations.dips import (
    DipInFutureError,
    DoubleDipError,
    ShellDoneError,
    log_dip,
    order_from,
    propose_dip,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import set_state
from shellcoat.shop import AirAtDip, AirMovement, Coat, Shell, ShellState

# What is proposed.


def test_a_bare_wax_is_offered_its_first_coat(opened: OpenShop, heron: Shell) -> None:
    proposal = propose_dip(opened, heron, opened.forecast_shell(heron, NOW))
    assert (proposal.number, proposal.step, proposal.early) == (1, PRIME, False)
    assert proposal.room_id == heron.room_id
    assert proposal.movement is AirMovement.STILL_ROOM
    assert proposal.tank == ""
    assert proposal.air is None


def test_the_room_is_where_the_shop_last_dried_a_coat_of_that_kind(opened: OpenShop) -> None:
    crane, teal = on_rack(opened, "crane"), on_rack(opened, "teal")
    dip(opened, crane, at(-20), room_id=DRYING)
    dip(opened, crane, at(-10), room_id=DIPPING)
    for_prime = propose_dip(opened, teal, opened.forecast_shell(teal, NOW))
    assert for_prime.room_id == DRYING
    assert for_prime.movement is AirMovement.FAN_ON_SHELL
    dip(opened, teal, at(-5))
    for_backup = propose_dip(opened, teal, opened.forecast_shell(teal, NOW))
    assert for_backup.step == BACKUP
    assert for_backup.room_id == DIPPING
    assert for_backup.movement is AirMovement.STILL_ROOM


def test_the_tank_is_the_one_that_slurry_last_came_from(opened: OpenShop) -> None:
    crane, teal = on_rack(opened, "crane"), on_rack(opened, "teal")
    dip(opened, crane, at(-30), tank="P1")
    dip(opened, teal, at(-20), tank="P2")
    dip(opened, crane, at(-10), tank="B1")
    dip(opened, on_rack(opened, "coot"), at(-2), tank="")
    coming = propose_dip(opened, on_rack(opened, "smew"), opened.forecast_shell(crane, NOW))
    assert coming.tank == "P2"
    # The seal coat is of the backup slurry, whatever it is called on the plan.
    last = propose_dip(opened, crane, opened.forecast_shell(crane, NOW))
    assert (last.step, last.tank) == (SEAL, "B1")


def test_the_air_is_the_latest_reading_however_old(opened: OpenShop, heron: Shell) -> None:
    typed_reading(opened, at(-60), 20.5, 0.61)
    typed_reading(opened, at(-72), 19.0, 0.70)
    typed_reading(opened, at(-1), 25.0, 0.30, room_id=DRYING)
    proposal = propose_dip(opened, heron, opened.forecast_shell(heron, NOW))
    assert proposal.air == AirAtDip(temp_c=20.5, rh=0.61, read_at=at(-60))


def test_a_wet_coat_makes_the_next_dip_an_early_one(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, NOW)
    soon = propose_dip(opened, heron, opened.forecast_shell(heron, NOW + MINUTE))
    assert soon.early
    safe_at = opened.forecast_shell(heron, NOW).safe_at
    assert safe_at is not None
    late = propose_dip(opened, heron, opened.forecast_shell(heron, safe_at + HOUR))
    assert not late.early


def test_nothing_is_proposed_when_the_sequence_is_through(opened: OpenShop, heron: Shell) -> None:
    for number in range(3):
        dip(opened, heron, at(-72 + 24 * number))
    proposal = propose_dip(opened, heron, opened.forecast_shell(heron, NOW))
    assert proposal.step is None
    assert order_from(proposal, NOW) is None
    extra = log_dip(opened, an_extra(heron, NOW), NOW)
    assert opened.ledger.coats(heron.id)[3] == extra


# What is kept.


def test_a_dip_is_in_the_book_when_the_call_returns(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    air = AirAtDip(temp_c=21.5, rh=0.52, read_at=at(-0.2))
    order = an_order(
        opened,
        heron,
        NOW,
        tank="P1",
        air=air,
        note="drained 40 s — gut",
        reason="the furnace is booked",
        warnings=("Coat 1 went on early.",),
        room_id=DRYING,
        movement=AirMovement.STRONG_DRAUGHT,
    )
    coat = log_dip(opened, order, NOW)
    with open_book(path, read_only=True) as again:
        (kept,) = again.ledger.coats(heron.id)
        entry = again.ledger.live[coat.id]
    assert kept == coat
    assert kept == Coat(
        id=order.coat_id,
        shell_id=heron.id,
        step=PRIME,
        dipped_at=NOW,
        utc_offset_min=60,  # Madrid in winter
        room_id=DRYING,
        movement=AirMovement.STRONG_DRAUGHT,
        tank="P1",
        air=air,
        note="drained 40 s — gut",
        warnings=("Coat 1 went on early.",),
        reason="the furnace is booked",
    )
    assert (entry.who, entry.station, entry.recorded_at) == ("Ana", "bench", NOW)


def test_the_same_order_twice_is_one_coat(opened: OpenShop, heron: Shell) -> None:
    order = an_order(opened, heron, NOW)
    first = log_dip(opened, order, NOW)
    again = log_dip(opened, replace(order, note="pressed again"), NOW + HOUR)
    assert again is first
    assert numbered(opened, heron) == [NOW]


def test_the_same_order_from_another_window_is_one_coat(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    order = an_order(opened, heron, NOW)
    coat = log_dip(opened, order, NOW)
    with at_the_book(path, "Bo") as other:
        assert log_dip(other, order, NOW + HOUR) == coat
        assert numbered(other, heron) == [NOW]


@pytest.mark.parametrize("apart", [timedelta(0), timedelta(seconds=59), timedelta(seconds=-59)])
def test_a_second_dip_within_a_minute_is_a_second_press(
    opened: OpenShop, heron: Shell, apart: timedelta
) -> None:
    dip(opened, heron, NOW)
    second = an_order(opened, heron, NOW + apart)
    with pytest.raises(DoubleDipError, match=r"Coat 1 went on Water bird, heron at 14:00"):
        log_dip(opened, second, NOW + MINUTE)
    assert numbered(opened, heron) == [NOW]


def test_a_minute_later_it_is_another_dip(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, NOW)
    dip(opened, heron, NOW + MINUTE)
    assert numbered(opened, heron) == [NOW, NOW + MINUTE]


def test_two_shells_may_be_dipped_at_the_same_moment(opened: OpenShop, heron: Shell) -> None:
    crane = on_rack(opened, "crane")
    dip(opened, heron, NOW)
    dip(opened, crane, NOW)
    assert numbered(opened, heron) == numbered(opened, crane) == [NOW]


def test_two_people_at_one_dip_the_second_is_told_who_and_when(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    """Both windows show coat 1; neither has heard of the other's press."""
    with at_the_book(path, "Bo", "rack") as other:
        mine, theirs = an_order(opened, heron, NOW), an_order(other, heron, NOW)
        log_dip(opened, mine, NOW)
        with pytest.raises(SlotTakenError, match="Ana has logged this already") as refused:
            log_dip(other, replace(theirs, dipped_at=NOW + 5 * MINUTE), NOW + 5 * MINUTE)
        entry = refused.value.entry
        assert (entry.who, entry.recorded_at, entry.record.id) == ("Ana", NOW, mine.coat_id)
        assert f"{NOW:%Y-%m-%d}" in str(refused.value)
        assert numbered(other, heron) == [NOW]
    opened.book.close()
    assert check_book(path).sound


def test_after_the_news_both_people_go_on_in_turn(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    with at_the_book(path, "Bo") as other:
        dip(opened, heron, at(-20))
        other.book.refresh()
        dip(other, heron, at(-10))
        opened.book.refresh()
        dip(opened, heron, NOW)
        other.book.refresh()
        assert numbered(opened, heron) == numbered(other, heron) == [at(-20), at(-10), NOW]


# What is refused, and what is not.


@pytest.mark.parametrize("ahead", [timedelta(seconds=121), HOUR, timedelta(days=400)])
def test_a_dip_to_come_is_refused(opened: OpenShop, heron: Shell, ahead: timedelta) -> None:
    order = an_order(opened, heron, NOW + ahead)
    with pytest.raises(DipInFutureError, match=r"Time of the dip: .* has not come yet"):
        log_dip(opened, order, NOW)
    assert not opened.ledger.coats(heron.id)


def test_two_clocks_that_differ_by_two_minutes_are_borne_with(
    opened: OpenShop, heron: Shell
) -> None:
    order = an_order(opened, heron, NOW + 2 * MINUTE)
    assert log_dip(opened, order, NOW).dipped_at == NOW + 2 * MINUTE


def test_a_forgotten_dip_falls_into_its_place(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, at(-30))
    dip(opened, heron, at(-2))
    forgotten = log_dip(opened, an_extra(heron, at(-16)), NOW)
    assert numbered(opened, heron) == [at(-30), at(-16), at(-2)]
    forecast = opened.forecast_shell(heron, NOW)
    assert [answer.number for answer in forecast.coats] == [1, 2, 3]
    assert forecast.coats[1].coat_id == forgotten.id


@pytest.mark.parametrize("state", [ShellState.FINISHED, ShellState.SCRAPPED])
def test_a_shell_that_has_left_the_rack_is_not_dipped(
    opened: OpenShop, heron: Shell, state: ShellState
) -> None:
    order = an_order(opened, heron, NOW)
    set_state(opened, heron.id, state, NOW)
    with pytest.raises(ShellDoneError, match=rf"is {state.value}\. Put it back in work"):
        log_dip(opened, order, NOW)
    set_state(opened, heron.id, ShellState.IN_WORK, NOW)
    assert log_dip(opened, order, NOW).id == order.coat_id


def test_a_shell_on_hold_may_be_dipped(opened: OpenShop, heron: Shell) -> None:
    set_state(opened, heron.id, ShellState.ON_HOLD, NOW)
    dip(opened, heron, NOW)
    assert numbered(opened, heron) == [NOW]


def test_damp_air_keeps_the_dip_early_for_longer(opened: OpenShop, heron: Shell) -> None:
    """Not by how much, which is the forecast's own test; only that the readings reach it."""
    crane = on_rack(opened, "crane", room_id=DRYING)
    steady_air(opened, 0.30, room_id=DIPPING)
    steady_air(opened, 0.80, room_id=DRYING)
    dip(opened, heron, NOW, movement=AirMovement.STILL_ROOM)
    dip(opened, crane, NOW, room_id=DRYING, movement=AirMovement.STILL_ROOM)
    dry, damp = (opened.forecast_shell(shell, NOW).safe_at for shell in (heron, crane))
    assert dry is not None
    assert damp is None or damp > dry
