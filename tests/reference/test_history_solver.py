"""Ten coats in a row against the slow solution, which carries the water left over by itself.

Random histories: coats that went on too early and coats that waited, in air that changes. The
program runs whole, with its unknown factors set to one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from uuid import UUID, uuid5

import numpy as np
import pytest
from numpy.typing import NDArray
from slow_drying import Dip, Dried, Face, Integral, Readings, slow_history

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import CoatAnswer
from shellcoat.forecast.factors import FactorSpreads
from shellcoat.forecast.forecaster import Forecaster, ShellCase
from shellcoat.forecast.starting_values import starting_values
from shellcoat.shop import (
    AirMovement,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    DipSequence,
    Shell,
    ShellState,
    Shop,
)

Floats = NDArray[np.float64]

HOUR, DAY = 3600.0, 86_400.0
FIRST = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
READING_S = 1800.0
COATS, HISTORIES = 10, 6
AFTER_S = 4 * DAY
"""The readings go on for so long after the last dip."""

WITHIN = 0.02
"""What the fast model may be off in dry time."""

NAMESPACE = UUID("c3d7d8f0-6a3a-4a5b-9f1c-7f1e4a1f6b52")
ROOM = uuid5(NAMESPACE, "room")
SPEEDS = {
    AirMovement.STILL_ROOM: 0.07,
    AirMovement.FAN_IN_ROOM: 0.3,
    AirMovement.FAN_ON_SHELL: 0.8,
    AirMovement.STRONG_DRAUGHT: 2.0,
}
"""Air speeds [m/s], as in the table of materials."""


@dataclass(frozen=True)
class History:
    """One shell with its coats, and the readings of its room."""

    case: ShellCase
    at_s: Floats
    temp: Floats
    rh: Floats

    @property
    def movement(self) -> AirMovement:
        return self.case.coats[0].movement


@cache
def history(number: int) -> History:
    rng = np.random.default_rng([20260305, number])
    # Half the shells are hurried: many of their coats go on before the wall is dry.
    shortest, longest = ((1.0, 6.0), (4.0, 16.0))[number % 2]
    gaps_h = rng.uniform(shortest, longest, COATS - 1)
    dips_h = np.cumsum([rng.uniform(0.0, 1.0), *gaps_h])
    movement = list(SPEEDS)[number % len(SPEEDS)]
    return History(_case(rng, number, dips_h, movement), *_air(rng, dips_h[-1] * HOUR + AFTER_S))


def _air(rng: np.random.Generator, length_s: float) -> tuple[Floats, Floats, Floats]:
    """A daily round, weather over two days, and the noise of a logger."""
    since = np.arange(0.0, length_s, READING_S)
    day, weather = (
        np.sin(2.0 * np.pi * (since / period + rng.uniform())) for period in (DAY, 2.3 * DAY)
    )
    temp = rng.uniform(17.0, 26.0) + rng.uniform(1.0, 3.0) * day + rng.normal(0.0, 0.1, since.size)
    rh = rng.uniform(0.3, 0.6) - rng.uniform(0.03, 0.1) * day + rng.uniform(0.03, 0.1) * weather
    return FIRST.timestamp() + since, temp, rh + rng.normal(0.0, 0.01, since.size)


def _case(
    rng: np.random.Generator, number: int, dips_h: Floats, movement: AirMovement
) -> ShellCase:
    steps = tuple(_step(rng, place) for place in range(COATS))
    sequence = DipSequence(
        id=uuid5(NAMESPACE, "sequence"),
        name="Ten coats",
        steps=steps,
        target_thickness_m=9e-3,
        final_hold_s=DAY,
    )
    shell = Shell(
        id=uuid5(NAMESPACE, f"shell {number}"),
        name="Water bird",
        label=f"{number}",
        sequence=sequence,
        room_id=ROOM,
        started_at=FIRST,
        state=ShellState.IN_WORK,
        drying_length_m=float(rng.uniform(0.05, 0.5)),
    )
    coats = tuple(
        Coat(
            id=uuid5(shell.id, f"coat {place}"),
            shell_id=shell.id,
            step=step,
            dipped_at=FIRST + timedelta(hours=float(hours)),
            utc_offset_min=0,
            room_id=ROOM,
            movement=movement,
        )
        for place, (step, hours) in enumerate(zip(steps, dips_h, strict=True))
    )
    return ShellCase(shell, coats)


def _step(rng: np.random.Generator, place: int) -> CoatStep:
    prime = place < 2
    water = rng.uniform(0.12, 0.18) if prime else rng.uniform(0.20, 0.30)
    thickness = rng.uniform(0.3e-3, 0.6e-3) if prime else rng.uniform(0.8e-3, 1.5e-3)
    return CoatStep(
        kind=CoatKind.PRIME if prime else CoatKind.BACKUP,
        slurry="invented",
        thickness_m=_about(thickness),
        water_kg_m2=_about(water),
    )


def _about(likely: float) -> Band:
    return Band(0.8 * likely, float(likely), 1.2 * likely)


@cache
def slow(number: int) -> list[Dried]:
    given = history(number)
    face = Face(SPEEDS[given.movement], given.case.shell.drying_length_m, 1.0, 1.0)
    readings = Readings.of(given.at_s, given.temp, given.rh)
    return slow_history([Dip.of(coat) for coat in given.case.coats], Integral(face, readings))


@cache
def fast(number: int) -> tuple[CoatAnswer, ...]:
    given = history(number)
    log = AirLog.of(given.at_s, given.temp, given.rh)
    now = datetime.fromtimestamp(float(given.at_s[-1]), UTC)
    forecast = middling_forecaster().forecast([given.case], {ROOM: log}, now)
    return forecast[given.case.shell.id].coats


def middling_forecaster() -> Forecaster:
    """The program with every unknown factor as good as one: the likely time is that of the law."""
    values = replace(starting_values(), spreads=FactorSpreads(*[1e-6] * 4))
    return Forecaster(Shop(id=uuid5(NAMESPACE, "shop"), name="Heron Yard"), values)


def hours_to_dry(number: int) -> Floats:
    coats = history(number).case.coats
    return np.array(
        [
            (answer.likely_at - coat.dipped_at).total_seconds() / HOUR
            for answer, coat in zip(fast(number), coats, strict=True)
        ]
    )


every_history = pytest.mark.parametrize("number", range(HISTORIES))


@every_history
def test_every_coat_of_a_history_dries_as_in_the_slow_solution(number):
    truth = np.array([coat.hours for coat in slow(number)])
    errors = hours_to_dry(number) / truth - 1.0
    assert errors.size == COATS
    assert np.abs(errors).max() < WITHIN


@every_history
def test_every_coat_finds_the_water_that_the_slow_solution_left(number):
    found = [answer.left_before.likely for answer in fast(number)]
    assert found == pytest.approx([coat.left_before for coat in slow(number)], abs=0.01)


def test_the_histories_hold_hurried_and_patient_coats():
    left = np.array([coat.left_before for number in range(HISTORIES) for coat in slow(number)])
    hours = np.array([coat.hours for number in range(HISTORIES) for coat in slow(number)])
    assert np.count_nonzero(left > 0.2) >= 10
    assert np.count_nonzero(left == 0.0) >= 10
    assert hours.min() < 2.0
    assert hours.max() > 12.0
