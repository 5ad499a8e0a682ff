"""What people type, and the value it stands for (worked by hand beside each row)."""

from __future__ import annotations

import pytest

from shellcoat.units import Quantity, read_quantity

Q = Quantity
INCH_M = 0.0254
NBSP = "\u00a0"

WITH_UNIT = [
    # decimals, both marks
    ("0.9 mm", Q.THICKNESS, 0.0009),
    ("0,9 mm", Q.THICKNESS, 0.0009),
    ("0.9mm", Q.THICKNESS, 0.0009),
    (",9mm", Q.THICKNESS, 0.0009),
    (".9 MM", Q.THICKNESS, 0.0009),
    ("  0.9   mm  ", Q.THICKNESS, 0.0009),
    (f"0.9{NBSP}mm", Q.THICKNESS, 0.0009),
    ("0.9\u202fmm", Q.THICKNESS, 0.0009),
    ("0.9\tmm", Q.THICKNESS, 0.0009),
    ("+0.9 mm", Q.THICKNESS, 0.0009),
    ("0,125 in", Q.THICKNESS, 0.125 * INCH_M),  # a group never begins with nought
    ("12345,678 mm", Q.LENGTH, 12.345678),  # nor is a group longer than three digits
    ("1.234 mm", Q.THICKNESS, 0.001234),
    ("0.8 cm", Q.THICKNESS, 0.008),
    ("900 µm", Q.THICKNESS, 0.0009),
    ("900 μm", Q.THICKNESS, 0.0009),  # Greek mu instead of the micro sign
    ("35 thou", Q.THICKNESS, 0.000889),
    # fractions of an inch
    ("3/8 in", Q.THICKNESS, 0.009525),
    ("3/8in.", Q.THICKNESS, 0.009525),
    ("3⁄8 in", Q.THICKNESS, 0.009525),
    ('3/8"', Q.THICKNESS, 0.009525),
    ("3 / 8 inch", Q.THICKNESS, 0.009525),
    ("1 3/8 in", Q.THICKNESS, 0.034925),
    ('1-3/8"', Q.THICKNESS, 0.034925),
    ("1\u20113/8 in", Q.THICKNESS, 0.034925),
    ("1⅜ in", Q.THICKNESS, 0.034925),
    ("1-⅜ in", Q.THICKNESS, 0.034925),
    ("1 ⅜″", Q.THICKNESS, 0.034925),
    ("½ inches", Q.THICKNESS, 0.0127),
    ("9/8 in", Q.THICKNESS, 0.028575),
    # feet and inches
    ("5'6\"", Q.LENGTH, 1.6764),
    ("5'6", Q.LENGTH, 1.6764),
    ("5’ 6”", Q.LENGTH, 1.6764),
    ("5 ft 6 in", Q.LENGTH, 1.6764),
    ("5ft6", Q.LENGTH, 1.6764),
    ("5ft3in", Q.LENGTH, 1.6002),  # not 5 ft³
    ("5'-6 1/2\"", Q.LENGTH, 1.6891),
    ("5'6½\"", Q.LENGTH, 1.6891),
    ("5'6.5\"", Q.LENGTH, 1.6891),
    ("6'", Q.LENGTH, 1.8288),
    ("1150 ft", Q.HEIGHT, 350.52),
    # temperatures, and differences of them
    ("72F", Q.TEMPERATURE, 200 / 9),
    ("72 °F", Q.TEMPERATURE, 200 / 9),
    # how a slurry flows, and what is left of it on a plate
    ("350 mPa s", Q.VISCOSITY, 0.35),
    ("350 mPa·s", Q.VISCOSITY, 0.35),
    ("350 cP", Q.VISCOSITY, 0.35),
    ("350 cps", Q.VISCOSITY, 0.35),
    ("0,35 Pa s", Q.VISCOSITY, 0.35),
    ("3.5 P", Q.VISCOSITY, 0.35),
    ("5 cm/s", Q.SPEED, 0.05),
    ("12.5 g", Q.SMALL_MASS, 0.0125),
    ("4 Pa", Q.YIELD_STRESS, 4.0),
    ("1 min 30 s", Q.SHORT_TIME, 90.0),
    ("72 ° f", Q.TEMPERATURE, 200 / 9),
    ("72 deg F", Q.TEMPERATURE, 200 / 9),
    ("72 ℉", Q.TEMPERATURE, 200 / 9),
    ("22,5 ºC", Q.TEMPERATURE, 22.5),
    ("−3 °C", Q.TEMPERATURE, -3.0),
    ("-3C", Q.TEMPERATURE, -3.0),
    ("- 3 °C", Q.TEMPERATURE, -3.0),
    ("-4 °F", Q.TEMPERATURE, -20.0),
    ("295.15 K", Q.TEMPERATURE, 22.0),
    ("3 F", Q.TEMPERATURE_DIFFERENCE, 5 / 3),
    ("-9 °F", Q.TEMPERATURE_DIFFERENCE, -5.0),
    ("2 °C", Q.TEMPERATURE_DIFFERENCE, 2.0),
    ("2 K", Q.TEMPERATURE_DIFFERENCE, 2.0),
    # humidity
    ("55 %", Q.HUMIDITY, 0.55),
    ("55%", Q.HUMIDITY, 0.55),
    ("55 % RH", Q.HUMIDITY, 0.55),
    ("55 pct", Q.HUMIDITY, 0.55),
    ("55", Q.HUMIDITY, 0.55),
    ("55,5", Q.HUMIDITY, 0.555),
    ("0.55", Q.HUMIDITY, 0.55),
    ("0,55", Q.HUMIDITY, 0.55),
    ("0", Q.HUMIDITY, 0.0),
    ("1 %", Q.HUMIDITY, 0.01),
    ("0.5 %", Q.HUMIDITY, 0.005),
    ("1.5", Q.HUMIDITY, 0.015),
    # mass, area, volume, density
    ("1.5 lb", Q.MASS, 0.680388555),
    ("2 lbs", Q.MASS, 0.90718474),
    ("3 lb 8 oz", Q.MASS, 1.587573295),  # 3.5 lb
    ("3lb8", Q.MASS, 1.587573295),
    ("800 g", Q.MASS, 0.8),
    ("1,5 Kg", Q.MASS, 1.5),
    ("900 gsm", Q.MASS_PER_AREA, 0.9),
    ("1.2 kg/m^2", Q.MASS_PER_AREA, 1.2),
    ("1.2 kg / m²", Q.MASS_PER_AREA, 1.2),
    ("450 cm2", Q.AREA, 0.045),
    ("10 sq. in.", Q.AREA, 0.0064516),
    ("5 gal", Q.VOLUME, 0.01892705892),
    ("1 gal 2 qt", Q.VOLUME, 0.005678117676),  # 1.5 gal
    ("20 l", Q.VOLUME, 0.02),
    ("750 ml", Q.VOLUME, 0.00075),
    ("750 cc", Q.VOLUME, 0.00075),
    ("1.65 g/cc", Q.DENSITY, 1650.0),
    ("1,65 kg/L", Q.DENSITY, 1650.0),
    # air and pressure
    ("300 fpm", Q.SPEED, 1.524),
    ("3.6 km/h", Q.SPEED, 1.0),
    ("60 L/min", Q.FLOW, 0.001),
    ("3600 m3/h", Q.FLOW, 1.0),
    ("1013 hPa", Q.PRESSURE, 101300.0),
    ("101,3 kPa", Q.PRESSURE, 101300.0),
    ("101.3 KPA", Q.PRESSURE, 101300.0),
    ("2 MPa", Q.PRESSURE, 2e6),
    # time
    ("2 h 30 min", Q.TIME, 9000.0),
    ("2h30", Q.TIME, 9000.0),
    ("2h30m", Q.TIME, 9000.0),
    ("2 hrs. 30 mins.", Q.TIME, 9000.0),
    ("2:30", Q.TIME, 9000.0),
    ("2:30:15", Q.TIME, 9015.0),
    ("26:05", Q.TIME, 93900.0),
    ("90 min", Q.TIME, 5400.0),
    ("2.5 h", Q.TIME, 9000.0),
    ("2½ h", Q.TIME, 9000.0),
    ("1 d 4 h", Q.TIME, 100800.0),
    ("1 d 30 s", Q.TIME, 86430.0),
    ("−3 h 40 min", Q.TIME, -13200.0),
]

