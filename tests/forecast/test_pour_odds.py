"""Shares of pours that went wrong: intervals against published and other programs' values."""

from __future__ import annotations

import math
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, norm

from shellcoat.forecast.pour_odds import (
    Z_95,
    PouredShell,
    Share,
    Split,
    Trait,
    Verdict,
    split_by,
    wilson_interval,
)


@pytest.mark.parametrize(
    ("faults", "count", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_published_intervals(faults: int, count: int, low: float, high: float) -> None:
    """R. G. Newcombe, Statistics in Medicine 17, 857-872, 1998, table I, method 3."""
    assert wilson_interval(faults, count) == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_scipy_gives_the_same_interval(counted: tuple[int, int]) -> None:
    faults, count = counted
    other = binomtest(faults, count).proportion_ci(0.95, method="wilson")
    assert wilson_interval(faults, count) == pytest.approx((other.low, other.high), abs=1e-12)


def test_the_quantile_is_that_of_the_normal_distribution() -> None:
    assert pytest.approx(norm.ppf(0.975), abs=1e-14) == Z_95


@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_interval_holds_the_share_and_mirrors_it(counted: tuple[int, int]) -> None:
    faults, count = counted
    low, high = wilson_interval(faults, count)
    assert 0.0 <= low <= faults / count <= high <= 1.0
    mirrored = wilson_interval(count - faults, count)
    assert mirrored == pytest.approx((1.0 - high, 1.0 - low), abs=1e-12)


def test_nothing_counted_says_nothing_and_odd_counts_are_refused() -> None:
    assert wilson_interval(0, 0) == (0.0, 1.0)
    for faults, count in ((-1, 3), (4, 3)):
        with pytest.raises(ValueError, match="is no share"):
            wilson_interval(faults, count)


def shells(trait: Trait, *ratios: tuple[float | None, bool]) -> list[PouredShell]:
    return [
        PouredShell(shell_id=uuid4(), sound=sound, traits={trait: ratio}) for ratio, sound in ratios
    ]


@pytest.mark.parametrize(
    ("trait", "worse", "better"),
    [
        (Trait.THICKNESS, 0.9, 1.0),
        (Trait.INTERVAL, 0.99, 1.0),
        (Trait.CORE_WATER, 1.01, 1.0),
        (Trait.AIR, 2.0, 1.0),
    ],
)
def test_shells_are_told_apart_by_the_limit_of_each_trait(
    trait: Trait, worse: float, better: float
) -> None:
    poured = shells(trait, (worse, False), (worse, True), (better, True), (None, False))
    split = split_by(trait, poured)
    assert split == Split(trait, Share(1, 2), Share(0, 1), 1)


@pytest.mark.parametrize(
    ("worse", "better", "verdict"),
    [
        (Share(1, 3), Share(0, 0), Verdict.NOTHING_TO_COMPARE),
        (Share(0, 0), Share(2, 3), Verdict.NOTHING_TO_COMPARE),
        (Share(2, 3), Share(1, 12), Verdict.TOO_FEW),
        (Share(18, 20), Share(1, 20), Verdict.APART),
        (Share(1, 20), Share(18, 20), Verdict.APART),
    ],
)
def test_a_difference_is_told_only_where_the_intervals_lie_apart(
    worse: Share, better: Share, verdict: Verdict
) -> None:
    assert Split(Trait.AIR, worse, better, 0).verdict is verdict


@given(st.integers(0, 30), st.integers(0, 30), st.integers(1, 30), st.integers(1, 30))
def test_apart_is_never_said_where_a_usual_test_sees_nothing(
    faults: int, others: int, count: int, other_count: int
) -> None:
    """Intervals of 95 % that lie apart are further apart than the two-proportion test asks for."""
    faults, others = min(faults, count), min(others, other_count)
    split = Split(Trait.AIR, Share(faults, count), Share(others, other_count), 0)
    if split.verdict is Verdict.APART:
        pooled = (faults + others) / (count + other_count)
        spread = math.sqrt(pooled * (1 - pooled) * (1 / count + 1 / other_count))
        assert abs(faults / count - others / other_count) / spread > Z_95
