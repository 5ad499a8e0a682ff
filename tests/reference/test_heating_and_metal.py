"""Heating through a wall, and metal for a wax, against published tables and worked examples."""

from __future__ import annotations

from math import sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics.heating import (
    biot_number,
    heat_through_time,
    plane_wall_excess,
    plane_wall_root,
    radiation_film,
)
from shellcoat.review.fire_checks import metal_mass
from shellcoat.review.values import review_values

# Y. A. Cengel, Heat and Mass Transfer, 3rd ed., New York 2007, table 4-2, and the same figures in
# F. P. Incropera et al., 6th ed., Hoboken 2007, table 5.1: plane wall, Bi, zeta_1, C_1. The rows
# are quoted from memory of both books.
ONE_TERM = [
    (0.01, 0.0998, 1.0017),
    (0.1, 0.3111, 1.0161),
    (0.5, 0.6533, 1.0701),
    (1.0, 0.8603, 1.1191),
    (2.0, 1.0769, 1.1785),
    (5.0, 1.3138, 1.2403),
    (10.0, 1.4289, 1.2620),
    (20.0, 1.4961, 1.2699),
    (100.0, 1.5552, 1.2731),
]


@pytest.mark.parametrize(("biot", "root", "share"), ONE_TERM)
def test_one_term_coefficients_are_the_tables(biot: float, root: float, share: float) -> None:
    """To the last digit the tables print, give or take one."""
    found = plane_wall_root(biot)
    assert found == pytest.approx(root, abs=1.1e-4)
    assert 4 * sin(found) / (2 * found + sin(2 * found)) == pytest.approx(share, abs=1.1e-4)
    assert plane_wall_excess(biot, 0.0, terms=1) == pytest.approx(share, abs=1.1e-4)


def test_the_steel_pipe_of_incropera() -> None:
    """Incropera 6th ed., example 5.4: a wall of 40 mm, oil of 60 °C, after 8 min.

    42.9 °C at the insulated face and 45.2 °C at the wetted one, from roots rounded to three
    digits: within 0.3 K.
    """
    biot = biot_number(500.0, 0.040, 63.9)
    fourier = 18.8e-6 * 480.0 / 0.040**2
    inner, outer = (60.0 - 80.0 * plane_wall_excess(biot, fourier, at) for at in (0.0, 1.0))
    assert biot == pytest.approx(0.313, abs=5e-4)
    assert fourier == pytest.approx(5.64, abs=5e-3)
    assert inner == pytest.approx(42.9, abs=0.3)
    assert outer == pytest.approx(45.2, abs=0.3)


def test_the_brass_plates_of_cengel() -> None:
    """Cengel 3rd ed., example 4-3: plates of 4 cm, oven of 500 °C, after 7 min the face is 282 °C.

    Read from Heisler's charts, whose second digit is a guess: within 4 K.
    """
    biot = biot_number(120.0, 0.02, 110.0)
    excess = plane_wall_excess(biot, 33.9e-6 * 420.0 / 0.02**2, 1.0)
    assert 500.0 - 480.0 * excess == pytest.approx(282.0, abs=4.0)


@pytest.mark.parametrize("biot", [0.2, 1.5, 8.0])
@pytest.mark.parametrize("fourier", [0.05, 0.3, 1.5])
def test_the_series_is_what_a_slow_solution_of_the_wall_gives(biot: float, fourier: float) -> None:
    """Two hundred slices and scipy's stiff solver, within 0.3 % of the whole way."""
    slices = 200
    width = 1.0 / slices
    film = 1.0 / (1.0 / biot + 0.5 * width)

    def slope(_time: float, warm: np.ndarray) -> np.ndarray:
        flow = np.diff(warm, prepend=warm[0]) / width
        gain = np.append(flow[1:], -film * warm[-1]) - flow
        return gain / width

    band = {"lband": 1, "uband": 1}
    run = solve_ivp(slope, (0.0, fourier), np.ones(slices), "LSODA", rtol=1e-8, atol=1e-10, **band)
    middle = (0.5 + np.arange(slices)) * width
    for at in (0, slices // 2, slices - 1):
        series = plane_wall_excess(biot, fourier, float(middle[at]), terms=40)
        assert series == pytest.approx(run.y[at, -1], abs=3e-3)


@given(
    st.floats(1e-3, 0.05),
    st.floats(20.0, 400.0),
    st.floats(0.3, 3.0),
    st.floats(0.01, 0.5),
    st.floats(1.05, 2.0),
)
def test_more_wall_takes_longer_and_more_fire_less(
    thickness: float, film: float, conductivity: float, excess: float, more: float
) -> None:
    def time(thick: float, fire: float) -> float:
        return heat_through_time(thick, fire, conductivity, 1700.0, 1050.0, excess)

    usual = time(thickness, film)
    assert time(more * thickness, film) > usual > time(thickness, more * film) > 0.0


@given(st.floats(1e-3, 0.03), st.floats(50.0, 300.0), st.floats(0.02, 0.5))
def test_after_the_time_to_heat_through_so_much_is_left_to_go(
    thickness: float, film: float, excess: float
) -> None:
    seconds = heat_through_time(thickness, film, 0.7, 1700.0, 1050.0, excess)
    fourier = 0.7 / (1700.0 * 1050.0) * seconds / thickness**2
    assert plane_wall_excess(biot_number(film, thickness, 0.7), fourier) == pytest.approx(
        excess, rel=1e-6
    )


def test_radiation_at_room_temperature_is_the_usual_few_watts() -> None:
    """About 5.5 W/m2K between surfaces of 0.95 at 20 °C (common practice)."""
    assert radiation_film(20.5, 19.5, 0.95) == pytest.approx(5.5, abs=0.15)


@pytest.mark.parametrize("wrong", [-1.0, 0.0, float("nan"), float("inf")])
def test_what_no_wall_can_have_is_refused(wrong: float) -> None:
    for given_values in ((wrong, 100.0, 0.7), (0.01, wrong, 0.7), (0.01, 100.0, wrong)):
        with pytest.raises(ValueOutOfRangeError):
            heat_through_time(*given_values, 1700.0, 1050.0)


@pytest.mark.parametrize(("metal", "ratio"), [(8360.0, 8.8), (8800.0, 9.3), (2700.0, 2.8)])
def test_metal_for_one_of_wax(metal: float, ratio: float) -> None:
    """Silicon bronze 8.8, tin bronze 9.3, aluminium 2.8 for a wax of 0.95: the trade's ratios."""
    mass = metal_mass(1.0, metal, 0.0, review_values())
    assert round(mass.likely, 1) == ratio
    assert mass.low < mass.likely < mass.high
