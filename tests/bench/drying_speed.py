"""Ten coats in the changing air of an office: the forecast against scipy on the same physics.

The slow solution (`tests.reference.slow_drying`) follows one pair of factors and steps from reading
to reading. The program answers with its spread, which takes it all its lanes; it lays out its air
in the time that is measured, while scipy finds the air laid out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from math import inf
from pathlib import Path

import numpy as np

from shellcoat.forecast.air_track import AirLog, build_track
from shellcoat.forecast.drying import AirStack, CoatBatch, dry_out
from shellcoat.forecast.factors import FactorSpreads
from shellcoat.forecast.forecaster import Forecaster, ShellCase
from shellcoat.forecast.lanes import LANES, Lanes
from shellcoat.forecast.shop_air import HORIZON_S
from shellcoat.forecast.starting_values import StartingValues, starting_values
from shellcoat.physics import transport
from shellcoat.physics.coat_drying import wetted_coat
from shellcoat.shop import AirMovement
from tests.bench.machine import Figure, alternating, median, milliseconds, seconds_of
from tests.forecast.builders import ROOM, a_coat, a_shell, a_shop, backup, prime
from tests.forecast.rolling_origin import office_log
from tests.reference.slow_drying import (
    DRY_SHARE,
    HOUR,
    PRESSURE,
    Dip,
    Face,
    Integral,
    Readings,
    slow_history,
)

FASTER, WITHIN = 100.0, 0.02
ROUNDS, SHELLS = 5, 60
STEPS = (prime(), prime(), *[backup()] * 8)
WAITS_H = (3.0, 14.0, 2.5, 2.5, 15.0, 3.0, 3.0, 15.0, 2.5)
"""Two or three coats a day, some on a wall that is still wet."""

ASKED = timedelta(hours=8)
"""The question comes so long after the tenth dip, when that coat is dry as well."""

MOVEMENT = AirMovement.FAN_IN_ROOM
READING_S = 60.0
MIDDLING = replace(starting_values(), spreads=FactorSpreads(*[1e-6] * 4))
"""Starting values with every unknown factor as good as one."""


def run(_folder: Path) -> Iterator[Figure]:
    """Time one history each way, and a rack of them; compare what is said of the last coat."""
    log = office_log()
    one, rack = a_history(log, 0), [a_history(log, number) for number in range(SHELLS)]
    integral = slow_integral(log, one)
    dips = [Dip.of(coat) for coat in one.coats]
    fine = partial(slow_history, dips, integral)
    ways: list[tuple[str, Callable[[], object], int]] = [
        ("ten coats, scipy / with the spread", partial(answer, [one], log), 1),
        ("ten coats, scipy / one lane", partial(one_lane, one, log), 1),
        (f"ten coats, scipy / each of {LANES} lanes", partial(answer, [one], log), LANES),
        (f"ten coats, scipy / each of {SHELLS} shells", partial(answer, rack, log), SHELLS),
    ]
    for name, way, parts in ways:
        yield speed(name, way, parts, fine)
    yield agreement(one, log, dips, integral)


def a_history(log: AirLog, number: int) -> ShellCase:
    """A shell of ten coats in the office, each shell a minute later and a little larger."""
    shell = a_shell(number, STEPS, drying_length_m=0.25 + 0.002 * number)
    first = datetime.fromtimestamp(float(log.at_s[0]), UTC) + timedelta(minutes=30 + number)
    hours = np.cumsum([0.0, *WAITS_H])
    coats = [
        a_coat(shell, place, 0.0, dipped_at=first + timedelta(hours=hour), movement=MOVEMENT)
        for place, hour in enumerate(hours.tolist(), start=1)
    ]
    return ShellCase(shell, tuple(coats))


def slow_integral(log: AirLog, case: ShellCase) -> Integral:
    """The office and the shell as the slow solution takes them."""
    speed = starting_values().air_speed_m_s[MOVEMENT]
    face = Face(speed, case.shell.drying_length_m, 1.0, 1.0)
    return Integral(face, Readings.of(log.at_s, log.temp_c, log.rh), READING_S)


def answer(
    cases: Sequence[ShellCase], log: AirLog, values: StartingValues | None = None
) -> list[float]:
    """Hours to dry of every coat of the first case, by the whole program with nothing kept."""
    forecaster = Forecaster(a_shop(), values or starting_values())
    now = cases[-1].coats[-1].dipped_at + ASKED
    said = forecaster.forecast(cases, {ROOM: log}, now)[cases[0].shell.id].coats
    pairs = zip(said, cases[0].coats, strict=True)
    return [(coat.likely_at - dip.dipped_at).total_seconds() / HOUR for coat, dip in pairs]


def one_lane(case: ShellCase, log: AirLog) -> list[float]:
    """Hours to dry of every coat by the program's solver on one lane, air laid out and all."""
    lanes = Lanes(np.ones(1), np.ones(1), np.zeros(1, dtype=np.int64))
    dips = [Dip.of(coat) for coat in case.coats]
    values, last_s = starting_values(), dips[-1].at_s + ASKED.total_seconds()
    track = build_track(log.until(last_s), dips[0].at_s, last_s, HORIZON_S, values.ahead, PRESSURE)
    air = AirStack.of([track], PRESSURE)
    hours, thick, left, left_share = [], 0.0, 0.0, 0.0
    for dip, later in zip(dips, [*dips[1:], None], strict=True):
        thick += dip.thickness * (1.0 - values.loss_on_wet * left_share)
        query_s = last_s if later is None else later.at_s
        batch = _batch(dip, query_s, thick, left, air, case)
        dried = dry_out(air, batch, lanes, hold_air=later is not None)
        left = float(batch.wall.water_at(dried.front_m)[0, 0])
        left_share = left / float(batch.wall.water[0, 0])
        hours.append(float(dried.dry_after_s[0, 0]) / HOUR)
    return hours


