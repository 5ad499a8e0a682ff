"""What is done to cores is logged as it happens, and told in a person's words."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from uuid import UUID

import pytest
from shop_cases import HOUR, MINUTE, NOW, an_id, at, dip, on_rack, steady_air

from shellcoat.forecast.answers import ActionKind, CoreAction, CoreAnswer
from shellcoat.operations.cores import (
    CareInFutureError,
    blowing_now,
    log_care,
    stop_blowing,
    write_action,
    write_closing,
    write_core,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Band, CareKind, Core, CoreCare, Opening, Shell
from shellcoat.shop.core import CoreDataError
from shellcoat.units import UnitPreferences, UnitSystem

BODY, HEAD = an_id("body"), an_id("head")
METRIC, US = UnitPreferences(UnitSystem.METRIC), UnitPreferences(UnitSystem.US)
SPACE = "\u00a0"
TEN_LITRES = 10.0 / 60_000.0


@pytest.fixture
def cored(opened: OpenShop) -> Shell:
    """A wax with two hollows on the rack."""
    mouth = Opening(width_m=0.030, height_m=0.030)
    cores = tuple(
        Core(id=core_id, name=name, area_m2=0.03, openings=(mouth,))
        for core_id, name in ((BODY, "body"), (HEAD, "head"))
    )
    return on_rack(opened, "bell", cores=cores)


def blow(
    opened: OpenShop, shell: Shell, when: datetime, core_id: UUID = BODY, **more: object
) -> CoreCare:
    """Put the hose in at the moment it happens."""
    flow = {"flow_m3_s": TEN_LITRES}
    return log_care(opened, shell.id, core_id, CareKind.BLOW, when, when, **(flow | more))


def test_what_was_done_is_in_the_book_with_who_did_it(opened: OpenShop, cored: Shell) -> None:
    plug = log_care(opened, cored.id, BODY, CareKind.PLUG, at(-1), NOW, note="cork")
    turn = log_care(opened, cored.id, None, CareKind.TURN, at(-2), NOW)
    assert opened.ledger.care() == {cored.id: (turn, plug)}
    (entry,) = opened.ledger.history(plug.id)
    assert (entry.who, entry.recorded_at, plug.note) == ("Ana", NOW, "cork")


def test_what_has_not_been_done_is_refused_in_words(opened: OpenShop, cored: Shell) -> None:
    with pytest.raises(CareInFutureError, match=r"^Time: 15:00 has not come yet\. Give the time"):
        log_care(opened, cored.id, BODY, CareKind.PLUG, at(1), NOW)
    assert opened.ledger.care() == {}
    ahead = log_care(opened, cored.id, BODY, CareKind.PLUG, NOW + MINUTE, NOW)
    assert opened.ledger.care() == {cored.id: (ahead,)}


def test_air_without_a_flow_is_refused_and_nothing_is_kept(opened: OpenShop, cored: Shell) -> None:
    with pytest.raises(CoreDataError, match="air flow"):
        log_care(opened, cored.id, BODY, CareKind.BLOW, NOW, NOW)
    assert opened.ledger.care() == {}


def test_air_blows_from_its_start_to_its_end_into_its_own_core(
    opened: OpenShop, cored: Shell
) -> None:
    act = blow(opened, cored, at(-1), until=at(1))
    seen = [blowing_now(opened, BODY, at(hours)) for hours in (-1.5, -1.0, 0.0, 1.0, 1.5)]
    assert seen == [None, act, act, None, None]
    assert blowing_now(opened, HEAD, NOW) is None


def test_stopping_ends_it_and_the_old_entry_stays_in_the_history(
    opened: OpenShop, cored: Shell
) -> None:
    act = blow(opened, cored, at(-3))
    assert blowing_now(opened, BODY, NOW) == act
    ended = stop_blowing(opened, act, NOW)
    assert ended == replace(act, until=NOW)
    assert blowing_now(opened, BODY, NOW) is None
    assert opened.ledger.care() == {cored.id: (ended,)}
    assert [entry.reason for entry in opened.ledger.history(act.id)] == [
        "",
        "the air was taken off",
    ]


def test_stopping_with_a_clock_set_back_ends_it_at_its_start(
    opened: OpenShop, cored: Shell
) -> None:
    act = blow(opened, cored, NOW)
    assert stop_blowing(opened, act, at(-1)).until == NOW


def test_a_dip_takes_the_hose_off(opened: OpenShop, cored: Shell) -> None:
    dip(opened, cored, at(-6))
    act = blow(opened, cored, at(-5))
    assert blowing_now(opened, BODY, at(-1)) == act
    dip(opened, cored, at(-0.5))
    assert blowing_now(opened, BODY, NOW) is None
    again = blow(opened, cored, NOW)
    assert blowing_now(opened, BODY, NOW + HOUR) == again


def test_logged_air_reaches_the_forecast_and_a_withdrawal_takes_it_out(
    opened: OpenShop, cored: Shell
) -> None:
    steady_air(opened, 0.5)
    dip(opened, cored, at(-1))
    quiet = opened.forecast_shell(cored, NOW).cores
    act = blow(opened, cored, NOW)
    blown = opened.forecast_shell(cored, NOW).cores
    assert blown[0].likely_at is not None
    assert blown[0].likely_at < (quiet[0].likely_at or at(200))
    assert blown[1] == quiet[1]
    opened.withdraw(act.id, NOW, "wrong piece")
    assert opened.forecast_shell(cored, NOW).cores == quiet


# In words ----------------------------------------------------------------------------------------


def an_answer(**changes: object) -> CoreAnswer:
    """A core that still holds 6 g, safely dry next morning."""
    fields = {
        "core_id": BODY,
        "name": "body",
        "likely_at": at(8),
        "safe_at": at(18),
        "chance_dry": 0.1,
        "chance_by_due": 0.42,
        "water_kg": Band(0.004, 0.006, 0.008),
        "dry_kg": 0.0006,
        "steam_l": Band(6.7, 10.0, 13.4),
        "width_m": 0.028,
        "closes_at": (None, None, None),
        "closed": False,
        "plugged": False,
    }
    return CoreAnswer(**(fields | changes))


HELD = f"about 6{SPACE}g of water held, which would make 10 litres of steam"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {},
            "body: safely dry Fri 08:00, by the time the shell is due with a chance of 42 %; "
            f"{HELD}.",
        ),
        ({"safe_at": None}, f"body: will not be safely dry within a week; {HELD}."),
        ({"safe_at": at(-2)}, "body: dry since 12:00."),
        ({"closed": True}, f"body: closed; {HELD}."),
        ({"plugged": True}, f"body: plugged; {HELD}."),
        (
            {"plugged": True, "water_kg": Band(0.0, 0.0, 1e-6)},
            "body: plugged; dry inside.",
        ),
    ],
)
def test_a_core_is_told_in_a_sentence(opened: OpenShop, changes: dict, words: str) -> None:
    assert write_core(an_answer(**changes), opened, NOW) == words


def test_a_core_is_told_in_the_shops_own_units(opened: OpenShop) -> None:
    opened.amend(replace(opened.shop, units={"system": "us"}), NOW)
    text = write_core(an_answer(water_kg=Band(0.04, 0.0454, 0.05)), opened, NOW)
    assert f"about 1.6{SPACE}oz of water" in text


@pytest.mark.parametrize(
    ("closes_at", "words"),
    [
        ((None, None, None), ""),
        ((7, None, None), "May close at coat 7."),
        ((5, 7, None), "Closes at about coat 7, perhaps at 5."),
        ((5, 6, 8), "Closes at coat 5 to 8."),
        ((6, 6, 6), "Closes at coat 6."),
    ],
)
def test_closing_is_told_with_its_spread(closes_at: tuple, words: str) -> None:
    assert write_closing(an_answer(closes_at=closes_at)) == words


def an_action(kind: ActionKind, amount: float | None, gain_h: float) -> CoreAction:
    """One thing to do."""
    return CoreAction(kind=kind, amount=amount, safe_at=at(5), gain_s=gain_h * 3600.0)


@pytest.mark.parametrize(
    ("action", "metric", "us"),
    [
        (
            an_action(ActionKind.BLOW, TEN_LITRES, 20.2),
            f"Blow 10.0{SPACE}L/min into it: dry 20{SPACE}h sooner.",
            f"Blow 0.4{SPACE}ft³/min into it: dry 20{SPACE}h sooner.",
        ),
        (
            an_action(ActionKind.TURN, None, 30.3),
            f"Turn the shell upside down: dry 1{SPACE}d 6{SPACE}h sooner.",
            f"Turn the shell upside down: dry 1{SPACE}d 6{SPACE}h sooner.",
        ),
        (
            an_action(ActionKind.WIDEN, 0.0508, 3.5),
            f"Widen its opening to 51{SPACE}mm: dry 3{SPACE}h 30{SPACE}min sooner.",
            f"Widen its opening to 2.00{SPACE}in: dry 3{SPACE}h 30{SPACE}min sooner.",
        ),
        (
            replace(an_action(ActionKind.BLOW, TEN_LITRES, 20.2), lasts_s=5.2 * 3600.0),
            f"Blow 10.0{SPACE}L/min into it for 5{SPACE}h 30{SPACE}min: dry 20{SPACE}h sooner.",
            f"Blow 0.4{SPACE}ft³/min into it for 5{SPACE}h 30{SPACE}min: dry 20{SPACE}h sooner.",
        ),
        (
            an_action(ActionKind.PLUG, 4.0, 26.0),
            f"Plug it once dry, after coat 4: another coat in it would take 1{SPACE}d 2{SPACE}h "
            "more to dry.",
            f"Plug it once dry, after coat 4: another coat in it would take 1{SPACE}d 2{SPACE}h "
            "more to dry.",
        ),
        (
            an_action(ActionKind.WAIT, 7.0 * 3600.0, 0.0),
            f"Wait 7{SPACE}h.",
            f"Wait 7{SPACE}h.",
        ),
    ],
)
def test_an_action_is_told_with_its_gain(action: CoreAction, metric: str, us: str) -> None:
    assert write_action(action, METRIC) == metric
    assert write_action(action, US) == us
