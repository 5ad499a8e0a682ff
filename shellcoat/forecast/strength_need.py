"""How thick the wall has to be where metal presses on it, against how thick it is and will be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import exp, hypot, log
from statistics import NormalDist
from uuid import UUID

from shellcoat.forecast.strength_values import StrengthValues
from shellcoat.forecast.thickness import TENTH, TENTH_TO_NINETIETH
from shellcoat.physics.strength import (
    PlateEdge,
    metal_head_pressure,
    plate_stress,
    required_thickness,
    round_wall_stress,
    round_wall_thickness,
)
from shellcoat.shop import Band, SpotKind, StressSpot

LEAVES_ROOM, TOO_THIN = 0.9, 0.5
"""Chances from which the figures leave room, and below which the wall is too thin by them."""


class SpotVerdict(Enum):
    """What the figures say of a spot; none of them says that it will hold."""

    FINE = "the figures leave room"
    LOOK = "may be too thin"
    STOP = "too thin by these figures"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotAnswer:
    """One stress spot, as the figures see it.

    `pressure_pa` [Pa] of the metal at rest; `strength_pa` [Pa] of the dried wall, bent or pulled
    as the spot is; `needed_m` [m] the thickness at which the stress equals that strength and
    `needed_hot_m` [m] the same with the strength at pouring heat. `stress_pa` [Pa] in the likely
    wall at the end, None where there is no wall. `chance_now` and `chance_enough` (at the end)
    that the wall is as thick as `needed_m`; `aim_m` [m] the likely wall that would give a chance
    of 90 %, with the spread that the wall at the end has.
    """

    spot_id: UUID
    name: str
    pressure_pa: float
    strength_pa: Band
    needed_m: Band
    needed_hot_m: Band
    wall_now_m: Band
    wall_at_end_m: Band
    stress_pa: float | None
    chance_now: float
    chance_enough: float
    aim_m: float
    verdict: SpotVerdict


def answer_spot(
    spot: StressSpot,
    density_kg_m3: float,
    wall_now_m: Band,
    wall_at_end_m: Band,
    values: StrengthValues,
) -> SpotAnswer:
    """Set the wall a spot needs beside the wall it has; judged dried, the weaker of the two."""
    pressure = float(metal_head_pressure(density_kg_m3, spot.head_m))
    strength = borne(spot, values.green_pa, values)
    needed = needed_thickness(spot, pressure, strength)
    chance = chance_thick_enough(wall_at_end_m, needed)
    spread = hypot(_log_spread(wall_at_end_m), _log_spread(needed))
    return SpotAnswer(
        spot_id=spot.id,
        name=spot.name,
        pressure_pa=pressure,
        strength_pa=strength,
        needed_m=needed,
        needed_hot_m=needed_thickness(spot, pressure, borne(spot, values.hot_pa, values)),
        wall_now_m=wall_now_m,
        wall_at_end_m=wall_at_end_m,
        stress_pa=_stress(spot, pressure, wall_at_end_m.likely),
        chance_now=chance_thick_enough(wall_now_m, needed),
        chance_enough=chance,
        aim_m=needed.likely * exp(TENTH * spread),
        verdict=verdict_of(chance),
    )


def borne(spot: StressSpot, flexural_pa: Band, values: StrengthValues) -> Band:
    """Strength [Pa] against what the spot does to its wall: bend a flat face, pull a round one.

    The two bands are independent, so their spreads add as squares of logarithms.
    """
    if spot.kind is SpotKind.FLAT:
        return flexural_pa
    share = values.pull_share
    likely = flexural_pa.likely * share.likely
    down = hypot(log(flexural_pa.likely / flexural_pa.low), log(share.likely / share.low))
    up = hypot(log(flexural_pa.high / flexural_pa.likely), log(share.high / share.likely))
    return Band(likely * exp(-down), likely, likely * exp(up))


def needed_thickness(spot: StressSpot, pressure_pa: float, strength_pa: Band) -> Band:
    """Thickness [m] at which stress equals strength; the low strength gives the high thickness."""
    thick, likely, thin = (
        _thickness(spot, pressure_pa, strength)
        for strength in (strength_pa.low, strength_pa.likely, strength_pa.high)
    )
    return Band(thin, likely, thick)


def _thickness(spot: StressSpot, pressure_pa: float, strength_pa: float) -> float:
    if spot.long_m is not None and spot.short_m is not None:
        sides = (spot.long_m, spot.short_m)
        return float(required_thickness(pressure_pa, *sides, strength_pa, edge_of(spot)))
    return float(round_wall_thickness(pressure_pa, _radius(spot), strength_pa))


def _stress(spot: StressSpot, pressure_pa: float, thickness_m: float) -> float | None:
    if thickness_m <= 0.0:
        return None
    if spot.long_m is not None and spot.short_m is not None:
        sides = (spot.long_m, spot.short_m)
        return float(plate_stress(pressure_pa, *sides, thickness_m, edge_of(spot)))
    return float(round_wall_stress(pressure_pa, _radius(spot), thickness_m))


def _radius(spot: StressSpot) -> float:
    # A round spot always has one; the record checks it.
    return spot.radius_m or 0.0


def edge_of(spot: StressSpot) -> PlateEdge:
    """How the edges of a flat face are held."""
    return PlateEdge.CLAMPED if spot.clamped else PlateEdge.SIMPLY_SUPPORTED


def chance_thick_enough(wall_m: Band, needed_m: Band) -> float:
    """Probability that the wall is as thick as needed, both bands taken as log-normal."""
    if wall_m.likely <= 0.0:
        return 0.0
    distance = log(wall_m.likely / needed_m.likely)
    spread = hypot(_log_spread(wall_m), _log_spread(needed_m))
    if spread == 0.0:
        return 1.0 if distance >= 0.0 else 0.0
    return NormalDist().cdf(distance / spread)


def _log_spread(band: Band) -> float:
    """Standard deviation of the logarithm; from the upper half where the band begins at nothing."""
    if band.likely <= 0.0:
        return 0.0
    if band.low <= 0.0:
        return log(band.high / band.likely) / TENTH
    return log(band.high / band.low) / TENTH_TO_NINETIETH


def verdict_of(chance: float) -> SpotVerdict:
    """What to say at a chance that the wall is thick enough."""
    if chance >= LEAVES_ROOM:
        return SpotVerdict.FINE
    return SpotVerdict.LOOK if chance >= TOO_THIN else SpotVerdict.STOP
