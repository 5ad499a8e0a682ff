"""The air of one room on even steps: what was measured, what lies between, what is expected.

A track runs from before the first coat of interest to the horizon. Measured bins carry no
spread; between readings the air is interpolated, with a spread that grows towards the middle of
the gap; after the last reading `air_ahead` takes over.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shellcoat.forecast.air_ahead import AheadValues, expect_air
from shellcoat.physics import moist_air, transport

Floats = NDArray[np.float64]
Words = NDArray[np.uint64]

STEP_S = 600.0
"""Length of a step [s]: ten minutes, well below the hours a coat takes."""

NEAR_S = 900.0
"""A reading this near [s] leaves nothing to guess: logger files of a step of up to half an hour."""

DRIEST, DAMPEST = 0.02, 0.995
"""Expected humidity stays between these fractions; outside them no shop has been."""


LEAST_DROP_K = 0.05
"""Least wet-bulb depression [K] from which a slope is taken; saturated air has none."""


def _scrambled(bits: Words) -> Words:
    """Spread bits so that any change shows in a sum.

    The finaliser of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
    """
    bits = (bits ^ (bits >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    bits = (bits ^ (bits >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return bits ^ (bits >> np.uint64(31))


@dataclass(frozen=True, slots=True)
class AirLog:
    """A room's readings by time: `at_s` [s since 1970], `temp_c` [°C], `rh` fractions.

    `running` holds a running hash over the columns, so that any stretch of the log can be told
    from a changed one at once.
    """

    at_s: Floats
    temp_c: Floats
    rh: Floats
    running: Words

    @classmethod
    def of(cls, at_s: ArrayLike, temp_c: ArrayLike, rh: ArrayLike) -> AirLog:
        """Readings sorted by time."""
        columns = [np.asarray(column, dtype=float) for column in (at_s, temp_c, rh)]
        mark = np.zeros(columns[0].size, dtype=np.uint64)
        for column in columns:
            mark = _scrambled(mark + (column + 0.0).view(np.uint64))
        running = np.append(np.uint64(0), np.cumsum(mark, dtype=np.uint64))
        return cls(columns[0], columns[1], columns[2], running)

    @classmethod
    @cache
    def empty(cls) -> AirLog:
        """A room nobody has looked at yet."""
        return cls.of([], [], [])

    def until(self, last_s: float) -> AirLog:
        """The readings up to `last_s`; a clock that ran ahead leaves later ones."""
        stop = int(np.searchsorted(self.at_s, last_s, side="right"))
        if stop == self.at_s.size:
            return self
        return AirLog.of(self.at_s[:stop], self.temp_c[:stop], self.rh[:stop])

    def since(self, first_s: float) -> AirLog:
        """The readings from `first_s` on, with the one before it."""
        keep = slice(max(int(np.searchsorted(self.at_s, first_s)) - 1, 0), None)
        return AirLog.of(self.at_s[keep], self.temp_c[keep], self.rh[keep])

    def between(self, first_s: float, last_s: float) -> AirLog:
        """The readings between two times, with the one before and the one after."""
        first = max(int(np.searchsorted(self.at_s, first_s)) - 1, 0)
        stop = int(np.searchsorted(self.at_s, last_s, side="right")) + 1
        keep = slice(first, stop)
        return AirLog.of(self.at_s[keep], self.temp_c[keep], self.rh[keep])

    def fingerprint(self, until_s: float) -> tuple[int, int]:
        """Tells whether the air up to the end of that step, or the next reading, has changed."""
        end_s = (until_s // STEP_S + 1.0) * STEP_S
        stop = min(int(np.searchsorted(self.at_s, end_s)) + 1, self.at_s.size)
        return stop, int(self.running[stop])


@dataclass(frozen=True, slots=True)
class AirTrack:
    """One room's air on steps of `STEP_S` from `start_s`.

    `temp_c` [°C], `vapour` [kg/m3], `spread` [kg/m3] one standard deviation of the drive,
    saturation less vapour, from both of them; `wet_drop_k` [K] air less wet bulb, `measured`
    whether a reading fell in the step.
    """

    start_s: float
    temp_c: Floats
    vapour: Floats
    spread: Floats
    wet_drop_k: Floats
    measured: NDArray[np.bool_]

    @property
    def rh(self) -> Floats:
        """Relative humidity as a fraction."""
        return self.rh_between(0, self.temp_c.size)

    def rh_between(self, first: int, last: int) -> Floats:
        """Relative humidity of some steps as a fraction."""
        full = np.asarray(moist_air.saturation_density(self.temp_c[first:last]))
        share: Floats = self.vapour[first:last] / full
        return share

    def deficit(self, z: float) -> Floats:
        """Vapour deficit [kg/m3] when the air is `z` standard deviations damper than expected."""
        full = np.asarray(moist_air.saturation_density(self.temp_c))
        vapour = np.clip(self.vapour + z * self.spread, DRIEST * full, DAMPEST * full)
        missing: Floats = full - np.where(self.spread > 0.0, vapour, self.vapour)
        return missing

    def heat_per_deficit(self) -> Floats:
        """Latent heat times the secant slope of saturation [J/m3 K], step by step."""
        bulb = self.temp_c - self.wet_drop_k
        top = np.asarray(moist_air.saturation_density(self.temp_c))
        low = np.asarray(moist_air.saturation_density(bulb))
        slope = (top - low) / self.wet_drop_k
        heat: Floats = slope * np.asarray(transport.latent_heat(bulb))
        return heat


def build_track(
    log: AirLog,
    first_s: float,
    now_s: float,
    horizon_s: float,
    values: AheadValues,
    pressure: float,
) -> AirTrack:
    """Lay a room's air on even steps from `first_s` [s] to `horizon_s` [s] after `now_s`."""
    start = np.floor(first_s / STEP_S) * STEP_S
    count = int(np.ceil((max(now_s, first_s) + horizon_s - start) / STEP_S)) + 1
    centres = start + (np.arange(count) + 0.5) * STEP_S
    if log.at_s.size == 0:
        temp, vapour, spread = _assumed(count, values)
        measured = np.zeros(count, dtype=bool)
    else:
        temp, vapour, measured = _binned(log, float(start), count, centres)
        spread = _bridge_spread(log, centres, measured, temp, vapour, values)
        _look_ahead(log, centres, temp, vapour, spread, values)
    full = np.asarray(moist_air.saturation_density(temp))
    ahead = centres > (log.at_s[-1] if log.at_s.size else -np.inf) + 0.5 * STEP_S
    # Means of saturated readings can exceed saturation; no air puts water back into a wall.
    vapour = np.clip(
        vapour, np.where(ahead, DRIEST * full, 0.0), np.where(ahead, DAMPEST * full, full)
    )
    rh = np.clip(vapour / full, DRIEST, 1.0)
    wet_drop = temp - np.asarray(moist_air.wet_bulb(temp, rh, pressure))
    return AirTrack(
        float(start), temp, vapour, spread, np.maximum(wet_drop, LEAST_DROP_K), measured
    )


