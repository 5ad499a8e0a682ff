"""A coat drying in constant air: what must hold, the limits, and the orders of magnitude."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import evaporation, moist_air, transport
from shellcoat.physics.coat_drying import (
    WetCoat,
    advance_front,
    budget_to_reach,
    drying_time,
    evaporation_from,
    water_left,
    wetted_coat,
)
from shellcoat.physics.drying_rates import constant_rate_time, time_from_rate_curve

HOUR = 3600.0
CRITICAL_SHARE = 0.45
PORE_WATER_DENSITY = 37.5
DRY_SHARE = 0.10

WATERS = st.floats(0.05, 1.0)
WALLS = st.floats(0.2e-3, 20e-3)
DIFFUSIVITIES = st.floats(3e-7, 1e-5)
DEFICITS = st.floats(1e-4, 3e-2)
RESISTANCES = st.floats(50.0, 3000.0)
SHARES = st.floats(0.02, 0.9)
# How much larger the larger of two values is.
FACTORS = st.floats(1.0, 5.0)


def a_coat(
    water: float = 0.25,
    wall: float = 3e-3,
    diffusivity: float = 2.1e-6,
    left: float = 0.0,
    critical_share: float = CRITICAL_SHARE,
) -> WetCoat:
    return wetted_coat(
        water,
        left,
        wall,
        critical_share=critical_share,
        pore_water_density=PORE_WATER_DENSITY,
        crust_diffusivity=diffusivity,
    )


def dry_hours(coat: WetCoat, deficit: float = 9.7e-3, resistance: float = 430.0) -> float:
    """Hours until a tenth of the coat's water is left."""
    return float(drying_time(coat, deficit, resistance, DRY_SHARE * coat.water)) / HOUR


# What must hold, whatever the coat


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, FACTORS)
def test_damper_air_never_dries_sooner(water, wall, diffusivity, deficit, resistance, factor):
    coat = a_coat(water, wall, diffusivity)
    damp, dry = dry_hours(coat, deficit, resistance), dry_hours(coat, deficit * factor, resistance)
    # The deficit only sets the pace, so the time is inverse to it.
    assert damp == pytest.approx(dry * factor, rel=1e-12)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, FACTORS)
def test_more_resistance_never_dries_sooner(water, wall, diffusivity, deficit, resistance, factor):
    coat = a_coat(water, wall, diffusivity)
    still, windy = (dry_hours(coat, deficit, value) for value in (resistance * factor, resistance))
    assert still >= windy * (1.0 - 1e-12)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, FACTORS)
def test_a_thicker_wall_never_dries_sooner(water, wall, diffusivity, deficit, resistance, factor):
    thick, thin = (
        dry_hours(a_coat(water, value, diffusivity), deficit, resistance)
        for value in (wall * factor, wall)
    )
    assert thick >= thin * (1.0 - 1e-12)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, FACTORS)
def test_more_water_never_dries_sooner(water, wall, diffusivity, deficit, resistance, factor):
    rich, poor = (
        dry_hours(a_coat(value, wall, diffusivity), deficit, resistance)
        for value in (water * factor, water)
    )
    assert rich >= poor * (1.0 - 1e-12)


@given(WATERS, st.floats(0.0, 1.0), st.floats(0.0, 1.0), WALLS, DIFFUSIVITIES)
def test_water_of_coats_before_never_helps(water, one, two, wall, diffusivity):
    less, more = (
        drying_time(a_coat(water, wall, diffusivity, left), 9.7e-3, 430.0, DRY_SHARE * water)
        for left in sorted((one, two))
    )
    assert more >= less * (1.0 - 1e-12)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, FACTORS)
def test_a_more_open_crust_never_dries_later(water, wall, diffusivity, deficit, resistance, factor):
    dense, open_crust = (
        dry_hours(a_coat(water, wall, value), deficit, resistance)
        for value in (diffusivity, diffusivity * factor)
    )
    assert open_crust <= dense * (1.0 + 1e-12)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, st.floats(0.0, 1e6), FACTORS)
def test_water_is_never_negative_and_never_comes_back(
    water, wall, diffusivity, deficit, resistance, seconds, factor
):
    coat = a_coat(water, wall, diffusivity)
    start, sooner, later = (
        float(water_left(coat, deficit, resistance, value))
        for value in (0.0, seconds, seconds * factor)
    )
    assert start == pytest.approx(water, rel=1e-12)
    assert 0.0 <= later <= sooner * (1.0 + 1e-12) + 1e-15
    assert sooner <= water * (1.0 + 1e-12)


