"""The curve on the shell page agrees with the times beside it."""

from __future__ import annotations

import itertools
from datetime import timedelta

import numpy as np
import pytest
from builders import ROOM, a_case, a_forecaster, a_log, a_shell, at, backup, forecast_one
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import DryingCurve
from shellcoat.forecast.forecaster import ShellCase

LOG = a_log(-48.0, 100.0, rh=0.55)


def a_curve(case: ShellCase, log: AirLog, now_h: float) -> DryingCurve:
    return a_forecaster().curve(case, {ROOM: log}, at(now_h))


def crossing(curve: DryingCurve, shares: tuple[float, ...]) -> float:
    """Seconds at which the shares come down to the dry share."""
    at_s = [moment.timestamp() for moment in curve.at]
    return float(np.interp(-curve.dry_share, [-share for share in shares], at_s))


CASES = [
    pytest.param([0.0], 0.5, id="prime"),
    pytest.param([0.0, 8.0, 16.0, 28.0, 40.0], 42.0, id="late coat"),
    pytest.param([0.0, 0.6, 1.2], 1.3, id="dipped early"),
]


def test_a_bare_wax_has_no_curve():
    assert a_forecaster().curve(ShellCase(a_shell(), ()), {ROOM: LOG}, at(0.0)) is None


@pytest.mark.parametrize(("dips", "now_h"), CASES)
def test_the_curve_runs_from_the_dip_to_past_the_safe_time(dips, now_h):
    case = a_case(a_shell(), dips)
    curve, found = a_curve(case, LOG, now_h), forecast_one(case, LOG, now_h)
    assert curve.at[0] == case.coats[-1].dipped_at
    assert curve.at[-1] > found.safe_at
    assert list(curve.at) == sorted(set(curve.at))
    assert len(curve.at) == len(curve.low) == len(curve.likely) == len(curve.high)
    assert abs(curve.at[curve.now_index] - at(now_h)) <= timedelta(seconds=1)


@pytest.mark.parametrize(("dips", "now_h"), CASES)
def test_at_the_dip_all_is_wet_and_at_the_end_little_is_left(dips, now_h):
    curve = a_curve(a_case(a_shell(), dips), LOG, now_h)
    assert (curve.low[0], curve.likely[0], curve.high[0]) == pytest.approx((1.0, 1.0, 1.0))
    assert curve.likely[-1] < curve.dry_share


GAPS = st.lists(st.floats(0.4, 12.0), min_size=0, max_size=4)
RHS = st.floats(0.25, 0.9)
WAITS = st.floats(0.0, 10.0)


def curve_after(gaps: list[float], rh: float, wait: float) -> DryingCurve:
    dips = list(itertools.accumulate(gaps, initial=0.0))
    return a_curve(a_case(a_shell(), dips), a_log(-24.0, dips[-1], rh=rh), dips[-1] + wait)


@settings(deadline=None, max_examples=12)
@given(GAPS, RHS, WAITS)
def test_shares_stay_within_one_and_in_order(gaps, rh, wait):
    curve = curve_after(gaps, rh, wait)
    for low, likely, high in zip(curve.low, curve.likely, curve.high, strict=True):
        assert 0.0 <= low <= likely <= high <= 1.0


@settings(deadline=None, max_examples=12)
@example([], 0.875, 0.0)
@given(GAPS, RHS, WAITS)
def test_shares_never_rise(gaps, rh, wait):
    curve = curve_after(gaps, rh, wait)
    for shares in (curve.low, curve.likely, curve.high):
        assert np.all(np.diff(shares) <= 1e-9)


@pytest.mark.parametrize(("dips", "now_h"), CASES)
def test_the_likely_curve_comes_down_to_dry_at_the_likely_time(dips, now_h):
    case = a_case(a_shell(), dips)
    curve, found = a_curve(case, LOG, now_h), forecast_one(case, LOG, now_h)
    dipped = case.coats[-1].dipped_at.timestamp()
    likely = found.likely_at.timestamp() - dipped
    assert crossing(curve, curve.likely) - dipped == pytest.approx(likely, rel=0.05)
    # The high curve is the 90th percentile of the water, the safe time that of the time.
    safe = found.safe_at.timestamp() - dipped
    assert crossing(curve, curve.high) - dipped == pytest.approx(safe, rel=0.08)


def test_now_on_the_curve_is_the_share_on_the_page():
    case = a_case(a_shell(), [0.0, 8.0])
    curve, found = a_curve(case, LOG, 9.0), forecast_one(case, LOG, 9.0)
    assert curve.likely[curve.now_index] == pytest.approx(found.water_left.likely, abs=1e-9)
    assert curve.high[curve.now_index] == pytest.approx(found.water_left.high, abs=1e-9)


def test_the_dry_line_is_the_coats_own_water():
    """After an early dip a tenth of the new coat's water is a smaller share of all in the wall."""
    patient = a_curve(a_case(a_shell(), [0.0, 24.0]), LOG, 24.1)
    early = a_curve(a_case(a_shell(), [0.0, 0.3]), LOG, 0.4)
    assert patient.dry_share == pytest.approx(0.10, rel=1e-3)
    assert early.dry_share < 0.07


def test_long_after_it_was_dry_the_curve_reaches_now():
    curve = a_curve(a_case(a_shell(), [0.0]), LOG, 60.0)
    assert curve.at[-1] > at(60.0)
    assert curve.likely[curve.now_index] == pytest.approx(0.0, abs=1e-9)


def test_without_a_safe_time_the_coming_day_is_shown():
    case = a_case(a_shell(steps=[backup(), backup()]), [0.0])
    curve = a_curve(case, a_log(-24.0, 0.2, rh=1.0), 0.2)
    assert at(24.0) < curve.at[-1] < at(30.0)


def test_a_dip_a_minute_ahead_has_now_at_the_start_of_its_curve():
    curve = a_curve(a_case(a_shell(), [0.02]), LOG, 0.0)
    assert curve.now_index == 0
