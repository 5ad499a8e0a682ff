"""Flow through one opening and through two: against integrals, slow solutions and other works."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.sparse import diags
from scipy.sparse.linalg import spsolve

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import exchange

GRAVITY = 9.80665
DISCHARGE = 0.6
DIAMETERS = st.floats(0.001, 1.0)
NECKS = st.floats(0.0, 0.2)
RATIOS = st.floats(1e-6, 0.1)
FACTORS = st.floats(1.0, 5.0)


def disc(diameter: float) -> float:
    return np.pi / 4.0 * diameter**2


def test_a_hole_without_a_neck_passes_its_diameter() -> None:
    # Stefan: vapour gathers and spreads over a disc of diameter d with 2 D d each side, D d in all.
    assert exchange.opening_conductance(disc(0.03), 0.03, 0.0, 2.5e-5) == pytest.approx(
        2.5e-5 * 0.03
    )


def test_a_long_neck_is_a_tube() -> None:
    tube = 2.5e-5 * disc(0.002) / 5.0
    assert exchange.opening_conductance(disc(0.002), 0.002, 5.0, 2.5e-5) == pytest.approx(
        tube, rel=4e-4
    )


def test_a_closed_opening_passes_nothing() -> None:
    assert exchange.opening_conductance(0.0, 0.0, 0.0, 2.5e-5) == 0.0


@given(st.floats(0.0, 40_000.0), st.floats(0.0, 40_000.0))
def test_stefan_flow_lies_between_the_dry_pressures(inside: float, outside: float) -> None:
    factor = exchange.stefan_flow_factor(inside, outside)
    ends = sorted(101_325.0 / (101_325.0 - vapour) for vapour in (inside, outside))
    assert ends[0] * (1 - 1e-9) <= factor <= ends[1] * (1 + 1e-9)


def test_stefan_flow_is_the_integral_over_the_neck() -> None:
    # Flux times length is the integral of dp / (1 - p/P) from mouth to bottom.
    whole, _ = quad(lambda p: 1.0 / (1.0 - p / 101_325.0), 900.0, 4200.0)
    assert exchange.stefan_flow_factor(4200.0, 900.0) == pytest.approx(whole / 3300.0, rel=1e-9)


@pytest.mark.parametrize(
    ("slender", "froude", "relative"),
    [
        # Epstein's regimes: thin opening; Bernoulli's 0.147 (l/d)^(1/2); turbulent diffusion.
        (0.01, 0.055, 0.02),
        (0.2, 0.147 * 0.2**0.5, 0.07),
        (8.0, 0.32 * 8.0**-1.5, 0.07),
    ],
)
def test_level_opening_has_epsteins_regimes(slender, froude, relative) -> None:
    flow = exchange.horizontal_exchange(1.0, slender, 0.01)
    assert flow == pytest.approx(froude * np.sqrt(GRAVITY * 0.01), rel=relative)


def test_a_neck_of_half_a_diameter_passes_most() -> None:
    slender = np.geomspace(0.01, 10.0, 400)
    flow = exchange.horizontal_exchange(1.0, slender, 0.01)
    assert 0.3 < slender[np.argmax(flow)] < 0.8
    assert 0.08 < flow.max() / np.sqrt(GRAVITY * 0.01) < 0.11


def test_level_opening_against_coopers_vent() -> None:
    # NISTIR 89-4052: 0.1 sqrt(g A^(5/2) drho/rho), from fires; a third above Epstein's brine.
    cooper = 0.1 * np.sqrt(GRAVITY * disc(0.06) ** 2.5 * 0.01)
    ratio = cooper / exchange.horizontal_exchange(0.06, 0.0, 0.01)
    assert ratio == pytest.approx(1.34, abs=0.02)


@given(DIAMETERS, NECKS, RATIOS, FACTORS)
def test_a_wider_level_opening_passes_more(diameter, neck, ratio, factor) -> None:
    narrow = exchange.horizontal_exchange(diameter, neck, ratio)
    assert exchange.horizontal_exchange(diameter * factor, neck, ratio) >= narrow * (1 - 1e-12)


def bernoulli(width_at, height: float, ratio: float) -> float:
    """Flow through the upper half of an upright opening, strip by strip."""

    def strip(y: float) -> float:
        return width_at(y) * np.sqrt(2.0 * GRAVITY * ratio * y)

    return DISCHARGE * quad(strip, 0.0, height / 2.0)[0]


def test_upright_rectangle_is_bernoullis_integral() -> None:
    slow = bernoulli(lambda y: 0.05, 0.08, 0.007)
    assert exchange.side_exchange(0.05 * 0.08, 0.08, 0.007) == pytest.approx(slow, rel=1e-6)


def test_upright_circle_is_nine_percent_below() -> None:
    slow = bernoulli(lambda y: 2.0 * np.sqrt(0.03**2 - y**2), 0.06, 0.007)
    fast = exchange.side_exchange(disc(0.06), 0.06, 0.007)
    assert fast / slow == pytest.approx(1.09, abs=0.005)


def half_tube_flow(steps: int) -> float:
    """Laminar flow through half a round tube of radius 1 at unit pressure fall and viscosity."""
    spacing = 1.0 / steps
    x = np.arange(-steps, steps + 1) * spacing
    y = np.arange(0, steps + 1) * spacing
    inside = (x[:, None] ** 2 + y[None, :] ** 2 < 1.0) & (y[None, :] > 0.0)
    count = inside.size
    rows = y.size
    laplace = diags([-4.0, 1.0, 1.0, 1.0, 1.0], [0, 1, -1, rows, -rows], shape=(count, count))
    keep = np.flatnonzero(inside)
    speed = spsolve(laplace.tocsr()[keep][:, keep].tocsc(), -np.full(keep.size, spacing**2))
    return float(speed.sum() * spacing**2)


def test_viscous_exchange_is_two_half_tubes_side_by_side() -> None:
    # Each stream feels half the difference of the weights; staircase walls cost the rest.
    diameter, ratio, viscosity = 0.02, 0.005, 1.52e-5
    slow = half_tube_flow(80) * GRAVITY * ratio / 2.0 * (diameter / 2.0) ** 4 / viscosity
    assert exchange.viscous_exchange(diameter, ratio, viscosity) == pytest.approx(slow, rel=0.03)


def test_two_openings_are_the_series_area() -> None:
    lower, upper, height = 3e-4, 5e-4, 0.15
    series = 1.0 / np.sqrt(1.0 / lower**2 + 1.0 / upper**2)
    expected = DISCHARGE * series * np.sqrt(2.0 * GRAVITY * height * 0.005)
    flow = exchange.stack_flow([lower, upper], [0.02, 0.02 + height], 0.005)
    assert flow == pytest.approx(expected, rel=1e-9)


def test_many_openings_blow_as_much_as_they_suck() -> None:
    area, level = np.array([2e-4, 1e-4, 4e-4, 3e-4]), np.array([0.0, 0.05, 0.12, 0.3])

    def passed(neutral: float) -> np.ndarray:
        offset = level - neutral
        return DISCHARGE * area * np.sign(offset) * np.sqrt(2.0 * GRAVITY * np.abs(offset) * 0.01)

    neutral = brentq(lambda z: passed(z).sum(), 0.0, 0.3, xtol=1e-15)
    out = np.maximum(passed(neutral), 0.0).sum()
    assert exchange.stack_flow(area, level, 0.01) == pytest.approx(out, rel=1e-9)


def test_a_large_opening_beside_a_tiny_one_leaves_it_the_whole_height() -> None:
    tiny, height = 1e-8, 0.5
    flow = exchange.stack_flow([1e-2, tiny], [height, 0.0], 0.01)
    whole = DISCHARGE * tiny * np.sqrt(2.0 * GRAVITY * height * 0.01)
    assert flow == pytest.approx(whole, rel=1e-9)


@pytest.mark.parametrize("level", [[0.1], [0.1, 0.1, 0.1]])
def test_no_stack_without_a_difference_of_height(level) -> None:
    assert exchange.stack_flow(np.full(len(level), 3e-4), level, 0.01) == 0.0
    assert exchange.stack_flow([3e-4, 0.0, 0.0], [0.1, 0.0, 0.4], 0.01) == 0.0
    assert exchange.stack_flow([0.0, 0.0], [0.0, 0.4], 0.01) == 0.0


@given(
    st.lists(st.tuples(st.floats(0.0, 1e-2), st.floats(0.0, 1.0)), min_size=1, max_size=5),
    st.tuples(st.floats(0.0, 1e-2), st.floats(0.0, 1.0)),
)
def test_one_more_opening_never_lessens_the_draught(some, another) -> None:
    fewer = exchange.stack_flow(*np.array(some).T, 0.005)
    more = exchange.stack_flow(*np.array([*some, another]).T, 0.005)
    assert more >= fewer * (1 - 1e-9) - 1e-12


def test_broadcasts_over_cores_and_readings() -> None:
    ratios = np.array([[0.0], [0.005], [0.01]])
    flow = exchange.horizontal_exchange(np.array([0.02, 0.04]), 0.008, ratios)
    assert flow.shape == (3, 2)
    assert (flow[0] == 0.0).all()
    stack = exchange.stack_flow(np.full((2, 3), 1e-4), np.array([0.0, 0.1, 0.2]), ratios)
    assert stack.shape == (3, 2)
    assert type(exchange.stack_flow([1e-4, 1e-4], [0.0, 0.1], 0.005)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: exchange.opening_conductance(-1.0, 0.02, 0.0, 2.5e-5), "area of the opening"),
        (lambda: exchange.opening_conductance(1e-4, -0.02, 0.0, 2.5e-5), "diameter"),
        (lambda: exchange.opening_conductance(1e-4, 0.02, -1.0, 2.5e-5), "length of the neck"),
        (lambda: exchange.opening_conductance(1e-4, 0.02, 0.0, 0.0), "diffusivity"),
        (lambda: exchange.opening_conductance(1e-4, 0.0, 0.0, 2.5e-5), "length of the path"),
        (lambda: exchange.stefan_flow_factor(102_000.0, 0.0), "dry air"),
        (lambda: exchange.horizontal_exchange(0.02, 0.0, 1.5), "difference of the densities"),
        (lambda: exchange.side_exchange(1e-4, 0.02, -0.1), "difference of the densities"),
        (lambda: exchange.viscous_exchange(0.02, 0.01, 0.0), "viscosity of the air"),
        (lambda: exchange.stack_flow([1e-4], [float("nan")], 0.01), "level of the opening"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
