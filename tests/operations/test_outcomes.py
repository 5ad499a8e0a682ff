"""Outcomes: logged once for a finished shell, counted across shells, told without claims."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from shop_cases import DIPPING, NOW, a_wax, at, at_the_book, dip, on_rack

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.forecast.pour_odds import PouredShell, Share, Split, Trait, split_by
from shellcoat.operations.air import log_reading
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.outcome_reports import outcomes_json, outcomes_text
from shellcoat.operations.outcome_wording import (
    NO_OUTCOMES,
    all_splits,
    write_counts,
    write_outcome,
    write_split,
)
from shellcoat.operations.outcomes import (
    NotFinishedError,
    PouredAlreadyError,
    PourTimeError,
    correct_outcome,
    log_outcome,
    take_back_outcome,
)
from shellcoat.operations.pour_evidence import poured_shells
from shellcoat.operations.shells import set_state
from shellcoat.shop import (
    CaliperReading,
    Outcome,
    PourResult,
    Shell,
    ShellState,
    WallPlace,
)


def an_outcome(shell: Shell, result: PourResult = PourResult.SOUND, **changes: Any) -> Outcome:
    outcome = Outcome(id=uuid4(), shell_id=shell.id, poured_at=NOW, result=result)
    return replace(outcome, **changes)


def finished(opened: OpenShop, name: str = "heron", when: datetime = NOW) -> Shell:
    shell = on_rack(opened, name)
    return set_state(opened, shell.id, ShellState.FINISHED, when)


def test_an_outcome_is_kept_once(path: Path, opened: OpenShop) -> None:
    shell = finished(opened)
    outcome = an_outcome(shell, PourResult.LEAK, where="under the wing", metal_temp_c=1120.0)
    assert log_outcome(opened, outcome, NOW) == outcome
    assert log_outcome(opened, outcome, NOW) == outcome
    with at_the_book(path) as other:
        assert other.ledger.outcomes == {shell.id: outcome}
        with pytest.raises(PouredAlreadyError, match="was poured already"):
            log_outcome(other, an_outcome(shell), NOW)


@pytest.mark.parametrize("state", [ShellState.IN_WORK, ShellState.ON_HOLD, ShellState.SCRAPPED])
def test_a_shell_that_is_not_finished_is_refused_or_finished_with_it(
    opened: OpenShop, state: ShellState
) -> None:
    shell = set_state(opened, on_rack(opened).id, state, NOW)
    with pytest.raises(NotFinishedError, match=f"is {state.value}"):
        log_outcome(opened, an_outcome(shell), NOW)
    assert opened.ledger.outcomes == {}
    log_outcome(opened, an_outcome(shell), NOW, finish=True)
    assert opened.ledger.shell(shell.id).state is ShellState.FINISHED


def test_a_pour_to_come_and_one_before_the_last_coat_are_refused(opened: OpenShop) -> None:
    shell = on_rack(opened)
    dip(opened, shell, at(-5))
    with pytest.raises(PourTimeError, match="has not come yet"):
        log_outcome(opened, an_outcome(shell, poured_at=at(1)), NOW, finish=True)
    with pytest.raises(PourTimeError, match="before the last coat"):
        log_outcome(opened, an_outcome(shell, poured_at=at(-6)), NOW, finish=True)


def test_it_is_corrected_and_taken_back_and_can_then_be_logged_anew(opened: OpenShop) -> None:
    shell = finished(opened)
    outcome = log_outcome(opened, an_outcome(shell), NOW)
    crack = correct_outcome(opened, replace(outcome, result=PourResult.CRACK), NOW, "seen cold")
    assert opened.ledger.outcomes == {shell.id: crack}
    take_back_outcome(opened, outcome.id, NOW, "another shell")
    assert opened.ledger.outcomes == {}
    again = log_outcome(opened, an_outcome(shell), NOW)
    assert opened.ledger.outcomes == {shell.id: again}


@pytest.mark.parametrize(
    ("field", "value"),
    [("metal_temp_c", 3000.0), ("shell_temp_c", -100.0), ("metal_mass_kg", 0.0)],
)
def test_what_no_foundry_measures_is_refused(field: str, value: float) -> None:
    with pytest.raises(ValueOutOfRangeError):
        an_outcome(a_wax(), **{field: value})


# What the results go with.


def coats_on(opened: OpenShop, shell: Shell, *hours: float) -> None:
    for hour in hours:
        dip(opened, shell, at(hour), room_id=DIPPING)


def traits_of(opened: OpenShop, shell: Shell) -> dict[Trait, float | None]:
    log_outcome(opened, an_outcome(shell), NOW, finish=True)
    (found,) = poured_shells(opened, NOW)
    assert found.shell_id == shell.id
    return found.traits


def test_the_shortest_interval_is_measured_against_what_the_forecast_asked(
    opened: OpenShop,
) -> None:
    shell = on_rack(opened)
    coats_on(opened, shell, -40, -39, -1)
    forecast = opened.forecast_shell(shell, NOW)
    first, second, _ = forecast.coats
    assert second.dipped_early
    assert first.safe_at is not None
    hurried = 3600.0 / (first.safe_at - at(-40)).total_seconds()
    assert traits_of(opened, shell)[Trait.INTERVAL] == pytest.approx(hurried)


def test_intervals_that_were_long_enough_are_on_the_better_side(opened: OpenShop) -> None:
    shell = on_rack(opened)
    coats_on(opened, shell, -140, -90, -40)
    forecast = opened.forecast_shell(shell, NOW)
    assert not any(coat.dipped_early for coat in forecast.coats)
    ratio = traits_of(opened, shell)[Trait.INTERVAL]
    assert ratio is not None
    assert ratio > 1.0


def test_a_caliper_moves_the_wall_that_counts(opened: OpenShop) -> None:
    shell = on_rack(opened)
    coats_on(opened, shell, -140, -90, -40)
    for number in range(4):
        reading = CaliperReading(
            id=uuid4(),
            shell_id=shell.id,
            at=at(-2 + number / 10),
            place=WallPlace.FLAT,
            thickness_m=1.5e-3,
        )
        opened.record(reading, NOW)
    ratio = traits_of(opened, shell)[Trait.THICKNESS]
    assert ratio == pytest.approx(1.5e-3 / shell.sequence.target_thickness_m, rel=0.15)
    assert split_by(Trait.THICKNESS, poured_shells(opened, NOW)).worse.count == 1


def test_the_swing_over_a_prime_coat_is_that_of_the_readings(opened: OpenShop) -> None:
    shell = on_rack(opened)
    for hour, temp in ((-60.0, 5.0), (-39.9, 20.0), (-39.8, 21.0), (-39.7, 23.4), (-2, 30.0)):
        log_reading(opened, DIPPING, at(hour), temp, 0.5, NOW)
    coats_on(opened, shell, -40, -10)
    forecast = opened.forecast_shell(shell, NOW)
    assert forecast.coats[0].safe_at is not None
    assert at(-39.7) < forecast.coats[0].safe_at < at(-2)
    assert traits_of(opened, shell)[Trait.AIR] == pytest.approx((23.4 - 20.0) / 1.7)


def test_what_is_not_known_is_not_guessed(opened: OpenShop) -> None:
    traits = traits_of(opened, on_rack(opened))
    assert traits == dict.fromkeys(Trait)


def test_a_shell_poured_long_after_counts_as_it_left_the_rack(opened: OpenShop) -> None:
    """Water in a core goes on drying on the shelf; what counts is how the shell went off."""
    shell = on_rack(opened)
    coats_on(opened, shell, -140, -90, -40)
    set_state(opened, shell.id, ShellState.FINISHED, at(-30))
    log_outcome(opened, an_outcome(shell), NOW)
    seen: list[datetime] = []
    forecast = opened.forecast
    opened.forecast = lambda given: seen.append(given.now) or forecast(given)  # type: ignore[method-assign]
    poured_shells(opened, NOW)
    assert seen == [at(-30)]


# Words.


def poured(trait: Trait, worse: tuple[int, int], better: tuple[int, int]) -> list[PouredShell]:
    bad, good = (0.5, 1.5) if trait in (Trait.THICKNESS, Trait.INTERVAL) else (1.5, 0.5)
    return [
        PouredShell(shell_id=uuid4(), sound=number >= faults, traits={trait: ratio})
        for ratio, (faults, count) in ((bad, worse), (good, better))
        for number in range(count)
    ]


def test_overlapping_intervals_claim_nothing() -> None:
    said = write_split(split_by(Trait.INTERVAL, poured(Trait.INTERVAL, (2, 3), (3, 15))))
    assert "A dip before the safe time: 2 of 3 not sound (21 to 94 %)" in said
    assert "every dip after the safe time: 3 of 15 not sound (7 to 45 %)" in said
    assert said.endswith("n is too small to say.")


def test_intervals_apart_still_say_nothing_of_the_cause() -> None:
    said = write_split(split_by(Trait.CORE_WATER, poured(Trait.CORE_WATER, (18, 20), (1, 20))))
    assert "these shells differed. Why, the counts do not say" in said
    assert "cause" not in said


def test_one_group_alone_is_not_compared() -> None:
    split = Split(Trait.AIR, Share(0, 0), Share(1, 3), 15)
    assert "nothing to compare" in write_split(split)
    assert "With no prime coat whose air was measured: 15." in write_split(split)
    assert write_split(Split(Trait.AIR, Share(0, 0), Share(0, 0), 2)).endswith("for no shell.")


def test_pours_are_counted_and_told_each(opened: OpenShop) -> None:
    assert write_counts([]) == NO_OUTCOMES
    assert outcomes_text(opened, [], NOW) == NO_OUTCOMES
    bell, heron = finished(opened, "bell"), finished(opened, "heron")
    log_outcome(opened, an_outcome(bell), NOW)
    leak = an_outcome(
        heron, PourResult.RUN_OUT, where="gate", metal_temp_c=1120.0, poured_at=at(-1)
    )
    log_outcome(opened, leak, NOW)
    text = outcomes_text(opened, poured_shells(opened, NOW), NOW).replace("\u00a0", " ")
    assert text.startswith("Poured: 2 – 1 sound, 1 run-out. 1 of 2 not sound (9 to 91 %).")
    last = text.splitlines()[-2:]
    assert last[0] == "14:00  W-bell  Water bird, bell: sound"
    assert last[1] == "13:00  W-heron  Water bird, heron: run-out, gate (metal 1120 °C)"
    assert write_outcome(leak, CheckWriter(opened.units)).replace("\u00a0", " ") in last[1]


def test_scripts_get_the_same_as_data(opened: OpenShop) -> None:
    shell = on_rack(opened)
    coats_on(opened, shell, -40, -39, -1)
    log_outcome(opened, an_outcome(shell, PourResult.CRACK), NOW, finish=True)
    found = poured_shells(opened, NOW)
    told = outcomes_json(opened, found)
    assert told["outcomes"][0]["result"] == "crack"
    assert told["traits"][str(shell.id)]["interval"] < 1.0
    interval = next(split for split in told["splits"] if split["trait"] == "interval")
    assert (interval["worse"]["not_sound"], interval["worse"]["shells"]) == (1, 1)
    assert len(all_splits(found)) == len(Trait)
