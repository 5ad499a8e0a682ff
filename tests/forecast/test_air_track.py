"""A room's air on even steps: bins, gaps, spread, and readings that come late, twice or not."""

from __future__ import annotations

import numpy as np
import pytest
from builders import DAY, HOUR, MINUTE, a_log, log_of, seconds_at
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.forecast.air_track import STEP_S, AirLog, AirTrack, build_track
from shellcoat.forecast.starting_values import starting_values
from shellcoat.physics import evaporation, moist_air, transport

VALUES = starting_values().ahead
PRESSURE = 101_325.0
# Two decimals of a percent: what a person would call the same humidity.
SAME_RH = 1e-4


def a_track(log: AirLog, first_h: float = 0.0, now_h: float = 12.0) -> AirTrack:
    return build_track(log, seconds_at(first_h), seconds_at(now_h), DAY, VALUES, PRESSURE)


def step_at(track: AirTrack, hours: float) -> int:
    return int((seconds_at(hours) - track.start_s) // STEP_S)


def test_steps_run_from_before_the_first_moment_to_the_horizon():
    track = a_track(a_log(-2.0, 12.0), first_h=0.1)
    assert track.start_s == seconds_at(0.0)
    assert track.start_s + STEP_S * track.temp_c.size >= seconds_at(12.0) + DAY
    columns = (track.temp_c, track.vapour, track.spread, track.wet_drop_k, track.measured)
    assert len({column.size for column in columns}) == 1


def test_steady_readings_stay_what_they_are():
    track = a_track(a_log(-2.0, 12.0, temp_c=21.5, rh=0.43))
    np.testing.assert_allclose(track.temp_c, 21.5, rtol=1e-12)
    np.testing.assert_allclose(track.rh, 0.43, rtol=1e-9)


def test_a_step_holds_the_mean_of_its_readings():
    readings = [(-1.0, 20.0, 0.5), (3.0, 20.0, 0.40), (3.05, 22.0, 0.50), (3.1, 24.0, 0.60)]
    track = a_track(log_of([*readings, (6.0, 20.0, 0.5)]))
    step = step_at(track, 3.05)
    inside = readings[1:]
    assert track.measured[step]
    assert track.temp_c[step] == pytest.approx(22.0)
    vapours = [moist_air.vapour_density(temp, rh) for _, temp, rh in inside]
    assert track.vapour[step] == pytest.approx(np.mean(vapours))
    assert track.spread[step] == 0.0


def test_only_steps_with_a_reading_count_as_measured():
    track = a_track(log_of([(1.0, 20.0, 0.5), (2.5, 20.0, 0.5)]))
    assert np.nonzero(track.measured)[0].tolist() == [step_at(track, 1.0), step_at(track, 2.5)]


def test_air_between_readings_lies_on_a_straight_line():
    track = a_track(log_of([(0.0, 18.0, 0.6), (6.0, 24.0, 0.4)]))
    step = step_at(track, 3.0)
    share = (track.start_s + (step + 0.5) * STEP_S - seconds_at(0.0)) / (6.0 * HOUR)
    ends = [moist_air.vapour_density(temp, rh) for temp, rh in ((18.0, 0.6), (24.0, 0.4))]
    assert track.temp_c[step] == pytest.approx(18.0 + 6.0 * share)
    assert track.vapour[step] == pytest.approx(ends[0] + (ends[1] - ends[0]) * share)


def test_spread_grows_into_a_gap_and_shrinks_towards_its_end():
    track = a_track(log_of([(0.0, 21.0, 0.5), (10.0, 21.0, 0.5)]))
    gap = track.spread[: step_at(track, 10.0)] / track.vapour[: step_at(track, 10.0)]
    middle = gap.size // 2
    assert np.all(np.diff(gap[: middle - 1]) >= 0.0)
    assert np.all(np.diff(gap[middle + 1 :]) <= 0.0)
    np.testing.assert_allclose(gap[1:middle], gap[::-1][1:middle], rtol=1e-9)
    assert gap[0] == 0.0
    # Held at both ends, the variance is about half of that as long after a lone reading.
    alone = a_track(log_of([(0.0, 21.0, 0.5)]))
    after = alone.spread[step_at(alone, 5.0)] / alone.vapour[step_at(alone, 5.0)]
    assert (gap.max() / after) ** 2 == pytest.approx(0.5, abs=0.06)


def test_a_longer_gap_is_never_surer():
    widest = [
        a_track(log_of([(0.0, 21.0, 0.5), (hours, 21.0, 0.5)])).spread[: int(hours * 6)].max()
        for hours in (0.5, 1.0, 3.0, 6.0, 11.0)
    ]
    assert widest == sorted(widest)


def test_half_hourly_readings_leave_hardly_any_spread():
    track = a_track(a_log(-2.0, 12.0, every_min=30.0))
    read = slice(0, step_at(track, 12.0))
    assert (track.spread[read] / track.vapour[read]).max() < 0.1


def test_before_the_first_reading_its_air_is_taken_with_growing_spread():
    track = a_track(log_of([(8.0, 23.0, 0.4)]))
    before = slice(0, step_at(track, 8.0))
    np.testing.assert_allclose(track.temp_c[before], 23.0)
    np.testing.assert_allclose(track.rh[before], 0.4)
    assert np.all(np.diff(track.spread[before]) <= 0.0)
    # Looking back is as unsure as looking ahead.
    after = track.spread[step_at(track, 16.0)]
    assert track.spread[0] == pytest.approx(after, rel=0.05)


def test_one_reading_gives_its_air_ahead_with_growing_spread():
    track = a_track(log_of([(11.0, 23.0, 0.4)]))
    ahead = slice(step_at(track, 11.0) + 1, None)
    np.testing.assert_allclose(track.rh[ahead], 0.4, rtol=1e-9)
    assert np.all(np.diff(track.spread[ahead]) >= 0.0)


def test_a_day_after_one_reading_is_no_surer_than_the_middle_of_a_gap():
    gap = a_track(log_of([(0.0, 21.0, 0.5), (10.0, 21.0, 0.5)]))
    alone = a_track(log_of([(0.0, 21.0, 0.5)]))
    middle, later = step_at(gap, 5.0), step_at(alone, 24.0)
    assert alone.spread[later] >= gap.spread[middle]


def test_unread_air_is_assumed_with_its_spread():
    track = a_track(AirLog.empty())
    np.testing.assert_allclose(track.temp_c, VALUES.assumed_temp_c)
    np.testing.assert_allclose(track.rh, VALUES.assumed_rh, atol=SAME_RH)
    np.testing.assert_allclose(track.spread, VALUES.assumed_spread * track.vapour)
    assert not track.measured.any()


def test_a_late_reading_changes_the_past():
    early = log_of([(0.0, 21.0, 0.5), (6.0, 21.0, 0.5)])
    late = log_of([(0.0, 21.0, 0.5), (3.0, 21.0, 0.8), (6.0, 21.0, 0.5)])
    step = step_at(a_track(early), 3.0)
    assert a_track(late).rh[step] > a_track(early).rh[step] + 0.25
    assert a_track(late).spread[step] < a_track(early).spread[step]


def test_the_same_reading_twice_changes_nothing():
    readings = [(0.0, 21.0, 0.5), (3.0, 23.0, 0.6), (6.0, 20.0, 0.4)]
    once, twice = a_track(log_of(readings)), a_track(log_of([*readings, *readings]))
    for column in ("temp_c", "vapour", "spread", "measured", "wet_drop_k"):
        np.testing.assert_allclose(getattr(once, column), getattr(twice, column), rtol=1e-9)


def test_two_readings_of_one_moment_are_averaged():
    track = a_track(log_of([(0.0, 21.0, 0.5), (3.0, 20.0, 0.4), (3.0, 24.0, 0.4)]))
    assert track.temp_c[step_at(track, 3.0)] == pytest.approx(22.0)


def test_steps_stand_on_the_clock_whatever_the_first_moment():
    """So that a coat computed with another shell's longer past meets the same air."""
    log = a_log(-30.0, 12.0, every_min=47.0, temp_c=lambda h: 20.0 + h % 5.0)
    long, short = a_track(log, first_h=-20.3), a_track(log, first_h=1.7)
    shift = round((short.start_s - long.start_s) / STEP_S)
    assert (short.start_s - long.start_s) / STEP_S == shift
    np.testing.assert_array_equal(long.temp_c[shift:], short.temp_c)
    np.testing.assert_array_equal(long.vapour[shift:], short.vapour)
    np.testing.assert_array_equal(long.spread[shift:], short.spread)


def test_the_log_is_cut_at_a_moment_and_from_a_moment():
    log = a_log(0.0, 5.0, every_min=60.0)
    assert log.until(seconds_at(3.0)).at_s.tolist() == [seconds_at(hour) for hour in range(4)]
    assert log.until(seconds_at(9.0)) is log
    assert log.until(seconds_at(-1.0)).at_s.size == 0
    assert log.since(seconds_at(2.5)).at_s[0] == seconds_at(2.0)
    assert log.since(seconds_at(-2.5)).at_s.size == 6


# Vapour drive and heat


def test_the_drive_is_what_the_air_can_still_take_up():
    track = a_track(a_log(-2.0, 12.0, temp_c=20.7, rh=0.45))
    missing = moist_air.saturation_density(20.7) - moist_air.vapour_density(20.7, 0.45)
    np.testing.assert_allclose(track.deficit(0.0), missing, rtol=1e-9)


def test_damper_scores_leave_less_drive_where_the_air_is_not_measured():
    track = a_track(a_log(-2.0, 12.0))
    ahead = step_at(track, 20.0)
    assert track.deficit(1.0)[ahead] < track.deficit(0.0)[ahead] < track.deficit(-1.0)[ahead]
    measured = step_at(track, 6.0)
    assert track.deficit(1.0)[measured] == track.deficit(-1.0)[measured]


def test_heat_against_the_resistance_of_the_evaporation_law():
    track = a_track(a_log(-2.0, 12.0, temp_c=20.7, rh=0.45))
    bulb = moist_air.wet_bulb(20.7, 0.45)
    heat = evaporation.saturation_slope(20.7, bulb) * transport.latent_heat(bulb)
    np.testing.assert_allclose(track.heat_per_deficit(), heat, rtol=1e-6)
    np.testing.assert_allclose(track.wet_drop_k, 20.7 - bulb, rtol=1e-6)


READINGS = st.lists(
    st.tuples(st.floats(-30.0, 12.0), st.floats(5.0, 40.0), st.floats(0.0, 1.0)),
    min_size=1,
    max_size=12,
)


READ_AHEAD = READINGS.map(lambda rows: [(hour, temp, max(rh, 0.01)) for hour, temp, rh in rows])


@given(READ_AHEAD, st.floats(-2.0, 2.0))
def test_the_drive_ahead_stays_between_2_and_99_5_percent(readings, score):
    track = a_track(log_of(readings))
    last = max(hours for hours, _, _ in readings)
    ahead = slice(step_at(track, last) + 2, None)
    share = 1.0 - (track.deficit(score) / np.asarray(moist_air.saturation_density(track.temp_c)))
    assert share[ahead].min() >= 0.02 - 1e-9
    assert share[ahead].max() <= 0.995 + 1e-9


@given(READINGS)
def test_temperatures_never_leave_the_range_of_the_readings_between_them(readings):
    track = a_track(log_of(readings), first_h=-30.0)
    hours = [hour for hour, _, _ in readings]
    temps = [temp for _, temp, _ in readings]
    between = slice(0, max(step_at(track, max(hours)), 1))
    assert track.temp_c[between].min() >= min(temps) - 1e-9
    assert track.temp_c[between].max() <= max(temps) + 1e-9


@pytest.mark.parametrize(
    "log",
    [
        pytest.param(log_of([(3.0, 15.0, 1.0), (3.0 + 6.0 / 60.0, 30.0, 1.0)]), id="one step"),
        pytest.param(a_log(0.0, 11.0, 20.0, lambda h: 20.0 + 3.0 * (h % 1.0), 1.0), id="short gap"),
    ],
)
def test_saturated_air_never_wets_a_wall(log):
    track = a_track(log)
    assert track.deficit(0.0).min() >= 0.0


@pytest.mark.parametrize(
    "log",
    [
        pytest.param(log_of([(3.0, 15.0, 1.0), (3.0 + 6.0 / 60.0, 30.0, 1.0)]), id="one step"),
        pytest.param(
            a_log(0.0, 12.0, 30.0, lambda h: 26.0 if h < 11.0 else 14.0, 0.98), id="cold evening"
        ),
    ],
)
def test_no_step_is_damper_than_saturation(log):
    assert a_track(log).rh.max() <= 1.0 + 1e-9


def test_a_step_is_ten_minutes():
    assert STEP_S == 10.0 * MINUTE
