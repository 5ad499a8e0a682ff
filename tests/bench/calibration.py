"""Does the safe time keep its word? Simulated shops with known truth.

`python -m tests.bench.calibration [--shops N] [--out FOLDER]` prints a table, and writes it and a
plot into the folder. Every shop has its own factors, coats (`simulated_shops`), air
(`simulated_air`) and people who check (`simulated_checks`). Its judged coats are forecast at
their dips, with the log up to then, before any check and after some; a forecast keeps its word if
90 % of them are dry by their safe time and half by the likely one.

*Knowing all* is the same program told the shop's true factors: no number of checks betters it,
since each coat scatters and the air is yet to come.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from time import perf_counter
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.check_looks import TeachingCheck
from shellcoat.forecast.factors import FactorBelief, MixedBelief, kind_of
from shellcoat.forecast.forecaster import Beliefs, Forecaster, ShellCase
from shellcoat.forecast.knowledge import Knowledge
from shellcoat.forecast.starting_values import starting_values
from shellcoat.forecast.step_figures import StepEvidence
from shellcoat.shop import Shop
from tests.bench.calibration_report import Outcome, Row, write_report
from tests.bench.simulated_air import SEASONS, Season
from tests.bench.simulated_checks import (
    Habit,
    infrared,
    shop_checks,
    taught_cases,
    touches,
    weighings,
)
from tests.bench.simulated_drying import TrueRank, dry_shops
from tests.bench.simulated_shops import (
    CHECKED,
    COATS,
    KINDS,
    NAMESPACE,
    SHELLS,
    Calendar,
    TrueShop,
    judged_rank,
)

Floats = NDArray[np.float64]

VALUES = starting_values()
SHOPS, AT_ONCE = 40, 10
KNOWING_ALL = -1
"""Stands among the numbers of checks for the program that is told the truth."""


@dataclass(frozen=True)
class Story:
    """Shops of one sort: how people check, how coats scatter, after how many checks to judge."""

    name: str
    habit: Habit
    scatter: float = 1.0
    checks: tuple[int, ...] = (10, 30)


USUAL = VALUES.checks.stray_share
STORIES = (
    Story("touches", Habit(touches, USUAL), checks=(0, 3, 10, 30, KNOWING_ALL)),
    Story("infrared", Habit(infrared, USUAL)),
    Story("weighings", Habit(weighings, USUAL, alike=True)),
    Story("weighings, area and water off anew", Habit(weighings, USUAL)),
    Story("15 % strays", Habit(touches, 0.15)),
    Story("calls it dry 15 % early", Habit(touches, USUAL, early=0.85)),
    Story("twice the scatter of water", Habit(touches, USUAL), 2.0, (0, 10, 30)),
)
"""The first three are as the program supposes, the others are not."""


# One shop


@dataclass(frozen=True)
class Trial:
    """One calendar as the untaught program sees it.

    `likely_s` [checked shells, coats] when each of those coats is first thought to be dry, `first`
    [2, coats] the likely and the safe time of the judged coats, all in s.
    """

    calendar: Calendar
    likely_s: Floats
    first: Floats

    @classmethod
    @cache
    def of(cls, season: Season, number: int) -> Trial:
        """Draw a calendar, and forecast all its shells at the session."""
        calendar = Calendar.draw(season, number)
        cases = [ShellCase(*pair) for pair in calendar.shells]
        found = untaught().forecast(cases, calendar.logs, calendar.now)
        likely = [
            [
                seconds_since(answer.likely_at, coat.dipped_at)
                for answer, coat in zip(found[shell.id].coats, coats, strict=True)
            ]
            for shell, coats in calendar.shells[:CHECKED]
        ]
        return cls(calendar, np.array(likely), _last_times(calendar, found))

    def outcomes(
        self, story: Story, shop: TrueShop, true: list[TrueRank]
    ) -> Iterator[tuple[int, Outcome]]:
        """How the judged coats of a shop fared after each number of checks of a story."""
        judged = range(CHECKED, SHELLS)
        true_s = np.array([true[judged_rank(shell)].dry_s[shell] for shell in judged])
        checks = shop_checks(shop, true, self.likely_s, story.habit, VALUES)
        for number in story.checks:
            times = self.first
            if number == KNOWING_ALL:
                times = judge(self.calendar, knowing_all(shop))
            elif number:
                times = judge(self.calendar, taught(self.calendar, checks[:number]))
            yield number, Outcome(true_s, times[0], times[1], self.first[1])


def judge(calendar: Calendar, forecaster: Forecaster) -> Floats:
    """Likely and safe time of each judged coat [2, coats] in s, as told at its dip."""
    cases = [ShellCase(*pair) for pair in calendar.shells[CHECKED:]]
    return _last_times(calendar, forecaster.forecast(cases, calendar.logs, calendar.now))


def _last_times(calendar: Calendar, found: dict[UUID, ShellForecast]) -> Floats:
    answers = [found[shell.id].coats[-1] for shell, _ in calendar.shells[CHECKED:]]
    pairs = [(answer.likely_at, answer.safe_at) for answer in answers]
    return np.array([[seconds_since(one, calendar.now) for one in pair] for pair in pairs]).T


def untaught() -> Forecaster:
    """The program as it comes."""
    return Forecaster(Shop(id=NAMESPACE, name="Simulated"), VALUES)


def taught(calendar: Calendar, checks: list[list[TeachingCheck]]) -> Forecaster:
    """The program after these checks."""
    forecaster = untaught()
    forecaster.learn(taught_cases(calendar, checks), [], calendar.logs, calendar.now)
    return forecaster


def knowing_all(shop: TrueShop) -> Forecaster:
    """The program told the shop's own factors."""
    before = Knowledge.before_checks(VALUES)
    grid = before.faces.grid
    film = _told(grid.first_log, np.log(shop.film)) / grid.first_prior
    tables = {}
    for kind, crust in zip(KINDS, shop.crust, strict=True):
        second = _told(grid.second_log, np.log(crust)) / grid.second_prior
        # Every kind tells of the film as well; together they must tell of it once.
        pair = np.outer(film ** (1.0 / len(KINDS)), second)
        tables[kind_of(*kind)] = np.log(np.maximum(pair, 1e-300))
    forecaster = untaught()
    knowledge = Knowledge(MixedBelief((FactorBelief(grid, tables),)), before.unchecked_core)
    forecaster._beliefs = Beliefs(knowledge, StepEvidence(()))
    return forecaster


