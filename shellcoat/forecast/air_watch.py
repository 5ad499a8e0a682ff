"""What the air did to a coat: swings, dryness, and readings that are missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from shellcoat.forecast.air_track import STEP_S, AirTrack
from shellcoat.forecast.answers import AirBasis, ShellWarning, WarningKind
from shellcoat.forecast.history import ShellChain
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.times import seconds
from shellcoat.shop import Coat, CoatKind

FAR_TOO_DRY = 0.15
"""Humidity this far below the prime coat's band warns even in still air; from memory."""

FAR_TOO_DAMP = 0.10
"""Humidity this far above a coat's band warns; from memory."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The steps of a track while one coat dried, up to now."""

    track: AirTrack
    first: int
    last: int

    @classmethod
    def of(cls, track: AirTrack, start: datetime, end: datetime) -> Stretch:
        """The steps from `start` to `end`; at least one."""
        first = max(int((seconds(start) - track.start_s) // STEP_S), 0)
        last = max(int((seconds(end) - track.start_s) // STEP_S) + 1, first + 1)
        first = min(first, track.temp_c.size - 1)
        return cls(track, first, min(max(last, first + 1), track.temp_c.size))

    @property
    def swing_k(self) -> float | None:
        """Measured temperature swing [K]; None with fewer than two measured steps."""
        seen = self.track.measured[self.first : self.last]
        temps = self.track.temp_c[self.first : self.last][seen]
        return float(np.ptp(temps)) if temps.size > 1 else None

    @property
    def rh(self) -> float:
        """Mean relative humidity as a fraction."""
        return float(self.track.rh_between(self.first, self.last).mean())


def swing_warnings(coat: Coat, number: int, stretch: Stretch) -> Iterator[ShellWarning]:
    """Room swing over a prime coat while it dried."""
    limit, swing = coat.step.air.swing_k, stretch.swing_k
    if coat.step.kind is not CoatKind.PRIME or limit is None or swing is None:
        return
    if swing > limit:
        yield ShellWarning(WarningKind.ROOM_SWING, number, swing, limit)


def swings_so_far(chain: ShellChain, tracks: Mapping[UUID, AirTrack]) -> Iterator[ShellWarning]:
    """Room swings over every prime coat but the present one, each until it was dry or dipped."""
    after = [coat.dipped_at for coat in chain.coats[1:]]
    for coat, answer, end in zip(chain.coats, chain.answers, after, strict=False):
        stretch = Stretch.of(tracks[coat.room_id], coat.dipped_at, min(end, answer.safe_at or end))
        yield from swing_warnings(coat, answer.number, stretch)


def humidity_warnings(
    coat: Coat, number: int, stretch: Stretch, values: StartingValues
) -> Iterator[ShellWarning]:
    """Air too dry for a prime coat, or too damp for any."""
    low, high, rh = coat.step.air.rh_low, coat.step.air.rh_high, stretch.rh
    fast = values.air_speed_m_s[coat.movement] >= values.fast_air_m_s
    prime = coat.step.kind is CoatKind.PRIME
    if prime and low is not None and rh < low - (0.0 if fast else FAR_TOO_DRY):
        yield ShellWarning(WarningKind.AIR_TOO_DRY, number, rh, low)
    if high is not None and rh > high + FAR_TOO_DAMP:
        yield ShellWarning(WarningKind.AIR_TOO_HUMID, number, rh, high)


def air_basis(last_reading_at: datetime | None, now: datetime, values: StartingValues) -> AirBasis:
    """What the forecast rests on in this room."""
    if last_reading_at is None:
        return AirBasis.ASSUMED
    age = (now - last_reading_at).total_seconds()
    return AirBasis.OLD_READINGS if age > values.reading_age_s else AirBasis.READINGS


def reading_warnings(
    basis: AirBasis, last_reading_at: datetime | None, now: datetime, values: StartingValues
) -> Iterator[ShellWarning]:
    """No reading at all, or none since too long."""
    if last_reading_at is None:
        yield ShellWarning(WarningKind.NO_READING)
    elif basis is AirBasis.OLD_READINGS:
        age = (now - last_reading_at).total_seconds()
        yield ShellWarning(WarningKind.NO_RECENT_READING, None, age, values.reading_age_s)
