"""What is not read, and whether the message lets a person put it right."""

from __future__ import annotations

import pytest

from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.units import (
    AmbiguousNumberError,
    Quantity,
    UnreadableQuantityError,
    WrongQuantityError,
    read_quantity,
)

Q = Quantity

AMBIGUOUS = [
    ("1,234.5 mm", Q.LENGTH, ("1234.5 mm",)),
    ("1.234,5 mm", Q.LENGTH, ("1234.5 mm",)),
    ("1 234,5 mm", Q.LENGTH, ("1234.5 mm",)),
    ("1\u00a0234,5 mm", Q.LENGTH, ("1234.5 mm",)),
    ("1'234.5 mm", Q.LENGTH, ("1234.5 mm",)),
    ("1’234 mm", Q.LENGTH, ("1234 mm",)),
    ("1 234 mm", Q.LENGTH, ("1234 mm",)),
    ("1,234,567 mm", Q.LENGTH, ("1234567 mm",)),
    ("1,234 mm", Q.LENGTH, ("1.234 mm", "1234 mm")),
    ("-12,345 °C", Q.TEMPERATURE, ("-12.345 °C", "-12345 °C")),
    ("8 mil", Q.THICKNESS, ("8 thou", "8 mm")),
    ("1", Q.HUMIDITY, ("1 %", "100 %")),
    ("1.0", Q.HUMIDITY, ("1 %", "100 %")),
]

UNREADABLE = [
    ("", Q.MASS, "is empty"),
    ("  \u00a0 ", Q.MASS, "is empty"),
    ("1" * 61, Q.MASS, "is too long"),
    ("kg", Q.MASS, "does not begin with a number"),
    ("abc", Q.MASS, "does not begin with a number"),
    ("inf", Q.MASS, "does not begin with a number"),
    ("-inf kg", Q.MASS, "does not begin with a number"),
    ("nan", Q.MASS, "does not begin with a number"),
    ("NaN kg", Q.MASS, "does not begin with a number"),
    ("--3 kg", Q.MASS, "does not begin with a number"),
    ("５ kg", Q.MASS, "does not begin with a number"),  # full-width five
    ("٥ kg", Q.MASS, "does not begin with a number"),  # Arabic-Indic five
    ("² kg", Q.MASS, "does not begin with a number"),
    ("1５ kg", Q.MASS, "is not one number with one unit"),
    ("1_000 kg", Q.MASS, "is not one number with one unit"),
    ("1e999 kg", Q.MASS, "has a power of ten"),
    ("1e-3 kg", Q.MASS, "has a power of ten"),
    ("1E5", Q.MASS, "has a power of ten"),
    ("3", Q.MASS, "has no unit"),
    ("22°", Q.TEMPERATURE, "unknown unit"),  # no field unit to take the scale from
    ("22. kg", Q.MASS, "is not one number"),
    ("22, kg", Q.MASS, "is not one number"),
    (". kg", Q.MASS, "is not one number"),
    ("1..5 kg", Q.MASS, "is not one number"),
    ("1 5 kg", Q.MASS, "is not one number"),
    ("1.2.2024 kg", Q.MASS, "is not one number"),
    ("3-4 mm", Q.THICKNESS, "is not one number"),
    ("0.8–1.5 mm", Q.THICKNESS, "is not one number with one unit"),
    ("1 - 3/8 in", Q.THICKNESS, "is not one number"),
    ("1.5/2 in", Q.THICKNESS, "is not one number"),
    ("1/2/3 in", Q.THICKNESS, "is not one number"),
    ("1/0 in", Q.THICKNESS, "divides by nought"),
    ("1 9/8 in", Q.THICKNESS, "has a fraction of one or more"),
    ("3 mm in", Q.THICKNESS, 'has the unknown unit "mm in"'),
    ("3 mPa", Q.PRESSURE, 'has the unknown unit "mPa"'),  # never taken for MPa
    ("350 MPa s", Q.VISCOSITY, 'has the unknown unit "MPa s"'),
    ("3 + 4 mm", Q.THICKNESS, "is not one number with one unit"),
    ("5 ft 6 kg", Q.LENGTH, "is not one number with one unit"),
    ("6 in 5 ft", Q.LENGTH, "does not go from the larger unit to the smaller"),
    ("5 ft 5 ft", Q.LENGTH, "does not go from the larger unit to the smaller"),
    ("5.5 ft 6 in", Q.LENGTH, "has a part of a unit before a smaller unit"),
    ("5'12\"", Q.LENGTH, "has more in than fit into one ft"),
    ("1 m 20 cm", Q.LENGTH, "is not one number with one unit"),
    ("2 h 60 min", Q.TIME, "has more min than fit into one h"),
    ("2 h -30 min", Q.TIME, "is not one number with one unit"),
    ("2:60", Q.TIME, "is not one number with one unit"),
    ("2:30 h", Q.TIME, "is not one number with one unit"),
    ("10 s 5", Q.TIME, "is not one number with one unit"),
    ("8:15", Q.MASS, "is not one number with one unit"),
    ("3 kg\x00", Q.MASS, "unknown unit"),
]

