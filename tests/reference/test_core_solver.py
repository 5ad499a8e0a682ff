"""A core's drying against a slow integral of its own flux, breathing found anew at each front.

The forecast finds what the openings let through for the wet surface and for the fully receded
front, and reads off between the two. The reference asks for the flux at every one of five hundred
fronts and integrates the water over it with scipy; the wall, the narrowed opening and the stages
of drying are reckoned here by hand. The air is constant.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from uuid import UUID

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid

from shellcoat.forecast.air_track import AirLog, build_track
from shellcoat.forecast.core_vents import Period, core_vents
from shellcoat.forecast.drying import AirStack, CoatBatch, dry_out
from shellcoat.forecast.factors import FactorSpreads
from shellcoat.forecast.lanes import MIDDLE_LANE, Lanes
from shellcoat.forecast.starting_values import CoreValues, starting_values
from shellcoat.physics import transport
from shellcoat.physics.cavity import core_air, inner_film
from shellcoat.physics.coat_drying import wetted_coat
from shellcoat.physics.vents import Facing, Openings
from shellcoat.shop import Core, Opening, OpeningFacing

Floats = NDArray[np.float64]

HOUR, DAY = 3600.0, 86_400.0
PRESSURE = 101_325.0
FIRST_S = 1_772_438_400.0
CRITICAL_SHARE, PORE_WATER_DENSITY, DRY_SHARE = 0.45, 37.5, 0.10
CRUST_SHARE = 0.25 / 3.0
NECK_M, WALL_HEAT = 0.005, 5.0
FRONTS = 500
HORIZON_D = 60.0
SWITCH = 0.05
"""A flux that falls by this share from one front to the next has stopped breathing."""
FACINGS = {
    OpeningFacing.UP: Facing.UP,
    OpeningFacing.SIDE: Facing.SIDE,
    OpeningFacing.DOWN: Facing.DOWN,
}

WALLS = ((0.03, 1e-3, 0.20), (0.03, 6e-3, 0.25), (0.15, 8e-3, 0.25))
AIRS = ((22.0, 0.50), (18.0, 0.75), (27.0, 0.30))


@dataclass(frozen=True)
class Hollow:
    """A core under its wall of coats, and the air over it."""

    width_m: float
    facing: OpeningFacing
    litres_min: float
    area_m2: float
    wall_m: float
    water: float
    temp_c: float
    rh: float

    @property
    def depth_m(self) -> float:
        return min(self.wall_m, self.water / PORE_WATER_DENSITY)

    @property
    def crust(self) -> float:
        return CRUST_SHARE * float(transport.vapour_diffusivity(self.temp_c, PRESSURE))

    @property
    def film(self) -> float:
        """Film in a cube with this much wall."""
        return float(inner_film((self.area_m2 / 6.0) ** 0.5, 1.0))

    @property
    def openings(self) -> Openings:
        """The one round opening, narrowed by the coats."""
        clear = self.width_m - 2.0 * self.wall_m
        return Openings.of(clear, clear, NECK_M + self.wall_m, FACINGS[self.facing])


def slow(hollow: Hollow) -> tuple[float, float]:
    """Seconds to dry and the widest jump of the flux from one front to the next, as a share."""
    critical = CRITICAL_SHARE * hollow.water
    last = hollow.depth_m * (1.0 - DRY_SHARE * hollow.water / critical)
    fronts = np.linspace(0.0, last, FRONTS)
    flux = np.asarray(
        core_air(
            hollow.temp_c,
            hollow.rh,
            hollow.area_m2,
            hollow.openings,
            hollow.film,
            WALL_HEAT,
            crust_resistance=fronts / hollow.crust,
            forced_flow_m3_s=hollow.litres_min / 60_000.0,
            pressure_pa=PRESSURE,
        ).flux
    )
    wet = (hollow.water - critical) / flux[0]
    receding = cumulative_trapezoid(critical / hollow.depth_m / flux, fronts)[-1]
    return float(wet + receding), float(np.max(1.0 - flux[1:] / flux[:-1]))


def fast(hollow: Hollow) -> float:
    """The forecast's seconds to dry, with no factor on anything."""
    log = AirLog.of(FIRST_S + np.array([0.0, 600.0]), [hollow.temp_c] * 2, [hollow.rh] * 2)
    ahead = starting_values().ahead
    track = build_track(log, FIRST_S, FIRST_S + 600.0, HORIZON_D * DAY, ahead, PRESSURE)
    air = AirStack.of([track], PRESSURE)
    lanes = Lanes.spread(0.0, 0.0)
    wall = wetted_coat(
        np.array([[hollow.water]]),
        np.zeros((1, lanes.film.size)),
        np.array([[hollow.wall_m]]),
        critical_share=CRITICAL_SHARE,
        pore_water_density=PORE_WATER_DENSITY,
        crust_diffusivity=hollow.crust / lanes.crust[None, :],
    )
    batch = CoatBatch(
        room=np.array([0]),
        start_s=np.array([FIRST_S]),
        query_s=np.array([FIRST_S]),
        length_m=np.array([0.2]),
        speed_m_s=np.array([0.1]),
        wall=wall,
        target=wall.front(np.array([[DRY_SHARE * hollow.water]])),
    )
    mouth = Opening(
        width_m=hollow.width_m,
        height_m=hollow.width_m,
        neck_m=NECK_M,
        facing=hollow.facing,
    )
    core = Core(id=UUID(int=1), name="body", area_m2=hollow.area_m2, openings=(mouth,))
    period = Period(air.end_s, flow_m3_s=hollow.litres_min / 60_000.0)
    values = CoreValues(
        spreads=FactorSpreads(0.0, 0.0, 0.0, 0.0), wall_heat_w_m2k=WALL_HEAT, bridging_gap_m=3.5e-3
    )
    vents = core_vents([core], [hollow.wall_m], [[period]], air, batch, [air.end_s], lanes, values)
    return float(dry_out(air, batch, lanes, vents).dry_after_s[0, MIDDLE_LANE])


