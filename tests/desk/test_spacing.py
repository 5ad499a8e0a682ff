"""Labels spread apart: in order, apart, inside, and no further than needed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from shellcoat.desk.spacing import spread_apart

PLACES = st.lists(st.floats(0.0, 100.0), max_size=12).map(sorted)


@given(PLACES, st.floats(0.0, 30.0))
def test_labels_stand_apart_and_inside(places: list[float], gap: float):
    moved = spread_apart(places, gap, 0.0, 100.0)
    shared = min(gap, 100.0 / max(len(places) - 1, 1))
    assert len(moved) == len(places)
    assert all(-1e-9 <= place <= 100.0 + 1e-9 for place in moved)
    assert all(step >= shared - 1e-9 for step in np.diff(moved))


@given(PLACES)
def test_labels_with_room_stay_where_they_are(places: list[float]):
    assert spread_apart(places, 0.0, 0.0, 100.0) == pytest.approx(places)


@pytest.mark.parametrize("places", [[10, 11, 12], [0, 0, 50, 51], [97, 98, 99, 100], [5, 40, 41]])
def test_labels_move_as_little_as_a_general_solver_finds(places: list[float]):
    gap = 6.0
    solved = minimize(
        lambda x: float(np.sum((x - np.array(places)) ** 2)),
        np.linspace(10, 90, len(places)),
        constraints=[{"type": "ineq", "fun": lambda x: np.diff(x) - gap}],
        bounds=[(0.0, 100.0)] * len(places),
        method="SLSQP",
    )
    assert spread_apart(places, gap, 0.0, 100.0) == pytest.approx(list(solved.x), abs=1e-4)
