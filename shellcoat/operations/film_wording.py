"""Tests of slurries and stuccos in a person's words and units."""

from __future__ import annotations

from collections.abc import Iterator

from shellcoat.operations.check_wording import CheckWriter
from shellcoat.shop import PlateTest, RheologyTest, SlurryTest
from shellcoat.units import Quantity, write_duration


def write_film_test(test: SlurryTest, writer: CheckWriter) -> str:
    """One test of a slurry or a stucco in a sentence."""
    return f"{write_film_test_kind(test)}: {write_film_test_result(test, writer)}."


def write_film_test_kind(test: SlurryTest) -> str:
    """What was tested, and how."""
    match test:
        case PlateTest():
            return f"Plate test of {test.slurry}"
        case RheologyTest():
            return f"Flow of {test.slurry}"
        case _:
            return f"Grains of {test.stucco}"


def write_film_test_result(test: SlurryTest, writer: CheckWriter) -> str:
    """The figures of a test."""
    match test:
        case PlateTest():
            return _plate(test, writer)
        case RheologyTest():
            return _rheology(test, writer)
        case _:
            # A grain is told to the last digit of its sieve; both ends carry their unit.
            ends = (test.finest_m, test.coarsest_m)
            finest, coarsest = (writer.write(end, Quantity.THICKNESS, _GRAIN) for end in ends)
            return f"{finest} to {coarsest}"


_GRAIN = 3
"""Decimals of a grain: the finest sieves differ by hundredths of a mm, or thousandths of an in."""


def _plate(test: PlateTest, writer: CheckWriter) -> str:
    mass = writer.write(test.mass_kg, Quantity.SMALL_MASS)
    area = writer.write(test.area_m2, Quantity.AREA)
    held = writer.write(test.mass_kg / test.area_m2, Quantity.MASS_PER_AREA)
    extra = [held, *_slurry(test, writer)]
    return f"{mass} on {area}, {', '.join(extra)}"


def _slurry(test: PlateTest | RheologyTest, writer: CheckWriter) -> Iterator[str]:
    if test.density_kg_m3 is not None:
        yield writer.write(test.density_kg_m3, Quantity.DENSITY)
    if test.water_share is not None:
        yield f"{writer.write(test.water_share, Quantity.HUMIDITY)} water"


def _rheology(test: RheologyTest, writer: CheckWriter) -> str:
    parts = [writer.write(test.viscosity_pa_s, Quantity.VISCOSITY)]
    if test.yield_stress_pa:
        parts.append(f"yields at {writer.write(test.yield_stress_pa, Quantity.YIELD_STRESS)}")
    parts += _slurry(test, writer)
    parts.append(f"drained {write_duration(test.drain_time_s)}")
    return ", ".join(parts)
