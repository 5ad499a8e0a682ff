"""The trade's things as immutable records, and the rules that hold between them."""

from shellcoat.shop.air import AirMovement, AirReading, ReadingBatch, Room
from shellcoat.shop.band import Band
from shellcoat.shop.coat import AirAtDip, Coat
from shellcoat.shop.core import CareKind, Core, CoreCare, Opening, OpeningFacing, OpeningShape
from shellcoat.shop.entry import AlertMark, AlertStep, Entry, Record, Withdrawal
from shellcoat.shop.ledger import Ledger
from shellcoat.shop.sequence import AirLimits, CoatKind, CoatStep, DipSequence
from shellcoat.shop.shell import Shell, ShellState
from shellcoat.shop.shop import Shop
from shellcoat.shop.stress import SpotKind, StressSpot

__all__ = [
    "AirAtDip",
    "AirLimits",
    "AirMovement",
    "AirReading",
    "AlertMark",
    "AlertStep",
    "Band",
    "CareKind",
    "Coat",
    "CoatKind",
    "CoatStep",
    "Core",
    "CoreCare",
    "DipSequence",
    "Entry",
    "Ledger",
    "Opening",
    "OpeningFacing",
    "OpeningShape",
    "ReadingBatch",
    "Record",
    "Room",
    "Shell",
    "ShellState",
    "Shop",
    "SpotKind",
    "StressSpot",
    "Withdrawal",
]
