"""The starting values of the forecast, read from the material table with their sources."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from math import hypot, sqrt
from pathlib import Path
from typing import Any

from shellcoat.errors import WorldError
from shellcoat.forecast.air_ahead import AheadValues
from shellcoat.forecast.factors import FactorSpreads
from shellcoat.physics.bridging import bridging_gap
from shellcoat.physics.constants import WATER_DENSITY_KG_M3
from shellcoat.places import resources_dir
from shellcoat.shop import AirMovement


class StartingValuesError(WorldError):
    """The table of starting values is missing a figure or its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreValues:
    """What is assumed of every core until its own checks say better.

    `spreads` those of the vent factor and the crust's, `wall_heat_w_m2k` [W/m2K] heat through wax
    and shell, `bridging_gap_m` [m] the width at which slurry or stucco closes an opening.
    """

    spreads: FactorSpreads
    wall_heat_w_m2k: float
    bridging_gap_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckValues:
    """What a check is worth.

    `touch`, `touch_habit` and `touch_again` standard deviations of ln time: of one coat, of all
    coats of a shop alike, of one touch; `stray_share` of checks that say nothing, `infrared_k`
    and `infrared_room_k` [K] with the air read by the same instrument or in the room's log,
    `area` and `coat_water` standard deviations of ln wetted area and ln water, `scale_share` of
    the mass on the scale, `age_s` [s] after which a check no longer counts.
    """

    touch: float
    touch_habit: float
    touch_again: float
    stray_share: float
    infrared_k: float
    infrared_room_k: float
    area: float
    coat_water: float
    scale_share: float
    age_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StartingValues:
    """What the forecast assumes until the shop's own checks say better.

    Shares and factors are fractions, `air_speed_m_s` [m/s], `reading_age_s` [s];
    `pore_water_density` [kg/m3] the water a wall takes up per volume, `crust_share` [-] vapour
    diffusivity of the dry crust over that of free air, `spreads` those of the air film's factor and
    the crust's.
    """

    critical_share: float
    pore_water_density: float
    crust_share: float
    air_speed_m_s: dict[AirMovement, float]
    spreads: FactorSpreads
    ahead: AheadValues
    loss_on_wet: float
    reading_age_s: float
    fast_air_m_s: float
    shared_error: float
    core: CoreValues
    checks: CheckValues


_CHECK_FIGURES = (
    "touch",
    "touch_habit",
    "touch_again",
    "stray_share",
    "infrared_k",
    "infrared_room_k",
    "area",
    "scale_share",
)


def _figure(table: dict[str, Any], section: str, key: str) -> float:
    try:
        row = table[section][key]
        row["source"]
        return float(row["value"] if "value" in row else row["likely"])
    except (KeyError, TypeError, ValueError) as cause:
        raise StartingValuesError(
            f"drying.toml: [{section}] {key} needs a value and a source. Restore the file from "
            "the installation."
        ) from cause


def read_starting_values(path: Path) -> StartingValues:
    """Read a table of starting values."""
    with path.open("rb") as file:
        table = tomllib.load(file)

    def figure(section: str, key: str) -> float:
        return _figure(table, section, key)

    porosity = figure("wall", "porosity")

    def spreads(first: float) -> FactorSpreads:
        """A coat that brings more water takes longer in both stages, as if both factors were up."""
        shared = sqrt(water**2 - repeat**2)
        crust = figure("spread_log_sd", "crust_factor")
        return FactorSpreads(hypot(first, shared), hypot(crust, shared), repeat, place)

    water, repeat = figure("spread_log_sd", "coat_water"), figure("spread_log_sd", "coat_repeat")
    place = figure("spread_log_sd", "coat_place")
    air = table["assumed_air"]["rh_percent"]
    return StartingValues(
        critical_share=figure("wall", "critical_share"),
        pore_water_density=WATER_DENSITY_KG_M3 * porosity * figure("wall", "saturation"),
        crust_share=porosity / figure("wall", "tortuosity"),
        air_speed_m_s={
            movement: figure("air_speed_m_s", movement.name.lower()) for movement in AirMovement
        },
        spreads=spreads(figure("spread_log_sd", "air_film_factor")),
        ahead=AheadValues(
            memory_s=figure("air_ahead", "memory_h") * 3600.0,
            temp_share=figure("air_ahead", "temp_share"),
            vapour_share=figure("air_ahead", "vapour_share"),
            temp_spread_k=figure("air_ahead", "temp_spread_k"),
            floor_spread=figure("air_ahead", "floor_spread"),
            # The band runs from the 10th to the 90th percentile, 2.56 standard deviations.
            assumed_spread=(float(air["high"]) - float(air["low"])) / 2.56 / float(air["likely"]),
            assumed_temp_c=figure("assumed_air", "temp_c"),
            assumed_rh=figure("assumed_air", "rh_percent") / 100.0,
        ),
        loss_on_wet=figure("early_dip", "loss_on_wet"),
        reading_age_s=figure("air_watch", "reading_age_h") * 3600.0,
        fast_air_m_s=figure("air_watch", "fast_air_m_s"),
        shared_error=figure("thickness", "shared_error"),
        core=CoreValues(
            spreads=spreads(figure("core", "vent_factor")),
            wall_heat_w_m2k=figure("core", "wall_heat_w_m2k"),
            bridging_gap_m=float(
                bridging_gap(
                    figure("core", "surface_tension_n_m"),
                    figure("core", "slurry_density_kg_m3"),
                    figure("core", "stucco_grain_m"),
                )
            ),
        ),
        checks=CheckValues(
            **{name: figure("learning", name) for name in _CHECK_FIGURES},
            coat_water=water,
            age_s=figure("learning", "age_days") * 86400.0,
        ),
    )


@cache
def starting_values() -> StartingValues:
    """The starting values that came with the program."""
    return read_starting_values(resources_dir() / "materials" / "drying.toml")
