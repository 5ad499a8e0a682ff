"""Properties over all quantities, units and texts."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.units import (
    Quantity,
    UnitPreferences,
    UnreadableQuantityError,
    from_display,
    read_quantity,
    write_duration,
    write_quantity,
)
from shellcoat.units.displays import DISPLAY_UNITS
from shellcoat.units.registry import registry
from shellcoat.units.words import SPELLINGS

CHOICES = [(quantity, row.symbol) for quantity, rows in DISPLAY_UNITS.items() for row in rows]
MARKS = [".", ","]
PIECES = [
    *"0123456789.,/-+ '\"%°²³:_eE½⅜−–\u00a0５٣",
    "inf",
    "nan",
    "1e999",
    "1,234",
    *(word for units in SPELLINGS.values() for text in units.values() for word in text.split()),
]


@pytest.fixture(scope="module", autouse=True)
def _loaded_registry() -> None:
    """Load pint first, so that no single example is timed with it."""
    registry()


quantities = st.sampled_from(list(Quantity))
marks = st.sampled_from(MARKS)
near_texts = st.lists(st.sampled_from(PIECES), max_size=14).map("".join)


@given(
    choice=st.sampled_from(CHOICES),
    shown=st.floats(-1e6, 1e6),
    decimals=st.none() | st.integers(0, 6),
    mark=marks,
)
def test_what_was_written_is_read_back(
    choice: tuple[Quantity, str], shown: float, decimals: int | None, mark: str
) -> None:
    quantity, symbol = choice
    preferences = UnitPreferences(chosen={quantity: symbol})
    value = from_display(shown, quantity, preferences)
    text = write_quantity(value, quantity, preferences, decimals=decimals, decimal_mark=mark)
    read = read_quantity(text, quantity, field="Value", decimal_mark=mark)
    row = next(row for row in DISPLAY_UNITS[quantity] if row.symbol == symbol)
    half_a_digit = 0.5 * 10.0 ** -(row.decimals if decimals is None else decimals)
    assert abs(row.shown(read) - shown) <= half_a_digit * (1 + 1e-6) + 1e-9 * abs(shown)


@given(seconds=st.floats(-1e7, 1e7))
def test_a_written_duration_is_read_back(seconds: float) -> None:
    span = abs(seconds)
    rounding = 0.5 if span < 600 else 30 if span < 86400 - 30 else 1800
    read = read_quantity(write_duration(seconds), Quantity.TIME, field="Span")
    assert read == pytest.approx(seconds, abs=rounding + 1e-6)


@given(
    text=st.text(max_size=70) | near_texts,
    quantity=quantities,
    mark=marks,
    bare=st.booleans(),
)
@example(text="9" * 60, quantity=Quantity.LENGTH, mark=".", bare=True)
@example(text="1" * 29 + "/" + "9" * 29, quantity=Quantity.LENGTH, mark=".", bare=True)
@example(text="1 " * 30, quantity=Quantity.TIME, mark=".", bare=True)
@example(text="1'" * 30, quantity=Quantity.LENGTH, mark=",", bare=False)
@example(text="1 " * 100_000, quantity=Quantity.TIME, mark=".", bare=True)
def test_any_text_is_a_finite_value_or_a_mendable_error(
    text: str, quantity: Quantity, mark: str, bare: bool
) -> None:
    unit = UnitPreferences().unit_for(quantity) if bare else None
    try:
        value = read_quantity(
            text, quantity, field="Value", unit=unit, low=0.0, high=1e6, decimal_mark=mark
        )
    except (UnreadableQuantityError, ValueOutOfRangeError):
        return
    assert math.isfinite(value)
    assert 0 <= value <= 1e6


@given(
    choice=st.sampled_from(CHOICES),
    low=st.floats(1e-3, 10.0),
    width=st.floats(0.1, 1e4),
    mark=marks,
)
def test_the_limits_told_are_accepted_when_typed(
    choice: tuple[Quantity, str], low: float, width: float, mark: str
) -> None:
    quantity, symbol = choice
    high = low + width
    options = {"field": "Value", "low": low, "high": high, "decimal_mark": mark}
    with pytest.raises(ValueOutOfRangeError) as caught:
        read_quantity(f"9999999999999999 {symbol}", quantity, **options)  # type: ignore[arg-type]
    for limit in caught.value.allowed.split(" to "):
        value = read_quantity(limit, quantity, **options)  # type: ignore[arg-type]
        assert low <= value <= high


@given(whole=st.integers(0, 99), numerator=st.integers(1, 63), mark=marks)
def test_a_fraction_means_the_same_in_every_spelling(whole: int, numerator: int, mark: str) -> None:
    decimal = f"{whole + numerator / 64:.6f}".replace(".", mark)
    spellings = [f"{whole} {numerator}/64 in", f'{whole}-{numerator}/64"', f"{decimal} in"]
    values = {
        read_quantity(text, Quantity.LENGTH, field="Width", decimal_mark=mark) for text in spellings
    }
    assert len(values) == 1


@given(grouped=st.integers(1000, 10**9), group_mark=st.sampled_from([",", " ", "'"]))
def test_group_separators_are_never_guessed_at(grouped: int, group_mark: str) -> None:
    text = f"{grouped:,}".replace(",", group_mark)
    with pytest.raises(UnreadableQuantityError) as caught:
        read_quantity(f"{text} g", Quantity.MASS, field="Shell")
    assert re.search(rf"\b{grouped} g", str(caught.value))
