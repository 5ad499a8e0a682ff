"""What each core's openings let through, coat by coat and hour by hour.

The conductance of the openings follows from the physics of breathing hollows. It is found in the
mean air of the day after each dip for a row of crust resistances, all cores at once, and read
off between them while the front recedes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_track import STEP_S
from shellcoat.forecast.drying import AirStack, CoatBatch
from shellcoat.forecast.lanes import Lanes
from shellcoat.forecast.starting_values import CoreValues
from shellcoat.forecast.times import seconds
from shellcoat.physics import evaporation
from shellcoat.physics.cavity import core_air, inner_film
from shellcoat.physics.vents import Facing, Openings, hydraulic_opening
from shellcoat.physics.vents import OpeningShape as Outline
from shellcoat.shop import CareKind, Core, CoreCare, Opening, OpeningFacing, OpeningShape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DAY_STEPS = 144
"""Steps of the coming day, whose mean air sets the breathing."""

CUBE_FACES = 6.0
"""A hollow is taken as a cube of its wetted wall to find the width between its walls."""

_FACINGS = {
    OpeningFacing.UP: Facing.UP,
    OpeningFacing.SIDE: Facing.SIDE,
    OpeningFacing.DOWN: Facing.DOWN,
}
_OUTLINES = {
    OpeningShape.ROUND: Outline.ELLIPSE,
    OpeningShape.IRREGULAR: Outline.ELLIPSE,
    OpeningShape.SLOT: Outline.RECTANGLE,
}


@dataclass(frozen=True, slots=True)
class Period:
    """A stretch over which a core is treated alike: until when [s], turned or not, air blown in.

    `flow_m3_s` [m3/s]; `shut` while its openings are plugged; `widened_m` [m] by how much its
    openings were widened.
    """

    until_s: float
    turned: bool = False
    flow_m3_s: float = 0.0
    shut: bool = False
    widened_m: float = 0.0


def periods(core: Core, care: Sequence[CoreCare], start_s: float, end_s: float) -> list[Period]:
    """What was, and is, done to a core from `start_s` to `end_s` [s]."""
    own = [act for act in care if act.core_id in (None, core.id) and not _over(act, start_s)]
    marks = {seconds(act.at) for act in own} | {seconds(act.until) for act in own if act.until}
    cuts = sorted(mark for mark in marks if start_s < mark < end_s)
    edges = [start_s, *cuts, end_s]
    return [_period(own, 0.5 * (first + last), last) for first, last in pairwise(edges)]


def _over(act: CoreCare, dipped_s: float) -> bool:
    """Whether a blowing without an end of its own ended with this dip."""
    endless = act.kind is CareKind.BLOW and act.until is None
    return endless and seconds(act.at) < dipped_s


def _period(care: Sequence[CoreCare], moment_s: float, until_s: float) -> Period:
    past = [act for act in care if seconds(act.at) <= moment_s]
    turns = sum(act.kind is CareKind.TURN for act in past)
    shutting = [act.kind for act in past if act.kind in (CareKind.PLUG, CareKind.OPEN)]
    flows = [
        act.flow_m3_s or 0.0
        for act in past
        if act.kind is CareKind.BLOW and (act.until is None or moment_s < seconds(act.until))
    ]
    return Period(
        until_s=until_s,
        turned=turns % 2 == 1,
        flow_m3_s=sum(flows),
        shut=bool(shutting) and shutting[-1] is CareKind.PLUG,
    )


def changed_from(schedule: Sequence[Period], now_s: float, change: Period) -> list[Period]:
    """The same schedule, but from `now_s` [s] on with what `change` brings on top."""
    before = [replace(one, until_s=min(one.until_s, now_s)) for one in _until(schedule, now_s)]
    after = [
        replace(
            one,
            turned=one.turned != change.turned,
            flow_m3_s=one.flow_m3_s + change.flow_m3_s,
            widened_m=one.widened_m + change.widened_m,
        )
        for one in schedule
        if one.until_s > now_s
    ]
    return [*before, *after]


def _until(schedule: Sequence[Period], now_s: float) -> list[Period]:
    """The periods that begin before `now_s`."""
    begins = [-np.inf, *(one.until_s for one in schedule[:-1])]
    return [one for one, begin in zip(schedule, begins, strict=True) if begin < now_s]


def openings_of(core: Core, wall_m: float, gap_m: float, *, turned: bool) -> Openings | None:
    """A core's openings under `wall_m` [m] of coats; None when none is open any more."""
    narrow = [_narrowed(one, wall_m, turned=turned) for one in core.openings]
    still = [one for one in narrow if one.width_m > gap_m]
    if not still:
        return None
    sizes = [hydraulic_opening(o.width_m, o.height_m, _OUTLINES[o.shape]) for o in still]
    top = max(one.level_m for one in still)
    levels = [top - one.level_m if turned else one.level_m for one in still]
    return Openings.checked(
        np.array([size.area_m2 for size in sizes], dtype=float),
        np.array([size.equivalent_diameter_m for size in sizes], dtype=float),
        np.array([one.height_m for one in still]),
        np.array([one.neck_m + max(wall_m, 0.0) for one in still]),
        np.array(levels),
        np.array([float(_FACINGS[one.facing]) for one in still]),
    )


