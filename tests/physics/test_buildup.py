"""Films and soaking: worked numbers, limits, and what must hold in any slurry."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import buildup

WATER = {"viscosity": 1e-3, "density": 998.2, "tension": 0.0728, "speed": 1e-3}
SLURRY = {"viscosity": 0.35, "density": 1650.0, "tension": 0.050, "speed": 0.050}

VISCOSITIES = st.floats(1e-3, 5.0)
DENSITIES = st.floats(900.0, 3500.0)
TENSIONS = st.floats(0.02, 0.08)
SPEEDS = st.floats(0.0, 0.5, allow_subnormal=False)


def film_of(law, liquid: dict[str, float]) -> float:
    """Film of a liquid by one of the withdrawal laws."""
    return law(liquid["viscosity"], liquid["density"], liquid["tension"], liquid["speed"])


def test_worked_water_film() -> None:
    # 1 mPa s, 72.8 mN/m at 1 mm/s: capillary length 2.727 mm, Ca 1.374e-5, film 1.48 um.
    assert buildup.capillary_length(0.0728, 998.2) == pytest.approx(2.727e-3, abs=5e-7)
    assert buildup.capillary_number(1e-3, 1e-3, 0.0728) == pytest.approx(1.374e-5, abs=5e-9)
    assert film_of(buildup.landau_levich_film, WATER) == pytest.approx(1.48e-6, abs=5e-9)


def test_worked_slurry_film() -> None:
    # 0.35 Pa s, 1650 kg/m3, 50 mN/m at 50 mm/s: 1.758 mm, Ca 0.35, 0.824 mm, with gravity 0.617 mm.
    assert buildup.capillary_length(0.050, 1650.0) == pytest.approx(1.758e-3, abs=5e-7)
    assert buildup.capillary_number(0.35, 0.050, 0.050) == pytest.approx(0.35)
    assert film_of(buildup.landau_levich_film, SLURRY) == pytest.approx(0.824e-3, abs=5e-7)
    assert film_of(buildup.withdrawal_film, SLURRY) == pytest.approx(0.617e-3, abs=5e-7)


def test_worked_cap_of_a_very_fast_withdrawal() -> None:
    # sqrt(mu U / (rho g)) is 1.04 mm; surface tension keeps the film below it, less so if weak.
    weak = buildup.withdrawal_film(0.35, 1650.0, 1e-12, 0.050)
    assert weak == pytest.approx(1.04e-3, abs=5e-6)
    assert film_of(buildup.withdrawal_film, SLURRY) < 0.6 * weak


@pytest.mark.parametrize(("seconds", "millimetres"), [(30.0, 0.268), (60.0, 0.190)])
def test_worked_drainage(seconds: float, millimetres: float) -> None:
    film = buildup.drained_film(0.35, 1650.0, 0.10, seconds)
    assert film == pytest.approx(millimetres / 1000.0, abs=6e-7)


@pytest.mark.parametrize(("pascal", "millimetres"), [(2.0, 0.124), (5.0, 0.309), (10.0, 0.618)])
def test_worked_yield_film(pascal: float, millimetres: float) -> None:
    assert buildup.yield_film(pascal, 1650.0) == pytest.approx(millimetres / 1000.0, abs=5e-7)


@given(VISCOSITIES, DENSITIES, TENSIONS, st.floats(1e-4, 0.5))
def test_withdrawal_film_solves_white_and_tallmadge(viscosity, density, tension, speed) -> None:
    number = viscosity * speed / tension
    share = brentq(
        lambda t: t - 0.944 * number ** (1 / 6) * (1.0 - t * t) ** (2 / 3), 0.0, 1.0, xtol=1e-14
    )
    film = buildup.withdrawal_film(viscosity, density, tension, speed)
    assert film == pytest.approx(share * np.sqrt(viscosity * speed / density / 9.80665), rel=1e-8)


@given(VISCOSITIES, DENSITIES, TENSIONS, SPEEDS, SPEEDS)
def test_faster_withdrawal_drags_out_more(viscosity, density, tension, one, other) -> None:
    slow, fast = sorted((one, other))
    thin = buildup.withdrawal_film(viscosity, density, tension, slow)
    thick = buildup.withdrawal_film(viscosity, density, tension, fast)
    assert thin <= thick
    assert thick <= buildup.landau_levich_film(viscosity, density, tension, fast) * (1 + 1e-12)


def test_slow_withdrawal_of_thin_liquid_is_landau_and_levich() -> None:
    with_gravity = film_of(buildup.withdrawal_film, WATER)
    assert with_gravity == pytest.approx(film_of(buildup.landau_levich_film, WATER), rel=0.02)


def test_a_shell_held_still_drags_nothing_out() -> None:
    assert buildup.withdrawal_film(0.35, 1650.0, 0.05, 0.0) == 0.0


FILM = {"speed_m_s": 0.05, "height_m": 0.10, "drain_time_s": 30.0}


def test_film_is_the_drained_one_while_the_yield_stress_is_small() -> None:
    film = buildup.film_thickness(0.35, 1650.0, 0.050, 0.5, **FILM)
    assert film == pytest.approx(0.268e-3, abs=6e-7)


def test_film_is_held_by_a_yield_stress() -> None:
    film = buildup.film_thickness(0.35, 1650.0, 0.050, 5.0, **FILM)
    assert film == pytest.approx(0.309e-3, abs=5e-7)


def test_film_is_never_more_than_was_dragged_out() -> None:
    film = buildup.film_thickness(0.35, 1650.0, 0.050, 40.0, **FILM)
    assert film == pytest.approx(0.617e-3, abs=5e-7)
    just_out = buildup.film_thickness(
        0.35, 1650.0, 0.050, 0.0, speed_m_s=0.05, height_m=0.10, drain_time_s=0.01
    )
    assert just_out == pytest.approx(0.617e-3, abs=5e-7)


@given(VISCOSITIES, st.floats(0.0, 20.0), st.floats(0.1, 600.0), st.floats(0.1, 600.0))
def test_longer_draining_never_leaves_more(viscosity, yield_stress, one, other) -> None:
    short, long = sorted((one, other))

    def film(seconds: float) -> float:
        return buildup.film_thickness(
            viscosity,
            1650.0,
            0.05,
            yield_stress,
            speed_m_s=0.05,
            height_m=0.1,
            drain_time_s=seconds,
        )

    assert film(long) <= film(short)


@given(st.floats(0.0, 1.0), st.floats(0.05, 1.0), st.floats(0.05, 1.0), st.floats(0.0, 0.03))
def test_water_fits_into_the_pores_it_wets(water, porosity, saturation, wall) -> None:
    depth = buildup.wetted_depth(water, porosity, saturation, wall)
    held = depth * porosity * saturation * 998.2
    assert depth <= wall
    assert held <= water * (1 + 1e-9)
    if depth < wall:
        assert held == pytest.approx(water, rel=1e-9)


def test_wetted_depth_of_a_backup_coat() -> None:
    # 0.25 kg/m2 into pores of 25 % filled nine tenths: 1.11 mm; a thin wall is wet through.
    assert buildup.wetted_depth(0.25, 0.25, 0.9, 0.007) == pytest.approx(1.113e-3, abs=1e-6)
    assert buildup.wetted_depth(0.25, 0.25, 0.9, 0.0008) == 0.0008


def test_broadcasts_over_heights_and_speeds() -> None:
    heights = np.array([0.0, 0.1, 0.4])
    drained = buildup.drained_film(0.35, 1650.0, heights, 30.0)
    np.testing.assert_allclose(drained / drained[1], [0.0, 1.0, 2.0])
    speeds = np.array([[0.0], [0.02], [0.05]])
    assert buildup.withdrawal_film(0.35, 1650.0, 0.05, speeds).shape == (3, 1)
    assert type(buildup.yield_film(5.0, 1650.0)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: buildup.capillary_length(0.0, 1000.0), "surface tension"),
        (lambda: buildup.capillary_length(0.07, -1.0), "density"),
        (lambda: buildup.capillary_number(0.0, 0.1, 0.05), "viscosity"),
        (lambda: buildup.withdrawal_film(0.35, 1650.0, 0.05, -0.1), "withdrawal speed"),
        (lambda: buildup.drained_film(0.35, 1650.0, 0.1, 0.0), "drain time"),
        (lambda: buildup.drained_film(0.35, 1650.0, -0.1, 30.0), "height"),
        (lambda: buildup.yield_film(float("nan"), 1650.0), "yield stress"),
        (lambda: buildup.wetted_depth(-0.1, 0.25, 0.9, 0.007), "water of the dip"),
        (lambda: buildup.wetted_depth(0.25, 25.0, 0.9, 0.007), "porosity"),
        (lambda: buildup.wetted_depth(0.25, 0.25, 0.0, 0.007), "saturation"),
        (lambda: buildup.wetted_depth(0.25, 0.25, 0.9, -0.001), "wall thickness"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