BARE = [
    ("22", Q.TEMPERATURE, "°C", 22.0),
    ("72", Q.TEMPERATURE, "°F", 200 / 9),
    ("72°", Q.TEMPERATURE, "°F", 200 / 9),
    ("22 deg", Q.TEMPERATURE, "°C", 22.0),
    ("-4", Q.TEMPERATURE, "°F", -20.0),
    ("9", Q.TEMPERATURE_DIFFERENCE, "°F", 5.0),
    ("1 3/8", Q.THICKNESS, "in", 0.034925),
    ("8", Q.THICKNESS, "mm", 0.008),
    ("3/8 in", Q.THICKNESS, "mm", 0.009525),  # the unit typed wins
    ("1,5", Q.MASS, "lb", 0.680388555),
    ("150", Q.FLOW, "ft³/min", 150 * 0.3048**3 / 60),
    ("55", Q.HUMIDITY, "%", 0.55),
    ("0.55", Q.HUMIDITY, "%", 0.55),
    ("90", Q.TIME, "min", 5400.0),
    ("2:30", Q.TIME, "h", 9000.0),
    ("2:30:00", Q.TIME, "min", 9000.0),
]

BESIDE_A_COMMA = [
    ("1,234 kg", Q.MASS, 1.234),
    ("0.9 mm", Q.THICKNESS, 0.0009),
    ("22.5 °C", Q.TEMPERATURE, 22.5),
    ("0.125 in", Q.THICKNESS, 0.125 * INCH_M),
]