@dataclass(frozen=True, slots=True)
class _Narrowed:
    shape: OpeningShape
    width_m: float
    height_m: float
    neck_m: float
    level_m: float
    facing: OpeningFacing


def _narrowed(one: Opening, wall_m: float, *, turned: bool) -> _Narrowed:
    return _Narrowed(
        one.shape,
        max(one.width_m - 2.0 * wall_m, 0.0),
        max(one.height_m - 2.0 * wall_m, 0.0),
        one.neck_m,
        one.level_m,
        one.facing.turned if turned else one.facing,
    )


@dataclass(frozen=True, slots=True)
class CoreVents:
    """The way out of each core of a batch, as `dry_out` wants it.

    `until_s` [cores, periods] ends of the periods, `conductance` [cores, periods, crusts, vents]
    in m3/s for crust resistances from nought to `crust_end` [cores] in s/m and for each vent
    factor, `vent` [lanes] which of them a lane has, `area_m2`, `h_c` [cores], `h_r` inside the
    core.
    """

    until_s: Floats
    conductance: Floats
    crust_end: Floats
    vent: Ints
    area_m2: Floats
    h_c: Floats
    h_r: float

    def over(self, air: AirStack, batch: CoatBatch, rows: Ints, steps: Ints) -> _CoreWay:
        """Lay the way out for some cores over some steps."""
        inside = np.clip(steps, 0, air.steps - 1)
        room = batch.room[:, None]
        begin = np.maximum(air.start_s + STEP_S * steps, batch.start_s[:, None])
        period = (begin[:, :, None] >= self.until_s[rows][:, None, :]).sum(axis=2)
        period = np.minimum(period, self.until_s.shape[1] - 1)
        h_c = self.h_c[rows][:, None]
        speed = evaporation.mass_transfer_coefficient(
            h_c, air.temp_c[room, inside], air.pressure_pa
        )
        film = 1.0 / np.asarray(speed, dtype=np.float64)
        film = film + air.heat[room, inside] / (h_c + self.h_r)
        per_metre = (CRUSTS - 1) / (self.crust_end[rows][:, None] * batch.wall.crust_diffusivity)
        return _CoreWay(
            film, self.conductance[rows], self.vent, period, self.area_m2[rows], per_metre
        )


@dataclass(frozen=True, slots=True)
class _CoreWay:
    """`per_metre` [cores, lanes] how many steps of the crust table a metre of front is."""

    film: Floats
    conductance: Floats
    vent: Ints
    period: Ints
    area_m2: Floats
    per_metre: Floats

    def at(self, step: int, front: Floats) -> Floats:
        """Inner film, heat supply and openings in series [cores, lanes]."""
        place = np.clip(front * self.per_metre, 0.0, CRUSTS - 1.0)
        low = np.minimum(place.astype(np.int64), CRUSTS - 2)
        core = np.arange(self.area_m2.size)[:, None]
        period = self.period[:, step, None]
        near = self.conductance[core, period, low, self.vent]
        far = self.conductance[core, period, low + 1, self.vent]
        open_way = near + (far - near) * (place - low)
        total: Floats = self.film[:, step, None] + self.area_m2[:, None] / open_way
        return total


SHUT_M3_S = 1e-12
"""What a closed core still lets through [m3/s]: nothing that could be told from nothing."""

CRUSTS = 17
"""Crust resistances at which the breathing of a core is found. Between two of them it is read
off straight, which matters where the breathing stops on the way: against a solution at every
front the dry time is then early by a few per cent at most."""


def core_vents(
    cores: Sequence[Core],
    walls_m: Sequence[float],
    schedule: Sequence[Sequence[Period]],
    air: AirStack,
    batch: CoatBatch,
    known_s: Sequence[float],
    lanes: Lanes,
    values: CoreValues,
) -> CoreVents:
    """Find what every core lets through in each of its periods.

    `known_s` [s] says for each core up to when its air may be looked at.
    """
    most = max(len(one) for one in schedule)
    factors, vent = np.unique(lanes.film, return_inverse=True)
    h_c = np.array([_inner_film(core) for core in cores])
    crust_end = (batch.wall.depth / batch.wall.crust_diffusivity).max(axis=1)
    means = [_mean_air(air, batch, row, known_s[row]) for row in range(len(cores))]
    ways = [
        _Way(row, number, core, openings, period.flow_m3_s)
        for row, core in enumerate(cores)
        for number, period in enumerate(schedule[row])
        if (openings := _open_in(core, walls_m[row], period, values)) is not None
    ]
    conductance = np.full((len(cores), most, CRUSTS, factors.size), SHUT_M3_S)
    if ways:
        found = _conductances(ways, means, h_c, crust_end, factors, values, air.pressure_pa)
        rows, numbers = [way.row for way in ways], [way.period for way in ways]
        conductance[rows, numbers] = np.maximum(found, SHUT_M3_S)
    until = np.full((len(cores), most), np.inf)
    for row, one in enumerate(schedule):
        until[row, : len(one) - 1] = [period.until_s for period in one[:-1]]
    area = np.array([core.area_m2 for core in cores])
    return CoreVents(until, conductance, crust_end, vent, area, h_c, values.wall_heat_w_m2k)


