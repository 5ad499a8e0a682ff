"""The hollows and the thin spots of a few demo pieces, measured on the invented waxes."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid5

from shellcoat.shop import (
    Core,
    Opening,
    OpeningFacing,
    OpeningShape,
    SpotKind,
    StressSpot,
)


def hollows(shell_id: UUID, label: str) -> tuple[Core, ...]:
    """The cores of a piece by its label; most pieces have none."""
    return tuple(
        Core(
            id=uuid5(shell_id, name),
            name=name,
            area_m2=area_cm2 / 1e4,
            openings=openings,
            plug_after=plug_after,
        )
        for name, area_cm2, openings, plug_after in _HOLLOWS.get(label, ())
    )


def _round(
    millimetres: float, facing: OpeningFacing, neck_mm: float = 6.0, level_mm: float = 0.0
) -> Opening:
    width = millimetres / 1e3
    return Opening(
        width_m=width,
        height_m=width,
        neck_m=neck_mm / 1e3,
        facing=facing,
        level_m=level_mm / 1e3,
    )


def _slot(width_mm: float, length_mm: float, facing: OpeningFacing) -> Opening:
    return Opening(
        shape=OpeningShape.SLOT,
        width_m=width_mm / 1e3,
        height_m=length_mm / 1e3,
        facing=facing,
    )


_DOWN, _SIDE, _UP = OpeningFacing.DOWN, OpeningFacing.SIDE, OpeningFacing.UP

_HOLLOWS: dict[str, tuple[tuple[str, float, tuple[Opening, ...], int], ...]] = {
    # A bust is open at the neck; a second hole in the crown lets air through.
    "PB-02": (("head", 620.0, (_round(70, _DOWN, 8), _round(30, _UP, 8, 260)), 0),),
    "PB-04": (("head", 540.0, (_round(62, _DOWN, 8),), 0),),
    "PB-05": (("back of the relief", 210.0, (_slot(24, 90, _SIDE),), 0),),
    # A small body core with one narrow vent: it closes before the wall is done.
    "WB-08": (("body of the drake", 130.0, (_round(16, _SIDE),), 0),),
    "WB-05": (("body", 180.0, (_round(34, _SIDE), _round(22, _UP, 6, 80)), 0),),
    "G": (("body", 160.0, (_round(36, _DOWN),), 0),),
    "H": (("body", 240.0, (_round(44, _DOWN), _round(20, _UP, 6, 120)), 0),),
}


def thin_spots(shell_id: UUID, label: str) -> tuple[StressSpot, ...]:
    """The flat faces and round walls of a piece that the metal pushes hardest on."""
    return tuple(
        StressSpot(id=uuid5(shell_id, name), name=name, **sizes)
        for name, sizes in _SPOTS.get(label, ())
    )


_SPOTS: dict[str, tuple[tuple[str, dict[str, Any]], ...]] = {
    "DF-08": (
        (
            "plate between the waves",
            {"kind": SpotKind.FLAT, "long_m": 0.21, "short_m": 0.09, "head_m": 0.24},
        ),
    ),
    "BL-04": (("waist", {"kind": SpotKind.ROUND, "radius_m": 0.11, "head_m": 0.33}),),
    "PB-05": (
        (
            "back of the relief",
            {"kind": SpotKind.FLAT, "long_m": 0.26, "short_m": 0.17, "head_m": 0.3},
        ),
    ),
    "G": (("back", {"kind": SpotKind.ROUND, "radius_m": 0.06, "head_m": 0.22}),),
}
