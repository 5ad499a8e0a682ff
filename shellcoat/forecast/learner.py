"""Learning from a shop's checks: looks are kept, beliefs are weighed anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.check_looks import CheckLook, TaughtCase, take_looks
from shellcoat.forecast.cores import core_rules
from shellcoat.forecast.history import DryingRules
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.lanes import TENTHS, fine_samples, quantiles
from shellcoat.forecast.likelihood import CoatEvidence, coat_evidence
from shellcoat.forecast.shop_air import ShopAir, air_key
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.step_figures import StepEvidence
from shellcoat.forecast.times import seconds
from shellcoat.shop import Band, Shop, Weighing


@dataclass(frozen=True, slots=True)
class _Kept:
    """The looks at one shell's checks, and what they were computed from."""

    case: TaughtCase
    air: tuple[object, ...]
    steps: StepEvidence
    looks: tuple[CheckLook, ...]


class Learner:
    """Looks at checks, and keeps the looks of every shell whose records and air stay the same."""

    def __init__(self, shop: Shop, values: StartingValues) -> None:
        self._shop = shop
        self._values = values
        self._kept: dict[UUID, _Kept] = {}

    def evidence(
        self,
        cases: Sequence[TaughtCase],
        logs: Mapping[UUID, AirLog],
        now: datetime,
        steps: StepEvidence,
    ) -> list[CoatEvidence]:
        """All that the checks of these shells say, coat by coat; `logs` must reach back to them."""
        able = [case for case in cases if case.coats and case.checks]
        stale = [case for case in able if not self._holds(case, logs, steps)]
        if stale:
            self._look(stale, logs, now, steps)
        looks = [look for case in able for look in self._kept[case.shell.id].looks]
        return coat_evidence(looks, self._values.checks)

    def water_then(self, shell_id: UUID, knowledge: Knowledge) -> dict[UUID, Band]:
        """Water [kg/m2] in the wall at each weighing of a shell that was looked at."""
        kept = self._kept.get(shell_id)
        looks = kept.looks if kept else ()
        return {
            look.check.id: Band(*_held(look, knowledge))
            for look in looks
            if isinstance(look.check, Weighing)
        }

    def _key(self, case: TaughtCase, logs: Mapping[UUID, AirLog]) -> tuple[object, ...]:
        return air_key(case.coats, logs, max(seconds(check.at) for check in case.checks))

    def _holds(self, case: TaughtCase, logs: Mapping[UUID, AirLog], steps: StepEvidence) -> bool:
        kept = self._kept.get(case.shell.id)
        if kept is None:
            return False
        return kept.case == case and kept.steps == steps and kept.air == self._key(case, logs)

    def _look(
        self,
        cases: Sequence[TaughtCase],
        logs: Mapping[UUID, AirLog],
        now: datetime,
        steps: StepEvidence,
    ) -> None:
        coats = [coat for case in cases for coat in case.coats]
        first_s = min(seconds(coat.dipped_at) for coat in coats)
        air = ShopAir.over(coats, logs, first_s, now, self._shop, self._values)
        rules = DryingRules(
            values=self._values,
            lanes=self._values.spreads.lanes(),
            dry_share=self._shop.dry_share,
            safe_quantile=self._shop.safe_quantile,
            rooms=air.rooms,
            # How a coat built on a wet one is the only thing a look takes from what is believed,
            # so what is believed at first will do, and looks never go stale by it.
            knowledge=Knowledge.before_checks(self._values),
            figures=steps.figures,
        )
        by_shell: dict[UUID, list[CheckLook]] = {case.shell.id: [] for case in cases}
        for look in take_looks(cases, air.stack, rules, core_rules(rules)):
            by_shell[look.shell.id].append(look)
        for case in cases:
            looks = tuple(by_shell[case.shell.id])
            self._kept[case.shell.id] = _Kept(case, self._key(case, logs), steps, looks)


def _held(look: CheckLook, knowledge: Knowledge) -> list[float]:
    found = quantiles(
        fine_samples(look.water), TENTHS, knowledge.face_weights(look.step, look.place)
    )
    held: list[float] = np.maximum(np.sort(found), 0.0).tolist()
    return held
