"""The air still to come: the usual day, and today's departure that fades."""

from __future__ import annotations

import math

import numpy as np
import pytest
from builders import DAY, HOUR, a_log, log_of, seconds_at
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import lfilter

from shellcoat.forecast.air_ahead import AirHabits, ExpectedAir, expect_air
from shellcoat.forecast.air_errors import AirErrors
from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.starting_values import starting_values
from shellcoat.physics import moist_air

VALUES = starting_values().ahead


def ahead(log: AirLog, hours: list[float]) -> ExpectedAir:
    """Expected air so many hours after the last reading."""
    when = log.at_s[-1] + HOUR * np.asarray(hours)
    return expect_air(log.at_s, log.temp_c, log.rh, when, VALUES)


def a_day(hours: float) -> float:
    """A sine over the day about 20 °C, warmest at 14:00 (the logs begin at 08:00)."""
    return 20.0 + 3.0 * math.cos(2.0 * math.pi * (hours + 8.0 - 14.0) / 24.0)


def test_a_week_of_equal_days_is_followed_by_another():
    log = a_log(-7 * 24.0, 0.0, 15.0, a_day, 0.5)
    hours = [1.0, 3.0, 6.0, 12.0, 18.0, 24.0, 30.0]
    air = ahead(log, hours)
    expected = np.array([a_day(hour) for hour in hours])
    np.testing.assert_allclose(air.temp_c, expected, atol=0.15)
    np.testing.assert_allclose(air.vapour, moist_air.vapour_density(expected, 0.5), rtol=0.02)


def test_vapour_persists_while_temperature_swings():
    """One mass of vapour, days warm and cool: the humidity ahead follows the temperature."""
    vapour = moist_air.vapour_density(20.0, 0.5)
    log = a_log(
        -7 * 24.0, 0.0, 15.0, a_day, lambda h: vapour / moist_air.saturation_density(a_day(h))
    )
    air = ahead(log, [6.0, 18.0])
    np.testing.assert_allclose(air.vapour, vapour, rtol=1e-3)
    rhs = air.vapour / np.asarray(moist_air.saturation_density(air.temp_c))
    assert rhs[1] > rhs[0] + 0.1


def test_one_day_is_believed_in_part():
    """A day tells less than a week of equal days, and an evening nothing of the morning."""
    swings = [
        np.ptp(ahead(a_log(first, 0.0, 30.0, a_day, 0.5), [48.0, 54.0, 60.0, 66.0]).temp_c)
        for first in (-20.0, -24.0, -7 * 24.0)
    ]
    assert swings[0] < 0.5
    assert swings[0] + 1.0 < swings[1] < swings[2] - 1.0


def test_a_departure_fades_towards_the_last_day():
    """A week of 40 %, then an hour of 60 %: nearly all of it now, less and less of it later."""
    log = a_log(-7 * 24.0, 0.0, 30.0, 21.0, lambda h: 0.60 if h > -1.1 else 0.40)
    rhs = ahead(log, [0.0, 12.0, 24.0, 48.0, 96.0, 168.0]).vapour
    rhs /= moist_air.saturation_density(21.0)
    assert rhs[0] == pytest.approx(0.60, abs=0.001)
    assert np.all(np.diff(rhs) < 0.0)
    assert rhs[-1] == pytest.approx(0.41, abs=0.02)


def a_wandering_log(memory_h: float, seed: int, days: int = 14) -> AirLog:
    """Hourly temperatures of a first-order process with this memory and 1 K spread about 20 °C."""
    noise = np.random.default_rng(seed).standard_normal(days * 24)
    kept = math.exp(-1.0 / memory_h)
    temps = lfilter([math.sqrt(1.0 - kept * kept)], [1.0, -kept], noise)
    at_s = seconds_at(0.0) + HOUR * np.arange(temps.size)
    return AirLog.of(at_s, 20.0 + temps, np.full(temps.size, 0.5))


def test_the_memory_of_a_room_is_learned_from_its_log():
    memories = [
        np.median([learned(a_wandering_log(memory, seed)).temp.memory_h for seed in range(9)])
        for memory in (4.0, 150.0)
    ]
    assert memories[0] < 15.0
    assert memories[1] > 30.0


def learned(log: AirLog) -> AirHabits:
    return AirHabits.of(log.at_s, log.temp_c, log.rh, VALUES)


