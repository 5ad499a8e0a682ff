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
    factor_quantiles,
    shop_table,
)
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.lanes import quantiles
from shellcoat.forecast.learned import FactorAnswer, FactorKind, Learned, Lesson, UsualCoat
from shellcoat.forecast.likelihood import (
    PEOPLE_WEIGHTS,
    CheckTable,
    CoatEvidence,
    by_cell,
    together,
)
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.usual_coat import usual_coat_samples
from shellcoat.shop import Band, CoatStep

Floats = NDArray[np.float64]

TENTHS = (0.1, 0.5, 0.9)


def weigh_evidence(evidence: Sequence[CoatEvidence], values: StartingValues) -> Knowledge:
    """What is believed once all checks are in."""
    before = Knowledge.before_checks(values)
    faces = replace(before.faces, tables=_tables(evidence, None, before.faces.grid))
    grid = before.unchecked_core.grid
    checked = {coat.core_id for coat in evidence if coat.core_id is not None}
    cores = {
        core_id: replace(before.unchecked_core, tables=_tables(evidence, core_id, grid))
        for core_id in checked
    }
    return Knowledge(faces, before.unchecked_core, cores)


def _tables(
    evidence: Sequence[CoatEvidence], core_id: UUID | None, grid: FactorGrid
) -> dict[Kind, Floats]:
    """The logarithm of the likelihood of all checks on a face, or in one core, by kind."""
    tables: dict[Kind, Floats] = {}
    for coat in evidence:
        if coat.core_id == core_id:
            table = shop_table(coat.likelihood(), grid)
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
        for kind in faces.tables:
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
            first = quantiles(samples, shares, before.face_weights(step))
            now = quantiles(samples, shares, self.knowledge.face_weights(step))
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
        belief = self._belief_about(coat)
        tables = coat.tables()
        kind, grid = coat.kind, belief.grid
        elsewhere = belief.tables[kind] - shop_table(by_cell(together(tables)), grid)
        before_coat = belief.with_table(kind, elsewhere).of_coat(kind)
        samples = usual_coat_samples(coat.looks[0].step, self.values)
        now = self._safe_time(samples, belief, kind)
        for table in tables:
            others = together([other for other in tables if other is not table])
            without = belief.with_table(kind, elsewhere + shop_table(by_cell(others), grid))
            weights = np.outer(np.outer(before_coat, AIR_WEIGHTS), PEOPLE_WEIGHTS) * others
            pace = now / self._safe_time(samples, without, kind)
            yield _lesson(table, weights / weights.sum(), pace)

    def _belief_about(self, coat: CoatEvidence) -> FactorBelief:
        if coat.core_id is None:
            return self.knowledge.faces
        return self.knowledge.of_core(coat.core_id)

    def _safe_time(self, samples: Floats, belief: FactorBelief, kind: Kind) -> float:
        """Safe time [s] of a usual coat of a kind."""
        (safe,) = quantiles(samples, (self.safe_quantile,), belief.samples_of_coat(kind))
        return float(safe)


def _lesson(table: CheckTable, weights: Floats, pace: float) -> Lesson:
    """What a check taught where the others left these weights [CELLS * airs, people]."""
    look = table.look
    chance = float((weights * table.likelihood).sum())
    touched = table.expected is None
    return Lesson(
        check_id=look.check.id,
        shell_id=look.shell.id,
        at=look.check.at,
        coat_number=look.rank + 1,
        chance=chance if touched else None,
        expected=_expected(table, weights.sum(axis=1)),
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
