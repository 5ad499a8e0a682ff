"""The trade's things as immutable records, and the rules that hold between them."""

from shellcoat.shop.air import AirMovement, AirReading, ReadingBatch, Room
from shellcoat.shop.band import Band
from shellcoat.shop.coat import AirAtDip, Coat
from shellcoat.shop.core import CareKind, Core, CoreCare, Opening, OpeningFacing, OpeningShape
from shellcoat.shop.dry_check import DryCheck, DryFinding, InfraredReading, Weighing
from shellcoat.shop.entry import (
    AlertMark,
    AlertStep,
    Entry,
    Record,
    ShellCheck,
    SlurryTest,
    Withdrawal,
)
from shellcoat.shop.ledger import Ledger
from shellcoat.shop.sequence import AirLimits, CoatKind, CoatStep, DipSequence
from shellcoat.shop.shell import Shell, ShellState
from shellcoat.shop.shop import Shop
from shellcoat.shop.stress import SpotKind, StressSpot
from shellcoat.shop.wall_check import (
    CaliperReading,
    PlateTest,
    RheologyTest,
    StuccoGrain,
    WallPlace,
)

__all__ = [
    "AirAtDip",
    "AirLimits",
    "AirMovement",
    "AirReading",
    "AlertMark",
    "AlertStep",
    "Band",
    "CaliperReading",
    "CareKind",
    "Coat",
    "CoatKind",
    "CoatStep",
    "Core",
    "CoreCare",
    "DipSequence",
    "DryCheck",
    "DryFinding",
    "Entry",
    "InfraredReading",
    "Ledger",
    "Opening",
    "OpeningFacing",
    "OpeningShape",
    "PlateTest",
    "ReadingBatch",
    "Record",
    "RheologyTest",
    "Room",
    "Shell",
    "ShellCheck",
    "ShellState",
    "Shop",
    "SlurryTest",
    "SpotKind",
    "StressSpot",
    "StuccoGrain",
    "WallPlace",
    "Weighing",
    "Withdrawal",
]
