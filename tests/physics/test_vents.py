"""A core's openings together: which way they breathe, what adds up, and what must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import exchange, moist_air, transport
from shellcoat.physics.vents import (
    Facing,
    Openings,
    OpeningShape,
    exchange_flow,
    hydraulic_opening,
    vent_conductance,
)

NECK = 0.008
HEAVY, LIGHT = 0.012, -0.006
TEMP = 20.0
HOSE = 10e-3 / 60.0

FACINGS = st.sampled_from(Facing)
DIAMETERS = st.floats(0.002, 0.3)
EXCESSES = st.floats(-0.03, 0.03)
FACTORS = st.floats(1.0, 4.0)
OPENINGS = st.lists(
    st.tuples(DIAMETERS, st.floats(0.0, 0.05), FACINGS, st.floats(0.0, 0.5)),
    min_size=1,
    max_size=4,
)


def round_hole(diameter: float, facing: Facing, neck: float = NECK) -> Openings:
    return Openings.of(diameter, diameter, neck, facing)


def some(openings: list[tuple[float, float, Facing, float]]) -> Openings:
    diameter, neck, facing, level = (np.array(column) for column in zip(*openings, strict=True))
    return Openings.of(diameter, diameter, neck, facing, level)


def diffusion(diameter: float, neck: float = NECK) -> float:
    """What one round opening passes without any flow."""
    return exchange.opening_conductance(
        np.pi / 4 * diameter**2, diameter, neck, transport.vapour_diffusivity(TEMP)
    )


def test_sizes_of_the_three_outlines() -> None:
    circle = hydraulic_opening(0.03, 0.03)
    assert circle.area_m2 == pytest.approx(np.pi * 0.015**2)
    assert circle.equivalent_diameter_m == pytest.approx(0.03)
    # An irregular opening counts as the ellipse of its width and height.
    assert hydraulic_opening(0.02, 0.08).equivalent_diameter_m == pytest.approx(0.04)
    slot = hydraulic_opening(0.0145, 0.1, OpeningShape.RECTANGLE)
    assert slot.area_m2 == pytest.approx(1.45e-3)


@pytest.mark.parametrize(
    ("facing", "excess", "breathes"),
    [
        (Facing.DOWN, HEAVY, True),
        (Facing.DOWN, LIGHT, False),
        (Facing.UP, HEAVY, False),
        (Facing.UP, LIGHT, True),
        (Facing.SIDE, HEAVY, True),
        (Facing.SIDE, LIGHT, True),
    ],
)
def test_which_way_an_opening_breathes(facing, excess, breathes) -> None:
    opening = round_hole(0.06, facing)
    flow = exchange_flow(opening, excess, TEMP)
    conductance = vent_conductance(opening, excess, TEMP)
    assert (flow > 0.0) is breathes
    # A layered opening still lets vapour diffuse.
    assert conductance == pytest.approx(diffusion(0.06) + flow, rel=1e-12)


def test_turning_the_core_over_is_the_same_as_swapping_the_airs() -> None:
    down = exchange_flow(round_hole(0.05, Facing.DOWN), 0.01)
    assert down == pytest.approx(exchange_flow(round_hole(0.05, Facing.UP), -0.01), rel=1e-12)


def test_airs_of_equal_weight_only_diffuse() -> None:
    for facing in Facing:
        assert exchange_flow(round_hole(0.1, facing), 0.0) == 0.0


@pytest.mark.parametrize("facing", [Facing.DOWN, Facing.SIDE])
def test_large_openings_are_free_and_small_ones_viscous(facing) -> None:
    room = moist_air.air_density(TEMP, 0.0)
    ratio, viscosity = HEAVY / room, transport.air_viscosity(TEMP) / room

    def free(diameter: float) -> float:
        if facing is Facing.SIDE:
            return exchange.side_exchange(np.pi / 4 * diameter**2, diameter, ratio)
        return exchange.horizontal_exchange(diameter, NECK, ratio)

    wide = exchange_flow(round_hole(0.5, facing), HEAVY, TEMP)
    assert wide == pytest.approx(free(0.5), rel=0.02)
    tiny = exchange_flow(round_hole(0.001, facing), HEAVY, TEMP)
    assert tiny == pytest.approx(exchange.viscous_exchange(0.001, ratio, viscosity), rel=0.35)
    assert tiny < 0.02 * diffusion(0.001)


def test_two_heights_draw_through_whatever_they_face() -> None:
    hole = {"width_m": 0.02, "height_m": 0.02, "neck_length_m": NECK}
    level = [0.0, 0.15]
    layered = Openings.of(facing=[Facing.UP, Facing.UP], level_m=level, **hole)
    room = moist_air.air_density(TEMP, 0.0)
    area = np.full(2, np.pi / 4 * 0.02**2)
    draught = exchange.stack_flow(area, level, HEAVY / room)
    assert exchange_flow(layered, HEAVY, TEMP) == pytest.approx(draught, rel=1e-12)
    # Far more than both pass by themselves at one height.
    same_height = Openings.of(facing=[Facing.DOWN, Facing.DOWN], **hole)
    assert draught > 5.0 * exchange_flow(same_height, HEAVY, TEMP)


def test_a_hose_dwarfs_all_else() -> None:
    for facing in Facing:
        blown = vent_conductance(round_hole(0.02, facing), HEAVY, TEMP, forced_flow_m3_s=HOSE)
        assert blown == pytest.approx(HOSE, rel=0.01)


def test_flows_add_as_squares_and_diffusion_plainly() -> None:
    opening = round_hole(0.06, Facing.DOWN)
    flow = exchange_flow(opening, HEAVY, TEMP)
    both = vent_conductance(opening, HEAVY, TEMP, forced_flow_m3_s=flow, vent_factor=1.5)
    assert both == pytest.approx(1.5 * (diffusion(0.06) + np.sqrt(2.0) * flow), rel=1e-12)


def test_no_opening_passes_nothing_even_with_a_hose() -> None:
    closed = Openings.of(0.0, 0.0, NECK, Facing.SIDE)
    assert vent_conductance(closed, HEAVY, forced_flow_m3_s=HOSE) == 0.0


def test_an_opening_of_no_area_changes_nothing() -> None:
    one = round_hole(0.03, Facing.SIDE)
    padded = Openings.of([0.03, 0.0], [0.03, 0.0], NECK, [Facing.SIDE, Facing.UP], [0.0, 0.4])
    assert vent_conductance(padded, LIGHT) == pytest.approx(vent_conductance(one, LIGHT), rel=1e-6)


@given(OPENINGS, EXCESSES, FACTORS)
def test_larger_openings_pass_more(openings, excess, factor) -> None:
    larger = [(diameter * factor, *rest) for diameter, *rest in openings]
    passed = vent_conductance(some(openings), excess)
    assert vent_conductance(some(larger), excess) >= passed * (1 - 1e-9)


@given(OPENINGS, OPENINGS, EXCESSES)
def test_more_openings_pass_more(openings, others, excess) -> None:
    passed = vent_conductance(some(openings), excess)
    assert vent_conductance(some(openings + others), excess) >= passed * (1 - 1e-9)


@given(OPENINGS, EXCESSES, st.floats(0.0, 1e-3), FACTORS)
def test_more_air_blown_in_passes_more(openings, excess, flow, factor) -> None:
    gentle, strong = (
        vent_conductance(some(openings), excess, forced_flow_m3_s=blown)
        for blown in (flow, flow * factor)
    )
    assert strong >= gentle
    assert gentle >= vent_conductance(some(openings), excess)


@given(OPENINGS, EXCESSES, FACTORS)
def test_a_larger_difference_of_weight_passes_more(openings, excess, factor) -> None:
    assert exchange_flow(some(openings), excess * factor) >= exchange_flow(some(openings), excess)


def test_broadcasts_over_cores_and_readings() -> None:
    cores = Openings.of(
        np.array([[0.02, 0.0], [0.02, 0.03]]), np.array([[0.02, 0.0], [0.02, 0.03]]), NECK, 0
    )
    excess = np.array([[-0.006], [0.0], [0.012]])
    table = vent_conductance(cores, excess, np.array([[18.0], [20.0], [22.0]]))
    assert table.shape == (3, 2)
    assert (table[:, 1] > table[:, 0]).all()
    assert type(vent_conductance(round_hole(0.02, Facing.UP), 0.0)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: hydraulic_opening(-0.01, 0.01), "width of the opening"),
        (lambda: Openings.of(0.01, -0.01, NECK, 0), "height of the opening"),
        (lambda: Openings.of(0.01, 0.01, -NECK, 0), "length of the neck"),
        (lambda: Openings.of(0.01, 0.01, NECK, 2), "facing"),
        (lambda: Openings.of(0.01, 0.01, NECK, 0.4), "facing"),
        (lambda: Openings.of(0.01, 0.01, NECK, 0, np.inf), "level of the opening"),
        (lambda: vent_conductance(round_hole(0.02, Facing.UP), 1.5), "difference of the dens"),
        (
            lambda: vent_conductance(round_hole(0.02, Facing.UP), 0.0, forced_flow_m3_s=-1e-4),
            "air blown in",
        ),
        (
            lambda: vent_conductance(round_hole(0.02, Facing.UP), 0.0, vent_factor=0.0),
            "factor of the openings",
        ),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