WRONG = [
    ("3 kg", Q.THICKNESS, "is a mass, not a length"),
    ("8 mm", Q.MASS, "is a length, not a mass"),
    ("22 °C", Q.HUMIDITY, "is a temperature, not a percentage"),
    ("55 %", Q.TEMPERATURE, "is a percentage, not a temperature"),
    ("5 oz", Q.VOLUME, "is a mass, not a volume"),
    ("5 fl oz", Q.MASS, "is a volume, not a mass"),
    ("5 ft2", Q.LENGTH, "is an area, not a length"),  # never five feet two
    ("2m3", Q.TIME, "is a volume, not a time"),
    ("90 min", Q.TEMPERATURE_DIFFERENCE, "is a time, not a temperature"),
    ("14.7 psi", Q.DENSITY, "is a pressure, not a density"),
    ("300 fpm", Q.FLOW, "is a speed, not a flow"),
    ("1.6 g/cm³", Q.MASS_PER_AREA, "is a density, not a mass per area"),
]


@pytest.mark.parametrize(("text", "quantity", "ways"), AMBIGUOUS)
def test_a_text_with_two_meanings_is_refused_and_both_are_shown(
    text: str, quantity: Quantity, ways: tuple[str, ...]
) -> None:
    with pytest.raises(AmbiguousNumberError, match="more than one way") as caught:
        read_quantity(text, quantity, field="Value")
    assert caught.value.ways == ways
    assert all(way in str(caught.value) for way in ways)
    for way in ways:
        read_quantity(way, quantity, field="Value")


@pytest.mark.parametrize(("text", "way"), [("1.234 kg", "1,234 kg"), ("1.234,5 kg", "1234,5 kg")])
def test_beside_a_comma_it_is_the_point_that_may_be_a_group(text: str, way: str) -> None:
    with pytest.raises(AmbiguousNumberError) as caught:
        read_quantity(text, Q.MASS, field="Shell", decimal_mark=",")
    assert caught.value.ways[0] == way


@pytest.mark.parametrize("unit", ["min", "s"])
def test_a_clock_text_beside_minutes_is_refused(unit: str) -> None:
    with pytest.raises(AmbiguousNumberError) as caught:
        read_quantity("2:30", Q.TIME, field="Drain", unit=unit)
    assert caught.value.ways == ("2 h 30 min", "2 min 30 s")


@pytest.mark.parametrize(("text", "quantity", "problem"), UNREADABLE)
def test_an_unreadable_text_is_refused(text: str, quantity: Quantity, problem: str) -> None:
    with pytest.raises(UnreadableQuantityError, match=problem) as caught:
        read_quantity(text, quantity, field="Wall thickness")
    assert str(caught.value).startswith('Wall thickness: "')
    assert isinstance(caught.value, MendableError)


@pytest.mark.parametrize(("text", "quantity", "problem"), WRONG)
def test_a_quantity_of_another_kind_is_named(text: str, quantity: Quantity, problem: str) -> None:
    with pytest.raises(WrongQuantityError, match=problem):
        read_quantity(text, quantity, field="Value")


