"""Lanes and the quantiles read off them, against scipy and brute force."""

from __future__ import annotations

import numpy as np
import pytest
from builders import HOUR, ROOM, a_case, a_forecaster, a_log, a_shell, at, backup, hours_to, prime
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.stats import lognorm, norm

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.lanes import (
    AIR_SCORES,
    BY_AIR,
    GRID,
    LANES,
    MIDDLE_LANE,
    NODES,
    WEIGHTS,
    Lanes,
    chance_below,
    fine_samples,
    quantiles,
)
from shellcoat.forecast.starting_values import starting_values
from shellcoat.physics import evaporation, moist_air, transport
from shellcoat.physics.coat_drying import drying_time, wetted_coat

Floats = NDArray[np.float64]

FILM_SIGMA, CRUST_SIGMA = 0.30, 0.41
FILM_Z, CRUST_Z = (score.ravel() for score in np.meshgrid(NODES, NODES, indexing="ij"))


def log_time(film: float, crust: float, air: float) -> Floats:
    """Lane values of a logarithm that is linear in the three scores: a log-normal time."""
    scores = np.array(AIR_SCORES)[Lanes.spread(0.0, 0.0).air]
    lanes = air * scores
    lanes[:GRID] += film * FILM_Z + crust * CRUST_Z
    return lanes


def test_lanes_hold_the_factors_at_their_scores():
    lanes = Lanes.spread(FILM_SIGMA, CRUST_SIGMA)
    assert lanes.film.size == lanes.crust.size == lanes.air.size == LANES
    np.testing.assert_allclose(np.log(lanes.film[:GRID]), FILM_SIGMA * FILM_Z, atol=1e-12)
    np.testing.assert_allclose(np.log(lanes.crust[:GRID]), CRUST_SIGMA * CRUST_Z, atol=1e-12)
    assert lanes.film[MIDDLE_LANE] == lanes.crust[MIDDLE_LANE] == 1.0
    assert [AIR_SCORES[lanes.air[lane]] for lane in BY_AIR] == [-2.0, -1.0, 0.0, 1.0, 2.0]
    assert not lanes.air[:GRID].any()


def test_weights_sum_to_one_and_centre_on_the_middle():
    assert WEIGHTS.sum() == pytest.approx(1.0, abs=1e-12)
    assert WEIGHTS.min() > 0.0
    assert (WEIGHTS * fine_samples(log_time(1.0, 1.0, 1.0))).sum() == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("scores", [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)])
def test_each_unknown_keeps_its_spread(scores):
    samples = fine_samples(log_time(*scores))
    assert np.sqrt((WEIGHTS * samples**2).sum()) == pytest.approx(1.0, abs=0.05)


# Spreads as they meet in a shop: both factors, and the air ahead up to a changeable week.
@pytest.mark.parametrize("air", [0.0, 0.1, 0.2, 0.4])
@pytest.mark.parametrize(("share", "tolerance"), [(0.1, 0.04), (0.5, 0.01), (0.9, 0.04)])
def test_quantiles_of_a_log_normal_time(air, share, tolerance):
    sigma = np.sqrt(FILM_SIGMA**2 + CRUST_SIGMA**2 + air**2)
    (found,) = np.exp(quantiles(fine_samples(log_time(FILM_SIGMA, CRUST_SIGMA, air)), (share,)))
    assert found == pytest.approx(lognorm(sigma).ppf(share), rel=tolerance)


@pytest.mark.parametrize("scores", [(FILM_SIGMA, 0.0, 0.0), (0.0, CRUST_SIGMA, 0.0)])
def test_the_safe_share_holds_where_one_unknown_is_all_there_is(scores):
    # Its samples stand 0.4 standard deviations apart, so the share snaps to the nearest.
    (found,) = quantiles(fine_samples(log_time(*scores)), (0.9,))
    assert norm.cdf(found / max(scores)) == pytest.approx(0.9, abs=0.02)


LANE_VALUES = st.lists(st.floats(-3.0, 3.0), min_size=LANES, max_size=LANES).map(np.array)
SHARES = st.floats(0.01, 0.99)


@given(LANE_VALUES, SHARES, SHARES)
def test_quantiles_rise_with_their_share(lanes, one, two):
    low, high = quantiles(fine_samples(lanes), tuple(sorted((one, two))))
    assert low <= high


@given(LANE_VALUES, SHARES)
def test_the_chance_at_a_quantile_is_its_share(lanes, share):
    samples = fine_samples(lanes)
    (found,) = quantiles(samples, (share,))
    reached = chance_below(samples, found)
    assert reached >= share - 1e-9
    assert chance_below(samples, found - 1e-9) < share + 1e-9