def _told(logs: Floats, true: float) -> Floats:
    """Weights on a grid whose mean is the truth: all on the two cells beside it."""
    place = np.clip((true - logs[0]) / (logs[1] - logs[0]), 0.0, logs.size - 1.001)
    weights = np.zeros(logs.size)
    left = int(place)
    weights[left : left + 2] = 1.0 - (place - left), place - left
    return weights


def seconds_since(moment: datetime | None, dip: datetime) -> float:
    """Seconds from a dip on; infinite where it will not dry."""
    return np.inf if moment is None else (moment - dip).total_seconds()


# All shops


Fared = dict[tuple[str, int], list[Outcome]]


def study_shops(
    season: Season,
    numbers: range,
    stories: tuple[Story, ...] = STORIES,
    calendars: int | None = None,
) -> Fared:
    """Every story of some shops of one season: outcomes by story and number of checks.

    Every shop has a calendar of its own, or they share so many `calendars`.
    """
    fared: Fared = {}
    by_shop = [Trial.of(season, number % calendars if calendars else number) for number in numbers]
    for scatter in sorted({story.scatter for story in stories}):
        shops = [
            TrueShop.draw(trial.calendar, number, VALUES.spreads, scatter)
            for trial, number in zip(by_shop, numbers, strict=True)
        ]
        for trial, shop, true in zip(by_shop, shops, dry_shops(shops), strict=True):
            for story in (one for one in stories if one.scatter == scatter):
                for number, outcome in trial.outcomes(story, shop, true):
                    fared.setdefault((story.name, number), []).append(outcome)
    return fared


def study(shops: int) -> list[Row]:
    """All stories in all seasons, on every core there is; a row a story and number of checks."""
    parts = [range(first, min(first + AT_ONCE, shops)) for first in range(0, shops, AT_ONCE)]
    jobs = [(season, part) for season in SEASONS for part in parts]
    # Each worker's linear algebra would take all cores for itself.
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        fared = list(pool.map(study_shops, *zip(*jobs, strict=True)))
    rows = _rows(fared, "")
    for season in SEASONS:
        own = [found for (one, _), found in zip(jobs, fared, strict=True) if one is season]
        rows += [row for row in _rows(own, season.name) if row.story == STORIES[0].name]
    return rows


def _rows(fared: list[Fared], season: str) -> list[Row]:
    """One row for each story and number of checks, of all these shops together."""
    return [
        Row(
            story.name,
            number,
            Outcome.of([one for part in fared for one in part[story.name, number]]),
            season,
        )
        for story in STORIES
        for number in story.checks
    ]


def main() -> None:
    """Run the study and write its report."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.calibration", description=__doc__)
    parser.add_argument("--shops", type=int, default=SHOPS, help="in each season")
    parser.add_argument("--out", type=Path, default=Path("calibration"), help="folder to write to")
    options = parser.parse_args()
    begun = perf_counter()
    rows = study(options.shops)
    print(write_report(rows, options.out))
    coats = SHELLS - CHECKED
    print(
        f"{options.shops} shops in each of {len(SEASONS)} seasons, {coats} judged coats each, "
        f"{COATS} coats a shell; {perf_counter() - begun:.0f} s. Written into {options.out}."
    )


if __name__ == "__main__":
    main()
