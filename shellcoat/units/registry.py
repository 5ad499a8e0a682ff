"""The one pint registry, made on first use: importing pint costs about 190 ms."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry


@cache
def registry() -> UnitRegistry[float]:
    """Return the registry, loading pint the first time."""
    import pint

    return pint.UnitRegistry()


def convert(number: float, unit: str, into: str) -> float:
    """Convert a number between two registry units of the same measure."""
    return float(registry().Quantity(number, unit).m_as(into))
