"""How thick a wall is by place, and what moved the estimate, as the pages show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop import Band, WallPlace


class WallEvidence(Enum):
    """What the thickness of a wall can be told from."""

    SEQUENCE = "the sequence's figures"
    PLATE = "plate test and stucco size"
    RHEOLOGY = "rheology and stucco size"
    CALIPER = "caliper"
    WEIGHING = "weighing"


@dataclass(frozen=True, slots=True, kw_only=True)
class WallMove:
    """One piece of evidence and what it did to the estimate of the wall on the flats.

    `expected_m` [m] the thickness expected where it was measured (of the flats for a weighing),
    `seen_m` [m] what it says there, `before_m` and `after_m` [m] the wall on the flats now,
    without and with this and all earlier evidence; `wild` the probability that it is a stray
    one. `check_id` is None for the sequence's own figures and for tests of slurry and stucco,
    which `name` names.
    """

    evidence: WallEvidence
    name: str
    expected_m: Band
    seen_m: float | None
    before_m: Band
    after_m: Band
    at: datetime | None = None
    check_id: UUID | None = None
    place: WallPlace = WallPlace.FLAT
    wild: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceAnswer:
    """The wall at one kind of place [m], now and once all coats are on, against its target [m].

    `chance_at_end` that the finished wall reaches the target there; `readings` taken there.
    """

    place: WallPlace
    now_m: Band
    at_end_m: Band
    target_m: float
    chance_at_end: float
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WallAnswer:
    """The wall of one shell as all evidence has it.

    `mass_expected_kg` [kg] of shell and wax now, None where area or wax mass is not known;
    `mass_seen_kg` [kg] the latest weighing and when, with what was expected at that moment.
    """

    shell_id: UUID
    places: tuple[PlaceAnswer, ...]
    moves: tuple[WallMove, ...]
    mass_expected_kg: Band | None = None
    mass_seen_kg: float | None = None
    mass_seen_at: datetime | None = None
    mass_expected_then_kg: Band | None = None