@cache
def compared() -> tuple[tuple[Hollow, float, float], ...]:
    """Hollows, the forecast's error as a share of the slow time, and the largest jump."""
    choices = product((0.045, 0.06, 0.075, 0.1, 0.15), FACINGS, (0.0, 1.0, 10.0), WALLS, AIRS)
    every = [
        Hollow(width, facing, litres, *wall, *air) for width, facing, litres, wall, air in choices
    ]
    chosen = np.random.default_rng(20260302).choice(len(every), 70, replace=False)
    found = []
    for hollow in (every[index] for index in sorted(chosen)):
        seconds, jump = slow(hollow)
        if seconds < 0.9 * HORIZON_D * DAY:
            found.append((hollow, fast(hollow) / seconds - 1.0, jump))
    return tuple(found)


def test_a_core_that_breathes_alike_throughout_dries_as_the_integral_says() -> None:
    errors = np.array([error for _, error, jump in compared() if jump < SWITCH])
    assert errors.size > 50
    # Measured: at most 0.4 % early, nine in ten within 0.1 %.
    assert errors.min() > -0.01
    assert errors.max() < 0.01
    assert np.quantile(np.abs(errors), 0.9) < 0.003


STOPS_BREATHING = (
    # width, facing, area, wall, water, air; the error measured
    (0.075, OpeningFacing.SIDE, WALLS[0], AIRS[0], -0.008),
    (0.100, OpeningFacing.SIDE, WALLS[1], AIRS[1], -0.011),
    (0.150, OpeningFacing.SIDE, WALLS[2], AIRS[0], -0.010),
    (0.100, OpeningFacing.DOWN, WALLS[0], AIRS[0], -0.007),
    (0.100, OpeningFacing.DOWN, WALLS[1], AIRS[2], -0.042),
)


@pytest.mark.parametrize(("width", "facing", "wall", "air", "measured"), STOPS_BREATHING)
def test_a_core_that_stops_breathing_on_the_way_is_told_a_little_early(
    width: float,
    facing: OpeningFacing,
    wall: tuple[float, float, float],
    air: tuple[float, float],
    measured: float,
) -> None:
    """Between two crusts of the table the breathing that has ceased is kept by half.

    Some 2 in 100 cores do this; their times are early by a few per cent at most, never late.
    """
    hollow = Hollow(width, facing, 0.0, *wall, *air)
    seconds, jump = slow(hollow)
    assert jump > SWITCH
    error = fast(hollow) / seconds - 1.0
    assert measured - 0.01 < error < 0.005


def test_blown_air_leaves_nothing_to_switch() -> None:
    """With 10 L/min the hose, not the breathing, sets the pace of all but very wide openings."""
    hollows = [
        Hollow(width, facing, 10.0, *WALLS[0], *AIRS[0])
        for width, facing in product((0.03, 0.06, 0.1), FACINGS)
    ]
    errors = [fast(hollow) / slow(hollow)[0] - 1.0 for hollow in hollows]
    assert max(map(abs, errors)) < 0.01