def test_the_message_names_the_field_and_gives_examples() -> None:
    with pytest.raises(WrongQuantityError) as caught:
        read_quantity("3 kg", Q.THICKNESS, field="Wall thickness")
    assert str(caught.value) == (
        'Wall thickness: "3 kg" is a mass, not a length. Write for example 8 mm, 3/8 in or 0.8 cm.'
    )


@pytest.mark.parametrize("quantity", list(Quantity))
@pytest.mark.parametrize("mark", [".", ","])
def test_every_example_in_a_message_can_be_typed(quantity: Quantity, mark: str) -> None:
    with pytest.raises(UnreadableQuantityError) as caught:
        read_quantity("?", quantity, field="Value", decimal_mark=mark)
    told = caught.value.advice.removeprefix("Write for example ").removesuffix(".")
    first, rest = told.split(", ", 1)
    for example in (first, *rest.split(" or ")):
        assert read_quantity(example, quantity, field="Value", decimal_mark=mark) > 0


def test_an_unknown_unit_lists_those_that_fit() -> None:
    with pytest.raises(UnreadableQuantityError, match=r"Units that fit: mm², cm², m², in², ft²\."):
        read_quantity("3 acres", Q.AREA, field="Surface")


def test_a_long_or_unprintable_text_is_quoted_short_and_printable() -> None:
    with pytest.raises(UnreadableQuantityError) as caught:
        read_quantity("\u202e\n" + "x" * 5000, Q.AREA, field="Surface")
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 160


OUT_OF_RANGE = [
    ("60 mm", "mm", 0.001, 0.05, "60 mm is not possible here. Give 1\u00a0mm to 50\u00a0mm."),
    ("-3", "mm", 0.0, None, "-3 mm is not possible here. Give at least 0\u00a0mm."),
    ("3", "in", None, 0.05, "3 in is not possible here. Give at most 1.968\u00a0in."),
    (
        "3 in",
        "mm",
        0.001,
        0.05,
        "3 in is not possible here. Give 0.03938\u00a0in to 1.968\u00a0in.",
    ),
    ("1 ft", "in", None, 0.0254, "1 ft is not possible here. Give at most 1\u00a0in."),
    ("1 ft", None, None, 0.05, "1 ft is not possible here. Give at most 50\u00a0mm."),
]


@pytest.mark.parametrize(("text", "unit", "low", "high", "message"), OUT_OF_RANGE)
def test_limits_are_told_in_the_unit_typed(
    text: str, unit: str | None, low: float | None, high: float | None, message: str
) -> None:
    with pytest.raises(ValueOutOfRangeError) as caught:
        read_quantity(text, Q.THICKNESS, field="Wall", unit=unit, low=low, high=high)
    assert str(caught.value) == f"Wall: {message}"


def test_temperature_limits_keep_their_offset() -> None:
    with pytest.raises(ValueOutOfRangeError, match="Give −4\u00a0°F to 86\u00a0°F"):
        read_quantity("120 F", Q.TEMPERATURE, field="Air", low=-20.0, high=30.0)


def test_a_limit_of_nought_fahrenheit_is_told_as_nought() -> None:
    with pytest.raises(ValueOutOfRangeError, match="at least 0\u00a0°F"):
        read_quantity("-5 F", Q.TEMPERATURE, field="Air", low=-17.7777777777778)


def test_a_bare_humidity_above_its_limit_is_told_in_per_cent() -> None:
    with pytest.raises(
        ValueOutOfRangeError, match=r"140 % is not possible here\. Give 0\s% to 100\s%"
    ):
        read_quantity("140", Q.HUMIDITY, field="Air", unit="%", low=0.0, high=1.0)


@pytest.mark.parametrize("text", ["0.3 mm", "50 mm", "1.968503937007874 in"])
def test_a_value_at_its_limit_is_taken_and_lies_within(text: str) -> None:
    value = read_quantity(text, Q.THICKNESS, field="Wall", low=0.0003, high=0.05)
    assert 0.0003 <= value <= 0.05