def test_the_usual_day_is_believed_as_far_as_days_are_alike():
    rng = np.random.default_rng(5)
    alike = a_log(-9 * 24.0, 0.0, 60.0, a_day, 0.5)
    tops = rng.integers(0, 24, 11)
    unlike = a_log(-9 * 24.0, 0.0, 60.0, lambda h: a_day(h + tops[int(h // 24)]), 0.5)
    assert learned(alike).temp.share > 0.9
    assert learned(unlike).temp.share < 0.5


def test_only_the_last_two_weeks_count():
    old = [(hour, 10.0, 0.9) for hour in range(-600, -336)]
    new = [(hour, 22.0 + 0.1 * (hour % 7), 0.4) for hour in range(-335, 1)]
    long, short = ahead(log_of([*old, *new]), [5.0, 48.0]), ahead(log_of(new), [5.0, 48.0])
    np.testing.assert_array_equal(long.temp_c, short.temp_c)
    np.testing.assert_array_equal(long.vapour_spread, short.vapour_spread)


# Spread


LOGS = st.lists(
    st.tuples(st.floats(-200.0, 0.0), st.floats(10.0, 35.0), st.floats(0.05, 0.95)),
    min_size=1,
    max_size=30,
).map(log_of)


@given(LOGS, st.lists(st.floats(0.0, 168.0), min_size=2, max_size=20))
def test_spread_starts_at_nothing_and_never_shrinks(log, hours):
    air = ahead(log, sorted([0.0, *hours]))
    for spread in (air.temp_spread_k, air.vapour_spread / air.vapour):
        assert spread[0] == 0.0
        assert np.all(np.diff(spread) >= -1e-12)
    assert air.drive_spread[0] == 0.0
    assert np.all(np.isfinite(air.drive_spread))


@given(LOGS)
def test_a_week_ahead_the_spread_is_at_least_its_floor(log):
    air = ahead(log, [168.0])
    assert air.vapour_spread[0] >= VALUES.floor_spread * air.vapour[0] * 0.999


def test_a_calm_room_is_trusted_more_every_day():
    spreads = [ahead(a_log(-24.0 * days, 0.0), [24.0]).drive_spread[0] for days in (1, 2, 4, 7, 14)]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[-1] < 0.3 * spreads[0]


def test_a_room_that_jumps_is_trusted_less():
    """The heating comes on: ten degrees in an hour, half a day ago."""
    calm = a_log(-7 * 24.0, 0.0, 10.0, a_day)
    jump = a_log(-7 * 24.0, 0.0, 10.0, lambda h: a_day(h) + (10.0 if h > -12.0 else 0.0))
    hours = [3.0, 6.0, 12.0, 24.0, 72.0]
    before, after = ahead(calm, hours), ahead(jump, hours)
    assert np.all(after.temp_spread_k > before.temp_spread_k)
    assert np.all(after.temp_c > before.temp_c)
    assert after.temp_c.max() <= jump.temp_c.max()
    # The new warmth stays for the coats of today.
    np.testing.assert_allclose(after.temp_c[:2], before.temp_c[:2] + 10.0, atol=3.0)


def test_warm_days_that_are_damp_ones_leave_the_drive_surer():
    """Temperature and vapour err together or against each other: the drive has their difference."""
    log = a_wandering_log(12.0, 3)
    damp, dry = (
        AirLog.of(log.at_s, log.temp_c, 0.5 * np.exp(sign * 0.04 * (log.temp_c - 20.0)))
        for sign in (1.0, -1.0)
    )
    spreads = [ahead(one, [6.0]).drive_spread[0] for one in (damp, dry)]
    assert spreads[0] < 0.7 * spreads[1]


def test_drive_spread_against_draws():
    """A hundred thousand draws of temperature and vapour, put through the saturation curve."""
    errors = AirErrors(np.array(0.8**2), np.array(0.1**2), np.array(0.3 * 0.8 * 0.1))
    rng = np.random.default_rng(1)
    cov = [[0.8**2, 0.3 * 0.8 * 0.1], [0.3 * 0.8 * 0.1, 0.1**2]]
    temp, log_vapour = rng.multivariate_normal([0.0, 0.0], cov, 100_000).T
    for rh in (0.2, 0.5, 0.8):
        vapour = moist_air.vapour_density(21.0, rh)
        drive = moist_air.saturation_density(21.0 + temp) - vapour * np.exp(log_vapour)
        found = errors.drive_spread(np.array(21.0), np.array(vapour))
        assert found == pytest.approx(drive.std(), rel=0.02)


# Right after the last reading


@given(LOGS)
def test_right_after_the_last_reading_its_air_goes_on(log):
    if (log.at_s > log.at_s[-1] - 600.0).sum() > 1:
        return
    air = ahead(log, [0.0])
    assert air.temp_c[0] == pytest.approx(log.temp_c[-1])
    assert air.vapour[0] == pytest.approx(moist_air.vapour_density(log.temp_c[-1], log.rh[-1]))


@given(LOGS, st.floats(1.0, 1.05), st.lists(st.floats(0.0, 168.0), min_size=1, max_size=10))
def test_a_damper_log_never_promises_drier_air(log, factor, hours):
    damper = AirLog.of(log.at_s, log.temp_c, log.rh * factor)
    promised = [ahead(one, hours).vapour for one in (log, damper)]
    assert np.all(promised[1] >= promised[0] * (1.0 - 1e-9))


@given(LOGS, st.lists(st.floats(0.0, 500.0), min_size=1, max_size=10))
def test_nothing_is_promised_that_the_log_has_not_seen(log, hours):
    air = ahead(log, hours)
    assert air.temp_c.min() >= log.temp_c.min() - 1e-9
    assert air.temp_c.max() <= log.temp_c.max() + 1e-9
    assert air.vapour.min() > 0.0


# Logs as they come


def test_one_reading_stays():
    log = log_of([(0.0, 23.0, 0.4)])
    air = ahead(log, [1.0, 24.0, 1000.0])
    np.testing.assert_allclose(air.temp_c, 23.0)
    np.testing.assert_allclose(air.vapour, moist_air.vapour_density(23.0, 0.4))
    assert air.vapour_spread[-1] == pytest.approx(VALUES.assumed_spread * air.vapour[-1], rel=0.01)


def test_an_hour_of_readings_stays_nearly():
    log = a_log(-1.0, 0.0, 1.0, lambda h: 22.0 + h, 0.4)
    air = ahead(log, [3.0, 24.0])
    np.testing.assert_allclose(air.temp_c, 22.0, atol=0.15)


def test_a_short_log_leans_on_persistence():
    """Half a day of a steep morning does not make a cold night of the next one."""
    log = a_log(-10.0, 0.0, 10.0, lambda h: 22.0 + 0.5 * h, 0.4)
    temps = ahead(log, [1.0, 3.0, 6.0, 12.0, 24.0]).temp_c
    assert np.all(np.diff(temps) < 0.0)
    assert temps[-1] > 21.0


def test_three_typed_readings_a_day():
    """Read at 8, 12 and 17 h for two weeks: the day's course is followed between them."""
    hours = [24.0 * day + hour for day in range(-14, 0) for hour in (0.0, 4.0, 9.0)]
    log = log_of([(hour, a_day(hour), 0.5) for hour in hours])
    temps = ahead(log, [15.0, 19.0, 24.0]).temp_c
    np.testing.assert_allclose(temps, [a_day(0.0), a_day(4.0), a_day(9.0)], atol=0.8)


def test_a_gap_of_days_makes_no_day_of_its_own():
    """A weekend unread is no evidence: the usual day is that of the days that were read."""
    whole = a_log(-8 * 24.0, 0.0, 30.0, a_day)
    gap = log_of(
        [
            (hour, a_day(hour), 0.5)
            for hour in np.arange(-8 * 24.0, 0.1, 0.5)
            if not -96.0 < hour < -34.0
        ]
    )
    hours = [3.0, 6.0, 12.0, 24.0]
    np.testing.assert_allclose(ahead(gap, hours).temp_c, ahead(whole, hours).temp_c, atol=0.4)


def test_the_same_reading_twice_changes_nothing():
    log = a_log(-50.0, 0.0, 20.0, a_day, 0.5)
    twice = AirLog.of(*(np.repeat(column, 2) for column in (log.at_s, log.temp_c, log.rh)))
    one, two = ahead(log, [3.0, 24.0]), ahead(twice, [3.0, 24.0])
    np.testing.assert_allclose(one.temp_c, two.temp_c)
    np.testing.assert_allclose(one.drive_spread, two.drive_spread)


def test_it_is_the_same_on_any_date():
    """Hours are counted back from the last reading, so no clock change can reach them."""
    log = a_log(-100.0, 0.0, 20.0, a_day, 0.5)
    later = AirLog.of(log.at_s + 200 * DAY + 12_345.0, log.temp_c, log.rh)
    np.testing.assert_allclose(ahead(log, [5.0]).temp_c, ahead(later, [5.0]).temp_c, rtol=1e-9)


@pytest.mark.parametrize("rh", [0.0, 0.99, 1.0])
def test_the_ends_of_the_scale(rh):
    log = a_log(-72.0, 0.0, 30.0, a_day, rh)
    air = ahead(log, [1.0, 24.0, 168.0])
    assert np.all(np.isfinite(air.vapour))
    assert np.all(air.vapour >= 0.0)
    assert np.all(air.drive_spread >= 0.0)


def test_there_is_never_less_vapour_than_none():
    """Damp at this hour five days ago, dry now, and nothing read in between."""
    air = ahead(log_of([(-121.0, 10.0, 0.875), (0.0, 10.0, 0.25)]), [1.0])
    assert air.vapour[0] >= 0.0


def test_a_faulty_sensor_does_not_promise_impossible_cold():
    hot_and_cold = [(-48.1, 70.0), (-47.0, -30.0), (-24.1, 70.0), (-23.0, -30.0), (-0.1, -30.0)]
    temps = ahead(log_of([(hour, temp, 0.5) for hour, temp in hot_and_cold]), [1.0, 2.0]).temp_c
    assert temps.min() >= -30.0