@pytest.mark.parametrize(("text", "quantity", "stored"), WITH_UNIT)
def test_reads_what_people_type(text: str, quantity: Quantity, stored: float) -> None:
    value = read_quantity(text, quantity, field="Value")
    assert value == pytest.approx(stored, rel=1e-13, abs=1e-13)


@pytest.mark.parametrize(("text", "quantity", "unit", "stored"), BARE)
def test_a_bare_number_is_in_the_unit_of_the_field(
    text: str, quantity: Quantity, unit: str, stored: float
) -> None:
    value = read_quantity(text, quantity, field="Value", unit=unit)
    assert value == pytest.approx(stored, rel=1e-13)


@pytest.mark.parametrize(("text", "quantity", "stored"), BESIDE_A_COMMA)
def test_reads_both_marks_beside_a_decimal_comma(
    text: str, quantity: Quantity, stored: float
) -> None:
    value = read_quantity(text, quantity, field="Value", decimal_mark=",")
    assert value == pytest.approx(stored, rel=1e-13)


@pytest.mark.parametrize(
    ("text", "stored"), [("0.9 mm", 0.0009), ("3/8 in", 0.009525), ("0.3 mm", 0.0003)]
)
def test_stored_values_have_no_binary_hair(text: str, stored: float) -> None:
    assert read_quantity(text, Quantity.THICKNESS, field="Wall") == stored


@pytest.mark.parametrize("unit", ["kg", "furlong", ""])
def test_a_field_with_a_unit_that_does_not_fit_is_a_fault_of_the_program(unit: str) -> None:
    with pytest.raises(ValueError, match="is not a unit of thickness"):
        read_quantity("8", Quantity.THICKNESS, field="Wall", unit=unit)


def test_an_unknown_decimal_mark_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="decimal mark"):
        read_quantity("8 mm", Quantity.THICKNESS, field="Wall", decimal_mark=";")
