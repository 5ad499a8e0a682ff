"""Checks, tests and walls in a person's words and units."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

import pytest

from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer, WallEvidence, WallMove
from shellcoat.operations.check_wording import (
    NO_WEIGHT,
    CheckWriter,
    write_check,
    write_move,
    write_shift,
    write_wall,
    write_weight,
)
from shellcoat.operations.film_wording import write_film_test
from shellcoat.operations.sequences import starters
from shellcoat.shop import (
    Band,
    CaliperReading,
    Core,
    DryCheck,
    DryFinding,
    InfraredReading,
    PlateTest,
    RheologyTest,
    Shell,
    ShellCheck,
    SlurryTest,
    StuccoGrain,
    WallPlace,
    Weighing,
)
from shellcoat.units import Quantity, UnitPreferences, UnitSystem

NAMESPACE = UUID("5b6b8b70-1d0b-4c39-9a0b-0d6c8b1b8a11")
AT = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
ZONE = ZoneInfo("Europe/Madrid")
METRIC = CheckWriter(UnitPreferences())
US = CheckWriter(UnitPreferences(UnitSystem.US))
GERMAN = CheckWriter(UnitPreferences(), ",")

HERON = uuid5(NAMESPACE, "heron")
BODY = Core(id=uuid5(NAMESPACE, "body"), name="Body", area_m2=0.03)
SHELL = Shell(
    id=HERON,
    name="Standing heron",
    label="014",
    sequence=starters()[0],
    room_id=uuid5(NAMESPACE, "room"),
    started_at=AT,
    cores=(BODY,),
)


def a_touch(finding: DryFinding, core_id: UUID | None = None) -> DryCheck:
    return DryCheck(id=HERON, shell_id=HERON, at=AT, finding=finding, core_id=core_id)


def an_infrared(surface: float, air: float | None) -> InfraredReading:
    return InfraredReading(id=HERON, shell_id=HERON, at=AT, surface_temp_c=surface, air_temp_c=air)


def a_caliper(where: str) -> CaliperReading:
    return CaliperReading(
        id=HERON, shell_id=HERON, at=AT, place=WallPlace.EDGE, thickness_m=0.0054, where=where
    )


def plain(text: str) -> str:
    """Show no-break spaces as spaces, to compare with text typed in a test."""
    return text.replace("\u00a0", " ")


CHECKS: list[tuple[ShellCheck, CheckWriter, str]] = [
    (a_touch(DryFinding.DRY), METRIC, "Touched, face: dry."),
    (a_touch(DryFinding.STILL_WET, BODY.id), METRIC, "Touched, core Body: still wet."),
    (a_touch(DryFinding.DRY, HERON), METRIC, "Touched, a core that is gone: dry."),
    (an_infrared(18.2, 21.0), METRIC, "Infrared: 18.2 °C, 2.8 K below 21.0 °C beside it."),
    # 18.2 °C = 64.76 °F, 21 °C = 69.8 °F, 2.8 K = 5.04 °F
    (an_infrared(18.2, 21.0), US, "Infrared: 64.8 °F, 5.0 °F below 69.8 °F beside it."),
    (an_infrared(21.5, 21.0), METRIC, "Infrared: 21.5 °C, 0.5 K above 21.0 °C beside it."),
    (an_infrared(18.2, None), GERMAN, "Infrared: 18,2 °C on the wall."),
    (Weighing(id=HERON, shell_id=HERON, at=AT, mass_kg=3.452), METRIC, "Weighed: 3.452 kg."),
    # 3.452 kg / 0.45359237 kg
    (Weighing(id=HERON, shell_id=HERON, at=AT, mass_kg=3.452), US, "Weighed: 7.61 lb."),
    (
        a_caliper("back of the head"),
        METRIC,
        "Wall measured: 5.40 mm over an edge, back of the head.",
    ),
    (a_caliper(""), US, "Wall measured: 0.213 in over an edge."),  # 5.4 / 25.4
]

PLATE = PlateTest(id=HERON, slurry="backup", at=AT, area_m2=0.015, mass_kg=0.0125)
FLOW = RheologyTest(id=HERON, slurry="backup", at=AT, viscosity_pa_s=0.35, density_kg_m3=1650.0)
GRAIN = StuccoGrain(id=HERON, stucco="silica", finest_m=0.3e-3, coarsest_m=0.6e-3)

TESTS: list[tuple[SlurryTest, CheckWriter, str]] = [
    (PLATE, METRIC, "Plate test of backup: 12.5 g on 150 cm², 0.83 kg/m²."),
    (
        replace(PLATE, density_kg_m3=1650.0, water_share=0.23),
        METRIC,
        "Plate test of backup: 12.5 g on 150 cm², 0.83 kg/m², 1.65 g/cm³, 23 % water.",
    ),
    (FLOW, METRIC, "Flow of backup: 350 mPa·s, 1.65 g/cm³, drained 30 s."),
    (
        replace(FLOW, yield_stress_pa=4.5),
        US,
        "Flow of backup: 350 cP, yields at 4.5 Pa, 13.77 lb/gal, drained 30 s.",
    ),
    (GRAIN, METRIC, "Grains of silica: 0.300 mm to 0.600 mm."),
    (GRAIN, US, "Grains of silica: 0.012 in to 0.024 in."),
]


@pytest.mark.parametrize(("check", "writer", "words"), CHECKS)
def test_a_check_in_a_sentence(check: ShellCheck, writer: CheckWriter, words: str) -> None:
    assert plain(write_check(check, SHELL, writer)) == words


@pytest.mark.parametrize(("test", "writer", "words"), TESTS)
def test_a_test_in_a_sentence(test: SlurryTest, writer: CheckWriter, words: str) -> None:
    assert plain(write_film_test(test, writer)) == words


def mm(low: float, likely: float, high: float) -> Band:
    return Band(1e-3 * low, 1e-3 * likely, 1e-3 * high)


CALIPER = WallMove(
    evidence=WallEvidence.CALIPER,
    name="back of the head",
    expected_m=mm(5.6, 6.1, 6.6),
    seen_m=5.4e-3,
    before_m=mm(5.3, 6.1, 6.9),
    after_m=mm(5.1, 5.5, 5.9),
)


def test_a_caliper_tells_what_was_expected_read_and_made_of_it() -> None:
    assert plain(write_move(CALIPER, METRIC)) == (
        "Caliper, back of the head: expected 6.1 mm, read 5.4 mm; wall on the flats now 5.5 mm "
        "(5.1–5.9 mm)."
    )
    assert plain(write_shift(CALIPER, METRIC)) == "wall 6.1 mm → 5.5 mm"


def test_a_stray_one_is_called_so() -> None:
    stray = replace(CALIPER, wild=0.93, after_m=CALIPER.before_m)
    assert "likely a stray one (93 %)" in plain(write_move(stray, METRIC))
    assert plain(write_shift(stray, METRIC)) == "wall stays 6.1 mm; likely a stray one (93 %)"


def test_the_sequence_and_a_plate_are_told_shorter() -> None:
    first = replace(CALIPER, evidence=WallEvidence.SEQUENCE, name="", seen_m=None)
    assert plain(write_move(first, METRIC)) == ("The sequence's figures: wall 5.5 mm (5.1–5.9 mm).")
    plate = replace(CALIPER, evidence=WallEvidence.PLATE, name="backup", seen_m=None)
    assert plain(write_move(plate, METRIC)) == (
        "Plate test and stucco size, backup: 6.1 mm → 5.5 mm (5.1–5.9 mm)."
    )


FLAT = PlaceAnswer(
    place=WallPlace.FLAT,
    now_m=mm(5.1, 5.5, 5.9),
    at_end_m=mm(7.2, 8.1, 9.0),
    target_m=8.0e-3,
    chance_at_end=0.613,
    readings=2,
)
ANSWER = WallAnswer(shell_id=HERON, places=(FLAT,), moves=(CALIPER,))


def test_a_wall_in_sentences() -> None:
    weighed = replace(
        ANSWER,
        mass_expected_kg=Band(3.2, 3.4, 3.6),
        mass_seen_kg=3.452,
        mass_seen_at=AT,
        mass_expected_then_kg=Band(3.1, 3.3, 3.5),
    )
    assert plain(write_wall(weighed, METRIC, ZONE, AT)) == (
        "Flat faces: likely 5.5 mm now (5.1–5.9 mm); with all coats on 8.1 mm (7.2–9.0 mm). "
        "Chance of reaching 8.0 mm: 61 %. Measured 2 times. Expected weight now 3.20–3.60 kg. "
        "Weighed 3.452 kg at 14:00, when 3.10–3.50 kg was expected."
    )


@pytest.mark.parametrize(
    ("expected", "seen", "words"),
    [
        (None, None, NO_WEIGHT),
        (None, 3.452, f"{NO_WEIGHT} Weighed 3.452 kg."),
        (Band(3.2, 3.4, 3.6), None, "Expected weight now 3.20–3.60 kg. Never weighed yet."),
    ],
)
def test_a_weight_that_is_not_known_says_what_is_missing(
    expected: Band | None, seen: float | None, words: str
) -> None:
    answer = replace(ANSWER, mass_expected_kg=expected, mass_seen_kg=seen)
    assert plain(write_weight(answer, METRIC, ZONE, AT)) == words


@pytest.mark.parametrize("unit", UnitPreferences.choices(Quantity.MASS))
def test_an_expected_weight_is_written_in_every_unit(unit: str) -> None:
    writer = CheckWriter(UnitPreferences(UnitSystem.METRIC, {Quantity.MASS: unit}))
    answer = replace(ANSWER, mass_expected_kg=Band(3.2, 3.4, 3.6))
    assert f" {unit}. Never weighed yet." in plain(write_weight(answer, writer, ZONE, AT))