def _batch(
    dip: Dip, query_s: float, thick: float, left: float, air: AirStack, case: ShellCase
) -> CoatBatch:
    values = starting_values()
    at_dip = int((dip.at_s - air.start_s) // 600.0)
    free = float(transport.vapour_diffusivity(float(air.temp_c[0, at_dip]), PRESSURE))
    wall = wetted_coat(
        [[dip.water]],
        left,
        [[thick]],
        critical_share=values.critical_share,
        pore_water_density=values.pore_water_density,
        crust_diffusivity=[[values.crust_share * free]],
    )
    return CoatBatch(
        room=np.array([0]),
        start_s=np.array([dip.at_s]),
        query_s=np.array([query_s]),
        length_m=np.array([case.shell.drying_length_m]),
        speed_m_s=np.array([values.air_speed_m_s[MOVEMENT]]),
        wall=wall,
        target=wall.front(DRY_SHARE * dip.water),
    )


def speed(name: str, way: Callable[[], object], parts: int, fine: Callable[[], object]) -> Figure:
    """How many times longer scipy takes for one history than the program for each of its parts."""
    ours, anchors = alternating(partial(seconds_of, way), partial(seconds_of, fine), ROUNDS)
    ratio = median(anchors) / (median(ours) / parts)
    return Figure(
        name,
        f"{ratio:.0f}",
        f"≥ {FASTER:g}",
        ratio >= FASTER,
        f"{milliseconds(median(anchors))} for one against {milliseconds(median(ours))}"
        + (f" for {parts}" if parts > 1 else "")
        + f"; median of {ROUNDS}, in turn",
    )


def agreement(case: ShellCase, log: AirLog, dips: Sequence[Dip], integral: Integral) -> Figure:
    """How far the program is from scipy in dry time, all factors at one.

    Beside it stands what scipy does when its steps may pass over readings: quicker, and still good.
    """
    slow = slow_history(dips, integral)
    long_steps = partial(slow_history, dips, replace(integral, longest_step_s=inf))
    truth = np.array([coat.hours for coat in slow])
    off = np.array(answer([case], log, MIDDLING)) / truth - 1.0
    long_off = np.array([coat.hours for coat in long_steps()]) / truth - 1.0
    quick = median([seconds_of(long_steps) for _ in range(ROUNDS)])
    return Figure(
        "dry time of the tenth coat, off by",
        f"{100 * off[-1]:.2f} %",
        f"≤ {100 * WITHIN:g} %",
        bool(abs(off[-1]) <= WITHIN),
        f"{truth[-1]:.2f} h; worst of the ten {100 * np.abs(off).max():.2f} %; up to "
        f"{100 * max(coat.left_before for coat in slow):.0f} % of the water left at the next dip; "
        f"scipy with steps over many readings: {milliseconds(quick)}, "
        f"{100 * np.abs(long_off).max():.2f} % off",
    )
