"""From checks to what they taught: the knowledge the forecast works with, and its account."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.factors import (
    AIR_WEIGHTS,
    FactorBelief,
    FactorGrid,
    Kind,
    MixedBelief,
    factor_quantiles,
    kind_of,
    shop_table,
)
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.lanes import TENTHS, quantiles
from shellcoat.forecast.learned import FactorAnswer, FactorKind, Learned, Lesson, UsualCoat
from shellcoat.forecast.likelihood import (
    ON_SAMPLES,
    PEOPLE_WEIGHTS,
    CheckTable,
    CoatEvidence,
    by_cell,
    by_point,
    together,
)
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.usual_coat import usual_coat_samples
from shellcoat.shop import Band, CoatStep

Floats = NDArray[np.float64]

HABIT_SCORES = (-(3.0**0.5), 0.0, 3.0**0.5)
HABIT_SHARES = (1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0)
"""Standard scores and weights of habits: three nodes of Gauss and Hermite, exact to the fifth
moment (M. Abramowitz and I. A. Stegun, "Handbook of Mathematical Functions", 1964, table 25.10).
"""


def weigh_evidence(evidence: Sequence[CoatEvidence], values: StartingValues) -> Knowledge:
    """What is believed once all checks are in."""
    before = Knowledge.before_checks(values)
    if not evidence:
        return before
    grid, core_grid = before.faces.grid, before.unchecked_core.grid
    habits = tuple(score * values.checks.touch_habit for score in HABIT_SCORES)
    parts = [FactorBelief(grid, _tables(evidence, None, grid, habit)) for habit in habits]
    checked = {coat.core_id for coat in evidence if coat.core_id is not None}
    cores = {
        core_id: FactorBelief(core_grid, _tables(evidence, core_id, core_grid, 0.0))
        for core_id in checked
    }
    faces = MixedBelief(tuple(parts), habits, HABIT_SHARES)
    shop = Knowledge(faces, before.unchecked_core, cores)
    return replace(shop, own={coat.looks[0].place: _of_itself(coat, shop) for coat in evidence})


def _of_itself(coat: CoatEvidence, shop: Knowledge) -> Floats:
    """Weights of the samples [SAMPLES] of a coat that was checked itself.

    What the other coats say of the shop, spread over coats, and then what was found on this very
    one: a wall that was found wet has not been dry since noon.
    """
    belief, kind = belief_about(coat, shop), coat.kind
    by_habit = [coat.tables(habit) for habit in belief.habits]
    others = belief.with_tables(kind, _elsewhere(belief, kind, by_habit))
    rows = [
        weight * part.samples_of_coat(kind) * by_point(together(coat.tables(habit, ON_SAMPLES)))
        for weight, part, habit in zip(others.weights, others.parts, others.habits, strict=True)
    ]
    weights = np.sum(rows, axis=0)
    total: Floats = weights / weights.sum()
    return total


def belief_about(coat: CoatEvidence, shop: Knowledge) -> MixedBelief:
    """What is believed about the wall a coat is on: the shop's faces, or its core."""
    if coat.core_id is None:
        return shop.faces
    return MixedBelief((shop.of_core(coat.core_id),))


def _tables(
    evidence: Sequence[CoatEvidence], core_id: UUID | None, grid: FactorGrid, habit: float
) -> dict[Kind, Floats]:
    """The logarithm of the likelihood of all checks on a face, or in one core, by kind."""
    tables: dict[Kind, Floats] = {}
    for coat in evidence:
        if coat.core_id == core_id:
            table = shop_table(coat.likelihood(habit), grid)
            tables[coat.kind] = tables.get(coat.kind, 0.0) + table
    return tables