@example(0.7312709858285305, 0.01953125, 1e-5, 0.015625, 50.0, 0.25)
@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, SHARES)
def test_water_left_at_the_drying_time_is_the_limit(
    water, wall, diffusivity, deficit, resistance, share
):
    coat = a_coat(water, wall, diffusivity)
    seconds = drying_time(coat, deficit, resistance, share * water)
    left = float(water_left(coat, deficit, resistance, seconds))
    assert left == pytest.approx(share * water, rel=1e-9)


@example((0.20706596152216244, 0.015625, 1e-5, 0.015625, 221.0), 1611.0, [1.0, 1.0])
@given(
    st.tuples(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES),
    st.floats(60.0, 1e5),
    st.lists(st.floats(0.01, 1.0), min_size=1, max_size=40),
)
def test_any_number_of_steps_equals_one(case, seconds, parts):
    water, wall, diffusivity, deficit, resistance = case
    coat = a_coat(water, wall, diffusivity)
    budget = float(coat.budget_rate(deficit)) * seconds
    front = coat.start
    for part in parts:
        front = advance_front(front, budget * part / sum(parts), resistance, coat)
    whole = advance_front(coat.start, budget, resistance, coat)
    assert float(front) == pytest.approx(float(whole), rel=1e-8, abs=1e-12)


@example(0.609375, 0.01953125, 8.229830111458147e-06, 50.0, 0.609375, 0.25)
@given(WATERS, WALLS, DIFFUSIVITIES, RESISTANCES, SHARES, SHARES)
def test_the_budget_takes_the_front_exactly_there(water, wall, diffusivity, resistance, one, two):
    coat = a_coat(water, wall, diffusivity)
    end_share, start_share = sorted((one, two))
    start, end = coat.front(start_share * water), coat.front(end_share * water)
    budget = budget_to_reach(start, end, resistance, coat)
    moved = float(advance_front(start, budget, resistance, coat))
    assert moved == pytest.approx(float(end), rel=1e-9, abs=1e-12)
    assert budget_to_reach(end, start, resistance, coat) == 0.0


@example(1.0, 0.0012146307610918364, 2.4412372250492103e-06, 709.0, 0.5)
@given(WATERS, WALLS, DIFFUSIVITIES, RESISTANCES, st.floats(0.0, 0.98))
def test_the_budget_is_what_the_front_has_spent(water, wall, diffusivity, resistance, share):
    coat = a_coat(water, wall, diffusivity)
    budget = share * float(budget_to_reach(coat.start, coat.depth, resistance, coat))
    front = advance_front(coat.start, budget, resistance, coat)
    spent = float(budget_to_reach(coat.start, front, resistance, coat))
    assert spent == pytest.approx(budget, rel=1e-8, abs=1e-9)


@example(0.7312709858285305, 0.01953125, 1e-5, 0.015625, 50.0, 0.25)
@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES, st.floats(0.05, 0.95))
def test_the_flux_is_the_pace_of_the_water(water, wall, diffusivity, deficit, resistance, share):
    coat = a_coat(water, wall, diffusivity)
    assume(abs(share - CRITICAL_SHARE) > 0.01)
    seconds = float(drying_time(coat, deficit, resistance, share * water))
    span = 1e-5 * seconds + 1e-3
    before, after = (
        float(water_left(coat, deficit, resistance, seconds + sign * span)) for sign in (-1, 1)
    )
    flux = float(evaporation_from(coat, coat.front(share * water), deficit, resistance))
    assert (before - after) / (2.0 * span) == pytest.approx(flux, rel=1e-3)


def test_a_dry_wall_gives_nothing_more():
    coat = a_coat()
    assert evaporation_from(coat, coat.depth, 9.7e-3, 430.0) == 0.0
    assert water_left(coat, 9.7e-3, 430.0, 1e9) == 0.0


def test_saturated_air_never_dries():
    coat = a_coat()
    assert drying_time(coat, 0.0, 430.0, 0.025) == np.inf
    assert water_left(coat, 0.0, 430.0, 1e9) == pytest.approx(0.25, rel=1e-12)


def test_a_limit_already_met_takes_no_time():
    assert drying_time(a_coat(), 9.7e-3, 430.0, 0.25) == 0.0


