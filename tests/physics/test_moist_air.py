"""Moist air: shapes, refusals, and what must hold in any air."""

from __future__ import annotations

import time

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import moist_air, transport

TEMPS = st.floats(-40.0, 80.0)
HUMIDITIES = st.floats(0.0, 1.0)
DAMP = st.floats(0.001, 1.0)
PRESSURES = st.floats(50_000.0, 120_000.0)

OF_TEMP = [
    moist_air.saturation_pressure,
    moist_air.saturation_density,
    transport.latent_heat,
    transport.vapour_diffusivity,
    transport.air_viscosity,
    transport.air_conductivity,
    transport.prandtl,
]
OF_TEMP_AND_RH = [
    moist_air.vapour_pressure,
    moist_air.vapour_density,
    moist_air.humidity_ratio,
    moist_air.wet_bulb,
    moist_air.dew_point,
    moist_air.air_density,
]


@pytest.mark.parametrize("formula", OF_TEMP)
def test_temperature_formulas_keep_the_shape(formula) -> None:
    assert type(formula(20)) is float
    many = formula(np.array([[10.0, 20.0, 30.0]]))
    assert many.shape == (1, 3)
    assert many[0, 1] == pytest.approx(formula(20.0), rel=1e-12)


@pytest.mark.parametrize("formula", OF_TEMP_AND_RH)
def test_humidity_formulas_broadcast(formula) -> None:
    assert type(formula(20.0, 0.5)) is float
    temps = np.array([15.0, 20.0, 25.0])
    humidities = np.array([[0.3], [0.5]])
    table = formula(temps, humidities)
    assert table.shape == (2, 3)
    assert table[1, 2] == pytest.approx(formula(25.0, 0.5), rel=1e-12)
    assert formula(np.array([]), 0.5).shape == (0,)


@pytest.mark.parametrize("formula", OF_TEMP)
@pytest.mark.parametrize("temp", [80.5, -60.5, float("nan"), float("inf"), [20.0, 99.0]])
def test_temperature_no_workshop_has_is_refused(formula, temp) -> None:
    with pytest.raises(ValueOutOfRangeError, match="temperature"):
        formula(temp)


@pytest.mark.parametrize("formula", OF_TEMP_AND_RH)
@pytest.mark.parametrize("rh", [-0.01, 1.01, 45.0, float("nan"), float("-inf")])
def test_humidity_that_is_no_fraction_is_refused(formula, rh) -> None:
    with pytest.raises(ValueOutOfRangeError, match="relative humidity"):
        formula(20.0, rh)


@pytest.mark.parametrize("formula", OF_TEMP_AND_RH)
def test_air_colder_than_the_range_is_refused(formula) -> None:
    with pytest.raises(ValueOutOfRangeError, match=r"air temperature: -40\.1"):
        formula(-40.1, 0.5)


def test_refusal_names_the_first_bad_value_and_the_range() -> None:
    with pytest.raises(ValueOutOfRangeError) as refusal:
        moist_air.vapour_pressure(20.0, np.array([0.4, 45.0, 50.0]))
    assert refusal.value.value == 45.0
    assert "0.45 for 45 %" in str(refusal.value)


@pytest.mark.parametrize("pressure", [49_999.0, 120_001.0, float("nan"), 1013.25])
def test_pressure_outside_the_weather_is_refused(pressure) -> None:
    for formula in (moist_air.wet_bulb, moist_air.humidity_ratio, moist_air.air_density):
        with pytest.raises(ValueOutOfRangeError, match="air pressure"):
            formula(20.0, 0.5, pressure)
    with pytest.raises(ValueOutOfRangeError, match="air pressure"):
        transport.vapour_diffusivity(20.0, pressure)


@pytest.mark.parametrize("altitude", [-501.0, 5001.0, float("nan")])
def test_altitude_no_shop_has_is_refused(altitude) -> None:
    with pytest.raises(ValueOutOfRangeError, match="altitude"):
        moist_air.pressure_at_altitude(altitude)


def test_bone_dry_air_has_a_wet_bulb_but_no_dew_point() -> None:
    assert moist_air.vapour_density(20.0, 0.0) == 0.0
    # psychrolib 2.5.0 halves down to the same, 6.05 °C.
    psychrolib.SetUnitSystem(psychrolib.SI)
    by_halving = psychrolib.GetTWetBulbFromRelHum(20.0, 0.0, 101_325.0)
    assert moist_air.wet_bulb(20.0, 0.0) == pytest.approx(by_halving, abs=1e-3)
    with pytest.raises(ValueOutOfRangeError, match="no dew point"):
        moist_air.dew_point(20.0, 0.0)