@dataclass(frozen=True, slots=True)
class Account:
    """Tells what the checks have taught, with `safe_quantile` as the shop's idea of safe."""

    knowledge: Knowledge
    evidence: Sequence[CoatEvidence]
    values: StartingValues
    safe_quantile: float

    def learned(self) -> Learned:
        """The whole account; the silent checks are left to whoever knows why they are silent."""
        return Learned(
            factors=tuple(self._factors()),
            usual_coats=tuple(self._usual_coats()),
            lessons=tuple(lesson for coat in self.evidence for lesson in self._lessons(coat)),
        )

    # the factors

    def _factors(self) -> Iterator[FactorAnswer]:
        faces = self.knowledge.faces
        grid = faces.grid
        on_faces = [coat for coat in self.evidence if coat.core_id is None]
        yield FactorAnswer(
            kind=FactorKind.FILM,
            before=_band(grid.first_log, grid.first_prior),
            now=_band(grid.first_log, faces.first()),
            checks=_count(on_faces),
        )
        for kind in faces.kinds:
            own = [coat for coat in on_faces if coat.kind == kind]
            step = own[0].looks[0].step
            yield FactorAnswer(
                kind=FactorKind.CRUST,
                before=_band(grid.second_log, grid.second_prior),
                now=_band(grid.second_log, faces.second(kind)),
                checks=_count(own),
                slurry=step.slurry,
                stucco=step.stucco,
            )
        for core_id in self.knowledge.cores:
            yield self._vent(core_id)

    def _vent(self, core_id: UUID) -> FactorAnswer:
        belief = self.knowledge.of_core(core_id)
        own = [coat for coat in self.evidence if coat.core_id == core_id]
        return FactorAnswer(
            kind=FactorKind.VENT,
            before=_band(belief.grid.first_log, belief.grid.first_prior),
            now=_band(belief.grid.first_log, belief.first()),
            checks=_count(own),
            shell_id=own[0].looks[0].shell.id,
            core_id=core_id,
        )

    # what it means for a usual coat

    def _usual_coats(self) -> Iterator[UsualCoat]:
        before = Knowledge.before_checks(self.values)
        for step in self._steps():
            samples = usual_coat_samples(step, self.values)
            shares = (0.5, self.safe_quantile)
            kind = kind_of(step.slurry, step.stucco)
            first = quantiles(samples, shares, before.faces.samples_of_coat(kind))
            now = quantiles(samples, shares, self.knowledge.faces.samples_of_coat(kind))
            yield UsualCoat(
                slurry=step.slurry,
                stucco=step.stucco,
                likely_before_s=float(first[0]),
                safe_before_s=float(first[1]),
                likely_s=float(now[0]),
                safe_s=float(now[1]),
            )

    def _steps(self) -> list[CoatStep]:
        """One step of each kind that was checked on a face, the most checked first."""
        on_faces = [coat for coat in self.evidence if coat.core_id is None]
        kinds = {coat.kind: coat.looks[0].step for coat in on_faces}
        number = {k: _count([coat for coat in on_faces if coat.kind == k]) for k in kinds}
        return [kinds[kind] for kind in sorted(kinds, key=lambda kind: -number[kind])]

    # check by check

    def _lessons(self, coat: CoatEvidence) -> Iterator[Lesson]:
        """What each check of a coat taught, beside all others."""
        belief, kind = belief_about(coat, self.knowledge), coat.kind
        by_habit = [coat.tables(habit) for habit in belief.habits]
        elsewhere = _elsewhere(belief, kind, by_habit)
        before_coat = belief.with_tables(kind, elsewhere)
        samples = usual_coat_samples(coat.looks[0].step, self.values)
        now = self._safe_time(samples, belief, kind)
        for number in range(len(by_habit[0])):
            others = [[*tables[:number], *tables[number + 1 :]] for tables in by_habit]
            known = [
                table + _of_shop(tables, part)
                for part, table, tables in zip(belief.parts, elsewhere, others, strict=True)
            ]
            without = belief.with_tables(kind, known)
            weights = _cell_weights(before_coat, kind, [together(tables) for tables in others])
            pace = now / self._safe_time(samples, without, kind)
            yield _lesson([tables[number] for tables in by_habit], weights, pace)

    def _safe_time(self, samples: Floats, belief: MixedBelief, kind: Kind) -> float:
        """Safe time [s] of a usual coat of a kind."""
        (safe,) = quantiles(samples, (self.safe_quantile,), belief.samples_of_coat(kind))
        return float(safe)


def _elsewhere(
    belief: MixedBelief, kind: Kind, by_habit: Sequence[Sequence[CheckTable]]
) -> list[Floats]:
    """What the other coats of a kind say of the shop under each habit [SIDE, SIDE]."""
    return [
        part.tables[kind] - _of_shop(tables, part)
        for part, tables in zip(belief.parts, by_habit, strict=True)
    ]


def _of_shop(tables: Sequence[CheckTable], part: FactorBelief) -> Floats:
    """What some checks of a coat say of the shop's factors [SIDE, SIDE], as a logarithm."""
    return shop_table(by_cell(together(tables)), part.grid)


def _cell_weights(belief: MixedBelief, kind: Kind, others: Sequence[Floats]) -> Floats:
    """What is believed of one coat by habit [habits, CELLS * airs, people]; it sums to one."""
    rows = [
        weight * np.outer(np.outer(part.of_coat(kind), AIR_WEIGHTS), PEOPLE_WEIGHTS) * other
        for weight, part, other in zip(belief.weights, belief.parts, others, strict=True)
    ]
    weights = np.stack(rows)
    total: Floats = weights / weights.sum()
    return total


def _lesson(by_habit: Sequence[CheckTable], weights: Floats, pace: float) -> Lesson:
    """What a check taught where the others left these weights [habits, CELLS * airs, people]."""
    table = by_habit[0]
    look = table.look
    chance = float(
        sum((rows * one.likelihood).sum() for rows, one in zip(weights, by_habit, strict=True))
    )
    touched = table.expected is None
    return Lesson(
        check_id=look.check.id,
        shell_id=look.shell.id,
        at=look.check.at,
        coat_number=look.rank + 1,
        chance=chance if touched else None,
        expected=_expected(table, weights.sum(axis=(0, 2))),
        seen=table.seen,
        wild=min(table.stray / chance, 1.0),
        pace=pace,
    )


def _band(logs: Floats, weights: Floats) -> Band:
    return Band(*factor_quantiles(logs, weights))


def _count(evidence: Sequence[CoatEvidence]) -> int:
    return sum(coat.telling for coat in evidence)


def _expected(table: CheckTable, weights: Floats) -> Band | None:
    """What an instrument should have read, by the other checks."""
    if table.expected is None:
        return None
    return Band(*np.maximum(quantiles(table.expected, TENTHS, weights), 0.0).tolist())
