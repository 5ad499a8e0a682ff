"""Scores of air forecasts by rolling origin: at every hour of a log, from the hours before it.

Two rules that need no model stand beside the forecast: the air stays as it is (persistence), and
the air of the last 24 hours comes again (yesterday).
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from shellcoat import places
from shellcoat.forecast.air_ahead import ExpectedAir, expect_air
from shellcoat.forecast.air_track import STEP_S, AirLog, AirTrack, build_track
from shellcoat.forecast.drying import AirStack, CoatBatch, dry_out
from shellcoat.forecast.lanes import Lanes
from shellcoat.forecast.starting_values import starting_values
from shellcoat.physics import moist_air, transport
from shellcoat.physics.coat_drying import wetted_coat
from shellcoat.shop import AirMovement

Floats = NDArray[np.float64]

HOUR, DAY = 3600.0, 86400.0
LEADS_H = (3, 6, 12, 24)
RULES = ("model", "persistence", "yesterday")
HORIZON_S = 4 * DAY
PRESSURE = 101_325.0
VALUES = starting_values()
DRY_SHARE = 0.1
"""A coat is dry when this share of its water is left."""


@dataclass(frozen=True)
class ScoredCoat:
    """A backup coat that takes about `hours` in the air of the office log.

    The slow ones are heavy coats on soaked walls, to try the air of a whole day.
    """

    hours: int
    movement: AirMovement
    water_kg_m2: float
    wall_m: float


COATS = (
    ScoredCoat(3, AirMovement.FAN_ON_SHELL, 0.30, 3.5e-3),
    ScoredCoat(6, AirMovement.FAN_IN_ROOM, 0.36, 7e-3),
    ScoredCoat(12, AirMovement.STILL_ROOM, 0.48, 11e-3),
    ScoredCoat(24, AirMovement.STILL_ROOM, 0.75, 18e-3),
)


def office_log() -> AirLog:
    """The real log of an office: a reading a minute over five and a half days in February."""
    path: Path = places.demos_dir() / "air_logs" / "office_air_2015-02.csv"
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    times = [datetime.fromisoformat(row[1]).replace(tzinfo=UTC).timestamp() for row in rows]
    return AirLog.of(times, [float(row[2]) for row in rows], [float(row[3]) / 100 for row in rows])


def origins(log: AirLog, every_s: float = HOUR, after_s: float = DAY) -> Floats:
    """Full hours from a day after the first reading on."""
    first = np.ceil((log.at_s[0] + after_s) / HOUR) * HOUR
    return np.arange(first, log.at_s[-1], every_s)


# Air as it came, and as each rule would have it


def staying(log: AirLog, origin: float) -> AirLog:
    """The mean of the last ten minutes, for ever."""
    last = log.at_s > origin - STEP_S
    temp, rh = log.temp_c[last].mean(), log.rh[last].mean()
    return AirLog.of([origin, origin + 2 * HORIZON_S], [temp, temp], [rh, rh])


def repeating(log: AirLog, origin: float) -> AirLog:
    """The last 24 hours, again and again."""
    day = log.at_s > origin - DAY
    days = np.arange(1, 2 + round(HORIZON_S / DAY))[:, None]
    return AirLog.of(
        (log.at_s[day] + DAY * days).ravel(),
        np.tile(log.temp_c[day], days.size),
        np.tile(log.rh[day], days.size),
    )


def a_track(log: AirLog, origin: float) -> AirTrack:
    """Air from an origin on."""
    return build_track(log, origin, origin, HORIZON_S, VALUES.ahead, PRESSURE)


TRACKS: dict[str, Callable[[AirLog, float], AirTrack]] = {
    "model": a_track,
    "persistence": lambda log, origin: a_track(staying(log, origin), origin),
    "yesterday": lambda log, origin: a_track(repeating(log, origin), origin),
}


@dataclass(frozen=True)
class Outcome:
    """Tracks of the air that came and of what each rule had expected, one an origin."""

    origins: Floats
    end_s: float
    came: list[AirTrack]
    expected: dict[str, list[AirTrack]]


def roll(log: AirLog, when: Floats) -> Outcome:
    """Forecast from every origin by every rule."""
    return Outcome(
        origins=when,
        end_s=float(log.at_s[-1]),
        came=[a_track(log, origin) for origin in when],
        expected={
            rule: [make(log.until(origin), origin) for origin in when]
            for rule, make in TRACKS.items()
        },
    )


# Scores


def air_errors(outcome: Outcome, rule: str, lead_h: int) -> tuple[Floats, Floats]:
    """Errors of temperature [K] and vapour [g/m3], means of the ten minutes up to the lead."""
    index = round(lead_h * HOUR / STEP_S) - 1
    pairs = [
        (expected, came)
        for expected, came in zip(outcome.expected[rule], outcome.came, strict=True)
        if came.measured[index]
    ]
    temp = [expected.temp_c[index] - came.temp_c[index] for expected, came in pairs]
    vapour = [1000.0 * (expected.vapour[index] - came.vapour[index]) for expected, came in pairs]
    return np.array(temp), np.array(vapour)


def dry_hours(tracks: list[AirTrack], starts: Floats, coat: ScoredCoat) -> Floats:
    """Hours to dry of a coat dipped at each start, in that track's air."""
    count = starts.size
    one = np.ones(1)
    lanes = Lanes(one, one, np.zeros(1, dtype=np.int64))
    # Tracks begin at their own origins; on one stack only the place of a step matters.
    moved = [
        AirTrack(0.0, track.temp_c, track.vapour, track.spread, track.wet_drop_k, track.measured)
        for track in tracks
    ]
    free = np.array([float(transport.vapour_diffusivity(track.temp_c[0])) for track in tracks])
    wall = wetted_coat(
        np.full((count, 1), coat.water_kg_m2),
        0.0,
        coat.wall_m,
        critical_share=VALUES.critical_share,
        pore_water_density=VALUES.pore_water_density,
        crust_diffusivity=(VALUES.crust_share * free)[:, None],
    )
    batch = CoatBatch(
        room=np.arange(count),
        start_s=np.zeros(count),
        query_s=np.zeros(count),
        length_m=np.full(count, 0.2),
        speed_m_s=np.full(count, VALUES.air_speed_m_s[coat.movement]),
        wall=wall,
        target=wall.front(DRY_SHARE * wall.water),
    )
    hours: Floats = dry_out(AirStack.of(moved, PRESSURE), batch, lanes).dry_after_s[:, 0] / HOUR
    return hours


