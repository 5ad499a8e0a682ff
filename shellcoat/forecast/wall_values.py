"""What is assumed of walls, slurries and stuccos until the shop's own tests say better."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from shellcoat.errors import WorldError
from shellcoat.forecast.figure_rows import band_of, figure_of, load_table
from shellcoat.places import resources_dir
from shellcoat.shop import Band, WallPlace


class WallTableError(WorldError):
    """A table of walls or sieves that lacks a figure or its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A material of slurry or stucco: the `words` that name it, and its densities [kg/m3].

    `bulk` of a dry wall, `grain` of a stucco's grain, `solids` of flour and dry binder,
    `slurry_kg_m3` usual in the tank; `water` [-] usual in the slurry by mass.
    """

    name: str
    words: tuple[str, ...]
    bulk: Band
    grain: Band
    solids_kg_m3: float
    slurry_kg_m3: float
    water: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSpreads:
    """How far each kind of evidence may be out, as the standard deviation of the logarithm [-].

    The `common` ones stay however often a slurry is tested; `slurry_drift` is per root of a
    month.
    """

    plate_test: float
    plate_common: float
    rheology_test: float
    rheology_common: float
    slurry_drift: float
    water_measured: float
    water_by_density: float
    grain: float
    caliper: float
    shell_area: float
    scale: float
    wax_mass: float
    bulk_density: float
    shell_build: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StrayValues:
    """How many readings and shells have nothing to do with the rest, and how far off they are.

    Shares [-] and standard deviations of the logarithm [-].
    """

    reading_share: float
    reading_spread: float
    shell_share: float
    shell_spread: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WallValues:
    """The table: materials, film, stucco, spreads, places, strays.

    `surface_tension_n_m` [N/m], `wall_height_m` [m] of the usual piece, `seal_share` [-]
    of the usual film on a seal coat, `coverage` [-] of stucco, `place` [-] what
    edges and corners have of the flats.
    """

    materials: tuple[Material, ...]
    surface_tension_n_m: float
    wall_height_m: float
    seal_share: Band
    coverage: Band
    place: Mapping[WallPlace, Band]
    spread: WallSpreads
    stray: StrayValues

    def material(self, name: str) -> Material:
        """The material that a slurry's or a stucco's name tells; the last row where none does."""
        text = name.casefold()
        named = (row for row in self.materials if any(_says(text, word) for word in row.words))
        return next(named, self.materials[-1])


def _says(text: str, word: str) -> bool:
    return re.search(rf"\b{re.escape(word)}\b", text) is not None


def read_wall_values(walls: Path, drying: Path) -> WallValues:
    """Read the table of walls; the surface tension stands in that of drying."""
    table, wet = load_table(walls), load_table(drying)
    try:
        spreads = {key: figure_of(row) for key, row in table["spread"].items()}
        return WallValues(
            materials=tuple(_material(row) for row in table["material"]),
            surface_tension_n_m=figure_of(wet["core"]["surface_tension_n_m"]),
            wall_height_m=figure_of(table["film"]["wall_height_m"]),
            seal_share=band_of(table["film"]["seal_share"]),
            coverage=band_of(table["stucco"]["coverage"]),
            place={
                WallPlace.EDGE: band_of(table["place"]["edge"]),
                WallPlace.CORNER: band_of(table["place"]["corner"]),
            },
            spread=WallSpreads(**spreads, grain=figure_of(table["stucco"]["grain_spread"])),
            stray=StrayValues(**{key: figure_of(row) for key, row in table["stray"].items()}),
        )
    except (KeyError, TypeError, ValueError) as cause:
        raise WallTableError(
            f"{walls.name}: a figure or its source is missing ({cause}). Restore the file from "
            "the installation."
        ) from cause


def _material(row: dict[str, Any]) -> Material:
    return Material(
        name=row["name"],
        words=tuple(row["words"]),
        bulk=band_of(row["bulk"]),
        grain=band_of(row["grain"]),
        solids_kg_m3=figure_of(row["solids"]),
        slurry_kg_m3=figure_of(row["slurry"]),
        water=band_of(row["water"]),
    )


@cache
def wall_values() -> WallValues:
    """The table that came with the program."""
    folder = resources_dir() / "materials"
    return read_wall_values(folder / "wall.toml", folder / "drying.toml")