def test_another_user_of_psychrolib_does_not_change_our_units() -> None:
    in_si = moist_air.dew_point(20.7, 0.45), moist_air.pressure_at_altitude(500.0)
    psychrolib.SetUnitSystem(psychrolib.IP)
    try:
        again = moist_air.dew_point(20.7, 0.45), moist_air.pressure_at_altitude(500.0)
    finally:
        psychrolib.SetUnitSystem(psychrolib.SI)
    assert again == in_si


@given(TEMPS, DAMP, PRESSURES)
def test_wet_bulb_lies_between_dew_point_and_dry_bulb(temp, rh, pressure) -> None:
    wet = moist_air.wet_bulb(temp, rh, pressure)
    assert wet <= temp
    assert wet >= moist_air.dew_point(temp, rh) - 0.01


@given(TEMPS, HUMIDITIES, PRESSURES)
def test_wet_bulb_solves_its_equation(temp, rh, pressure) -> None:
    # ASHRAE 2017 ch. 1 eq. 33 and 35, as psychrolib writes them out.
    wet = moist_air.wet_bulb(temp, rh, pressure)
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromTWetBulb(temp, wet, pressure)
    expected = max(moist_air.humidity_ratio(temp, rh, pressure), psychrolib.MIN_HUM_RATIO)
    assert ratio == pytest.approx(expected, rel=1e-5, abs=2e-7)


@given(TEMPS, HUMIDITIES, HUMIDITIES)
def test_damper_air_holds_more_and_has_a_higher_wet_bulb(temp, one, other) -> None:
    low, high = sorted((one, other))
    assert moist_air.vapour_density(temp, low) <= moist_air.vapour_density(temp, high)
    assert moist_air.wet_bulb(temp, low) <= moist_air.wet_bulb(temp, high) + 1e-6
    assert moist_air.air_density(temp, low) >= moist_air.air_density(temp, high)


@given(TEMPS)
def test_saturated_air_is_its_own_wet_bulb_and_dew_point(temp) -> None:
    assert moist_air.wet_bulb(temp, 1.0) == pytest.approx(temp, abs=0.02)
    assert moist_air.dew_point(temp, 1.0) == pytest.approx(temp, abs=2e-3)


@given(TEMPS, HUMIDITIES)
def test_vapour_density_and_humidity_are_inverse(temp, rh) -> None:
    density = moist_air.vapour_density(temp, rh)
    assert moist_air.rh_from_vapour_density(temp, density) == pytest.approx(rh, rel=1e-12)


def test_more_vapour_than_air_can_hold_reads_above_one() -> None:
    density = moist_air.vapour_density(25.0, 0.9)
    assert moist_air.rh_from_vapour_density(15.0, density) > 1.0
    with pytest.raises(ValueOutOfRangeError, match="vapour density"):
        moist_air.rh_from_vapour_density(15.0, -1e-6)


@given(st.floats(-60.0, 79.9), st.floats(0.01, 5.0))
def test_saturation_rises_with_temperature(temp, step) -> None:
    warmer = min(temp + step, 80.0)
    assert moist_air.saturation_pressure(warmer) > moist_air.saturation_pressure(temp)
    assert moist_air.saturation_density(warmer) > moist_air.saturation_density(temp)


@given(st.floats(-500.0, 5000.0), st.floats(-500.0, 5000.0))
def test_pressure_falls_with_altitude(one, other) -> None:
    low, high = sorted((one, other))
    assert moist_air.pressure_at_altitude(low) >= moist_air.pressure_at_altitude(high)


def test_seven_hundred_wet_bulbs_are_quicker_than_one_at_a_time() -> None:
    temps = np.linspace(15.0, 30.0, 700)
    psychrolib.SetUnitSystem(psychrolib.SI)
    by_halving = np.vectorize(psychrolib.GetTWetBulbFromRelHum)
    ours = min(_seconds(lambda: moist_air.wet_bulb(temps, 0.45)) for _ in range(5))
    theirs = _seconds(lambda: by_halving(temps, 0.45, 101_325.0))
    assert ours < theirs / 3.0


def _seconds(work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
