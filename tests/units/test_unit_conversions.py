"""Every conversion, against pint and against the published factors."""

from __future__ import annotations

import subprocess
import sys

import pytest

from shellcoat.units import Quantity, read_quantity
from shellcoat.units.displays import DISPLAY_UNITS, DisplayUnit
from shellcoat.units.quantities import KINDS, Measure
from shellcoat.units.registry import registry
from shellcoat.units.words import LADDERS, SPELLINGS, find_unit

ROWS = [(quantity, row) for quantity, rows in DISPLAY_UNITS.items() for row in rows]
UNITS = [(measure, unit) for measure, units in SPELLINGS.items() for unit in units]

# Measure, with the humidity's per cent beside it, to a quantity stored in that measure.
STORED = {kind.measure: kind.stored for kind in KINDS.values() if kind.stored != "kelvin"}

# A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units (SI), NIST
# Special Publication 811, Gaithersburg, 2008, Appendix B.8: factors with all their digits.
NIST_EXACT = [
    ("1 in", Quantity.THICKNESS, 2.54e-2),
    ("1 thou", Quantity.THICKNESS, 2.54e-5),  # there "mil (0.001 in)"
    ("1 ft", Quantity.LENGTH, 3.048e-1),
    ("1 yd", Quantity.LENGTH, 9.144e-1),
    ("1 lb", Quantity.MASS, 4.5359237e-1),
    ("1 sq in", Quantity.AREA, 6.4516e-4),
    ("1 ft²", Quantity.AREA, 9.290304e-2),
    ("1 ft/min", Quantity.SPEED, 5.08e-3),
    ("1 mph", Quantity.SPEED, 4.4704e-1),
    ("1 bar", Quantity.PRESSURE, 1e5),
    ("1 d", Quantity.TIME, 8.64e4),
    ("1 cP", Quantity.VISCOSITY, 1e-3),  # there "centipoise (cP)"
    ("1 P", Quantity.VISCOSITY, 1e-1),  # there "poise (P)"
    # t/°C = (t/°F - 32)/1.8 and t/°C = T/K - 273.15
    ("32 °F", Quantity.TEMPERATURE, 0.0),
    ("212 °F", Quantity.TEMPERATURE, 100.0),
    ("-40 F", Quantity.TEMPERATURE, -40.0),
    ("273.15 K", Quantity.TEMPERATURE, 0.0),
    ("1.8 °F", Quantity.TEMPERATURE_DIFFERENCE, 1.0),
    # NIST Handbook 44, Appendix C, General Tables of Units of Measurement: the US gallon is
    # 231 cubic inches.
    ("1 gal", Quantity.VOLUME, 3.785411784e-3),
    ("1 gal", Quantity.VOLUME, 231 * 0.0254**3),
]

# The same Appendix B.8: factors rounded to seven digits.
NIST_ROUNDED = [
    ("1 oz", Quantity.MASS, "2.834952E-02"),
    ("1 gal", Quantity.VOLUME, "3.785412E-03"),
    ("1 qt", Quantity.VOLUME, "9.463529E-04"),
    ("1 pt", Quantity.VOLUME, "4.731765E-04"),
    ("1 cup", Quantity.VOLUME, "2.365882E-04"),
    ("1 fl oz", Quantity.VOLUME, "2.957353E-05"),
    ("1 cu ft", Quantity.VOLUME, "2.831685E-02"),
    ("1 psi", Quantity.PRESSURE, "6.894757E+03"),
    ("1 inHg", Quantity.PRESSURE, "3.386389E+03"),  # conventional
    ("1 mmHg", Quantity.PRESSURE, "1.333224E+02"),  # conventional
    ("1 oz/ft²", Quantity.MASS_PER_AREA, "3.051517E-01"),
    ("1 lb/ft²", Quantity.MASS_PER_AREA, "4.882428E+00"),
    ("1 lb/ft3", Quantity.DENSITY, "1.601846E+01"),
    ("1 lb/gal", Quantity.DENSITY, "1.198264E+02"),
    ("1 cfm", Quantity.FLOW, "4.719474E-04"),
    ("1 gpm", Quantity.FLOW, "6.309020E-05"),
]


@pytest.mark.parametrize(("text", "quantity", "stored"), NIST_EXACT)
def test_exact_published_factors(text: str, quantity: Quantity, stored: float) -> None:
    value = read_quantity(text, quantity, field="Value")
    assert value == pytest.approx(stored, rel=1e-14, abs=1e-12)


@pytest.mark.parametrize(("text", "quantity", "printed"), NIST_ROUNDED)
def test_published_factors_to_every_digit_printed(
    text: str, quantity: Quantity, printed: str
) -> None:
    assert f"{read_quantity(text, quantity, field='Value'):.6E}" == printed


@pytest.mark.parametrize(("quantity", "row"), ROWS)
@pytest.mark.parametrize("shown", [-40.0, 0.0, 1.0, 98.6])
def test_every_display_unit_agrees_with_pint(
    quantity: Quantity, row: DisplayUnit, shown: float
) -> None:
    stored = registry().Quantity(shown, row.unit).m_as(KINDS[quantity].stored)
    assert row.stored(shown) == pytest.approx(stored, rel=1e-12, abs=1e-12)
    assert row.shown(stored) == pytest.approx(shown, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(("quantity", "row"), ROWS)
def test_every_display_symbol_is_read_as_its_own_unit(quantity: Quantity, row: DisplayUnit) -> None:
    typed = find_unit(row.symbol, KINDS[quantity].measure)
    assert typed is not None
    assert row.unit.removeprefix("delta_") == typed.unit


@pytest.mark.parametrize(("measure", "unit"), UNITS)
def test_every_typed_unit_measures_what_its_table_says(measure: Measure, unit: str) -> None:
    pint = registry()
    assert pint.Unit(unit).dimensionality == pint.Unit(STORED[measure]).dimensionality


@pytest.mark.parametrize("measure", list(Measure))
def test_no_spelling_stands_for_two_units(measure: Measure) -> None:
    for unit, spellings in SPELLINGS[measure].items():
        for word in spellings.split():
            for typed in (word, word.upper(), word.lower()):
                found = find_unit(typed, measure)
                assert found is None or found.unit == unit, typed


@pytest.mark.parametrize("measure", list(LADDERS))
def test_ladders_run_from_large_to_small(measure: Measure) -> None:
    pint = registry()
    sizes = [pint.Quantity(1.0, unit).m_as(STORED[measure]) for unit in LADDERS[measure]]
    assert sizes == sorted(sizes, reverse=True)


def test_writing_and_common_reading_do_not_load_pint() -> None:
    program = (
        "import sys\n"
        "from shellcoat.units import *\n"
        "us = UnitPreferences(UnitSystem.US)\n"
        "write_quantity(0.001, Quantity.THICKNESS, us)\n"
        "read_quantity('3/8 in', Quantity.THICKNESS, field='Wall')\n"
        "read_quantity('72', Quantity.TEMPERATURE, field='Air', unit='°F')\n"
        "sys.exit('pint' in sys.modules)\n"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
