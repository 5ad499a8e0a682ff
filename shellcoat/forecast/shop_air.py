"""The air of every room that holds a shell, on one time axis."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.forecast.air_track import AirLog, AirTrack, build_track
from shellcoat.forecast.drying import AirStack
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.times import seconds
from shellcoat.physics import moist_air
from shellcoat.shop import Coat, Shop

HORIZON_S = 7 * 86400.0
"""How far ahead a coat is followed [s]: a coat not dry in a week will not dry in this air."""


@dataclass(frozen=True, slots=True)
class ShopAir:
    """The tracks by room, and the same stacked."""

    tracks: Mapping[UUID, AirTrack]
    stack: AirStack

    @property
    def rooms(self) -> dict[UUID, int]:
        """The place of each room in the stack."""
        return {room: index for index, room in enumerate(self.tracks)}

    @classmethod
    def over(
        cls,
        coats: Iterable[Coat],
        logs: Mapping[UUID, AirLog],
        first_s: float,
        now: datetime,
        shop: Shop,
        values: StartingValues,
    ) -> ShopAir:
        """The air these coats dry in, from `first_s` [s] to the horizon after `now`."""
        pressure = float(moist_air.pressure_at_altitude(shop.altitude_m))
        tracks = {
            room: build_track(
                logs.get(room, AirLog.empty()),
                first_s,
                seconds(now),
                HORIZON_S,
                values.ahead,
                pressure,
            )
            for room in sorted({coat.room_id for coat in coats})
        }
        return cls(tracks, AirStack.of(list(tracks.values()), pressure))


def past(logs: Mapping[UUID, AirLog], now: datetime) -> dict[UUID, AirLog]:
    """The readings up to now; a clock that was set back leaves later ones in the book."""
    return {room: log.until(seconds(now)) for room, log in logs.items()}


def air_key(
    coats: Iterable[Coat], logs: Mapping[UUID, AirLog], until_s: float
) -> tuple[object, ...]:
    """Tells whether the air these coats dried in has changed up to some time [s]."""
    rooms = sorted({coat.room_id for coat in coats})
    return tuple(logs.get(room, AirLog.empty()).fingerprint(until_s) for room in rooms)