def test_a_limit_already_met_takes_no_time_in_saturated_air_either():
    assert drying_time(a_coat(), 0.0, 430.0, 0.30) == 0.0


def test_water_soaks_no_deeper_than_the_wall_or_its_pores_hold():
    # 0.25 kg/m2 at 37.5 kg/m3 wets 6.67 mm.
    depths = [float(a_coat(wall=wall).depth) for wall in (3e-3, 6e-3, 7e-3, 20e-3)]
    assert depths == pytest.approx([3e-3, 6e-3, 0.25 / 37.5, 0.25 / 37.5])


def test_broadcasts_over_coats_and_samples():
    coat = a_coat(np.array([[0.15], [0.25]]), np.array([[1e-3], [3e-3]]), np.array([1e-6, 2e-6]))
    hours = drying_time(coat, 9.7e-3, 430.0, DRY_SHARE * coat.water)
    assert hours.shape == (2, 2)
    for (row, water), (column, diffusivity) in itertools.product(
        enumerate((0.15, 0.25)), enumerate((1e-6, 2e-6))
    ):
        alone = a_coat(water, (1e-3, 3e-3)[row], diffusivity)
        assert hours[row, column] == pytest.approx(
            float(drying_time(alone, 9.7e-3, 430.0, DRY_SHARE * water)), rel=1e-12
        )


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("Water", {"water": 0.0}),
        ("Water", {"water": -0.1}),
        ("Water", {"water": float("nan")}),
        ("Water", {"water": np.array([0.2, 0.0])}),
        ("Wall", {"wall": 0.0}),
        ("Wall", {"wall": -1e-3}),
        ("Wall", {"wall": float("nan")}),
        ("Diffusivity", {"diffusivity": 0.0}),
        ("Diffusivity", {"diffusivity": np.array([2e-6, -2e-6])}),
    ],
)
def test_impossible_walls_are_refused_by_name(field, values):
    with pytest.raises(ValueOutOfRangeError, match=field):
        a_coat(**values)


# Limits with known answers


def test_a_wet_surface_dries_at_the_constant_rate_of_the_textbook():
    """Geankoplis, 3rd ed., example 9.6-2: 21.5 kg/m2 from 0.38 to 0.25 at 1.51 kg/m2h, 1.85 h.

    The critical moisture of the same solid is 0.195 (example 9.7-2), so the surface stays wet.
    """
    coat = a_coat(21.5 * 0.38, 0.02, critical_share=0.195 / 0.38)
    deficit = 1.51 / HOUR * 430.0
    hours = float(drying_time(coat, deficit, 430.0, 21.5 * 0.25)) / HOUR
    assert hours == pytest.approx(1.85, abs=0.005)


@given(WATERS, DEFICITS, RESISTANCES, SHARES)
def test_without_depth_the_rate_stays_constant_to_the_end(water, deficit, resistance, share):
    coat = a_coat(water, wall=1e-9)
    seconds = float(drying_time(coat, deficit, resistance, share * water))
    textbook = constant_rate_time(10.0, water / 10.0, share * water / 10.0, deficit / resistance)
    assert seconds == pytest.approx(textbook, rel=1e-4)


@given(st.floats(1e-3, 2e-2), st.floats(1e-3, 2e-2), st.floats(0.1, 0.9))
def test_a_tight_crust_alone_gives_the_square_root_law(wall, deficit, share):
    """A level that falls in a tube of still air: Stefan's law, Geankoplis, 3rd ed., eq. 6.2-23
    for small vapour pressures, ``t = (W/d) x^2 / (2 D deficit)``."""
    coat = a_coat(0.5, wall, diffusivity=1e-11, critical_share=1.0)
    depth = share * float(coat.depth)
    stefan = 0.5 / float(coat.depth) * depth**2 / (2.0 * 1e-11 * deficit)
    seconds = float(drying_time(coat, deficit, 430.0, 0.5 * (1.0 - share)))
    assert seconds == pytest.approx(stefan, rel=1e-3)
    lost, lost_in_quarter = (
        0.5 - float(water_left(coat, deficit, 430.0, time)) for time in (stefan, stefan / 4.0)
    )
    assert lost == pytest.approx(2.0 * lost_in_quarter, rel=1e-3)


