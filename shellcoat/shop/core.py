"""Cores: the hollows of a shell, their openings, and what is done to dry them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.checks import (
    check_name,
    check_number,
    check_optional_number,
    check_text,
    check_time,
)

MOST_OPENINGS = 12


class CoreDataError(MendableError):
    """A core, or what was done to it, that does not hang together."""


class OpeningShape(Enum):
    """What an opening looks like from outside."""

    ROUND = "round"
    SLOT = "slot"
    IRREGULAR = "irregular"


class OpeningFacing(Enum):
    """Which way an opening looks while the shell hangs to dry."""

    UP = "up"
    SIDE = "side"
    DOWN = "down"

    @property
    def turned(self) -> OpeningFacing:
        """The same with the shell turned upside down."""
        over = {OpeningFacing.UP: OpeningFacing.DOWN, OpeningFacing.DOWN: OpeningFacing.UP}
        return over.get(self, self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A way out of a core, measured on the bare wax.

    `width_m` [m] is the smaller clear width (the diameter of a round one), `height_m` [m] the
    larger one, `neck_m` [m] the length of wax the passage leads through, `level_m` [m] how high
    it lies above the lowest opening of its core.
    """

    shape: OpeningShape = OpeningShape.ROUND
    width_m: float
    height_m: float
    neck_m: float = 0.005
    facing: OpeningFacing = OpeningFacing.SIDE
    level_m: float = 0.0

    def __post_init__(self) -> None:
        check_number("Opening width", self.width_m, 1e-4, 2.0, "m")
        check_number("Opening height", self.height_m, 1e-4, 5.0, "m")
        check_number("Neck length", self.neck_m, 0.0, 2.0, "m")
        check_number("Level of the opening", self.level_m, 0.0, 10.0, "m")
        if self.height_m < self.width_m:
            raise CoreDataError(
                f"Opening: its width {self.width_m:g} m is more than its height "
                f"{self.height_m:g} m. Give the smaller one as the width."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Core:
    """A hollow that the slurry runs into: `area_m2` [m2] of its wall is wetted by each dip.

    `plug_after` is the coat after which its openings are meant to be plugged; 0 for never.
    """

    id: UUID
    name: str
    area_m2: float
    openings: tuple[Opening, ...] = ()
    plug_after: int = 0
    note: str = ""

    def __post_init__(self) -> None:
        check_name("Core name", self.name)
        check_text("Core note", self.note)
        check_number("Wall of the core", self.area_m2, 1e-5, 20.0, "m2")
        check_number("Plug after coat", self.plug_after, 0, 40, "")
        if len(self.openings) > MOST_OPENINGS:
            raise CoreDataError(
                f"{self.name}: {len(self.openings)} openings are more than the "
                f"{MOST_OPENINGS} that can be kept. Put small ones together."
            )


class CareKind(Enum):
    """What somebody did to help a core dry, or to close it."""

    BLOW = "blow air in"
    TURN = "turn upside down"
    PLUG = "plug"
    OPEN = "open again"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreCare:
    """Something done to one core, or turning the whole shell (`core_id` None).

    Blown air runs from `at` to `until` (None: until the next dip) with `flow_m3_s` [m3/s].
    """

    id: UUID
    shell_id: UUID
    core_id: UUID | None
    kind: CareKind
    at: datetime
    until: datetime | None = None
    flow_m3_s: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        check_time("Time", self.at)
        check_text("Note", self.note)
        check_optional_number("Air flow", self.flow_m3_s, 1e-6, 1.0, "m3/s")
        if self.until is not None:
            check_time("End", self.until)
        if self.until is not None and self.until < self.at:
            raise CoreDataError("The end lies before the beginning. Put one of them right.")
        if (self.kind is CareKind.BLOW) != (self.flow_m3_s is not None):
            raise CoreDataError("Give an air flow where air is blown in, and only there.")
        if self.kind is CareKind.BLOW and self.core_id is None:
            raise CoreDataError("Say which core the air is blown into.")
