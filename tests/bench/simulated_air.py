"""The air of simulated shops: one real log of an office, as it was and moved to other seasons.

There is one real log, five and a half days of a reading a minute in February. Its first five days
are taken as means of ten minutes and laid end to end, so that a shell's nine coats fit; over the
last hours of each round the log is led back to where it began. *Winter* and *summer* are the same
log moved: in temperature by a number of kelvins, in vapour by a factor. They are shifts of one
log, not seasons that anybody measured.

What coats meet in that air is computed with the reference's own formulas (`slow_drying`), not
with the program's.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_track import AirLog
from shellcoat.shop import AirMovement
from tests.forecast.rolling_origin import office_log
from tests.reference.slow_drying import (
    Face,
    density_of,
    film_heat,
    film_over,
    latent_heat,
    saturation_pressure,
    wet_bulb,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HOUR, DAY = 3600.0, 86_400.0
READING_S = 600.0
FIRST_S = 1_772_431_200.0
"""2026-03-02 06:00 UTC, the hour of the day at which the log is cut, so that days stay days."""

CUT_H = 12
"""Hours into the log at which the rounds begin: 06:00 on its first morning."""

ROUND_DAYS, ROUNDS = 5, 6
BACK_S = 6 * HOUR
"""Over so long a round is led back to its beginning."""

MEAN_C = 20.6
"""Mean temperature of the office log [°C]."""


@dataclass(frozen=True)
class Season:
    """The office log, warmer by so many kelvins and with so many times its vapour."""

    name: str
    warmer_k: float
    vapour: float


SEASONS = (
    Season("as logged", 0.0, 1.0),
    Season("winter", 19.0 - MEAN_C, 0.85),
    Season("summer", 26.0 - MEAN_C, 2.7),
)
"""On average 21 °C and 26 % humidity, 19 °C and 24 %, 26 °C and 52 %."""

DAMPEST = 0.95
SPEEDS_M_S = {
    AirMovement.STILL_ROOM: 0.07,
    AirMovement.FAN_IN_ROOM: 0.3,
    AirMovement.FAN_ON_SHELL: 0.8,
}
"""As in the table of materials; how far the air is off is the business of the film factor."""

SIZES_M = (0.08, 0.15, 0.25, 0.40)
FACES = tuple((movement, size) for movement in SPEEDS_M_S for size in SIZES_M)
"""How the air moves and how large the piece is [m]: the faces a coat can dry on."""


@dataclass(frozen=True)
class TrueAir:
    """The air of one season and what it does on each of `FACES`, reading by reading.

    `by_face` [faces, readings, columns]: drive [kg/m3], film [s/m], latent heat times slope of
    saturation [J/m3 K], heat by air and by radiation [W/m2K], crust [m2/s], latent heat [J/kg],
    all at factors of one.
    """

    log: AirLog
    by_face: Floats

    def at(self, face: Ints, time_s: Floats) -> Floats:
        """The columns [7, coats], by straight lines between readings."""
        place = (time_s - FIRST_S) / READING_S
        left = np.clip(np.floor(place).astype(np.int64), 0, self.by_face.shape[1] - 2)
        share = np.clip(place - left, 0.0, 1.0)[:, None]
        before, after = self.by_face[face, left], self.by_face[face, left + 1]
        return (before * (1.0 - share) + after * share).T

    def temp_at(self, time_s: float) -> float:
        """Temperature of the air [°C]."""
        return float(np.interp(time_s, self.log.at_s, self.log.temp_c))


@cache
def true_air(season: Season) -> TrueAir:
    """The log of a season, and what it does."""
    temp, vapour = (_rounds(column) for column in _one_round())
    temp = temp + season.warmer_k
    full = density_of(saturation_pressure(temp), temp)
    rh = np.minimum(season.vapour * vapour / full, DAMPEST)
    at_s = FIRST_S + READING_S * np.arange(temp.size)
    bulb = wet_bulb(temp, rh)
    columns = [_columns(Face(SPEEDS_M_S[m], size, 1.0, 1.0), temp, rh, bulb) for m, size in FACES]
    return TrueAir(AirLog.of(at_s, temp, rh), np.stack(columns))


def _one_round() -> tuple[Floats, Floats]:
    """Temperature [°C] and vapour [kg/m3] of the first whole days, as means of ten minutes."""
    log = office_log()
    begin = np.floor(log.at_s[0] / HOUR) * HOUR + HOUR + CUT_H * HOUR
    step = np.floor((log.at_s - begin) / READING_S).astype(np.int64)
    count = round(ROUND_DAYS * DAY / READING_S)
    inside = (step >= 0) & (step < count)
    number = np.bincount(step[inside], minlength=count)
    vapour = log.rh * density_of(saturation_pressure(log.temp_c), log.temp_c)
    temp, vapour = (
        np.bincount(step[inside], weights=column[inside], minlength=count) / number
        for column in (log.temp_c, vapour)
    )
    return temp, vapour


def _rounds(column: Floats) -> Floats:
    """The same days again and again, without a step where they meet."""
    back = np.zeros(column.size)
    last = round(BACK_S / READING_S)
    back[-last:] = np.linspace(0.0, column[0] - column[-1], last)
    return np.tile(column + back, ROUNDS)


def _columns(face: Face, temp: Floats, rh: Floats, bulb: Floats) -> Floats:
    full = density_of(saturation_pressure(temp), temp)
    slope = (full - density_of(saturation_pressure(bulb), bulb)) / (temp - bulb)
    air = film_over(face, temp, rh * full, bulb)
    by_air = film_heat(face, temp, bulb)
    latent = latent_heat(bulb)
    drive, radiation = full * (1.0 - rh), air.heat_path - by_air
    columns = [drive, air.film, slope * latent, by_air, radiation, air.crust, latent]
    return np.stack(columns, axis=-1)
