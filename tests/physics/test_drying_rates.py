"""Textbook drying times: limits, additivity, and the integration of a curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics.drying_rates import (
    constant_rate_time,
    falling_rate_time,
    time_from_rate_curve,
)

MOISTURE = st.floats(0.02, 0.5)
RATE = st.floats(0.01, 5.0)


def test_drying_starts_the_clock_and_ends_it() -> None:
    assert constant_rate_time(20.0, 0.3, 0.3, 1.0) == 0.0
    assert falling_rate_time(20.0, 0.3, 0.3, 1.0) == 0.0


@given(MOISTURE, MOISTURE, MOISTURE, RATE)
def test_times_of_two_stretches_add_up(one, two, three, rate) -> None:
    low, middle, high = sorted((one, two, three))
    whole = constant_rate_time(20.0, high, low, rate)
    parts = constant_rate_time(20.0, high, middle, rate) + constant_rate_time(
        20.0, middle, low, rate
    )
    assert whole == pytest.approx(parts, rel=1e-9, abs=1e-9)


@given(MOISTURE, MOISTURE, RATE)
def test_falling_rate_takes_longer_than_constant(one, two, rate) -> None:
    low, high = sorted((one, two))
    assert falling_rate_time(20.0, high, low, rate) >= constant_rate_time(20.0, high, low, rate) * (
        1.0 - 1e-12
    )


@given(MOISTURE, MOISTURE, RATE, RATE)
def test_one_stretch_of_a_curve_is_its_integral(one, two, first, last) -> None:
    low, high = sorted((one, two))
    if high - low < 1e-3:
        return

    def pace(moisture: float) -> float:
        share = (high - moisture) / (high - low)
        return 1.0 / (first + (last - first) * share)

    exact = 20.0 * quad(pace, low, high)[0]
    assert time_from_rate_curve(20.0, [high, low], [first, last]) == pytest.approx(exact, rel=1e-6)


def test_flat_curve_is_constant_rate() -> None:
    curve = time_from_rate_curve(21.5, [0.38, 0.30, 0.25], [1.51, 1.51, 1.51])
    assert curve == pytest.approx(constant_rate_time(21.5, 0.38, 0.25, 1.51), rel=1e-12)


def test_finely_cut_line_through_the_origin_is_falling_rate() -> None:
    moisture = np.linspace(0.195, 0.040, 50)
    curve = time_from_rate_curve(21.5, moisture, 1.51 * moisture / 0.195)
    assert curve == pytest.approx(falling_rate_time(21.5, 0.195, 0.040, 1.51), rel=1e-9)


def test_broadcasts_over_shells() -> None:
    times = constant_rate_time(np.array([10.0, 20.0]), 0.3, np.array([[0.2], [0.1]]), 1.0)
    np.testing.assert_allclose(times, [[1.0, 2.0], [2.0, 4.0]])
    assert type(falling_rate_time(20.0, 0.3, 0.2, 1.0)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: constant_rate_time(0.0, 0.3, 0.2, 1.0), "dry mass"),
        (lambda: constant_rate_time(20.0, 0.2, 0.3, 1.0), "moisture at the end"),
        (lambda: constant_rate_time(20.0, 0.3, 0.2, 0.0), "drying rate"),
        (lambda: falling_rate_time(20.0, 0.3, 0.0, 1.0), "moisture at the end"),
        (lambda: falling_rate_time(20.0, float("nan"), 0.1, 1.0), "moisture at the start"),
        (lambda: time_from_rate_curve(20.0, [0.3], [1.0]), "drying-rate curve"),
        (lambda: time_from_rate_curve(20.0, [0.3, 0.2], [1.0]), "drying-rate curve"),
        (lambda: time_from_rate_curve(20.0, [0.3, 0.2, 0.25], [1.0, 1.0, 1.0]), "moisture"),
        (lambda: time_from_rate_curve(20.0, [0.3, 0.2], [1.0, 0.0]), "drying rate"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
