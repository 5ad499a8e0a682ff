"""What the forecast answers about a shell: dry state, times with their spread, warnings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.shop import Band, CoatStep


class DryState(Enum):
    """Where the present coat stands between wet and dry."""

    BARE = "no coat yet"
    WET = "wet"
    LIKELY_DRY = "likely dry"
    DRY = "dry"
    OUT_OF_SIGHT = "will not dry in this air"


class WarningKind(Enum):
    """Why a person should look at a shell or its air."""

    DIPPED_EARLY = "dipped before its safe time"
    ROOM_SWING = "room swing over a prime coat"
    AIR_TOO_DRY = "air too dry and fast for a prime coat"
    AIR_TOO_HUMID = "air too humid for this coat"
    NO_RECENT_READING = "no recent air reading"
    NO_READING = "no air reading at all"
    NOT_DRYING = "will not dry in this air"
    CORE_WET = "core not dry by the next dip"
    CORE_CLOSING = "core opening about to close"
    CORE_LOCKED = "water locked in a closed core"


@dataclass(frozen=True, slots=True)
class ShellWarning:
    """One reason to look: the coat it is about, what was seen and the limit it passed, in SI.

    `seen` and `limit` are temperature differences [K], humidities or shares as fractions, an age
    [s], water [kg] or a width [m], as the kind says; None where there is nothing to compare.
    `core` names the core where it is about one.
    """

    kind: WarningKind
    coat_number: int | None = None
    seen: float | None = None
    limit: float | None = None
    core: str = ""


class AirBasis(Enum):
    """What the air under a forecast rests on."""

    READINGS = "readings"
    OLD_READINGS = "old readings"
    ASSUMED = "assumed air"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatAnswer:
    """One coat on the shell, as the forecast sees it.

    `number` counts from 1 by time; `thickness_m` [m] what it is expected to have built;
    `water_kg_m2` [kg/m2] the water the wall held just after the dip and `wetted_depth_m` [m] how
    deep it went; `left_before` the share of the wall's water that was still there when this coat
    went on (low, likely, high), and `dipped_early` whether that was before the safe time;
    `likely_at` and `safe_at` when this coat was (or will be, or would have been) dry, None when
    that lies beyond the horizon.
    """

    coat_id: UUID
    number: int
    thickness_m: Band
    water_kg_m2: float
    wetted_depth_m: float
    left_before: Band
    likely_at: datetime | None
    safe_at: datetime | None
    dipped_early: bool


class ActionKind(Enum):
    """What could be done about a core that dries too slowly."""

    BLOW = "blow air in"
    TURN = "turn it upside down"
    WIDEN = "widen the opening"
    PLUG = "plug it once dry"
    WAIT = "wait"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreAction:
    """One thing to do about a core, and what it would gain, computed like the forecast itself.

    `amount` is the air flow [m3/s] of BLOW, the width [m] of WIDEN, the coat after which to PLUG,
    the seconds [s] of WAIT, None for TURN; `safe_at` when the core would then be safely dry,
    `gain_s` [s] how much sooner than if nothing is done (for PLUG: than with the next coat in it
    as well), and `at_least` that it is even more, since otherwise the core would not dry within
    the horizon. `lasts_s` [s] is how long air has to be blown in.
    """

    kind: ActionKind
    amount: float | None
    safe_at: datetime | None
    gain_s: float
    at_least: bool = False
    lasts_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreAnswer:
    """One core of a shell, as the forecast sees it.

    `likely_at`, `safe_at` when its wall is dry, None when not within the horizon; `chance_dry`
    the probability that it is dry now, `chance_by_due` by the time the face is safely dry;
    `water_kg` [kg] still held (low, likely, high), `dry_kg` [kg] what a dry core may hold, and
    `steam_l` [L] what it would make at 100 °C;
    `width_m` [m] the smallest clear width of its widest opening now, `closes_at` the coat that
    bridges the last opening (early, likely, late; None where no planned coat does), `closed`
    whether that has happened, `plugged` whether somebody plugged it.
    """

    core_id: UUID
    name: str
    likely_at: datetime | None
    safe_at: datetime | None
    chance_dry: float
    chance_by_due: float
    water_kg: Band
    dry_kg: float
    steam_l: Band
    width_m: float
    closes_at: tuple[int | None, int | None, int | None]
    closed: bool
    plugged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShellForecast:
    """Everything the pages say about one shell at one moment.

    `water_left` is the share of the present coat's water still in the wall (low, likely, high),
    `chance_dry` the probability that it is dry now. `due_at` is when the next act is due: the
    next dip at the safe time, or after the last coat the end of the final hold. None means now
    or, where `state` is OUT_OF_SIGHT, not within the horizon. `coming_m` [m] is what each coat
    still to come is expected to build.
    """

    shell_id: UUID
    made_at: datetime
    coats_on: int
    coats_planned: int
    state: DryState
    likely_at: datetime | None
    safe_at: datetime | None
    due_at: datetime | None
    chance_dry: float
    water_left: Band
    thickness_m: Band
    thickness_at_end_m: Band
    coming_m: tuple[Band, ...]
    next_step: CoatStep | None
    coats: tuple[CoatAnswer, ...]
    warnings: tuple[ShellWarning, ...]
    air_basis: AirBasis
    last_reading_at: datetime | None
    cores: tuple[CoreAnswer, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingCurve:
    """Share of the present coat's water left over time, for the plot on the shell page.

    `at` are UTC times, the three lists shares from 0 to 1; `now_index` splits past and future.
    """

    at: tuple[datetime, ...]
    low: tuple[float, ...]
    likely: tuple[float, ...]
    high: tuple[float, ...]
    now_index: int
    dry_share: float
