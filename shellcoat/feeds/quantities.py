"""Columns of numbers: text to floats at speed, and to degrees Celsius and fractions."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

import numpy as np
import numpy.typing as npt

from shellcoat.feeds.cells import number_in
from shellcoat.feeds.columns import HumidityUnit, TempUnit

ICE_POINT_K = 273.15  # [K] 0 °C, by definition of the degree Celsius (SI Brochure, 9th edition)

Floats = npt.NDArray[np.float64]


def numbers(texts: Sequence[str], decimal_mark: str) -> Floats:
    """Numbers of a column; NaN where a cell holds none."""
    joined = "\n".join(texts)
    cells = joined.replace(",", ".").split("\n") if decimal_mark == "," else texts
    # float() takes "1_000" and other scripts' figures, which no logger means; and a cell with a
    # line end in it would shift the rows behind it.
    if joined.isascii() and "_" not in joined and len(cells) == len(texts):
        with suppress(ValueError):
            found = np.fromiter(map(float, cells), np.float64, len(cells))
            return np.where(np.isfinite(found), found, np.nan)
    return np.array([_number(text, decimal_mark) for text in texts])


def _number(text: str, decimal_mark: str) -> float:
    found = number_in(text)
    if found is None or (decimal_mark == "." and "," in found):
        return np.nan
    value = float(found.replace(",", "."))
    return value if np.isfinite(value) else np.nan


def temperatures(texts: Sequence[str], decimal_mark: str, unit: TempUnit) -> Floats:
    """Temperatures [°C] of a column."""
    found = numbers(texts, decimal_mark)
    if unit is TempUnit.FAHRENHEIT:
        return (found - 32.0) / 1.8
    return found - ICE_POINT_K if unit is TempUnit.KELVIN else found


def humidities(texts: Sequence[str], decimal_mark: str, unit: HumidityUnit) -> Floats:
    """Relative humidities of a column as fractions."""
    found = numbers(texts, decimal_mark)
    return found / 100.0 if unit is HumidityUnit.PERCENT else found