@dataclass(frozen=True, slots=True)
class _Way:
    """One core in one period with what is open of it."""

    row: int
    period: int
    core: Core
    openings: Openings
    flow_m3_s: float


def _open_in(core: Core, wall_m: float, period: Period, values: CoreValues) -> Openings | None:
    """What is open of a core in a period; None where nothing is."""
    if period.shut:
        return None
    clear = wall_m - 0.5 * period.widened_m
    return openings_of(core, clear, values.bridging_gap_m, turned=period.turned)


def _conductances(
    ways: Sequence[_Way],
    means: Sequence[tuple[float, float]],
    h_c: Floats,
    crust_end: Floats,
    factors: Floats,
    values: CoreValues,
    pressure_pa: float,
) -> Floats:
    """Conductance of all ways at once [ways, crusts, vents] in m3/s."""
    rows = [way.row for way in ways]

    def column(numbers: Sequence[float] | Floats) -> Floats:
        return np.asarray(numbers, dtype=np.float64)[:, None, None]

    share = np.linspace(0.0, 1.0, CRUSTS)[None, :, None]
    found = core_air(
        column([means[row][0] for row in rows]),
        column([means[row][1] for row in rows]),
        column([way.core.area_m2 for way in ways]),
        _side_by_side([way.openings for way in ways]),
        column(h_c[rows]),
        values.wall_heat_w_m2k,
        crust_resistance=share * column(crust_end[rows]),
        forced_flow_m3_s=column([way.flow_m3_s for way in ways]),
        vent_factor=1.0 / factors[None, None, :],
        pressure_pa=pressure_pa,
    )
    return np.asarray(found.conductance_m3_s, dtype=np.float64)


def _side_by_side(openings: Sequence[Openings]) -> Openings:
    """The openings of many cores as one, filled up with openings of no area."""
    most = max(one.area_m2.size for one in openings)
    names = ("area_m2", "diameter_m", "rise_m", "neck_length_m", "level_m", "facing")
    columns = []
    for name in names:
        rows = np.stack(
            [np.resize(_filled(getattr(one, name), most, name), most) for one in openings]
        )
        columns.append(rows[:, None, None, :])
    return Openings(*columns)


def _filled(values: Floats, most: int, name: str) -> Floats:
    """One core's values, then nought for the area and its first opening's for the rest."""
    filler = 0.0 if name == "area_m2" else values[0]
    return np.append(values, np.full(most - values.size, filler))


def _inner_film(core: Core) -> float:
    return float(inner_film(float(np.sqrt(core.area_m2 / CUBE_FACES)), 1.0))


def _mean_air(air: AirStack, batch: CoatBatch, row: int, known_s: float) -> tuple[float, float]:
    """Mean temperature [°C] and humidity of the day after the dip."""
    room = int(batch.room[row])
    first = int(np.clip((batch.start_s[row] - air.start_s) // STEP_S, 0, air.steps - 1))
    known = int((known_s - air.start_s) // STEP_S) + 1
    day = slice(first, min(first + DAY_STEPS, max(known, first + 1)))
    temp = float(air.temp_c[room, day].mean())
    share = air.deficit[room, 0, day] / air.full[room, day]
    return temp, float(np.clip(1.0 - share.mean(), 0.0, 1.0))


def is_closed(core: Core, wall_m: float, gap_m: float) -> bool:
    """Whether slurry or stucco has bridged every opening under `wall_m` [m] of coats."""
    return widest_m(core, wall_m) <= gap_m


def closing_coats(core: Core, coats_m: Sequence[float], gap_m: float) -> int | None:
    """The coat, counted from 1, after which none of the core's openings is open."""
    wall = 0.0
    for number, thickness in enumerate(coats_m, start=1):
        wall += thickness
        if is_closed(core, wall, gap_m):
            return number
    return None


def widest_m(core: Core, wall_m: float) -> float:
    """The clear width of the widest opening under `wall_m` of coats [m]; 0 without one."""
    widths: Iterator[float] = (one.width_m - 2.0 * wall_m for one in core.openings)
    return max(max(widths, default=0.0), 0.0)
