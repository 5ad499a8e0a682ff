"""Strengths of the wall and densities of metals, read from the material tables."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from shellcoat.errors import WorldError
from shellcoat.forecast.figure_rows import band_of, load_table
from shellcoat.places import resources_dir
from shellcoat.shop import Band


class StrengthTableError(WorldError):
    """A table of strengths or metals that lacks a figure or its source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A casting metal: the `words` that name it, its density [kg/m3] and where that is from."""

    name: str
    words: tuple[str, ...]
    density_kg_m3: float
    source: str


@dataclass(frozen=True, slots=True)
class MetalMatch:
    """The metal a text names; `known` is False where none was named and the heaviest stands in."""

    metal: Metal
    known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthValues:
    """Flexural strength of the wall [Pa] dried and at pouring heat, and what pulling leaves of it.

    `pull_share` is a fraction of the flexural strength.
    """

    green_pa: Band
    hot_pa: Band
    pull_share: Band
    metals: tuple[Metal, ...]


def read_strength_values(strengths: Path, metals: Path) -> StrengthValues:
    """Read both tables."""
    table, rows = load_table(strengths), load_table(metals)
    try:
        return StrengthValues(
            green_pa=band_of(table["flexural_strength_mpa"]["green"], 1e6),
            hot_pa=band_of(table["flexural_strength_mpa"]["hot"], 1e6),
            pull_share=band_of(table["tensile_over_flexural"]["share"]),
            metals=tuple(_metal(row) for row in rows["metal"]),
        )
    except (KeyError, TypeError, ValueError) as cause:
        raise StrengthTableError(
            f"{strengths.name} and {metals.name}: a figure or its source is missing ({cause}). "
            "Restore the files from the installation."
        ) from cause


def _metal(row: dict[str, Any]) -> Metal:
    density = row["density_kg_m3"]
    return Metal(
        name=row["name"],
        words=tuple(row["words"]),
        density_kg_m3=float(density["value"]),
        source=density["source"],
    )


@cache
def strength_values() -> StrengthValues:
    """The tables that came with the program."""
    folder = resources_dir() / "materials"
    return read_strength_values(folder / "strength.toml", folder / "metals.toml")


def metal_of(text: str, metals: tuple[Metal, ...]) -> MetalMatch:
    """The metal that a text names; the heaviest of several, and of all where it names none.

    "Silicon bronze" is not also "bronze"; "aluminium bronze" names two, and the heavier counts.
    """
    found = {
        word: metal for metal in metals for word in metal.words if _names(word, text.casefold())
    }
    exact = [
        metal
        for word, metal in found.items()
        if not any(word != other and _names(word, other.casefold()) for other in found)
    ]
    heaviest = max(exact or metals, key=lambda metal: metal.density_kg_m3)
    return MetalMatch(heaviest, known=bool(exact))


def _names(word: str, text: str) -> bool:
    return re.search(rf"\b{re.escape(word.casefold())}\b", text) is not None
