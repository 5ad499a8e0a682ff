"""Defects: cracks, drips and thin places found on a shell, and their mending."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.checks import check_name, check_text, check_time


class DefectTimesError(MendableError):
    """A defect mended before it was found."""


class DefectKind(Enum):
    """What somebody found on a shell, or put on it."""

    CRACK = "crack"
    DRIP = "drip"
    PATCH = "patch"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """A crack, a drip, a patch or something else, found (a patch: put on) `at` a time.

    `mended_at` is when slurry was last put on it, which then has to dry; None while it is open.
    """

    id: UUID
    shell_id: UUID
    kind: DefectKind
    where: str
    at: datetime
    mended_at: datetime | None = None
    note: str = ""

    def __post_init__(self) -> None:
        check_name("Where", self.where)
        check_time("Time it was found", self.at)
        check_text("Note", self.note)
        if self.mended_at is not None:
            check_time("Time it was mended", self.mended_at)
            if self.mended_at < self.at:
                raise DefectTimesError(
                    f"{self.where}: it was mended before it was found. Put one of the times right."
                )

    @property
    def closed_at(self) -> datetime | None:
        """When slurry was last put on it; a patch is closed by being put on."""
        return self.mended_at or (self.at if self.kind is DefectKind.PATCH else None)
