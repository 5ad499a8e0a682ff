"""The forecast of a whole shop: all shells at once, history kept, the rest redone in a blink."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.air_watch import swings_so_far
from shellcoat.forecast.answers import (
    CoreAction,
    CoreAnswer,
    DryingCurve,
    ShellForecast,
    ShellWarning,
)
from shellcoat.forecast.check_looks import TaughtCase
from shellcoat.forecast.cores import (
    CoreChain,
    CoreLook,
    core_actions,
    core_answer,
    core_chains,
    core_rules,
    follow_cores,
)
from shellcoat.forecast.curve import curve_times, drying_curve
from shellcoat.forecast.history import NOTHING, DryingRules, ShellChain, follow_next
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.learned import Learned
from shellcoat.forecast.learner import Learner
from shellcoat.forecast.lessons import Account, weigh_evidence
from shellcoat.forecast.likelihood import CoatEvidence
from shellcoat.forecast.shell_answers import (
    AnswerRules,
    bare_answer,
    dipped_answer,
    due_at,
    last_reading,
)
from shellcoat.forecast.shop_air import ShopAir, air_key, past
from shellcoat.forecast.shop_walls import ShopWalls, WallEvidenceOf, with_walls
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.step_figures import StepEvidence
from shellcoat.forecast.times import seconds, seconds_or_none
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.shop import Band, Coat, CoreCare, Shell, ShellCheck, Shop, SlurryTest


@dataclass(frozen=True, slots=True)
class ShellCase:
    """A shell, its coats by time, what was done to its cores, and what was found out about it."""

    shell: Shell
    coats: tuple[Coat, ...]
    care: tuple[CoreCare, ...] = ()
    checks: tuple[ShellCheck, ...] = ()


@dataclass(frozen=True, slots=True)
class _Kept:
    """A chain up to its last dip, and what it was computed from."""

    case: ShellCase
    air: tuple[object, ...]
    chain: ShellChain
    cores: tuple[CoreChain, ...]
    swings: tuple[ShellWarning, ...]
    beliefs: Beliefs

    def still_holds(self, case: ShellCase, air: tuple[object, ...], beliefs: Beliefs) -> bool:
        old = self.case
        return (
            beliefs is self.beliefs
            and old.shell is case.shell
            and old.care == case.care
            and air == self.air
            and len(old.coats) == len(case.coats)
            and all(a is b for a, b in zip(old.coats, case.coats, strict=True))
        )


@dataclass(frozen=True, slots=True, eq=False)
class Beliefs:
    """What the shop's checks and tests have taught: of drying, and of what each coat brings."""

    knowledge: Knowledge
    steps: StepEvidence
    evidence: Sequence[CoatEvidence] = ()


