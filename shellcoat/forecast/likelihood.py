"""How likely each check is for every pair of factors that a coat may have.

A check is a stray one with a small probability and then says nothing, so no single check can
outweigh the rest however wild it is. A touch is censored: it tells only on which side of dry the
wall was, to one person on one coat, whose idea of dry is uncertain itself but the same for every
touch of that coat.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from math import hypot, log, pi, sqrt
from uuid import UUID

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import NDArray

from shellcoat.forecast.check_looks import CheckLook
from shellcoat.forecast.factors import AIR_WEIGHTS, CELLS, Kind, cell_samples, cell_times, kind_of
from shellcoat.forecast.lanes import fine_samples, time_samples
from shellcoat.forecast.starting_values import CheckValues
from shellcoat.shop import DryCheck, DryFinding, InfraredReading, Weighing

Floats = NDArray[np.float64]

_NODES, _raw_weights = hermegauss(7)
PEOPLE, PEOPLE_WEIGHTS = _NODES, _raw_weights / _raw_weights.sum()
"""Standard scores at which a person's idea of dry is taken, and their weights."""

LOGISTIC = pi / sqrt(3.0)
"""Standard deviation of the logistic distribution of unit scale."""

STRAY_RANGE = 30.0
"""A stray figure may lie anywhere within so many standard deviations; from memory."""


@dataclass(frozen=True, slots=True)
class Points:
    """Where a likelihood is read off the lanes: how `times` [s] and other `values` are."""

    times: Callable[[Floats], Floats]
    values: Callable[[Floats], Floats]


ON_CELLS = Points(cell_times, cell_samples)
"""At every cell of the factors in every air [CELLS * airs]: to learn about the shop."""

ON_SAMPLES = Points(time_samples, fine_samples)
"""At the samples on which a coat is forecast [SAMPLES]: to know the checked coat itself."""


@dataclass(frozen=True, slots=True)
class CheckTable:
    """What one check says: its likelihood for each cell in each air and for each person.

    `likelihood` [CELLS * airs, people or 1]; `stray` is the part of it that a stray check has
    everywhere; `expected` [CELLS * airs] what an instrument should have read, `seen` what it did,
    None for a touch.
    """

    look: CheckLook
    likelihood: Floats
    stray: float
    expected: Floats | None = None
    seen: float | None = None


@dataclass(frozen=True, slots=True)
class CoatEvidence:
    """All that checks say of one coat on one wall; `looks` by time, at least one of them telling.

    `weighing_error` is the standard deviation of ln water lost. The tables are made when they are
    asked for: they are a thousand times as large as the looks.
    """

    looks: tuple[CheckLook, ...]
    values: CheckValues
    weighing_error: float = 0.0

    def tables(self, habit: float = 0.0, at: Points = ON_CELLS) -> list[CheckTable]:
        """The tables of its checks by time, if people call it dry so much late in ln time."""
        return _tables(self.looks, self.values, habit, self.weighing_error, at)

    @property
    def telling(self) -> int:
        """How many of the checks say something."""
        return len(self.looks) - len(_first_weighing(self.looks))

    @property
    def kind(self) -> Kind:
        """The kind of crust the coat has."""
        step = self.looks[0].step
        return kind_of(step.slurry, step.stucco)

    @property
    def shell_id(self) -> UUID:
        """The shell it is on."""
        return self.looks[0].shell.id

    @property
    def core_id(self) -> UUID | None:
        """The core it lines, None on the face."""
        return self.looks[0].core_id

    def likelihood(self, habit: float = 0.0) -> Floats:
        """Likelihood of its checks for each pair of factors [CELLS]."""
        return by_cell(together(self.tables(habit)))

    @property
    def pairs(self) -> int:
        """How many weighings are read against the one before."""
        weighings = sum(isinstance(look.check, Weighing) for look in self.looks)
        return weighings - len(_first_weighing(self.looks))


def together(tables: Sequence[CheckTable]) -> Floats:
    """Likelihood of all these checks of one coat [points, people]; one row where there is none."""
    product = np.ones((1, PEOPLE.size))
    for table in tables:
        product = product * table.likelihood
    return product


def by_cell(likelihood: Floats) -> Floats:
    """Average a likelihood [CELLS * airs, people] over people and airs [CELLS]."""
    by_air = np.resize(by_point(likelihood), (CELLS, AIR_WEIGHTS.size))
    cells: Floats = by_air @ AIR_WEIGHTS
    return cells


def by_point(likelihood: Floats) -> Floats:
    """Average a likelihood [points, people] over people [points]."""
    points: Floats = likelihood @ PEOPLE_WEIGHTS
    return points


