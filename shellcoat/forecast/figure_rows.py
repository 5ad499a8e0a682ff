"""Rows of the material tables: a figure or a band, each beside its source."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from shellcoat.shop import Band


def load_table(path: Path) -> dict[str, Any]:
    """Read a table of the resources."""
    with path.open("rb") as file:
        return tomllib.load(file)


def figure_of(row: dict[str, Any]) -> float:
    """The one value of a row; a row without its source is a KeyError like one without a value."""
    row["source"]
    return float(row["value"])


def band_of(row: dict[str, Any], unit: float = 1.0) -> Band:
    """Low, likely and high of a row, times the unit they are written in."""
    row["source"]
    return Band(*(float(row[name]) * unit for name in ("low", "likely", "high")))
