"""Simulated shops with known truth, the short version of `python -m tests.bench.calibration`.

The truth comes from a solution of its own (`tests/bench/simulated_drying`); what it must be like
is checked against the slow reference first.

The coats of one shop are fast or slow together, so they do not count as so many coins: by the
variance from shop to shop that the study of 120 shops finds (standard deviations of 22 and 18 %
around 90 %), the 18 judged coats of a shop count as 0.09 / 0.22^2 = 1.9 coats before any check
and as 0.09 / 0.18^2 = 2.8 after ten.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.stats import binom

from tests.bench.calibration import VALUES, Story, study_shops
from tests.bench.calibration_report import Outcome
from tests.bench.simulated_air import FACES, SEASONS, SPEEDS_M_S, true_air
from tests.bench.simulated_checks import Habit, touches
from tests.bench.simulated_drying import dry_shops
from tests.bench.simulated_shops import SEQUENCE, Calendar, TrueShop
from tests.reference.slow_drying import Dip, Face, Integral, Readings, slow_history

HABIT = Habit(touches, VALUES.checks.stray_share)
BEFORE, AFTER = 32, 6
"""Shops in each of the three seasons, before any check and after ten."""

CALENDARS = 3
"""How many sets of dips they share: the untaught forecast asks for no truth."""

COUNT_BEFORE, COUNT_AFTER = 1.9, 2.8
"""So many independent coats the judged coats of one shop count as; see above."""

HONEST, CERTAINTY = 0.90, 0.95


@cache
def fared(shops: int, checks: tuple[int, ...]) -> tuple[Outcome, ...]:
    """The judged coats of so many shops a season [shops, coats], after each number of checks."""
    story = Story("touches", HABIT, checks=checks)
    by_season = [study_shops(season, range(shops), (story,), CALENDARS) for season in SEASONS]
    return tuple(
        Outcome.of([one for found in by_season for one in found[story.name, number]])
        for number in checks
    )


def honest_range(coats: float) -> tuple[float, float]:
    """Where the share of dry coats lies, 95 times in 100, if each is dry with 90 %."""
    count = round(coats)
    low, high = binom.interval(CERTAINTY, count, HONEST)
    return float(low) / count, float(high) / count


def test_nine_in_ten_coats_are_dry_by_their_safe_time_before_any_check():
    (before,) = fared(BEFORE, (0,))
    shares = before.kept
    low, high = honest_range(COUNT_BEFORE * shares.size)
    assert high - low < 0.10
    assert low <= shares.mean() <= high


def test_nine_in_ten_coats_are_dry_by_their_safe_time_after_ten_checks():
    _, after = fared(AFTER, (0, 10))
    shares = after.kept
    low, high = honest_range(COUNT_AFTER * shares.size)
    assert high - low < 0.18
    assert low <= shares.mean() <= high


def test_ten_checks_shorten_the_safe_time_and_save_waiting():
    """These shops give 4 %, 18 % and 25 %; less is asked for, since chance has its part."""
    before, after = fared(AFTER, (0, 10))
    assert after.shorter.mean() > 0.03
    assert after.waiting.mean() < 0.90 * before.waiting.mean()
    assert after.margin.mean() < 0.85 * before.margin.mean()


def one_shell() -> tuple[TrueShop, int]:
    """A shop without scatter in the damp season, and a shell of it that gets all nine coats."""
    shop = TrueShop.draw(Calendar.draw(SEASONS[2], 0), 3, VALUES.spreads)
    film = np.full_like(shop.film_of, 1.5)
    return replace(shop, film_of=film, crust_of=np.full_like(film, 1.4)), 0


def test_the_truth_is_that_of_the_slow_reference():
    shop, place = one_shell()
    true = dry_shops([shop])[0]
    movement, size = FACES[shop.calendar.face[place]]
    dips_s = shop.calendar.dips_s[place]
    dips = [
        Dip(float(dip_s), step.water_kg_m2.likely, step.thickness_m.likely)
        for dip_s, step in zip(dips_s, SEQUENCE.steps, strict=True)
    ]
    log = true_air(shop.calendar.season).log
    face = Face(SPEEDS_M_S[movement], size, 1.5, 1.4)
    slow = slow_history(dips, Integral(face, Readings.of(log.at_s, log.temp_c, log.rh)))
    hours = np.array([rank.dry_s[place] for rank in true]) / 3600.0
    gaps = np.append(np.diff(dips_s), np.inf) / 3600.0
    # Past the next dip the reference holds the air; only coats dry by then can be compared.
    in_time = hours < gaps
    assert np.count_nonzero(in_time) >= 3
    assert hours[in_time] == pytest.approx(
        np.array([one.hours for one in slow])[in_time], rel=0.003
    )