def _assumed(count: int, values: AheadValues) -> tuple[Floats, Floats, Floats]:
    vapour = float(moist_air.vapour_density(values.assumed_temp_c, values.assumed_rh))
    return (
        np.full(count, values.assumed_temp_c),
        np.full(count, vapour),
        np.full(count, values.assumed_spread * vapour),
    )


def _binned(
    log: AirLog, start: float, count: int, centres: Floats
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Mean temperature and vapour of each step, interpolated where no reading fell in it."""
    log = log.between(start, start + count * STEP_S)
    index = np.floor((log.at_s - start) / STEP_S).astype(np.int64)
    inside = (index >= 0) & (index < count)
    index = index[inside]
    number = np.bincount(index, minlength=count)
    measured = number > 0
    vapour_log = np.asarray(moist_air.vapour_density(log.temp_c, log.rh))
    columns = []
    for column in (log.temp_c, vapour_log):
        total = np.bincount(index, weights=column[inside], minlength=count)
        mean = total / np.maximum(number, 1)
        between = np.interp(centres, log.at_s, column)
        columns.append(np.where(measured, mean, between))
    return columns[0], columns[1], measured


def _bridge_spread(
    log: AirLog,
    centres: Floats,
    measured: NDArray[np.bool_],
    temp: Floats,
    vapour: Floats,
    values: AheadValues,
) -> Floats:
    """Spread between readings, widest half-way; none in measured steps.

    That of a fading memory which is known at both ends of the gap, or at one end before the first
    reading. What the log has taught is left out: it changes with later readings, and what
    happened before the last dip must not.
    """
    after = np.searchsorted(log.at_s, centres)
    ends = np.concatenate([[-np.inf], log.at_s, [np.inf]])
    since, until = (
        values.grown(np.maximum(gap - NEAR_S, 0.0))
        for gap in (centres - ends[after], ends[after + 1] - centres)
    )
    # Of the memory's own variance: (1 - p)(1 - q) / (1 - p q), with p and q what is remembered.
    share = since * until / np.maximum(since + until - since * until, np.finfo(float).tiny)
    spread = values.errors(share, temp).drive_spread(temp, vapour)
    return np.where(measured, 0.0, spread)


def _look_ahead(
    log: AirLog,
    centres: Floats,
    temp: Floats,
    vapour: Floats,
    spread: Floats,
    values: AheadValues,
) -> None:
    """Replace the steps after the last reading by the expected air."""
    ahead = centres > log.at_s[-1] + 0.5 * STEP_S
    if np.any(ahead):
        expected = expect_air(log.at_s, log.temp_c, log.rh, centres[ahead], values)
        temp[ahead], vapour[ahead] = expected.temp_c, expected.vapour
        spread[ahead] = expected.drive_spread
