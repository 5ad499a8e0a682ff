"""The evaporation law against an exact heat balance, its worked numbers, and what must hold."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import evaporation, moist_air, transport

HOUR = 3600.0
TEMPS = st.floats(0.0, 60.0)
HUMIDITIES = st.floats(0.0, 1.0)
FILMS = st.floats(1.0, 60.0)
RADIATION = st.floats(0.0, 10.0)
RESISTANCES = st.floats(0.0, 1e5)


def exact_balance(
    temp: float, rh: float, h_c: float, h_r: float, crust: float
) -> tuple[float, float]:
    """Evaporation and surface temperature from the heat balance itself, nothing linearised."""
    film = 1.0 / evaporation.mass_transfer_coefficient(h_c, temp)
    in_air = moist_air.vapour_density(temp, rh)

    def flux(surface: float) -> float:
        return (moist_air.saturation_density(surface) - in_air) / (film + crust)

    def heat_left_over(surface: float) -> float:
        return (h_c + h_r) * (temp - surface) - transport.latent_heat(surface) * flux(surface)

    surface = brentq(heat_left_over, moist_air.dew_point(temp, rh), temp, xtol=1e-9)
    return flux(surface), surface


WORKSHOP_AIR = list(itertools.product((15.0, 20.0, 25.0, 30.0), (0.2, 0.35, 0.5, 0.65, 0.8)))


@pytest.mark.parametrize(
    ("h_r", "crust", "low", "high"),
    [
        (0.0, 0.0, -0.016, 0.0),
        (5.5, 0.0, 0.0, 0.055),
        (0.0, 1000.0, 0.0, 0.061),
        (5.5, 1000.0, 0.0, 0.052),
        (5.5, 4000.0, 0.0, 0.026),
    ],
)
def test_closed_form_against_the_exact_balance(h_r, crust, low, high) -> None:
    errors = []
    for (temp, rh), h_c in itertools.product(WORKSHOP_AIR, (3.0, 10.0, 20.0)):
        closed = evaporation.evaporation_flux(temp, rh, h_c, h_r, crust_resistance=crust)
        errors.append(closed / exact_balance(temp, rh, h_c, h_r, crust)[0] - 1.0)
    # Measured bounds, rounded up by 0.1 %: tight enough that a lost term shows.
    assert low < min(errors)
    assert max(errors) < high
    assert max(errors) - min(errors) > 0.5 * (high - low)


@pytest.mark.parametrize(("h_r", "crust"), [(0.0, 0.0), (5.5, 0.0), (5.5, 1000.0)])
def test_surface_temperature_against_the_exact_balance(h_r, crust) -> None:
    for (temp, rh), h_c in itertools.product(WORKSHOP_AIR, (3.0, 10.0, 20.0)):
        flux = evaporation.evaporation_flux(temp, rh, h_c, h_r, crust_resistance=crust)
        surface = evaporation.surface_temperature(temp, flux, h_c, h_r)
        assert surface == pytest.approx(exact_balance(temp, rh, h_c, h_r, crust)[1], abs=0.45)


def test_worked_film_on_a_hand_sized_wall() -> None:
    # Mean over the length, forced flow alone: 9.6 W/m2K. The wall's own cold adds 0.2.
    assert evaporation.film_coefficient(0.6, 0.1, 20.7, wet_temp_drop_k=0.0) == pytest.approx(
        9.6, abs=0.05
    )
    drop = 20.7 - moist_air.wet_bulb(20.7, 0.45)
    assert evaporation.film_coefficient(0.6, 0.1, 20.7, wet_temp_drop_k=drop) == pytest.approx(
        9.83, abs=0.05
    )


def test_worked_flux_with_and_without_radiation() -> None:
    # 20.7 °C, 45 %, 9.6 W/m2K: 0.104 kg/m2h, with 5.5 W/m2K of radiation 0.137; ours 1 % more.
    assert evaporation.evaporation_flux(20.7, 0.45, 9.6) * HOUR == pytest.approx(0.104, rel=0.01)
    assert evaporation.evaporation_flux(20.7, 0.45, 9.6, 5.5) * HOUR == pytest.approx(
        0.137, rel=0.01
    )


def test_radiation_coefficient_is_the_tangent_of_the_fourth_power_law() -> None:
    sigma = 5.670374419e-8
    room, wall = 293.85, 285.85
    exact = 0.95 * sigma * (room**4 - wall**4) / (room - wall)
    mean_c = (room + wall) / 2.0 - 273.15
    assert evaporation.radiation_coefficient(mean_c, 0.95) == pytest.approx(exact, rel=2.5e-4)
    assert evaporation.radiation_coefficient(20.7, 0.95) == pytest.approx(5.5, abs=0.05)


def test_unlimited_heat_leaves_only_the_film() -> None:
    film = evaporation.mass_transfer_coefficient(9.6, 20.7)
    missing = moist_air.saturation_density(20.7) - moist_air.vapour_density(20.7, 0.45)
    assert evaporation.evaporation_flux(20.7, 0.45, 9.6, 1e12) == pytest.approx(
        film * missing, rel=1e-6
    )


def test_resistances_stand_in_series() -> None:
    def resistance(**more: float) -> float:
        missing = moist_air.saturation_density(22.0) - moist_air.vapour_density(22.0, 0.5)
        return missing / evaporation.evaporation_flux(22.0, 0.5, 8.0, **more)

    bare = resistance()
    assert resistance(crust_resistance=700.0) - bare == pytest.approx(700.0)
    assert resistance(cavity_resistance=9000.0) - bare == pytest.approx(9000.0)
    both = resistance(crust_resistance=700.0, cavity_resistance=9000.0)
    assert both - bare == pytest.approx(9700.0)


def test_slope_of_saturated_air_is_the_tangent() -> None:
    tangent = (moist_air.saturation_density(20.1) - moist_air.saturation_density(19.9)) / 0.2
    assert evaporation.saturation_slope(20.0, 20.0) == pytest.approx(tangent, rel=1e-3)


def test_secant_ends_on_the_wet_bulb() -> None:
    slope = evaporation.saturation_slope(25.0, 15.0)
    at_wet_bulb = moist_air.saturation_density(25.0) - 10.0 * slope
    assert at_wet_bulb == pytest.approx(moist_air.saturation_density(15.0), rel=1e-12)


@given(TEMPS, HUMIDITIES, HUMIDITIES, FILMS, RADIATION, RESISTANCES)
def test_damper_air_never_dries_faster(temp, one, other, h_c, h_r, crust) -> None:
    low, high = sorted((one, other))
    dry = evaporation.evaporation_flux(temp, low, h_c, h_r, crust_resistance=crust)
    damp = evaporation.evaporation_flux(temp, high, h_c, h_r, crust_resistance=crust)
    assert damp <= dry * (1.0 + 1e-9)
    assert damp >= 0.0


@given(TEMPS, HUMIDITIES, FILMS, FILMS, RADIATION)
def test_a_better_film_never_dries_slower(temp, rh, one, other, h_r) -> None:
    low, high = sorted((one, other))
    slow = evaporation.evaporation_flux(temp, rh, low, h_r)
    assert slow <= evaporation.evaporation_flux(temp, rh, high, h_r) * (1.0 + 1e-12)


@given(st.floats(5.0, 45.0), st.floats(0.0, 0.95), st.floats(0.1, 10.0), FILMS)
def test_warmer_air_of_the_same_humidity_dries_faster(temp, rh, step, h_c) -> None:
    cool = evaporation.evaporation_flux(temp, rh, h_c)
    assert evaporation.evaporation_flux(temp + step, rh, h_c) > cool


@given(TEMPS, HUMIDITIES, FILMS, RADIATION, RESISTANCES, RESISTANCES)
def test_a_crust_never_speeds_drying(temp, rh, h_c, h_r, one, other) -> None:
    thin, thick = sorted((one, other))
    fast = evaporation.evaporation_flux(temp, rh, h_c, h_r, crust_resistance=thin)
    slow = evaporation.evaporation_flux(temp, rh, h_c, h_r, crust_resistance=thick)
    assert slow <= fast


@given(st.floats(0.0, 60.0), st.floats(0.01, 0.99), FILMS)
def test_bare_wet_wall_is_near_the_wet_bulb(temp, rh, h_c) -> None:
    # Without radiation this is a psychrometer. Vapour spreads better than heat, so it ends below
    # the thermodynamic wet bulb by at most the Lewis factor, 0.863^(-2/3) = 1.10. In hot dry air
    # the latent heat taken at the air hides 1 %.
    wet = moist_air.wet_bulb(temp, rh)
    assume(wet > 1.0)
    flux = evaporation.evaporation_flux(temp, rh, h_c)
    drop = temp - evaporation.surface_temperature(temp, flux, h_c)
    assert 0.98 * (temp - wet) <= drop + 1e-3
    assert drop <= 1.10 * (temp - wet) + 1e-3


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(0.01, 2.0), st.floats(0.0, 40.0))
def test_film_rises_with_air_speed(one, other, length, drop) -> None:
    low, high = sorted((one, other))
    still = evaporation.film_coefficient(low, length, wet_temp_drop_k=drop)
    moving = evaporation.film_coefficient(high, length, wet_temp_drop_k=drop)
    assert still <= moving * (1.0 + 1e-12)


def test_still_air_has_the_film_of_its_own_draught() -> None:
    still = evaporation.film_coefficient(0.0, 0.1, 20.0, wet_temp_drop_k=5.0)
    film_c = 17.5
    viscosity = transport.air_viscosity(film_c) / moist_air.air_density(film_c, 0.0)
    rayleigh = 9.80665 / (film_c + 273.15) * 5.0 * 0.1**3 * transport.prandtl(film_c) / viscosity**2
    nusselt = evaporation.vertical_plate_nusselt(rayleigh, transport.prandtl(film_c))
    assert still == pytest.approx(nusselt * transport.air_conductivity(film_c) / 0.1, rel=1e-9)


def test_thin_air_of_high_places_dries_faster() -> None:
    at_sea = evaporation.evaporation_flux(20.0, 0.5, 9.6)
    high_up = evaporation.evaporation_flux(20.0, 0.5, 9.6, pressure_pa=80_000.0)
    assert high_up > at_sea


def test_saturated_air_dries_nothing() -> None:
    assert evaporation.evaporation_flux(22.0, 1.0, 9.6, 5.5) == 0.0


def test_broadcasts_over_shells_and_readings() -> None:
    temps = np.linspace(18.0, 26.0, 5)
    films = np.array([[5.0], [10.0], [15.0]])
    table = evaporation.evaporation_flux(temps, 0.5, films, 5.5)
    assert table.shape == (3, 5)
    assert table[2, 4] == pytest.approx(evaporation.evaporation_flux(26.0, 0.5, 15.0, 5.5))
    assert type(evaporation.evaporation_flux(20.0, 0.5, 9.6)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: evaporation.film_coefficient(-0.1, 0.1), "air speed"),
        (lambda: evaporation.film_coefficient(31.0, 0.1), "air speed"),
        (lambda: evaporation.film_coefficient(0.6, 0.0), "length"),
        (lambda: evaporation.film_coefficient(0.6, 0.1, wet_temp_drop_k=-1.0), "temperature drop"),
        (lambda: evaporation.radiation_coefficient(20.0, 1.2), "emissivity"),
        (lambda: evaporation.radiation_coefficient(20.0, 0.0), "emissivity"),
        (lambda: evaporation.mass_transfer_coefficient(0.0, 20.0), "heat-transfer coefficient"),
        (lambda: evaporation.evaporation_flux(20.0, 0.5, 9.6, -1.0), "radiation coefficient"),
        (
            lambda: evaporation.evaporation_flux(20.0, 0.5, 9.6, crust_resistance=-1.0),
            "crust resistance",
        ),
        (
            lambda: evaporation.evaporation_flux(20.0, 0.5, 9.6, cavity_resistance=float("nan")),
            "cavity resistance",
        ),
        (lambda: evaporation.surface_temperature(20.0, -1e-6, 9.6), "flux"),
        (lambda: evaporation.saturation_slope(20.0, float("nan")), "wet bulb"),
        (lambda: evaporation.laminar_plate_nusselt(-1.0, 0.7), "Reynolds number"),
        (lambda: evaporation.vertical_plate_nusselt(1e6, 0.0), "Prandtl number"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
