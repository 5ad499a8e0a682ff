"""Bands and densities on the scale of ln, against the normal law."""

from __future__ import annotations

from math import exp, hypot, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from shellcoat.forecast.log_bands import (
    LogFigure,
    joined,
    log_band,
    log_spread,
    moved_band,
    updated_band,
)
from shellcoat.forecast.log_density import LogDensity, moved_alike
from shellcoat.shop import Band

SPREADS = st.floats(0.03, 1.0)
MIDDLES = st.floats(-8.0, 3.0)


def a_normal(middle: float, spread: float) -> LogDensity:
    values = middle + spread * np.linspace(-6.0, 6.0, 2001)
    return LogDensity.of(values, norm.pdf(values, middle, spread))


@given(MIDDLES, SPREADS, st.sampled_from([0.1, 0.5, 0.9]))
def test_quantiles_and_chances_are_the_normal_laws(middle, spread, share):
    density = a_normal(middle, spread)
    limit = norm.ppf(share, middle, spread)
    assert density.quantile(share) == pytest.approx(limit, abs=0.001)
    assert density.chance_above(limit) == pytest.approx(1.0 - share, abs=0.01)
    assert density.weights.sum() == pytest.approx(1.0)


@given(MIDDLES, SPREADS, SPREADS)
def test_a_blur_adds_as_squares(middle, spread, blur):
    wide = a_normal(middle, spread).blurred(blur)
    assert wide.quantile(0.5) == pytest.approx(middle, abs=0.002)
    half = 0.5 * (wide.quantile(0.9) - wide.quantile(0.1))
    assert half == pytest.approx(1.2816 * hypot(spread, blur), rel=0.01)


def test_no_blur_changes_nothing_and_far_limits_are_certain():
    density = a_normal(0.0, 0.1)
    assert density.blurred(0.0) is density
    assert density.chance_above(-9.0) == 1.0
    assert density.chance_above(9.0) == 0.0


@given(st.floats(1e-4, 1e3), st.floats(0.03, 1.0))
def test_a_band_keeps_its_spread(likely, spread):
    assert log_spread(log_band(likely, spread)) == pytest.approx(spread, rel=1e-3)
    band = log_band(likely, spread)
    assert band.high / band.likely == pytest.approx(band.likely / band.low)


def test_a_band_that_nobody_would_vouch_for_is_not_certain():
    assert log_spread(Band(1.0, 1.0, 1.0)) == 0.02
    assert log_spread(Band(0.0, 0.0, 1.0)) == 0.02
    assert log_spread(Band(0.0, 1.0, 2.0)) == pytest.approx(log(2.0) / 1.2816)


def test_a_lopsided_band_stays_so():
    band = Band(0.8, 1.2, 1.5)
    same = moved_band(band, 1.0, 1.0, 1.0)
    assert (same.low, same.likely, same.high) == pytest.approx((0.8, 1.2, 1.5))
    moved = moved_band(band, 2.0, 0.5, 0.5)
    assert moved.likely == pytest.approx(2.4)
    assert log(moved.likely / moved.low) == pytest.approx(0.5 * log(1.2 / 0.8))
    assert log(moved.high / moved.likely) == pytest.approx(0.5 * log(1.5 / 1.2))
    assert moved_band(Band(0.0, 0.0, 1.0), 2.0, 0.5, 0.5) == Band(0.0, 0.0, 2.0)


@given(SPREADS, SPREADS, st.floats(-1.0, 1.0))
def test_a_band_moves_and_narrows_as_its_density_did(wide, share, shift):
    before, after = a_normal(0.0, wide), a_normal(shift, max(share * wide, 0.03))
    moved = moved_alike(log_band(1.0, wide), before, after)
    assert moved.likely == pytest.approx(exp(shift), rel=0.003)
    assert log_spread(moved) == pytest.approx(max(share * wide, 0.03), rel=0.03)


def test_two_figures_alike_halve_the_variance():
    both = joined([LogFigure(2.0, 0.2), LogFigure(8.0, 0.2)])
    assert both.likely == pytest.approx(4.0)
    assert both.spread == pytest.approx(0.2 / 2.0**0.5)


def test_nothing_cannot_be_scaled():
    nothing = Band(0.0, 0.0, 1.0)
    assert updated_band(nothing, LogFigure(1.0, 0.1)) is nothing
    some = Band(0.5, 1.0, 2.0)
    assert updated_band(some, LogFigure(0.0, 0.1)) is some