def dry_time_errors(outcome: Outcome, rule: str, coat: ScoredCoat) -> tuple[Floats, Floats]:
    """Predicted and true hours to dry, of the coats that dried while the log ran."""
    true = dry_hours(outcome.came, outcome.origins, coat)
    said = dry_hours(outcome.expected[rule], outcome.origins, coat)
    seen = outcome.origins + true * HOUR <= outcome.end_s
    return said[seen], true[seen]


def rms(values: Floats) -> float:
    """Root of the mean square."""
    return float(np.sqrt(np.mean(values * values)))


# Spread


def scores_of(log: AirLog, when: Floats, leads_h: tuple[int, ...] = LEADS_H) -> dict[str, Floats]:
    """Errors over their expected spread [origins, leads], of temperature, vapour and drive."""
    rows: dict[str, list[list[float]]] = {"temperature": [], "vapour": [], "drive": []}
    for origin in when:
        for key, row in _scores_at(log, float(origin), leads_h):
            rows[key].append(row)
    return {key: np.array(table) for key, table in rows.items()}


def _scores_at(
    log: AirLog, origin: float, leads_h: tuple[int, ...]
) -> Iterator[tuple[str, list[float]]]:
    past = log.until(origin)
    times = past.at_s[-1] + HOUR * np.array(leads_h, dtype=float)
    air = expect_air(past.at_s, past.temp_c, past.rh, times, VALUES.ahead)
    came = [_about(log, time) for time in times]
    temp = np.array([temp for temp, _ in came])
    vapour = np.array([vapour for _, vapour in came])
    yield "temperature", list((temp - air.temp_c) / air.temp_spread_k)
    yield "vapour", list((vapour - air.vapour) / air.vapour_spread)
    yield "drive", list((_drive(temp, vapour) - _drive(air.temp_c, air.vapour)) / air.drive_spread)


def _about(log: AirLog, time: float) -> tuple[float, float]:
    """Mean temperature and vapour of the ten minutes about a time; not a number past the log."""
    first, last = np.searchsorted(log.at_s, [time - STEP_S / 2, time + STEP_S / 2])
    if first == last:
        return float("nan"), float("nan")
    temp, rh = log.temp_c[first:last], log.rh[first:last]
    return float(temp.mean()), float(np.mean(moist_air.vapour_density(temp, rh)))


def _drive(temp_c: Floats, vapour: Floats) -> Floats:
    full = np.full(temp_c.shape, np.nan)
    known = np.isfinite(temp_c)
    full[known] = moist_air.saturation_density(temp_c[known])
    return full - vapour


def share_inside(scores: Floats, limit: float = 1.2816) -> float:
    """Share of the errors within ±1.28 spreads: eight in ten, if the spread is honest."""
    known = scores[np.isfinite(scores)]
    return float(np.mean(np.abs(known) <= limit))


def expected_air(log: AirLog, hours: Floats) -> ExpectedAir:
    """Air so many hours after the last reading of a log."""
    when = log.at_s[-1] + HOUR * np.asarray(hours, dtype=float)
    return expect_air(log.at_s, log.temp_c, log.rh, when, VALUES.ahead)
