"""What a check of the review says: a verdict, what was seen, and what would change it.

Sentences are templates with figures in SI beside them; who shows them writes the figures in the
person's units.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop import Band


class Verdict(Enum):
    """What the evidence asks for; none of them lets anybody pour."""

    FINE = "fine"
    LOOK = "look"
    STOP = "stop"


SEVERITY = {Verdict.STOP: 0, Verdict.LOOK: 1, Verdict.FINE: 2}


class CheckKind(Enum):
    """What a check is about, in the order in which a report lists them."""

    COATS = "coats against the sequence"
    INTERVALS = "intervals"
    HOLD = "final hold"
    CORE = "core"
    CORES = "all hollows recorded"
    THICKNESS = "wall against its target"
    STRENGTH = "wall against what the metal needs"
    AIR = "air over the prime coats"
    SURFACE = "cracks, drips and patches"
    DRAINS = "openings for the wax"
    VENTS = "openings for the air"
    CUP_RIM = "rim of the cup"
    REINFORCEMENT = "reinforcement"
    CONSTANT_MASS = "constant weight"
    WEIGHT = "weight against what is expected"
    SLURRY = "slurry on every coat"
    METAL = "metal to melt"
    FIRING = "heating through"


class Measure(Enum):
    """What a figure measures, and so how it is written."""

    COUNT = "count"
    TEXT = "text"
    TIME = "time"
    SPAN_S = "span"
    SHARE = "share"
    CHANCE = "chance"
    THICKNESS_M = "thickness"
    LENGTH_M = "length"
    MASS_KG = "mass"
    WATER_KG = "water"
    STEAM_L = "steam"
    SWING_K = "swing"
    TEMPERATURE_C = "temperature"
    STRAIN = "strain"
    STRESS_PA = "stress"
    PRESSURE_PA = "pressure"
    RATE_KG_H = "rate"


Value = float | str | datetime | Band


@dataclass(frozen=True, slots=True)
class Figure:
    """A value in SI, or a band of them, and what it measures."""

    value: Value
    measure: Measure


@dataclass(frozen=True, slots=True)
class Sentence:
    """A template with the figures that go into it by name."""

    text: str
    figures: tuple[tuple[str, Figure], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewCheck:
    """One check: what is unknown is to be looked at.

    `name` is the core, spot or place it is about; `records` are the ids of the records behind it.
    """

    kind: CheckKind
    verdict: Verdict
    seen: tuple[Sentence, ...]
    would_change: tuple[Sentence, ...]
    records: tuple[UUID, ...] = ()
    name: str = ""


def say(text: str, **figures: Figure) -> Sentence:
    """A sentence with its figures."""
    return Sentence(text, tuple(figures.items()))


def count(number: int) -> Figure:
    """A whole number."""
    return Figure(float(number), Measure.COUNT)


def words(text: str) -> Figure:
    """A person's own words."""
    return Figure(text, Measure.TEXT)


def time(moment: datetime) -> Figure:
    """A moment on the shop's clock."""
    return Figure(moment, Measure.TIME)


def span(seconds: float) -> Figure:
    """A span of time [s]."""
    return Figure(seconds, Measure.SPAN_S)


def worst(verdicts: list[Verdict]) -> Verdict:
    """The gravest of several verdicts; fine where there is none."""
    return min(verdicts, key=SEVERITY.__getitem__, default=Verdict.FINE)
