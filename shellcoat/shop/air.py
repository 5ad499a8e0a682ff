"""The air of the shop: rooms, readings, and how fast the air moves."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop.checks import check_name, check_number, check_text, check_time

COLDEST_C, HOTTEST_C = -30.0, 70.0


class AirMovement(Enum):
    """How the air moves where a shell dries, in words a person can answer."""

    STILL_ROOM = "still room"
    FAN_IN_ROOM = "fan in the room"
    FAN_ON_SHELL = "fan on the shell"
    STRONG_DRAUGHT = "strong draught"


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room whose air is one: readings belong to it, shells dry in it."""

    id: UUID
    name: str
    movement: AirMovement = AirMovement.STILL_ROOM
    note: str = ""

    def __post_init__(self) -> None:
        check_name("Room name", self.name)
        check_text("Room note", self.note)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirReading:
    """One look at thermometer and hygrometer: `temp_c` [°C], `rh` a fraction from 0 to 1."""

    id: UUID
    room_id: UUID
    read_at: datetime
    temp_c: float
    rh: float
    note: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the reading", self.read_at)
        check_number("Air temperature", self.temp_c, COLDEST_C, HOTTEST_C, "°C")
        check_number("Relative humidity", self.rh, 0.0, 1.0, "(as a fraction)")
        check_text("Note", self.note)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingBatch:
    """The head of a run of logger readings that came in together.

    The readings themselves are kept in a table of their own; `digest` is the SHA-256 over
    them, so the batch vouches for every one. Batches of one import share `import_id`.
    """

    id: UUID
    room_id: UUID
    import_id: UUID
    source_name: str
    count: int
    first_at: datetime
    last_at: datetime
    digest: str

    def __post_init__(self) -> None:
        check_text("Source of the readings", self.source_name)
        check_number("Readings in the batch", self.count, 1, 10_000_000, "")
        check_time("First reading", self.first_at)
        check_time("Last reading", self.last_at)
