"""What a shop's own checks have taught the forecast, as the pages show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop import Band


class FactorKind(Enum):
    """Which unknown a factor multiplies."""

    FILM = "air film"
    CRUST = "crust"
    VENT = "openings of a core"


@dataclass(frozen=True, slots=True, kw_only=True)
class FactorAnswer:
    """One unknown factor on a resistance: 1 is what the tables say, 1.3 is slower by 30 %.

    `before` and `now` are the 10th, 50th and 90th percentile without and with the checks that
    count, of which `checks` bear on it. A crust belongs to a `slurry` and a `stucco`, a vent to
    a core (`core_id`) of a shell (`shell_id`).
    """

    kind: FactorKind
    before: Band
    now: Band
    checks: int
    slurry: str = ""
    stucco: str = ""
    shell_id: UUID | None = None
    core_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualCoat:
    """What the checks change for a coat of one slurry and stucco in usual air.

    Seconds [s] until it is likely and safely dry, before any check and now.
    """

    slurry: str
    stucco: str
    likely_before_s: float
    safe_before_s: float
    likely_s: float
    safe_s: float


class Silence(Enum):
    """Why a check teaches nothing about drying."""

    NO_COAT = "no coat was on"
    LEFT_OUT = "left out"
    TOO_OLD = "older than half a year"
    NO_AREA = "the area of the shell is not known"
    NO_PAIR = "no second weighing under the same coat"
    NO_CORE = "the core is no longer among those of the shell"
    NOT_DRYING = "says how thick the wall is, not how it dries"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What one check taught.

    `coat_number` is the coat it was made on (0 before any). `chance` is the probability that the
    other checks gave to what a touch found; for a measured figure None, and `expected` is the
    band of what the others expected, `seen` what was measured, in the check's own unit in SI
    ([°C] below the air for an infrared reading, [kg] lost for a weighing). `wild` is the
    probability that the check is a stray one, as the program sees it. `pace` is the factor by
    which it moves the safe time of a usual coat of its kind: 0.9 is a tenth sooner. `silence`
    tells why it teaches nothing, None where it does.
    """

    check_id: UUID
    shell_id: UUID
    at: datetime
    coat_number: int
    chance: float | None = None
    expected: Band | None = None
    seen: float | None = None
    wild: float = 0.0
    pace: float = 1.0
    silence: Silence | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Everything the checks have taught so far.

    `factors`: first the air film, then the crusts by slurry and stucco, then the vents;
    `lessons` newest first.
    """

    factors: tuple[FactorAnswer, ...] = ()
    usual_coats: tuple[UsualCoat, ...] = ()
    lessons: tuple[Lesson, ...] = ()
