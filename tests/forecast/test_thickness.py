"""How thick the wall is, and what a coat on an undried one costs."""

from __future__ import annotations

import pytest
from builders import a_case, a_log, a_shell, backup, forecast_one, prime
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from shellcoat.forecast.starting_values import starting_values
from shellcoat.forecast.thickness import built_thickness, wall_at_end, wall_thickness
from shellcoat.shop import Band

COAT = Band(0.8e-3, 1.2e-3, 1.6e-3)
BANDS = st.tuples(st.floats(0.1e-3, 1e-3), st.floats(0.0, 1e-3), st.floats(0.0, 1e-3)).map(
    lambda part: Band(part[0], part[0] + part[1], part[0] + part[1] + part[2])
)


def half_width(band: Band) -> float:
    return band.high - band.likely


def test_one_coat_keeps_its_band():
    wall = wall_thickness([COAT], 0.5)
    assert (wall.low, wall.likely, wall.high) == pytest.approx((0.8e-3, 1.2e-3, 1.6e-3), rel=1e-3)


def test_independent_errors_add_as_squares_shared_ones_straight():
    """Nine like coats: three times the spread of one when independent, nine when shared."""
    walls = [wall_thickness([COAT] * 9, share) for share in (0.0, 1.0)]
    spreads = [half_width(wall) / half_width(COAT) for wall in walls]
    assert spreads == pytest.approx([3.0, 9.0], rel=1e-3)


def test_the_band_holds_eight_in_ten_walls():
    """Low and high are the 10th and 90th percentile of a normal distribution, as of one coat."""
    wall = wall_thickness([COAT] * 9, 0.0)
    sigma = 3.0 * (COAT.high - COAT.low) / (norm.ppf(0.9) - norm.ppf(0.1))
    assert wall.high == pytest.approx(norm(9 * 1.2e-3, sigma).ppf(0.9), rel=1e-3)
    assert wall.low == pytest.approx(norm(9 * 1.2e-3, sigma).ppf(0.1), rel=1e-3)


@given(st.lists(BANDS, min_size=1, max_size=12), st.floats(0.0, 1.0))
def test_spread_lies_between_independent_and_fully_shared(coats, share):
    low, found, high = (half_width(wall_thickness(coats, value)) for value in (0.0, share, 1.0))
    assert low * (1.0 - 1e-9) <= found <= high * (1.0 + 1e-9)


@given(st.lists(BANDS, min_size=1, max_size=12), BANDS, st.floats(0.0, 1.0))
def test_another_coat_is_never_thinner_nor_surer(coats, extra, share):
    before, after = wall_thickness(coats, share), wall_thickness([*coats, extra], share)
    assert after.likely > before.likely
    assert half_width(after) >= half_width(before) * (1.0 - 1e-9)


def test_no_coat_is_no_wall():
    assert wall_thickness([], 0.5) == Band(0.0, 0.0, 0.0)


def test_the_wall_at_the_end_counts_the_coats_on_it_and_those_to_come():
    steps = [step.thickness_m for step in (prime(), backup(), backup())]
    built = Band(0.2e-3, 0.3e-3, 0.4e-3)
    end = wall_at_end([built], steps, 0.5)
    assert end.likely == pytest.approx(0.3e-3 + 2 * 1.2e-3)
    assert wall_at_end([built] * 4, steps, 0.5).likely == pytest.approx(4 * 0.3e-3)


def test_a_dry_wall_takes_the_full_coat_and_a_wet_one_less():
    loss = starting_values().loss_on_wet
    on_dry = backup().thickness_m
    assert built_thickness(on_dry, Band(0.0, 0.0, 0.1), loss) == on_dry
    wet = built_thickness(on_dry, Band(1.0, 1.0, 1.0), loss)
    assert wet.likely == pytest.approx((1.0 - loss) * 1.2e-3)
    assert built_thickness(on_dry, Band(0.4, 0.5, 0.6), loss).likely > wet.likely


# Bars of the trial: eight backup coats and a seal, 20.7 °C and 45 %, every 1, 2, 4 or 24 hours.


def trial_wall_mm(interval_h: float) -> float:
    seal = backup(thickness_m=Band(0.1e-3, 0.2e-3, 0.3e-3), water_kg_m2=Band(0.1, 0.12, 0.15))
    shell = a_shell(steps=[*[backup()] * 8, seal], drying_length_m=0.1)
    case = a_case(shell, [interval_h * number for number in range(9)])
    last = interval_h * 8
    log = a_log(-24.0, last, temp_c=20.7, rh=0.45)
    return 1e3 * forecast_one(case, log, last).thickness_m.likely


def test_nine_coats_an_hour_apart_build_about_a_millimetre_less():
    """Dooley and Everden, INCAST, November 2020: about 1 mm thinner than the other sets."""
    hourly, two_hourly, four_hourly, daily = (trial_wall_mm(hours) for hours in (1, 2, 4, 24))
    assert four_hourly - hourly == pytest.approx(1.0, abs=0.3)
    assert hourly < two_hourly < four_hourly <= daily
    # The other sets hardly differ.
    assert daily - two_hourly < 0.5 * (daily - hourly)
