"""What the review assumes and holds figures to, read from the material tables."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from shellcoat.errors import WorldError
from shellcoat.forecast.figure_rows import band_of, figure_of, load_table
from shellcoat.places import resources_dir
from shellcoat.shop import Band


class ReviewTableError(WorldError):
    """A table of the review that lacks a figure or its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewValues:
    """Starting values of the review.

    `wax_expansion_per_k` [1/K], `wax_density_kg_m3` [kg/m3]; of the fired wall
    `conductivity_w_mk` [W/mK], `density_kg_m3` [kg/m3], `heat_capacity_j_kgk` [J/kgK]; of the
    furnace `furnace_c` [°C] and `emissivity` [-]; `to_go` [-] of the way when heated through;
    `change_per_day` [-] of its mass that a dry shell may change, `stop_at_times` that when losing
    it is plain, `least_apart_s` [s] between weighings; `extra_share` [-] of metal for cup and
    runners; `prime_swing_k` [K] over a prime coat.
    """

    wax_expansion_per_k: Band
    wax_density_kg_m3: Band
    conductivity_w_mk: Band
    density_kg_m3: Band
    heat_capacity_j_kgk: Band
    furnace_c: Band
    emissivity: Band
    to_go: float
    change_per_day: float
    stop_at_times: float
    least_apart_s: float
    extra_share: float
    prime_swing_k: float


@dataclass(frozen=True, slots=True)
class MeltingRange:
    """Where an alloy begins and ends to melt [°C]."""

    alloy: str
    solidus_c: float
    liquidus_c: float


def read_review_values(path: Path) -> ReviewValues:
    """Read the table."""
    table = load_table(path)
    try:
        wax, wall, furnace, mass = (
            table["wax"],
            table["wall"],
            table["furnace"],
            table["constant_mass"],
        )
        return ReviewValues(
            wax_expansion_per_k=band_of(wax["expansion_per_k"]),
            wax_density_kg_m3=band_of(wax["density_kg_m3"]),
            conductivity_w_mk=band_of(wall["conductivity_w_mk"]),
            density_kg_m3=band_of(wall["density_kg_m3"]),
            heat_capacity_j_kgk=band_of(wall["heat_capacity_j_kgk"]),
            furnace_c=band_of(furnace["temperature_c"]),
            emissivity=band_of(furnace["emissivity"]),
            to_go=figure_of(table["heated_through"]["to_go"]),
            change_per_day=figure_of(mass["change_per_day"]),
            stop_at_times=figure_of(mass["stop_at_times"]),
            least_apart_s=3600.0 * figure_of(mass["least_hours"]),
            extra_share=figure_of(table["metal"]["extra_share"]),
            prime_swing_k=figure_of(table["prime_coat"]["swing_k"]),
        )
    except (KeyError, TypeError, ValueError) as cause:
        raise ReviewTableError(
            f"{path.name}: a figure or its source is missing ({cause}). "
            "Restore the file from the installation."
        ) from cause


@cache
def review_values() -> ReviewValues:
    """The table that came with the program."""
    return read_review_values(resources_dir() / "materials" / "review.toml")


def read_melting_ranges(path: Path) -> tuple[MeltingRange, ...]:
    """Every alloy of the table whose melting range is known."""
    lines = path.read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return tuple(
        MeltingRange(row["material"], float(row["solidus_c"]), float(row["liquidus_c"]))
        for row in rows
        if row["solidus_c"]
    )


@cache
def melting_ranges() -> tuple[MeltingRange, ...]:
    """The table that came with the program."""
    return read_melting_ranges(resources_dir() / "materials" / "alloys_and_waxes.csv")


def melts_between(metal: str) -> tuple[float, float] | None:
    """The widest melting range [°C] of the alloys of this metal; None where none is known."""
    named = [row for row in melting_ranges() if row.alloy.casefold().startswith(metal.casefold())]
    if not named:
        return None
    return min(row.solidus_c for row in named), max(row.liquidus_c for row in named)
