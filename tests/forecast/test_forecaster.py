"""What the forecast says about shells: states, times, water that is left, rooms and clocks."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from builders import (
    DAY,
    HOUR,
    NINE_COATS,
    OTHER_ROOM,
    ROOM,
    a_case,
    a_coat,
    a_forecaster,
    a_log,
    a_sequence,
    a_shell,
    at,
    backup,
    forecast_one,
    hours_to,
    log_of,
    prime,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import AirBasis, DryState, ShellForecast
from shellcoat.forecast.forecaster import ShellCase
from shellcoat.shop import AirMovement, ShellState

LOG = a_log(-48.0, 300.0)
SLOW_EXAMPLES = settings(deadline=None, max_examples=25)


def test_a_bare_wax_is_ready_for_its_first_coat():
    found = forecast_one(ShellCase(a_shell(), ()), LOG, 0.0)
    assert found.state is DryState.BARE
    assert found.coats_on == 0
    assert found.coats_planned == 9
    assert found.next_step == NINE_COATS[0]
    assert found.due_at is None
    assert found.warnings == ()
    assert found.thickness_at_end_m.likely == pytest.approx(2 * 0.45e-3 + 7 * 1.2e-3)


def test_a_coat_goes_from_wet_over_likely_dry_to_dry():
    case = a_case(a_shell(), [0.0])
    first = forecast_one(case, LOG, 0.01)
    likely, safe = hours_to(first.likely_at, 0.0), hours_to(first.safe_at, 0.0)
    assert 0.5 < likely < safe < 4.0
    assert first.state is DryState.WET
    assert first.due_at == first.safe_at
    assert forecast_one(case, LOG, likely - 0.02).state is DryState.WET
    assert forecast_one(case, LOG, likely + 0.02).state is DryState.LIKELY_DRY
    assert forecast_one(case, LOG, safe - 0.02).state is DryState.LIKELY_DRY
    assert forecast_one(case, LOG, safe + 0.02).state is DryState.DRY


@pytest.mark.parametrize("rh", [0.3, 0.4, 0.5, 0.6])
def test_a_minute_after_the_safe_time_the_coat_is_dry(rh):
    case, log = a_case(a_shell(), [0.0]), a_log(-48.0, 0.0, rh=rh)
    safe_at = forecast_one(case, log, 0.1).safe_at
    found = a_forecaster().forecast([case], {ROOM: log}, safe_at + timedelta(minutes=1))
    assert found[case.shell.id].state is DryState.DRY


def test_at_the_safe_time_that_is_told_the_coat_is_dry():
    states = []
    for rh in (0.3, 0.4, 0.5, 0.6):
        case, log = a_case(a_shell(), [0.0]), a_log(-48.0, 0.0, rh=rh)
        safe_at = forecast_one(case, log, 0.1).safe_at
        found = a_forecaster().forecast([case], {ROOM: log}, safe_at)
        states.append(found[case.shell.id].state)
    assert states == [DryState.DRY] * 4


def test_just_dipped_all_the_water_is_there():
    found = forecast_one(a_case(a_shell(), [0.0]), LOG, 0.0)
    assert found.chance_dry == 0.0
    assert found.water_left.likely == pytest.approx(1.0)
    assert found.water_left.low == pytest.approx(1.0)


def test_long_after_nothing_is_left():
    found = forecast_one(a_case(a_shell(), [0.0]), LOG, 100.0)
    assert found.chance_dry == pytest.approx(1.0)
    assert found.water_left.high == pytest.approx(0.0, abs=1e-9)
    assert found.state is DryState.DRY


def test_a_more_certain_safe_time_is_later_and_a_stricter_dry_share_too():
    case = a_case(a_shell(), [0.0])

    def safe(**choices: float) -> float:
        return hours_to(forecast_one(case, LOG, 0.1, a_forecaster(**choices)).safe_at, 0.0)

    assert safe(safe_quantile=0.5) < safe(safe_quantile=0.8) < safe(safe_quantile=0.95)
    assert safe(dry_share=0.3) < safe(dry_share=0.1) < safe(dry_share=0.02)


def test_thin_air_dries_sooner():
    """At 3000 m vapour spreads faster (diffusivity inverse to pressure)."""
    case = a_case(a_shell(), [0.0])
    low, high = (
        hours_to(forecast_one(case, LOG, 0.1, a_forecaster(altitude_m=metres)).likely_at, 0.0)
        for metres in (0.0, 3000.0)
    )
    assert high < low


def test_every_altitude_a_shop_may_have_is_computed():
    assert forecast_one(a_case(a_shell(), [0.0]), LOG, 0.1, a_forecaster(altitude_m=5000.0))


def test_more_air_on_the_shell_dries_sooner():
    times = [
        forecast_one(a_case(a_shell(), [0.0], movement=movement), LOG, 0.1).likely_at
        for movement in AirMovement
    ]
    assert times == sorted(times, reverse=True)
    assert times[0] > times[-1] + timedelta(minutes=30)


def test_later_coats_dry_more_slowly():
    """Zych et al., Metalurgija 54 (2015) 15."""
    dips = [12.0 * number for number in range(9)]
    coats = forecast_one(a_case(a_shell(), dips), LOG, 97.0).coats
    hours = [
        (coat.likely_at - at(dip)).total_seconds() / HOUR
        for coat, dip in zip(coats, dips, strict=True)
    ]
    # Once the wall is deeper than the water goes, coats are alike but for a read-off's step.
    rounded = [round(hour, 1) for hour in hours]
    assert rounded == sorted(rounded)
    assert hours[-1] > 1.5 * hours[2]


# Water that is left


def test_water_left_by_a_coat_adds_to_the_next():
    early = forecast_one(a_case(a_shell(), [0.0, 0.5]), LOG, 0.6).coats[1]
    patient = forecast_one(a_case(a_shell(), [0.0, 24.0]), LOG, 24.1).coats[1]
    assert patient.water_kg_m2 == pytest.approx(0.15, rel=1e-6)
    assert early.water_kg_m2 > 0.2
    left = early.left_before.likely * 0.15
    assert early.water_kg_m2 == pytest.approx(0.15 + left, rel=0.02)
    assert hours_to(early.likely_at, 0.5) > 1.3 * hours_to(patient.likely_at, 24.0)
    assert early.thickness_m.likely < patient.thickness_m.likely


def test_dipping_early_is_flagged_on_the_coat_that_came_early():
    shell = a_shell()
    safe = hours_to(forecast_one(a_case(shell, [0.0]), LOG, 0.1).safe_at, 0.0)
    flags = [
        [
            coat.dipped_early
            for coat in forecast_one(a_case(shell, [0.0, gap, gap + 24.0]), LOG, gap + 24.1).coats
        ]
        for gap in (safe - 0.02, safe + 0.02)
    ]
    assert flags == [[False, True, False], [False, False, False]]


def test_the_share_left_before_a_coat_is_what_the_coat_before_still_held():
    shell = a_shell()
    before = forecast_one(a_case(shell, [0.0]), LOG, 0.7)
    after = forecast_one(a_case(shell, [0.0, 0.7]), LOG, 0.8)
    assert after.coats[1].left_before == before.water_left


def test_an_undone_dip_leaves_no_trace():
    run = a_forecaster()
    once, twice = a_case(a_shell(), [0.0]), a_case(a_shell(), [0.0, 1.0])
    first = forecast_one(once, LOG, 1.1, run)
    forecast_one(twice, LOG, 1.1, run)
    assert forecast_one(once, LOG, 1.1, run) == first
    assert forecast_one(once, LOG, 1.1) == first


def test_the_last_coat_is_due_after_the_final_hold():
    shell = a_shell(steps=[prime()])
    found = forecast_one(a_case(shell, [0.0]), LOG, 0.1)
    assert found.next_step is None
    assert found.due_at == at(24.0)
    hasty = replace(shell, sequence=a_sequence([prime()], final_hold_s=60.0))
    assert forecast_one(a_case(hasty, [0.0]), LOG, 0.1).due_at == found.safe_at


# Time


@SLOW_EXAMPLES
@given(st.lists(st.floats(0.0, 30.0), min_size=2, max_size=4), st.floats(0.3, 0.9))
def test_waiting_without_a_reading_changes_no_time_and_only_gets_drier(waits, rh):
    # Two calm weeks: after a day and a half of damp air the safe time may lie out of sight.
    log = a_log(-14 * 24.0, 5.0, rh=rh)
    case, run = a_case(a_shell(), [0.0, 5.0]), a_forecaster()
    found = [forecast_one(case, log, 5.0 + wait, run) for wait in sorted(waits)]
    order = [DryState.WET, DryState.LIKELY_DRY, DryState.DRY]
    for before, after in itertools.pairwise(found):
        assert after.likely_at == before.likely_at
        assert after.safe_at == before.safe_at
        assert after.chance_dry >= before.chance_dry
        # The water, unlike the times, is read off its own quantiles at each moment.
        assert after.water_left.likely <= before.water_left.likely + 0.01
        assert after.water_left.high <= before.water_left.high + 0.01
        if before.state in order:
            assert order.index(after.state) >= order.index(before.state)


def test_readings_after_now_are_not_known_yet():
    """The clock was set back: what the log says about the future is not used."""
    case = a_case(a_shell(), [0.0])
    weather = a_log(-24.0, 50.0, rh=lambda hour: 0.4 if hour < 0.5 else 0.95)
    assert forecast_one(case, weather, 0.5) == forecast_one(
        case, weather.until(at(0.5).timestamp()), 0.5
    )


@pytest.mark.parametrize("ahead_h", [0.03, 1.0, 24.0, 160.0])
def test_a_dip_after_now_is_wet_and_has_a_time(ahead_h):
    found = forecast_one(a_case(a_shell(), [-5.0, ahead_h]), a_log(-48.0, 0.0), 0.0)
    assert found.state is DryState.WET
    assert found.chance_dry == 0.0
    assert found.water_left.likely == pytest.approx(1.0)
    assert found.likely_at > at(ahead_h)


def test_a_dip_weeks_after_now_does_not_stop_the_forecast():
    assert forecast_one(a_case(a_shell(), [-5.0, 14 * 24.0]), a_log(-48.0, 0.0), 0.0)


def test_only_dips_weeks_after_now_do_not_stop_the_forecast():
    assert forecast_one(a_case(a_shell(), [14 * 24.0]), a_log(-48.0, 0.0), 0.0)


def test_two_dips_of_one_moment_leave_all_their_water():
    found = forecast_one(a_case(a_shell(), [0.0, 0.0]), LOG, 0.0)
    assert found.coats[1].left_before.likely == pytest.approx(1.0)
    assert found.coats[1].water_kg_m2 == pytest.approx(0.30)


def test_the_zone_of_the_shop_and_its_summer_time_change_nothing():
    """European clocks went forward on 29 March 2026 at 01:00 UTC, 617 h after the first Monday."""
    case, log = a_case(a_shell(), [600.0, 616.0]), a_log(500.0, 620.0)
    utc, local = (
        forecast_one(case, log, 617.5, a_forecaster(zone=zone)) for zone in ("UTC", "Europe/Madrid")
    )
    assert utc == local
    winter = forecast_one(a_case(a_shell(), [100.0, 116.0]), a_log(0.0, 120.0), 117.5)
    assert hours_to(utc.safe_at, 616.0) == hours_to(winter.safe_at, 116.0)


# Readings


def test_without_any_reading_the_air_is_assumed_and_the_spread_wide():
    case = a_case(a_shell(), [0.0])
    unread = forecast_one(case, AirLog.empty(), 0.1)
    read = forecast_one(case, a_log(-24.0, 0.1, temp_c=21.0, rh=0.5), 0.1)
    assert unread.air_basis is AirBasis.ASSUMED
    assert unread.last_reading_at is None
    assert hours_to(unread.likely_at, 0.0) == pytest.approx(hours_to(read.likely_at, 0.0), rel=0.1)
    ratio = [hours_to(one.safe_at, 0.0) / hours_to(one.likely_at, 0.0) for one in (unread, read)]
    assert ratio[0] > 1.2 * ratio[1]


def test_a_month_without_readings_is_forecast_all_the_same():
    log = a_log(-24.0 * 40, -24.0 * 30)
    found = forecast_one(a_case(a_shell(), [-20 * 24.0, 0.0]), log, 0.1)
    assert found.air_basis is AirBasis.OLD_READINGS
    assert found.last_reading_at == at(-24.0 * 30)
    assert 0.5 < hours_to(found.likely_at, 0.0) < hours_to(found.safe_at, 0.0) < 10.0


def test_fresh_readings_are_the_basis():
    found = forecast_one(a_case(a_shell(), [0.0]), LOG, 5.2)
    assert found.air_basis is AirBasis.READINGS
    assert found.last_reading_at == at(5.0)


def test_air_that_turned_damp_after_the_dip_puts_the_times_off():
    case = a_case(a_shell(), [0.0])
    before = forecast_one(case, a_log(-24.0, 0.0), 0.1)
    after = forecast_one(case, a_log(-24.0, 1.0, rh=lambda h: 0.5 if h < 0.2 else 0.9), 1.0)
    assert after.safe_at > before.safe_at + timedelta(hours=1)


def test_saturated_air_is_out_of_sight():
    shell = a_shell(steps=[backup(), backup()])
    found = forecast_one(a_case(shell, [0.0]), a_log(-24.0, 0.0, rh=1.0), 0.1)
    assert found.state is DryState.OUT_OF_SIGHT
    assert found.likely_at is found.safe_at is found.due_at is None
    assert found.water_left.likely == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("temp_c", "rh"), [(-30.0, 0.0), (70.0, 0.0), (70.0, 1.0), (-30.0, 1.0), (0.0, 0.5)]
)
def test_every_reading_a_person_may_enter_is_computed(temp_c, rh):
    found = forecast_one(a_case(a_shell(), [0.0, 1.0]), log_of([(-1.0, temp_c, rh)]), 1.1)
    assert 0.0 <= found.chance_dry <= 1.0


# Many


def test_two_rooms_each_dry_in_their_own_air():
    damp, dry = a_shell("damp", room_id=OTHER_ROOM), a_shell("dry")
    logs = {ROOM: a_log(-24.0, 0.0, rh=0.4), OTHER_ROOM: a_log(-24.0, 0.0, rh=0.8)}
    cases = [a_case(damp, [0.0]), a_case(dry, [0.0])]
    both = a_forecaster().forecast(cases, logs, at(0.1))
    assert both[damp.id].likely_at > both[dry.id].likely_at + timedelta(hours=1)
    for case in cases:
        alone = a_forecaster().forecast([case], logs, at(0.1))[case.shell.id]
        assert alone == both[case.shell.id]


def test_each_coat_dries_in_the_room_it_stood_in():
    shell = a_shell()
    logs = {ROOM: a_log(-24.0, 10.0, rh=0.4), OTHER_ROOM: a_log(-24.0, 10.0, rh=0.9)}

    def left(room_id: object) -> float:
        coats = (a_coat(shell, 1, 0.0, room_id=room_id), a_coat(shell, 2, 1.0))
        found = a_forecaster().forecast([ShellCase(shell, coats)], logs, at(1.1))[shell.id]
        return found.coats[1].left_before.likely

    assert left(OTHER_ROOM) > left(ROOM) + 0.2


def test_a_room_without_a_log_is_unread():
    found = a_forecaster().forecast([a_case(a_shell(), [0.0])], {}, at(0.1))
    assert next(iter(found.values())).air_basis is AirBasis.ASSUMED


def test_forty_coats():
    steps = [backup()] * 40
    dips = [8.0 * number for number in range(40)]
    found = forecast_one(a_case(a_shell(steps=steps), dips), a_log(-24.0, 320.0), 320.0)
    assert found.coats_on == len(found.coats) == 40
    assert found.next_step is None
    assert [coat.number for coat in found.coats] == list(range(1, 41))
    assert found.thickness_m.likely == pytest.approx(40 * 1.2e-3, rel=0.1)


def test_more_coats_than_planned():
    found = forecast_one(a_case(a_shell(steps=[prime()]), [0.0, 8.0, 16.0]), LOG, 16.1)
    assert found.coats_on == 3
    assert found.next_step is None


def same(one: ShellForecast, two: ShellForecast) -> bool:
    """The same to the second and to the last digits of a share."""
    return (
        (one.state, one.likely_at, one.safe_at, one.warnings)
        == (two.state, two.likely_at, two.safe_at, two.warnings)
    ) and np.isclose(one.water_left.likely, two.water_left.likely, rtol=1e-9, atol=1e-12)


def test_three_hundred_shells_are_forecast_as_one_by_one():
    rng = np.random.default_rng(3)
    cases = []
    for number in range(300):
        gaps = rng.uniform(0.5, 12.0, rng.integers(0, 10))
        cases.append(a_case(a_shell(number), -np.cumsum(gaps)))
    log = a_log(-130.0, 0.0, rh=lambda hour: 0.5 + 0.1 * np.sin(hour))
    found = a_forecaster().forecast(cases, {ROOM: log}, at(0.0))
    assert len(found) == 300
    for case in cases[::60]:
        assert same(found[case.shell.id], forecast_one(case, log, 0.0))


def test_shells_that_are_done_are_still_answered():
    for state in ShellState:
        shell = a_shell(state=state)
        found = forecast_one(a_case(shell, [0.0, 9.0]), LOG, 9.1)
        assert found.coats_on == 2


def test_a_week_is_as_far_as_a_coat_is_followed():
    damp = a_log(-24.0, 0.0, rh=0.99)
    found = forecast_one(a_case(a_shell(), [0.0]), damp, 0.1)
    for moment in (found.likely_at, found.safe_at):
        assert moment is None or moment <= at(0.2) + timedelta(seconds=7 * DAY)