def coat_evidence(looks: Sequence[CheckLook], values: CheckValues) -> list[CoatEvidence]:
    """Put the looks of each coat on each wall together."""
    ordered = sorted(looks, key=lambda look: (str(look.place), look.check.at, look.check.id))
    coats = (tuple(rows) for _, rows in groupby(ordered, key=lambda look: look.place))
    found = [coat for coat in (CoatEvidence(looks, values) for looks in coats) if coat.telling]
    of_shell: Counter[UUID] = Counter()
    for coat in found:
        of_shell[coat.shell_id] += coat.pairs
    return [
        replace(coat, weighing_error=_weighing_error(of_shell, coat.shell_id, values))
        for coat in found
    ]


def _weighing_error(of_shell: Counter[UUID], shell_id: UUID, values: CheckValues) -> float:
    """Error of ln water lost: of the shell's area, and of the water that its coats bring.

    A shell's area is off by the same at every weighing, a shop's water on every shell. So each is
    widened by the root of how often it enters: all weighings together then tell as little of the
    factors as one with that error.
    """
    return hypot(values.area * sqrt(of_shell[shell_id]), values.coat_water * sqrt(of_shell.total()))


def _first_weighing(looks: Sequence[CheckLook]) -> list[CheckLook]:
    """The weighing that only starts the count, if any; all of them where the area is not known."""
    weighings = [look for look in looks if isinstance(look.check, Weighing)]
    known = looks[0].shell.area_m2 is not None
    return weighings[:1] if known else weighings


def _tables(
    looks: Sequence[CheckLook],
    values: CheckValues,
    habit: float,
    weighing_error: float,
    at: Points,
) -> list[CheckTable]:
    """The tables of one coat's checks by time; its first weighing only starts the count."""
    weighings = [look for look in looks if isinstance(look.check, Weighing)]
    tables = [_touch(look, values, habit, at) for look in looks if isinstance(look.check, DryCheck)]
    tables += [
        _infrared(look, values, at) for look in looks if isinstance(look.check, InfraredReading)
    ]
    tables += [
        _weighing(before, after, values, weighing_error, at)
        for before, after in pairwise(weighings)
        if after.shell.area_m2 is not None
    ]
    return tables


def _touch(look: CheckLook, values: CheckValues, habit: float, at: Points) -> CheckTable:
    """A finger, or an eye, on one side of dry."""
    limit = np.log(at.times(look.dry_after_s))[:, None] + habit + values.touch * PEOPLE
    score = (log(look.since_s) - limit) / values.touch_again
    dry = 1.0 / (1.0 + np.exp(-np.clip(LOGISTIC * score, -60.0, 60.0)))
    assert isinstance(look.check, DryCheck)  # noqa: S101 - tells the type checker
    found = dry if look.check.finding is DryFinding.DRY else 1.0 - dry
    stray = 0.5 * values.stray_share
    return CheckTable(look, (1.0 - values.stray_share) * found + stray, stray)


def _infrared(look: CheckLook, values: CheckValues, at: Points) -> CheckTable:
    """A surface so much colder than the air."""
    check = look.check
    assert isinstance(check, InfraredReading)  # noqa: S101 - tells the type checker
    own = check.air_temp_c is not None
    air_c = check.air_temp_c if check.air_temp_c is not None else look.air_temp_c
    error = values.infrared_k if own else values.infrared_room_k
    expected = at.values(look.drop_k)
    return _measured(look, expected, air_c - check.surface_temp_c, np.full(1, error), values)


def _weighing(
    before: CheckLook,
    after: CheckLook,
    values: CheckValues,
    weighing_error: float,
    at: Points,
) -> CheckTable:
    """So much water gone from the wall between two weighings of one coat, read as a logarithm."""
    first, second = before.check, after.check
    assert isinstance(first, Weighing)  # noqa: S101 - tells the type checker
    assert isinstance(second, Weighing)  # noqa: S101 - tells the type checker
    scale = sqrt(2.0) * values.scale_share * second.mass_kg
    area = after.shell.area_m2 or 0.0
    lost = np.maximum(at.values(area * (before.water - after.water)), 0.1 * scale)
    seen = first.mass_kg - second.mass_kg
    error = np.hypot(weighing_error, scale / lost)
    table = _measured(after, np.log(lost), log(max(seen, 0.1 * scale)), error, values)
    return replace(table, expected=lost, seen=seen)


def _measured(
    look: CheckLook, expected: Floats, seen: float, error: Floats, values: CheckValues
) -> CheckTable:
    """A figure with its error: normal about what was expected, or a stray one anywhere."""
    usual = float(np.median(error))
    score = (seen - expected) / error
    near = usual / error * np.exp(-0.5 * score * score)
    stray = values.stray_share * sqrt(2.0 * pi) / STRAY_RANGE
    likelihood = ((1.0 - values.stray_share) * near + stray)[:, None]
    return CheckTable(look, likelihood, stray, expected, seen)
