"""Evidence of how thick a wall is: caliper readings, plate tests, rheology and stucco sizes."""

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

THINNEST_M, THICKEST_M = 1e-4, 0.1

SLURRY_DENSITIES = 1000.0, 5000.0, "kg/m3"
"""Water at the one end, pure zircon flour at the other (4600 kg/m3, from memory)."""


class WallPlace(Enum):
    """Where on a shell a wall was measured: slurry leaves an edge and gathers in a corner."""

    FLAT = "flat"
    EDGE = "edge"
    CORNER = "inside corner"


@dataclass(frozen=True, slots=True, kw_only=True)
class CaliperReading:
    """A wall measured: `thickness_m` [m] of shell alone, at a `place` that `where` names."""

    id: UUID
    shell_id: UUID
    at: datetime
    place: WallPlace
    thickness_m: float
    where: str = ""
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the reading", self.at)
        check_number("Wall thickness", self.thickness_m, THINNEST_M, THICKEST_M, "m")
        check_text("Where", self.where)
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateTest:
    """Slurry left on a plate that was dipped and drained like a shell, without stucco.

    `area_m2` [m2] of both wetted sides, `mass_kg` [kg] of wet slurry on it; `density_kg_m3`
    [kg/m3] and `water_share` [-] by mass of the slurry where they were measured.
    """

    id: UUID
    slurry: str
    at: datetime
    area_m2: float
    mass_kg: float
    density_kg_m3: float | None = None
    water_share: float | None = None
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        _check_slurry(self.slurry, self.at, self.water_share)
        check_optional_number("Slurry density", self.density_kg_m3, *SLURRY_DENSITIES)
        check_number("Area of the plate", self.area_m2, 1e-4, 4.0, "m2")
        check_number("Slurry on the plate", self.mass_kg, 1e-5, 20.0, "kg")
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)


@dataclass(frozen=True, slots=True, kw_only=True)
class RheologyTest:
    """How a slurry flows, and how a shell leaves it.

    `viscosity_pa_s` [Pa s], `yield_stress_pa` [Pa], `speed_m_s` [m/s] of the withdrawal,
    `drain_time_s` [s] until the stucco goes on; a withdrawal at a hand's pace, 5 cm/s, and half a
    minute of draining are common practice.
    """

    id: UUID
    slurry: str
    at: datetime
    viscosity_pa_s: float
    density_kg_m3: float
    yield_stress_pa: float = 0.0
    speed_m_s: float = 0.05
    drain_time_s: float = 30.0
    water_share: float | None = None
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        _check_slurry(self.slurry, self.at, self.water_share)
        check_number("Slurry density", self.density_kg_m3, *SLURRY_DENSITIES)
        check_number("Viscosity", self.viscosity_pa_s, 1e-3, 100.0, "Pa s")
        check_number("Yield stress", self.yield_stress_pa, 0.0, 500.0, "Pa")
        check_number("Withdrawal speed", self.speed_m_s, 1e-3, 1.0, "m/s")
        check_number("Drain time", self.drain_time_s, 1.0, 3600.0, "s")
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)


def _check_slurry(slurry: str, at: datetime, water_share: float | None) -> None:
    check_name("Slurry", slurry)
    check_time("Time of the test", at)
    check_optional_number("Water in the slurry", water_share, 0.02, 0.8, "(as a fraction)")


class GrainOrderError(MendableError):
    """A stucco whose finest grain is larger than its coarsest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StuccoGrain:
    """The grains of a stucco as bought: `finest_m` to `coarsest_m` [m], by its sieves.

    `grain_density_kg_m3` [kg/m3] of the mineral itself; None where the table's is to be taken.
    """

    id: UUID
    stucco: str
    finest_m: float
    coarsest_m: float
    grain_density_kg_m3: float | None = None
    note: str = ""
    left_out: str = ""

    def __post_init__(self) -> None:
        check_name("Stucco", self.stucco)
        check_number("Finest grain", self.finest_m, 1e-5, 0.02, "m")
        check_number("Coarsest grain", self.coarsest_m, 1e-5, 0.02, "m")
        check_optional_number("Grain density", self.grain_density_kg_m3, 500.0, 8000.0, "kg/m3")
        check_text("Note", self.note)
        check_text("Reason to leave it out", self.left_out)
        if self.finest_m > self.coarsest_m:
            raise GrainOrderError(
                f"{self.stucco}: its finest grain {self.finest_m:g} m is larger than its coarsest "
                f"{self.coarsest_m:g} m. Change them round."
            )
