"""One look at a room's air, gathered in a worker: the curve, the latest reading, the list.

Nothing here knows Qt, so a look can be taken in any thread.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from itertools import groupby
from uuid import UUID

from shellcoat.operations.air import RoomAirView, room_air
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.physics import moist_air
from shellcoat.shop import AirAtDip, AirReading, Entry, Ledger, ReadingBatch

DRIEST_RH = 0.001
"""Below this the air has no dew point worth the name; the limit of `moist_air.dew_point`."""


class Span(Enum):
    """How far back the page looks."""

    TODAY = "today"
    THREE_DAYS = "3 days"
    WEEK = "week"
    ALL = "all"


_BACK = {Span.THREE_DAYS: timedelta(days=3), Span.WEEK: timedelta(days=7)}


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedAir:
    """A line of the list: one typed reading, or everything one import brought in.

    `temp_c` [°C] and `rh` (a fraction) are those of a typed reading, None for an import.
    """

    record_ids: tuple[UUID, ...]
    first_at: datetime
    last_at: datetime
    count: int
    who: str
    temp_c: float | None = None
    rh: float | None = None
    source: str = ""
    note: str = ""

    @property
    def imported(self) -> bool:
        """Whether it came from a logger's file."""
        return self.temp_c is None


@dataclass(frozen=True, slots=True, kw_only=True)
class LatestAir:
    """The latest reading of a room and what follows from it, in °C; None in bone-dry air."""

    reading: AirAtDip
    dew_point_c: float | None
    wet_bulb_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLook:
    """What the page shows of a room; `first` and `last` are the ends of the time axis."""

    room_id: UUID
    span: Span
    first: datetime
    last: datetime
    view: RoomAirView
    latest: LatestAir | None
    logged: tuple[LoggedAir, ...]


def look_at_air(opened: OpenShop, room_id: UUID, span: Span, now: datetime) -> AirLook:
    """Gather everything about one room's air; may take long in a room with years of it."""
    logged = tuple(logged_air(opened.ledger, room_id))
    first, last = _ends(opened, span, logged, now)
    return AirLook(
        room_id=room_id,
        span=span,
        first=first,
        last=last,
        view=room_air(opened, room_id, first, last),
        latest=_latest(opened, room_id),
        logged=logged,
    )


def _ends(
    opened: OpenShop, span: Span, logged: Sequence[LoggedAir], now: datetime
) -> tuple[datetime, datetime]:
    last = now + AHEAD_ALLOWED
    if span is Span.ALL and logged:
        ends = max(row.last_at for row in logged)
        # A log that ended long ago is shown by itself, not squeezed to the edge of the years.
        fresh = now - ends < timedelta(days=7)
        return min(row.first_at for row in logged), max(last, ends) if fresh else ends
    if span in _BACK:
        return now - _BACK[span], last
    midnight = now.astimezone(opened.zone).replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight.astimezone(now.tzinfo), last


def _latest(opened: OpenShop, room_id: UUID) -> LatestAir | None:
    reading = opened.book.last_reading(room_id)
    if reading is None:
        return None
    pressure = float(moist_air.pressure_at_altitude(opened.shop.altitude_m))
    damp = reading.rh >= DRIEST_RH
    dew_point = float(moist_air.dew_point(reading.temp_c, reading.rh)) if damp else None
    wet_bulb = float(moist_air.wet_bulb(reading.temp_c, reading.rh, pressure))
    return LatestAir(reading=reading, dew_point_c=dew_point, wet_bulb_c=wet_bulb)


def logged_air(ledger: Ledger, room_id: UUID) -> list[LoggedAir]:
    """All typed readings and imports of a room that stand, the latest air first."""
    rows = [*_typed(ledger, room_id), *_imports(ledger, room_id)]
    return sorted(rows, key=lambda row: row.last_at, reverse=True)


def _typed(ledger: Ledger, room_id: UUID) -> Iterator[LoggedAir]:
    for entry in list(ledger.live.values()):
        reading = entry.record
        if isinstance(reading, AirReading) and reading.room_id == room_id:
            yield LoggedAir(
                record_ids=(reading.id,),
                first_at=reading.read_at,
                last_at=reading.read_at,
                count=1,
                who=entry.who,
                temp_c=reading.temp_c,
                rh=reading.rh,
                note=reading.note,
            )


def _imports(ledger: Ledger, room_id: UUID) -> Iterator[LoggedAir]:
    heads = [
        (entry.record, entry)
        for entry in list(ledger.live.values())
        if isinstance(entry.record, ReadingBatch) and entry.record.room_id == room_id
    ]
    heads.sort(key=lambda head: (str(head[0].import_id), head[0].first_at))
    for _, group in groupby(heads, key=lambda head: head[0].import_id):
        yield _import(list(group))


def _import(heads: Sequence[tuple[ReadingBatch, Entry]]) -> LoggedAir:
    batches = [batch for batch, _ in heads]
    return LoggedAir(
        record_ids=tuple(batch.id for batch in batches),
        first_at=min(batch.first_at for batch in batches),
        last_at=max(batch.last_at for batch in batches),
        count=sum(batch.count for batch in batches),
        who=heads[0][1].who,
        source=batches[0].source_name,
    )
