"""Values in the person's units, as text and as numbers."""

from __future__ import annotations

import math

import pytest

from shellcoat.units import (
    Quantity,
    UnitPreferences,
    UnitSystem,
    display_value,
    from_display,
    write_band,
    write_duration,
    write_quantity,
)

Q = Quantity
METRIC = UnitPreferences()
US = UnitPreferences(UnitSystem.US)
MIXED = UnitPreferences(UnitSystem.METRIC, {Q.TEMPERATURE: "°F", Q.MASS: "g"})
INCH_M = 0.0254
POUND_KG = 0.45359237


def plain(text: str) -> str:
    """Show no-break spaces as spaces, to compare with text typed in a test."""
    return text.replace("\u00a0", " ")


WRITTEN = [
    (0.0009, Q.THICKNESS, METRIC, "0.90 mm"),
    (0.0009, Q.THICKNESS, US, "0.035 in"),
    (0.25, Q.LENGTH, METRIC, "250 mm"),
    (9.75 * INCH_M, Q.LENGTH, US, "9.75 in"),
    (350.0, Q.HEIGHT, METRIC, "350 m"),
    (350.52, Q.HEIGHT, US, "1150 ft"),
    (22.2222, Q.TEMPERATURE, METRIC, "22.2 °C"),
    (22.2222, Q.TEMPERATURE, US, "72.0 °F"),
    (22.2222, Q.TEMPERATURE, MIXED, "72.0 °F"),
    (-3.0, Q.TEMPERATURE, METRIC, "−3.0 °C"),
    (-0.01, Q.TEMPERATURE, METRIC, "0.0 °C"),
    (-20.0, Q.TEMPERATURE, US, "−4.0 °F"),
    (5.0, Q.TEMPERATURE_DIFFERENCE, METRIC, "5.0 K"),
    (5.0, Q.TEMPERATURE_DIFFERENCE, US, "9.0 °F"),
    (0.55, Q.HUMIDITY, METRIC, "55 %"),
    (0.55, Q.HUMIDITY, US, "55 %"),
    (1.5, Q.MASS, METRIC, "1.500 kg"),
    (1.5, Q.MASS, MIXED, "1500 g"),
    (1.5 * POUND_KG, Q.MASS, US, "1.50 lb"),
    (1.2, Q.MASS_PER_AREA, METRIC, "1.20 kg/m²"),
    (0.01892705892, Q.VOLUME, US, "5.00 gal"),
    (0.02, Q.VOLUME, METRIC, "20.00 L"),
    (0.045, Q.AREA, METRIC, "450 cm²"),
    (1.524, Q.SPEED, US, "300 ft/min"),
    (0.35, Q.VISCOSITY, METRIC, "350 mPa·s"),
    (0.35, Q.VISCOSITY, US, "350 cP"),
    (0.0125, Q.SMALL_MASS, METRIC, "12.5 g"),
    (0.0283495, Q.SMALL_MASS, US, "1.00 oz"),
    (4.5, Q.YIELD_STRESS, METRIC, "4.5 Pa"),
    (30.0, Q.SHORT_TIME, US, "30 s"),
    (101325.0, Q.PRESSURE, METRIC, "101.3 kPa"),
    (101325.0, Q.PRESSURE, US, "14.70 psi"),
    (1650.0, Q.DENSITY, METRIC, "1.65 g/cm³"),
    (0.001, Q.FLOW, METRIC, "60.0 L/min"),
    (9000.0, Q.TIME, METRIC, "2.5 h"),
]

DURATIONS = [
    (0, "0 s"),
    (0.4, "0 s"),
    (-0.4, "0 s"),
    (45, "45 s"),
    (60, "1 min"),
    (90, "1 min 30 s"),
    (599.7, "10 min"),
    (1500, "25 min"),
    (1529, "25 min"),
    (3599, "1 h"),
    (13200, "3 h 40 min"),
    (86399, "1 d"),
    (86400, "1 d"),
    (187200, "2 d 4 h"),
    (2 * 86400 - 60, "2 d"),
    (-13200, "−3 h 40 min"),
]


@pytest.mark.parametrize(("value", "quantity", "preferences", "text"), WRITTEN)
def test_writes_a_value_with_its_unit(
    value: float, quantity: Quantity, preferences: UnitPreferences, text: str
) -> None:
    assert plain(write_quantity(value, quantity, preferences)) == text


def test_number_and_unit_stay_on_one_line() -> None:
    assert write_quantity(0.55, Q.HUMIDITY, METRIC) == "55\u00a0%"


def test_decimals_and_their_mark_can_be_chosen() -> None:
    written = write_quantity(0.00123, Q.THICKNESS, METRIC, decimals=1, decimal_mark=",")
    assert plain(written) == "1,2 mm"


@pytest.mark.parametrize(
    ("low", "high", "quantity", "decimals", "text"),
    [
        (0.0008, 0.0015, Q.THICKNESS, 1, "0.8–1.5 mm"),
        (0.0008, 0.0015, Q.THICKNESS, None, "0.80–1.50 mm"),
        (0.0008, 0.00081, Q.THICKNESS, 1, "0.8 mm"),
        (0.4, 0.6, Q.HUMIDITY, None, "40–60 %"),
        (-3.0, 2.0, Q.TEMPERATURE, 0, "−3 – 2 °C"),
        (-5.0, -3.0, Q.TEMPERATURE, 0, "−5 – −3 °C"),
    ],
)
def test_writes_a_band(
    low: float, high: float, quantity: Quantity, decimals: int | None, text: str
) -> None:
    assert plain(write_band(low, high, quantity, METRIC, decimals=decimals)) == text


def test_a_band_uses_the_decimal_mark() -> None:
    band = write_band(0.0008, 0.0015, Q.THICKNESS, METRIC, decimals=1, decimal_mark=",")
    assert plain(band) == "0,8–1,5 mm"


@pytest.mark.parametrize(("seconds", "text"), DURATIONS)
def test_writes_a_duration(seconds: float, text: str) -> None:
    assert plain(write_duration(seconds)) == text


@pytest.mark.parametrize(
    ("value", "quantity", "shown"),
    [
        (0.0254, Q.THICKNESS, 1.0),
        (100.0, Q.TEMPERATURE, 212.0),
        (10.0, Q.TEMPERATURE_DIFFERENCE, 18.0),
        (0.55, Q.HUMIDITY, 55.0),
        (POUND_KG, Q.MASS, 1.0),
    ],
)
def test_converts_for_plots_and_back_for_spin_boxes(
    value: float, quantity: Quantity, shown: float
) -> None:
    assert display_value(value, quantity, US) == pytest.approx(shown, rel=1e-12)
    assert from_display(shown, quantity, US) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_a_number_is_never_shown_as_one(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        write_quantity(value, Q.MASS, METRIC)
    with pytest.raises(ValueError, match="cannot be written"):
        write_duration(value)


def test_a_band_that_runs_downwards_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="upwards"):
        write_band(2.0, 1.0, Q.MASS, METRIC)


def test_an_unknown_decimal_mark_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="decimal mark"):
        write_quantity(1.0, Q.MASS, METRIC, decimal_mark="·")