@given(WATERS, WALLS, DIFFUSIVITIES, DEFICITS, RESISTANCES)
def test_the_time_is_the_textbook_integral_of_the_rate_curve(
    water, wall, diffusivity, deficit, resistance
):
    """Geankoplis, 3rd ed., eq. 9.7-1: the time is the integral of dX over the rate."""
    coat = a_coat(water, wall, diffusivity)
    moisture = np.concatenate(
        [[water], np.linspace(CRITICAL_SHARE * water, DRY_SHARE * water, 2000)]
    )
    rates = evaporation_from(coat, coat.front(moisture), deficit, resistance)
    integral = time_from_rate_curve(1.0, moisture, rates)
    assert dry_hours(coat, deficit, resistance) == pytest.approx(integral / HOUR, rel=1e-6)


# Orders of magnitude of the trade


def crust_diffusivity(temp_c: float) -> float:
    """Porosity 0.25 (published, 10 to 30 %) over tortuosity 3 (from memory)."""
    return 0.25 / 3.0 * float(transport.vapour_diffusivity(temp_c))


def hours_in_air(
    water: float, wall: float, temp_c: float, rh: float, h_c: float, h_r: float = 0.0
) -> float:
    deficit = moist_air.saturation_density(temp_c) - moist_air.vapour_density(temp_c, rh)
    film = 1.0 / evaporation.mass_transfer_coefficient(h_c, temp_c)
    heat = evaporation.heat_resistance(temp_c, moist_air.wet_bulb(temp_c, rh), h_c, h_r)
    return dry_hours(a_coat(water, wall, crust_diffusivity(temp_c)), deficit, film + heat)


# From memory / common practice: a film of 8 W/m2K at 22 °C and 50 %.
USUAL = [
    pytest.param(0.15, 0.45e-3, 2.0, id="prime"),
    pytest.param(0.25, 3e-3, 4.0, id="backup over 3 mm"),
    pytest.param(0.25, 7e-3, 6.0, id="late coat over 7 mm"),
]


@pytest.mark.parametrize(("water", "wall", "hours"), USUAL)
def test_dry_times_are_what_people_of_the_trade_expect(water, wall, hours):
    # From memory / common practice, "about": a fifth either way.
    assert hours_in_air(water, wall, 22.0, 0.50, 8.0) == pytest.approx(hours, rel=0.2)


@pytest.mark.parametrize(("water", "wall", "hours"), USUAL)
def test_a_damp_day_takes_about_two_and_a_half_times_as_long(water, wall, hours):
    # From memory / common practice, 80 % against 50 %.
    ratio = hours_in_air(water, wall, 22.0, 0.80, 8.0) / hours_in_air(water, wall, 22.0, 0.50, 8.0)
    assert ratio == pytest.approx(2.5, rel=0.15)


# The published trial: bars of nine coats, 20.7 °C, 45 %, 0.6 m/s (Dooley and Everden, INCAST,
# November 2020). Strength stops rising between 2 h and 4 h, 1 h is too short.
TRIAL_WATER = 0.30
TRIAL_COAT = 1.2e-3


def trial_hours(coats: int) -> float:
    h_c = evaporation.film_coefficient(0.6, 0.1, 20.7)
    h_r = evaporation.radiation_coefficient(20.7)
    return hours_in_air(TRIAL_WATER, coats * TRIAL_COAT, 20.7, 0.45, h_c, h_r)


def test_coats_of_the_trial_take_more_than_its_too_short_hour():
    assert min(trial_hours(coats) for coats in range(1, 10)) > 1.0


def test_the_middle_coat_of_the_trial_is_dry_when_its_strength_stops_rising():
    """Guerra (Drying of Ceramic Shells, The Practice, 2020) finds the same with fans at 50 %:
    stronger by half from 1 h to 4 h, then flat."""
    assert 2.0 < trial_hours(3) < 4.0
    assert 1.0 < trial_hours(4) < 5.0


@pytest.mark.xfail(
    strict=True,
    reason="with 0.3 kg/m2 a coat the late coats of the trial need 6 h to the last tenth of their "
    "water; strength seems to stop rising before that, which no published figure settles",
)
def test_every_coat_of_the_trial_is_dry_about_when_its_strength_stops_rising():
    assert max(trial_hours(coats) for coats in range(1, 10)) < 5.0


def test_later_coats_dry_more_slowly_than_earlier_ones():
    """Zych et al., Metalurgija 54 (2015) 15."""
    hours = [trial_hours(coats) for coats in range(1, 10)]
    assert hours == sorted(hours)
    assert hours[-1] > 2.0 * hours[0]
