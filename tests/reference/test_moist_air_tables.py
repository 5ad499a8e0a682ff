"""Moist air and air properties against published tables and two independent libraries.

The tolerance of each test is what the code reaches, rounded up; where two references disagree the
test says which one is farther.
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from reference_tables import columns

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import moist_air, transport
from shellcoat.physics.constants import AIR_HEAT_CAPACITY_J_KGK, LEWIS_NUMBER

PRESSURE = 101_325.0


@pytest.mark.parametrize(
    ("temp_c", "kilopascal"), columns("psat_steam_table.csv", "T_C", "psat_kPa")
)
def test_saturation_pressure_follows_the_steam_table(temp_c: float, kilopascal: float) -> None:
    if temp_c > 80.0:
        # No room is that hot: refused, not computed.
        with pytest.raises(ValueOutOfRangeError):
            moist_air.saturation_pressure(temp_c)
        return
    # Lienhard, A Heat Transfer Textbook, example 11.5; 0.06 % at the triple point, 0.03 % above.
    assert moist_air.saturation_pressure(temp_c) / 1000.0 == pytest.approx(kilopascal, rel=6e-4)


@pytest.mark.parametrize(
    ("temp_c", "rh_pct", "coolprop_c", "psychrolib_c"),
    columns("psychrometrics.csv", "T_dry_C", "RH_pct", "Twb_C_coolprop", "Twb_C_psychrolib"),
)
def test_wet_bulb(temp_c: float, rh_pct: float, coolprop_c: float, psychrolib_c: float) -> None:
    wet = moist_air.wet_bulb(temp_c, rh_pct / 100.0)
    # psychrolib halves its bracket to 0.001 K and prints three digits.
    assert wet == pytest.approx(psychrolib_c, abs=0.0011)
    # Real gas (Herrmann et al. 2009): the ideal mixture reads up to 0.013 K high in dry air.
    assert wet == pytest.approx(coolprop_c, abs=0.015)


@pytest.mark.parametrize(
    ("temp_c", "rh_pct", "coolprop_c", "psychrolib_c"),
    columns("psychrometrics.csv", "T_dry_C", "RH_pct", "Tdew_C_coolprop", "Tdew_C_psychrolib"),
)
def test_dew_point(temp_c: float, rh_pct: float, coolprop_c: float, psychrolib_c: float) -> None:
    dew = moist_air.dew_point(temp_c, rh_pct / 100.0)
    assert dew == pytest.approx(psychrolib_c, abs=0.0011)
    assert dew == pytest.approx(coolprop_c, abs=0.008)


@pytest.mark.parametrize(
    ("temp_c", "rh_pct", "coolprop", "psychro"),
    columns(
        "psychrometrics.csv", "T_dry_C", "RH_pct", "W_kg_per_kg_coolprop", "W_kg_per_kg_psychrolib"
    ),
)
def test_humidity_ratio(temp_c: float, rh_pct: float, coolprop: float, psychro: float) -> None:
    ratio = moist_air.humidity_ratio(temp_c, rh_pct / 100.0)
    assert ratio == pytest.approx(psychro, abs=1e-6)
    # Poorer: without the enhancement factor the ideal mixture holds 0.4 to 0.5 % less.
    assert ratio == pytest.approx(coolprop, rel=6e-3)


@pytest.mark.parametrize(
    ("temp_c", "rh_pct", "wet_c", "saturated"),
    columns(
        "psychrometrics.csv", "T_dry_C", "RH_pct", "Twb_C_psychrolib", "W_sat_at_Twb_kg_per_kg"
    ),
)
def test_saturated_humidity_ratio_at_the_wet_bulb(
    temp_c: float, rh_pct: float, wet_c: float, saturated: float
) -> None:
    # The real-gas column holds the enhancement factor: 0.6 % more than the ideal mixture.
    assert moist_air.humidity_ratio(wet_c, 1.0) == pytest.approx(saturated, rel=6e-3)
    assert rh_pct <= 100.0
    assert wet_c <= temp_c


@pytest.mark.parametrize(
    ("temp_c", "rh_pct", "density"),
    columns("psychrometrics.csv", "T_dry_C", "RH_pct", "rho_humid_kg_m3"),
)
def test_air_density(temp_c: float, rh_pct: float, density: float) -> None:
    assert moist_air.air_density(temp_c, rh_pct / 100.0) == pytest.approx(density, rel=1e-3)


AIR_COLUMNS = (
    "T_C",
    "D_massman_m2_s",
    "D_marrero_mason_m2_s",
    "psat_Pa_coolprop",
    "psat_Pa_psychrolib",
    "hfg_kJ_kg",
    "rho_air_kg_m3",
    "mu_air_Pa_s",
    "k_air_W_mK",
    "Pr",
    "Sc",
    "Le_alpha_over_D",
)


@pytest.mark.parametrize("row", columns("vapour_air_properties.csv", *AIR_COLUMNS))
def test_vapour_and_air_properties(row: tuple[float, ...]) -> None:
    known = dict(zip(AIR_COLUMNS, row, strict=True))
    temp = known["T_C"]
    diffusivity = transport.vapour_diffusivity(temp)
    assert diffusivity == pytest.approx(known["D_massman_m2_s"], rel=3e-5)
    # Two published fits of the same measurements differ by this much; nothing better is known.
    assert diffusivity == pytest.approx(known["D_marrero_mason_m2_s"], rel=0.043)
    saturation = moist_air.saturation_pressure(temp)
    assert saturation == pytest.approx(known["psat_Pa_psychrolib"], rel=1e-5)
    assert saturation == pytest.approx(known["psat_Pa_coolprop"], rel=9e-4)
    assert transport.latent_heat(temp) / 1000.0 == pytest.approx(known["hfg_kJ_kg"], rel=3e-4)
    density = moist_air.air_density(temp, 0.0)
    assert density == pytest.approx(known["rho_air_kg_m3"], rel=7e-4)
    viscosity = transport.air_viscosity(temp)
    assert viscosity == pytest.approx(known["mu_air_Pa_s"], rel=6e-3)
    conductivity = transport.air_conductivity(temp)
    assert conductivity == pytest.approx(known["k_air_W_mK"], rel=1e-2)
    assert transport.prandtl(temp) == pytest.approx(known["Pr"], rel=7e-3)
    assert viscosity / density / diffusivity == pytest.approx(known["Sc"], rel=6e-3)
    lewis = conductivity / (density * AIR_HEAT_CAPACITY_J_KGK) / diffusivity
    assert lewis == pytest.approx(known["Le_alpha_over_D"], rel=1e-2)
    assert pytest.approx(known["Le_alpha_over_D"], rel=4e-3) == LEWIS_NUMBER


GRID = [
    (t, rh, p)
    for t in (5.0, 15.0, 22.0, 35.0, 50.0)
    for rh in (0.1, 0.5, 0.9)
    for p in (80_000.0, PRESSURE)
]


@pytest.mark.parametrize(("temp_c", "rh", "pressure_pa"), GRID)
def test_against_coolprop_humid_air(temp_c: float, rh: float, pressure_pa: float) -> None:
    air = ("T", temp_c + 273.15, "P", pressure_pa, "R", rh)
    ratio = HAPropsSI("W", *air)
    # The wet bulb near 0 °C is ice in one library and water in the other.
    wet_bulb_c = HAPropsSI("B", *air) - 273.15
    if wet_bulb_c > 1.0:
        assert moist_air.wet_bulb(temp_c, rh, pressure_pa) == pytest.approx(wet_bulb_c, abs=0.03)
    dew_point_c = HAPropsSI("D", *air) - 273.15
    assert moist_air.dew_point(temp_c, rh) == pytest.approx(dew_point_c, abs=0.02)
    assert moist_air.humidity_ratio(temp_c, rh, pressure_pa) == pytest.approx(ratio, rel=8e-3)
    volume_per_dry_kg = HAPropsSI("V", *air)
    assert moist_air.vapour_density(temp_c, rh) == pytest.approx(
        ratio / volume_per_dry_kg, rel=8e-3
    )
    assert moist_air.air_density(temp_c, rh, pressure_pa) == pytest.approx(
        (1.0 + ratio) / volume_per_dry_kg, rel=1.5e-3
    )


def test_wet_bulb_against_psychrolib_over_the_whole_range() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    grid = np.meshgrid(
        np.linspace(-40.0, 80.0, 25), np.linspace(0.0, 1.0, 11), [60_000.0, PRESSURE], indexing="ij"
    )
    temp, rh, pressure = (axis.ravel() for axis in grid)
    wet = moist_air.wet_bulb(temp, rh, pressure)
    by_halving = np.vectorize(psychrolib.GetTWetBulbFromRelHum)(temp, rh, pressure)
    # From 0 to 1 °C both the water and the ice equation have a solution; psychrolib ends on either.
    one_solution = (wet < 0.0) | (wet > 1.0)
    assert one_solution.mean() > 0.95
    np.testing.assert_allclose(wet[one_solution], by_halving[one_solution], atol=1e-3)


def test_standard_pressure_table() -> None:
    # ASHRAE Handbook - Fundamentals 2017, ch. 1 table 1, kPa to three decimals.
    altitude = np.array([-500.0, 0.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0, 5000.0])
    table = [107.478, 101.325, 95.461, 89.875, 84.556, 79.495, 70.108, 61.640, 54.020]
    np.testing.assert_allclose(
        np.asarray(moist_air.pressure_at_altitude(altitude)) / 1000.0, table, rtol=2e-4
    )