class Forecaster:
    """Forecasts shells; keeps what happened up to each shell's last dip between runs.

    A new reading changes nothing before it, so only the present coats are dried again. One
    forecaster serves one thread at a time.
    """

    def __init__(self, shop: Shop, values: StartingValues) -> None:
        self._shop = shop
        self._values = values
        self._lanes = values.spreads.lanes()
        self._learner = Learner(shop, values)
        self._beliefs = Beliefs(Knowledge.before_checks(values), StepEvidence(()))
        self._walls = ShopWalls(values)
        self._kept: dict[UUID, _Kept] = {}

    def learn(
        self,
        cases: Sequence[TaughtCase],
        tests: Sequence[SlurryTest],
        logs: Mapping[UUID, AirLog],
        now: datetime,
    ) -> None:
        """Take in what checks and tests say; later forecasts rest on it."""
        steps = StepEvidence(tests)
        evidence = self._learner.evidence(cases, past(logs, now), now, steps)
        self._beliefs = Beliefs(weigh_evidence(evidence, self._values), steps, evidence)

    def learned(self) -> Learned:
        """What the checks taken in have taught, without those that teach nothing."""
        knowledge, evidence = self._beliefs.knowledge, self._beliefs.evidence
        return Account(knowledge, evidence, self._values, self._shop.safe_quantile).learned()

    def forecast(
        self, cases: Sequence[ShellCase], logs: Mapping[UUID, AirLog], now: datetime
    ) -> dict[UUID, ShellForecast]:
        """Forecast every case at `now`; `logs` holds each room's readings by room id."""
        answers = self._by_coats(cases, logs, now)
        return {
            case.shell.id: self._as_measured(answers[case.shell.id], case, now) for case in cases
        }

    def _by_coats(
        self, cases: Sequence[ShellCase], logs: Mapping[UUID, AirLog], now: datetime
    ) -> dict[UUID, ShellForecast]:
        """The forecasts with walls as their coats add up, before anything measured on them."""
        rules = AnswerRules(self._values, self._shop.safe_quantile, now)
        logs = past(logs, now)
        answers = {
            case.shell.id: bare_answer(
                case.shell,
                last_reading(logs, case.shell.room_id, now),
                self._planned(case.shell),
                rules,
            )
            for case in cases
            if not case.coats
        }
        dipped = [case for case in cases if case.coats]
        if not dipped:
            return answers
        air, chains = self._run(dipped, logs, now)
        follow_next(chains, [seconds(now)] * len(chains), air.stack, self._rules(air))
        cores = self._core_answers(chains, air, now)
        for case, chain in zip(dipped, chains, strict=True):
            last = last_reading(logs, chain.coats[-1].room_id, now)
            swings = self._kept[chain.shell.id].swings
            answers[case.shell.id] = dipped_answer(
                chain,
                cores[chain.shell.id],
                air.tracks,
                swings,
                last,
                self._planned(chain.shell),
                rules,
            )
        return answers

    def _as_measured(self, answer: ShellForecast, case: ShellCase, now: datetime) -> ShellForecast:
        """The same with the wall that calipers and scale have shown, where they have."""
        walls = self._walls.flats(self._wall_evidence(case), answer.coats, now)
        if walls is None:
            return answer
        return with_walls(answer, *walls)

    def _wall_evidence(self, case: ShellCase) -> WallEvidenceOf:
        water = self._learner.water_then(case.shell.id, self._beliefs.knowledge)
        return WallEvidenceOf(case.shell, case.coats, case.checks, self._beliefs.steps, water)

    def wall(self, case: ShellCase, logs: Mapping[UUID, AirLog], now: datetime) -> WallAnswer:
        """How thick a shell's wall is by all evidence, and what moved the estimate."""
        answer = self._by_coats([case], logs, now)[case.shell.id]
        water = NOTHING
        if answer.coats:
            in_wall, left = answer.coats[-1].water_kg_m2, answer.water_left
            water = Band(*(in_wall * share for share in (left.low, left.likely, left.high)))
        return self._walls.answer(self._wall_evidence(case), answer.coats, water, now)

    def _planned(self, shell: Shell) -> list[Band]:
        """What each planned coat of a shell builds on a dry wall [m]."""
        figures = self._beliefs.steps.figures
        return [figures(step).thickness_m for step in shell.sequence.steps]

    def _core_answers(
        self, chains: Sequence[ShellChain], air: ShopAir, now: datetime
    ) -> dict[UUID, tuple[CoreAnswer, ...]]:
        """What to say of the cores of every shell whose present coat has been dried."""
        rules = core_rules(self._rules(air))
        cores = [core.copy() for chain in chains for core in self._kept[chain.shell.id].cores]
        follow_cores(cores, [seconds(now)] * len(cores), air.stack, rules)
        due = {chain.shell.id: due_at(chain) for chain in chains}
        found: dict[UUID, tuple[CoreAnswer, ...]] = dict.fromkeys(due, ())
        for core in cores:
            # Once the face is dry the next dip can come at any moment from now.
            due_s = seconds_or_none(due[core.shell.id])
            due_s = None if due_s is None else max(due_s, seconds(now))
            look = CoreLook(air.stack, rules, now, due_s)
            found[core.shell.id] = (*found[core.shell.id], core_answer(core, look))
        return found

    def core_actions(
        self, case: ShellCase, logs: Mapping[UUID, AirLog], now: datetime
    ) -> dict[UUID, tuple[CoreAction, ...]]:
        """What could be done now about each core of a shell, by core, each computed anew."""
        if not case.coats or not case.shell.cores:
            return {}
        air, _ = self._run([case], past(logs, now), now)
        look = CoreLook(air.stack, core_rules(self._rules(air)), now, None)
        before = self._kept[case.shell.id].cores
        after = [core.copy() for core in before]
        follow_cores(after, [seconds(now)] * len(after), air.stack, look.rules)
        return {
            core.core.id: tuple(core_actions(core, done.answers[-1].safe_at, look))
            for core, done in zip(before, after, strict=True)
        }

    def curve(
        self, case: ShellCase, logs: Mapping[UUID, AirLog], now: datetime
    ) -> DryingCurve | None:
        """How the present coat dries, from its dip until it is safely dry; None on a bare wax."""
        if not case.coats:
            return None
        logs = past(logs, now)
        air, (chain,) = self._run([case], logs, now)
        rules = self._rules(air)
        whole = chain.copy()
        follow_next([whole], [seconds(now)], air.stack, rules)
        dipped = seconds(case.coats[-1].dipped_at)
        times = curve_times(dipped, whole.answers[-1], seconds(now), air.stack.end_s)
        looks = [chain.copy() for _ in times]
        follow_next(looks, times, air.stack, rules)
        return drying_curve(times, [look.left_share for look in looks], whole, rules, now)

    def _run(
        self, cases: Sequence[ShellCase], logs: Mapping[UUID, AirLog], now: datetime
    ) -> tuple[ShopAir, list[ShellChain]]:
        """The air, and every case's chain up to its last dip; each must have a coat."""
        stale = [case for case in cases if not self._holds(case, logs)]
        first_s = self._first_needed(cases, stale)
        coats = [coat for case in cases for coat in case.coats]
        air = ShopAir.over(coats, logs, first_s, now, self._shop, self._values)
        self._follow_history(stale, logs, air)
        return air, [self._kept[case.shell.id].chain.copy() for case in cases]

    def _air_key(self, case: ShellCase, logs: Mapping[UUID, AirLog]) -> tuple[object, ...]:
        return air_key(case.coats[:-1], logs, seconds(case.coats[-1].dipped_at))

    def _holds(self, case: ShellCase, logs: Mapping[UUID, AirLog]) -> bool:
        kept = self._kept.get(case.shell.id)
        return kept is not None and kept.still_holds(case, self._air_key(case, logs), self._beliefs)

    def _first_needed(self, cases: Sequence[ShellCase], stale: Sequence[ShellCase]) -> float:
        """Start of the air axis [s]: the first dip that has to be dried again."""
        oldest = [case.coats[0].dipped_at for case in stale]
        present = [case.coats[-1].dipped_at for case in cases]
        return min(map(seconds, [*oldest, *present]), default=0.0)

    def _rules(self, air: ShopAir) -> DryingRules:
        return DryingRules(
            values=self._values,
            lanes=self._lanes,
            dry_share=self._shop.dry_share,
            safe_quantile=self._shop.safe_quantile,
            rooms=air.rooms,
            knowledge=self._beliefs.knowledge,
            figures=self._beliefs.steps.figures,
        )

    def _follow_history(
        self,
        stale: Sequence[ShellCase],
        logs: Mapping[UUID, AirLog],
        air: ShopAir,
    ) -> None:
        """Dry all coats but the last of every stale case, rank by rank, and keep the chains."""
        chains = [ShellChain(case.shell, case.coats) for case in stale]
        rules = self._rules(air)
        gap = self._values.core.bridging_gap_m
        cores = {
            case.shell.id: core_chains(chain, case.care, gap)
            for case, chain in zip(stale, chains, strict=True)
        }
        ranks = max((len(case.coats) for case in stale), default=0) - 1
        for rank in range(ranks):
            here = [chain for chain in chains if len(chain.coats) > rank + 1]
            query = [seconds(chain.coats[rank + 1].dipped_at) for chain in here]
            follow_next(here, query, air.stack, rules, hold_air=True)
            self._follow_cores(here, cores, query, air)
        for case, chain in zip(stale, chains, strict=True):
            key = self._air_key(case, logs)
            swings = tuple(swings_so_far(chain, air.tracks))
            kept = tuple(cores[case.shell.id])
            self._kept[case.shell.id] = _Kept(case, key, chain, kept, swings, self._beliefs)

    def _follow_cores(
        self,
        chains: Sequence[ShellChain],
        cores: Mapping[UUID, list[CoreChain]],
        query_s: Sequence[float],
        air: ShopAir,
    ) -> None:
        """Dry the same coat in the cores of these shells."""
        here = [
            (core, q)
            for chain, q in zip(chains, query_s, strict=True)
            for core in cores[chain.shell.id]
        ]
        follow_cores(
            [core for core, _ in here],
            [query for _, query in here],
            air.stack,
            core_rules(self._rules(air)),
            hold_air=True,
        )
