"""The hollows of a few demo pieces, measured on the invented waxes."""

from __future__ import annotations

from uuid import UUID, uuid5

from shellcoat.shop import Core, Opening, OpeningFacing, OpeningShape


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
