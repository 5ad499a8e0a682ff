"""Coats: what went on, when, and in which air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.shop.air import COLDEST_C, HOTTEST_C, AirMovement
from shellcoat.shop.checks import check_number, check_text, check_time
from shellcoat.shop.sequence import CoatStep


@dataclass(frozen=True, slots=True, kw_only=True)
class AirAtDip:
    """The reading that stood on the page when the dip was logged, and when it was taken."""

    temp_c: float
    rh: float
    read_at: datetime

    def __post_init__(self) -> None:
        check_number("Air temperature", self.temp_c, COLDEST_C, HOTTEST_C, "°C")
        check_number("Relative humidity", self.rh, 0.0, 1.0, "(as a fraction)")
        check_time("Time of the reading", self.read_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """One coat on one shell.

    Its number is not stored: it is the coat's place among the shell's coats by time, so a
    forgotten coat that is logged later falls into place. `utc_offset_min` [min] keeps the wall
    clock of the shop, which tells the two 02:30s of an autumn night apart. `warnings` are the
    words that stood on the page at that moment; `reason` is why it was dipped all the same.
    """

    id: UUID
    shell_id: UUID
    step: CoatStep
    dipped_at: datetime
    utc_offset_min: int
    room_id: UUID
    movement: AirMovement
    tank: str = ""
    air: AirAtDip | None = None
    note: str = ""
    warnings: tuple[str, ...] = ()
    reason: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the dip", self.dipped_at)
        check_number("Offset from UTC", self.utc_offset_min, -24 * 60, 24 * 60, "min")
        check_text("Tank", self.tank)
        check_text("Note", self.note)
        check_text("Reason", self.reason)
