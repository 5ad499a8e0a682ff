"""Two factors on a grid, against the closed form of normal distributions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.stats import multivariate_normal

from shellcoat.forecast.factors import (
    CELLS,
    SIDE,
    FactorBelief,
    FactorGrid,
    FactorSpreads,
    factor_quantiles,
    kind_of,
    shop_table,
)
from shellcoat.forecast.lanes import SCORES, sample_weights

Floats = NDArray[np.float64]

SPREADS = FactorSpreads(0.33, 0.43, 0.08, 0.10)
GRID = FactorGrid.of(SPREADS)
PRIME, BACKUP, SEAL = ("prime", "zircon"), ("backup", "16-30 mesh"), ("seal", "")


def normal_table(film: float, crust: float, reading: float, error: float) -> Floats:
    """A reading of ``film * ln F + crust * ln C`` with a normal error, as a log-likelihood."""
    said = film * GRID.first_log[:, None] + crust * GRID.second_log[None, :]
    return -0.5 * ((reading - said) / error) ** 2


READINGS = (
    (PRIME, 0.9, 0.2, 0.25, 0.2),
    (BACKUP, 0.5, 0.5, 0.30, 0.15),
    (BACKUP, 0.7, 0.3, 0.1, 0.3),
)


def tables() -> dict[tuple[str, str], Floats]:
    found: dict[tuple[str, str], Floats] = {}
    for kind, *reading in READINGS:
        found[kind] = found.get(kind, np.zeros((SIDE, SIDE))) + normal_table(*reading)
    return found


def closed_form() -> tuple[Floats, Floats]:
    """Mean and covariance of ln film, ln prime crust, ln backup crust: a linear normal model."""
    precision = np.diag([1 / SPREADS.first**2, 1 / SPREADS.second**2, 1 / SPREADS.second**2])
    pull = np.zeros(3)
    for kind, film, crust, reading, error in READINGS:
        row = np.array([film, crust * (kind == PRIME), crust * (kind == BACKUP)])
        precision += np.outer(row, row) / error**2
        pull += row * reading / error**2
    covariance = np.linalg.inv(precision)
    return covariance @ pull, covariance


def moments(logs: Floats, weights: Floats) -> tuple[float, float]:
    mean = float(weights @ logs)
    return mean, float(np.sqrt(weights @ (logs - mean) ** 2))


def test_beliefs_of_several_kinds_under_one_film_match_the_closed_form():
    belief = FactorBelief(GRID, tables())
    mean, covariance = closed_form()
    found = [
        moments(GRID.first_log, belief.first()),
        moments(GRID.second_log, belief.second(PRIME)),
        moments(GRID.second_log, belief.second(BACKUP)),
    ]
    for place, (middle, spread) in enumerate(found):
        assert middle == pytest.approx(mean[place], abs=0.01)
        assert spread == pytest.approx(np.sqrt(covariance[place, place]), rel=0.03)


def test_a_kind_without_checks_learns_through_the_film_alone():
    belief = FactorBelief(GRID, tables())
    joint = belief.joint(SEAL)
    np.testing.assert_allclose(joint.sum(axis=1), belief.first(), atol=1e-12)
    np.testing.assert_allclose(joint.sum(axis=0), GRID.second_prior, atol=1e-12)


def test_the_joint_of_every_kind_tells_the_same_of_the_film():
    belief = FactorBelief(GRID, tables())
    for kind in (PRIME, BACKUP, SEAL):
        np.testing.assert_allclose(belief.joint(kind).sum(axis=1), belief.first(), atol=1e-12)


def test_no_check_leaves_the_tables_word():
    belief = FactorBelief(GRID)
    np.testing.assert_allclose(belief.first(), GRID.first_prior)
    middle, spread = moments(GRID.first_log, belief.first())
    assert middle == pytest.approx(0.0, abs=1e-12)
    # The grid is cut off at 2.8 standard scores of a coat, 3.0 of the shop's factor.
    assert spread == pytest.approx(SPREADS.first, rel=0.02)


def test_a_coats_own_scatter_adds_as_squares_and_its_water_shifts_both():
    """Variances of a sum; the water is in both logarithms, so it is their covariance."""
    weights = FactorBelief(GRID).of_coat(BACKUP).reshape(SIDE, SIDE)
    film, crust = weights.sum(axis=1), weights.sum(axis=0)
    assert moments(GRID.first_log, film)[1] == pytest.approx(SPREADS.lane_first, rel=0.04)
    assert moments(GRID.second_log, crust)[1] == pytest.approx(SPREADS.lane_second, rel=0.04)
    covariance = float((weights * np.outer(GRID.first_log, GRID.second_log)).sum())
    assert covariance == pytest.approx(SPREADS.water**2, rel=0.25)


def test_the_samples_of_a_known_shop_are_the_scatter_about_it():
    """A shop known exactly: its coats are a two-dimensional normal, here drawn by scipy."""
    sharp = np.full((SIDE, SIDE), -1e3)
    sharp[15, 11] = 0.0
    belief = FactorBelief(GRID, {BACKUP: sharp})
    weights = belief.samples_of_coat(BACKUP)
    logs = SCORES[:2] * np.array([[SPREADS.lane_first], [SPREADS.lane_second]])
    mean = logs @ weights
    own, both = SPREADS.place**2, SPREADS.water**2
    normal = multivariate_normal(
        [GRID.first_log[15], GRID.second_log[11]], [[own + both, both], [both, own + both]]
    )
    draws = normal.rvs(200_000, random_state=3)
    np.testing.assert_allclose(mean, draws.mean(axis=0), atol=0.02)
    spread = np.sqrt(((logs - mean[:, None]) ** 2) @ weights)
    np.testing.assert_allclose(spread, draws.std(axis=0), rtol=0.06)


def test_what_a_coat_says_of_the_shop_is_averaged_over_its_scatter():
    """Expectation of the likelihood over the coats of each shop, by Monte Carlo."""
    normal = multivariate_normal(
        [0.0, 0.0],
        [
            [SPREADS.place**2 + SPREADS.water**2, SPREADS.water**2],
            [SPREADS.water**2, SPREADS.place**2 + SPREADS.water**2],
        ],
    )
    coat = np.exp(normal_table(0.6, 0.4, 0.2, 0.1)).ravel()
    found = np.exp(shop_table(coat, GRID))
    own = normal.rvs(100_000, random_state=5)
    for row, column in ((12, 12), (15, 12), (9, 16)):
        film = GRID.first_log[row] + own[:, 0]
        crust = GRID.second_log[column] + own[:, 1]
        expected = np.exp(-0.5 * ((0.2 - 0.6 * film - 0.4 * crust) / 0.1) ** 2).mean()
        assert found[row, column] == pytest.approx(expected, rel=0.05)


@given(st.lists(st.sampled_from(READINGS), max_size=6))
def test_checks_may_come_in_any_order(readings):
    def belief(rows):
        found: dict[tuple[str, str], Floats] = {}
        for kind, *reading in rows:
            found[kind] = found.get(kind, np.zeros((SIDE, SIDE))) + normal_table(*reading)
        return FactorBelief(GRID, found).first()

    np.testing.assert_allclose(belief(readings), belief(readings[::-1]), atol=1e-12)


@given(st.floats(-0.5, 0.5), st.floats(0.1, 0.4))
def test_percentiles_are_those_of_the_normal(middle, spread):
    logs = np.linspace(-2.0, 2.0, 41)
    weights = np.exp(-0.5 * ((logs - middle) / spread) ** 2)
    low, likely, high = np.log(factor_quantiles(logs, weights / weights.sum()))
    assert likely == pytest.approx(middle, abs=0.01)
    # Cells as wide as 0.1 add a twelfth of their square to the variance.
    wide = 1.2816 * np.hypot(spread, 0.1 / np.sqrt(12.0))
    assert (low, high) == pytest.approx((middle - wide, middle + wide), abs=0.03)


def test_spelling_does_not_divide_a_kind():
    assert kind_of(" Fused  Silica backup", "16-30 Mesh ") == kind_of(
        "fused silica backup", "16-30 mesh"
    )


def test_weights_of_samples_sum_to_one_for_any_belief():
    pairs = np.random.default_rng(2).random(SCORES.shape[1])
    assert sample_weights(pairs).sum() == pytest.approx(1.0)
    assert FactorBelief(GRID, tables()).of_coat(PRIME).sum() == pytest.approx(1.0)
    assert FactorBelief(GRID, tables()).of_coat(PRIME).size == CELLS