@given(LANE_VALUES, st.floats(-2.0, 2.0), st.floats(0.0, 3.0))
def test_quantiles_move_and_stretch_with_the_lanes(lanes, shift, stretch):
    plain = quantiles(fine_samples(lanes), (0.1, 0.5, 0.9))
    moved = quantiles(fine_samples(shift + stretch * lanes), (0.1, 0.5, 0.9))
    np.testing.assert_allclose(moved, shift + stretch * plain, atol=1e-9)


def test_many_coats_are_read_as_one_by_one():
    lanes = np.random.default_rng(1).normal(size=(7, LANES))
    together = quantiles(fine_samples(lanes), (0.5, 0.9))
    alone = [quantiles(fine_samples(row), (0.5, 0.9)) for row in lanes]
    np.testing.assert_array_equal(together, alone)


# Brute force: 20,000 coats of one kind, each with its own film, crust and air

DRAWS = 20_000
TEMP_C = 21.0


def brute_force_hours(water: float, wall: float, rh: float, spread: float) -> Floats:
    """Hours to dry of many coats in constant air, by the closed form that has its own tests."""
    values = starting_values()
    rng = np.random.default_rng(7)
    film, crust, water_z, place, other_place, air = rng.standard_normal((6, DRAWS))
    spreads = values.spreads
    # A coat that brings more water is slower in both stages; the rest is its own in each.
    wetter = spreads.water * water_z
    film_factor = np.exp(spreads.first * film + spreads.place * place + wetter)
    crust_factor = np.exp(spreads.second * crust + spreads.place * other_place + wetter)
    bulb = moist_air.wet_bulb(TEMP_C, rh)
    h_c = evaporation.film_coefficient(0.8, 0.2, TEMP_C, wet_temp_drop_k=TEMP_C - bulb)
    full = moist_air.saturation_density(TEMP_C)
    resistance = film_factor / evaporation.mass_transfer_coefficient(
        h_c, TEMP_C
    ) + evaporation.heat_resistance(
        TEMP_C, bulb, h_c / film_factor, evaporation.radiation_coefficient(TEMP_C)
    )
    coat = wetted_coat(
        water,
        0.0,
        wall,
        critical_share=values.critical_share,
        pore_water_density=values.pore_water_density,
        crust_diffusivity=values.crust_share * transport.vapour_diffusivity(TEMP_C) / crust_factor,
    )
    deficit = full * (1.0 - np.clip(rh * (1.0 + spread * air), 0.02, 0.995))
    return drying_time(coat, deficit, resistance, 0.1 * water) / HOUR


def forecast_hours(water: float, wall: float, log: AirLog) -> tuple[float, float]:
    """Likely and safe hours of one coat that is the whole wall."""
    kind = backup if water > 0.2 else prime
    band = type(kind().water_kg_m2)
    step = kind(water_kg_m2=band(water, water, water), thickness_m=band(wall, wall, wall))
    shell = a_shell(steps=[step])
    found = a_forecaster().forecast([a_case(shell, [0.0])], {ROOM: log}, at(100.0))[shell.id]
    return hours_to(found.likely_at, 0.0), hours_to(found.safe_at, 0.0)


MEASURED = {rh: a_log(-24.0, 100.0, temp_c=TEMP_C, rh=rh) for rh in (0.35, 0.5, 0.65, 0.8)}
LATE, PRIME = (0.25, 7e-3), (0.15, 0.45e-3)


@pytest.mark.parametrize("rh", MEASURED)
@pytest.mark.parametrize(("water", "wall"), [LATE, PRIME], ids=["late coat", "prime"])
def test_measured_air_against_brute_force(water, wall, rh):
    hours = brute_force_hours(water, wall, rh, 0.0)
    likely, safe = forecast_hours(water, wall, MEASURED[rh])
    assert likely == pytest.approx(np.median(hours), rel=0.02)
    assert safe == pytest.approx(np.quantile(hours, 0.9), rel=0.05)
    assert np.mean(hours <= safe) == pytest.approx(0.9, abs=0.035)


@pytest.mark.parametrize(("water", "wall"), [LATE, PRIME], ids=["late coat", "prime"])
def test_unread_air_against_brute_force(water, wall):
    hours = brute_force_hours(water, wall, 0.5, starting_values().ahead.assumed_spread)
    likely, safe = forecast_hours(water, wall, AirLog.empty())
    assert likely == pytest.approx(np.median(hours), rel=0.04)
    assert safe == pytest.approx(np.quantile(hours, 0.9), rel=0.04)
