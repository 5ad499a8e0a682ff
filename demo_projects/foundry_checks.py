"""What the art foundry found out by touch, instrument, caliper and scale; all of it invented.

The drying room is somewhat slower than the tables say, as behind racks that stand close: touches
were drawn at random about dry times a fifth longer than the program first expects, with a tenth
of scatter. Two of them are strays. One was seen to be and is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from uuid import UUID, uuid5

from demo_projects.story import wall
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    DryFinding,
    InfraredReading,
    PlateTest,
    RheologyTest,
    ShellCheck,
    WallPlace,
    Weighing,
)

Touch = tuple[str, int, int, int, DryFinding]
Inside = tuple[str, str, int, int, int, DryFinding]

WET, DRY = DryFinding.STILL_WET, DryFinding.DRY
FLAT, EDGE, CORNER = WallPlace.FLAT, WallPlace.EDGE, WallPlace.CORNER

TOUCHES: tuple[Touch, ...] = (
    ("BL-01", 3, 11, 21, WET),
    ("DF-01", 3, 12, 3, DRY),
    ("DF-01", 3, 17, 1, WET),
    ("WB-01", 3, 17, 49, DRY),
    ("BL-01", 4, 11, 6, WET),
    ("BL-02", 4, 12, 5, WET),
    ("DF-01", 4, 13, 12, DRY),
    ("PB-01", 4, 17, 0, WET),
    ("DF-01", 4, 18, 0, WET),
    ("WB-04", 5, 13, 35, DRY),
    ("WB-02", 5, 18, 30, WET),
    ("DF-05", 5, 19, 30, WET),
    ("BL-03", 5, 19, 51, WET),
    ("PB-03", 6, 10, 42, WET),
    ("DF-03", 6, 11, 51, WET),
    ("DF-03", 6, 12, 57, DRY),
    ("DF-05", 6, 13, 2, DRY),
    ("WB-03", 6, 13, 14, DRY),
    ("BL-03", 6, 14, 9, DRY),
    ("BL-01", 6, 14, 38, WET),
    ("PB-02", 6, 15, 15, WET),
    ("PB-03", 6, 16, 32, WET),
    ("PB-03", 6, 17, 59, DRY),
    ("BL-03", 6, 18, 54, WET),
    ("WB-02", 6, 19, 12, WET),
    ("WB-05", 6, 19, 38, WET),
    ("DF-07", 6, 19, 56, DRY),
    ("PB-03", 7, 12, 33, WET),
    ("BL-04", 7, 14, 23, DRY),
    ("PB-01", 7, 15, 8, WET),
    ("WB-08", 7, 17, 48, WET),
    ("PB-02", 7, 18, 6, DRY),
    ("PB-05", 8, 13, 9, WET),
    ("WB-08", 8, 14, 16, DRY),
    ("PB-01", 8, 16, 48, DRY),
    ("WB-05", 8, 17, 21, DRY),
    ("BL-05", 8, 17, 24, DRY),
    ("PB-03", 8, 17, 55, DRY),
    ("PB-06", 8, 18, 15, WET),
    ("WB-10", 8, 18, 40, WET),
    ("WB-07", 9, 15, 31, WET),
    ("BL-05", 9, 17, 52, DRY),
    ("DF-09", 9, 18, 23, WET),
    ("BL-06", 9, 19, 4, WET),
    ("DF-09", 9, 19, 27, DRY),
)
"""Label, day, hour, minute, finding."""

MISTAKEN: Touch = ("WB-04", 5, 18, 5, DRY)
"""A stray that stands: half an hour after a dip; the label next to it was read."""

LEFT_OUT: Touch = ("BL-03", 6, 11, 5, DRY)
LEFT_OUT_AT, LEFT_OUT_REASON = wall(6, 11, 40), "touched the neighbour, BL-02"

INSIDE: tuple[Inside, ...] = (
    ("PB-02", "head", 5, 16, 40, WET),
    ("PB-02", "head", 7, 18, 30, WET),
    ("WB-05", "body", 7, 19, 15, WET),
)
"""Label, core, day, hour, minute, finding: a look into a core."""

INFRARED = (
    ("PB-05", 9, 12, 10, 17.2, 21.6),
    ("PB-05", 9, 16, 5, 20.3, 21.9),
    ("BL-04", 9, 13, 0, 18.1, 21.7),
)
"""Label, day, hour, minute, surface and air [°C] by one instrument."""

CALIPER = (
    ("PB-02", 8, 17, 5, FLAT, 7.0, "back of the neck"),
    ("PB-02", 8, 17, 7, FLAT, 7.3, "forehead"),
    ("PB-02", 8, 17, 12, EDGE, 5.6, "rim of the ear"),
    ("BL-04", 9, 8, 35, FLAT, 6.1, "waist"),
    ("BL-04", 9, 8, 37, EDGE, 4.9, "lip"),
    ("BL-04", 9, 8, 40, CORNER, 7.4, "where the crown meets the shoulder"),
)
"""Label, day, hour, minute, place, thickness [mm], where."""

WEIGHINGS = (
    ("PB-02", 7, 12, 50, 21.9),
    ("PB-02", 7, 19, 10, 21.62),
    ("BL-04", 8, 18, 50, 13.32),
)
"""Label, day, hour, minute, mass [kg]."""

PLATES = (
    ("fused silica backup", 2, 7, 25, 28.0, 1655.0),
    ("fused silica backup", 6, 7, 20, 27.3, 1648.0),
)
"""Slurry, day, hour, minute, slurry [g] on a plate of 100 x 150 mm, density [kg/m3]."""

FLOW = ("aluminosilicate backup", 2, 7, 35, 0.42, 4.0, 1820.0)
"""Slurry, day, hour, minute, viscosity [Pa s], yield stress [Pa], density [kg/m3]."""

PLATE_M2 = 2.0 * 0.100 * 0.150

NewId = Callable[..., UUID]


def shell_checks(shell_id: Callable[[str], UUID], new_id: NewId) -> Iterator[ShellCheck]:
    """Everything found out about a shell, as it was first entered."""
    touches = (*TOUCHES, MISTAKEN, LEFT_OUT)
    yield from (_touch(row, shell_id, new_id) for row in touches)
    yield from (_look_inside(row, shell_id, new_id) for row in INSIDE)
    for label, *when, surface_c, air_c in INFRARED:
        yield InfraredReading(
            id=new_id("infrared", label, *when),
            shell_id=shell_id(label),
            at=wall(*when),
            surface_temp_c=surface_c,
            air_temp_c=air_c,
        )
    for label, *when, place, millimetres, where in CALIPER:
        yield CaliperReading(
            id=new_id("caliper", label, *when),
            shell_id=shell_id(label),
            at=wall(*when),
            place=place,
            thickness_m=millimetres / 1e3,
            where=where,
        )
    for label, *when, kilograms in WEIGHINGS:
        yield Weighing(
            id=new_id("weighing", label, *when),
            shell_id=shell_id(label),
            at=wall(*when),
            mass_kg=kilograms,
        )


def _touch(row: Touch, shell_id: Callable[[str], UUID], new_id: NewId) -> DryCheck:
    label, *when, finding = row
    return DryCheck(
        id=new_id("touch", label, *when),
        shell_id=shell_id(label),
        at=wall(*when),
        finding=finding,
    )


def _look_inside(row: Inside, shell_id: Callable[[str], UUID], new_id: NewId) -> DryCheck:
    label, core, *when, finding = row
    return DryCheck(
        id=new_id("inside", label, *when),
        shell_id=shell_id(label),
        core_id=uuid5(shell_id(label), core),
        at=wall(*when),
        finding=finding,
    )


def left_out(shell_id: Callable[[str], UUID], new_id: NewId) -> DryCheck:
    """The stray that was seen to be one, as it stands."""
    return replace(_touch(LEFT_OUT, shell_id, new_id), left_out=LEFT_OUT_REASON)


def slurry_tests(new_id: NewId) -> Iterator[PlateTest | RheologyTest]:
    """What was found out about the slurries."""
    for slurry, *when, grams, density in PLATES:
        yield PlateTest(
            id=new_id("plate", *when),
            slurry=slurry,
            at=wall(*when),
            area_m2=PLATE_M2,
            mass_kg=grams / 1e3,
            density_kg_m3=density,
        )
    slurry, *when, viscosity, yield_stress, density = FLOW
    yield RheologyTest(
        id=new_id("flow", *when),
        slurry=slurry,
        at=wall(*when),
        viscosity_pa_s=viscosity,
        yield_stress_pa=yield_stress,
        density_kg_m3=density,
    )
