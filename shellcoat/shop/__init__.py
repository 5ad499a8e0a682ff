"""The trade's things as immutable records, and the rules that hold between them."""

from shellcoat.shop.air import AirMovement, AirReading, ReadingBatch, Room
from shellcoat.shop.alert_habits import AlertHabits, Broker
from shellcoat.shop.band import Band
from shellcoat.shop.coat import AirAtDip, Coat
from shellcoat.shop.core import CareKind, Core, CoreCare, Opening, OpeningFacing, OpeningShape
from shellcoat.shop.defect import Defect, DefectKind
from shellcoat.shop.dry_check import DryCheck, DryFinding, InfraredReading, Weighing
from shellcoat.shop.entry import (
    AlertMark,
    AlertStep,
    Entry,
    Record,
    ReviewRecord,
    ShellCheck,
    SlurryTest,
    Withdrawal,
)
from shellcoat.shop.ledger import Ledger
from shellcoat.shop.outcome import Outcome, PourResult
from shellcoat.shop.photo import Photo
from shellcoat.shop.review import (
    Decision,
    LookAnswer,
    MeltPlan,
    Review,
    ReviewAnswer,
    ReviewQuestion,
)
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
    "AlertHabits",
    "AlertMark",
    "AlertStep",
    "Band",
    "Broker",
    "CaliperReading",
    "CareKind",
    "Coat",
    "CoatKind",
    "CoatStep",
    "Core",
    "CoreCare",
    "Decision",
    "Defect",
    "DefectKind",
    "DipSequence",
    "DryCheck",
    "DryFinding",
    "Entry",
    "InfraredReading",
    "Ledger",
    "LookAnswer",
    "MeltPlan",
    "Opening",
    "OpeningFacing",
    "OpeningShape",
    "Outcome",
    "Photo",
    "PlateTest",
    "PourResult",
    "ReadingBatch",
    "Record",
    "Review",
    "ReviewAnswer",
    "ReviewQuestion",
    "ReviewRecord",
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
