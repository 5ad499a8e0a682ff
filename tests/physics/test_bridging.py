"""Openings that close: geometry, the coat that closes them, and what must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics.bridging import bridging_gap, closing_coat, narrowed

COATS = st.lists(st.floats(0.0, 2e-3), min_size=1, max_size=14)
WIDTHS = st.floats(0.0, 0.06)
GAPS = st.floats(1e-3, 8e-3)


def test_gap_of_a_slurry_and_of_its_stucco() -> None:
    # Worked capillary length of 1.758 mm at 50 mN/m and 1650 kg/m3, doubled; three grains above it.
    assert bridging_gap(0.050, 1650.0) == pytest.approx(3.516e-3, abs=1e-6)
    assert bridging_gap(0.050, 1650.0, 1.4e-3) == pytest.approx(4.2e-3)


def test_each_coat_takes_twice_its_thickness() -> None:
    np.testing.assert_allclose(narrowed(10e-3, [0.5e-3, 1e-3, 4e-3]), [9e-3, 7e-3, 0.0], atol=1e-15)


@given(WIDTHS, COATS, GAPS)
def test_closing_coat_counts_down_by_hand(width, coats, gap) -> None:
    left = [width - 2.0 * sum(coats[:number]) for number in range(1, len(coats) + 1)]
    assume(all(abs(clear - gap) > 1e-12 for clear in left))
    expected = next((number for number, clear in enumerate(left, 1) if clear < gap), np.inf)
    assert closing_coat(width, coats, bridging_gap_m=gap) == expected


@given(WIDTHS, WIDTHS, COATS, GAPS)
def test_a_wider_opening_never_closes_sooner(one, other, coats, gap) -> None:
    narrow, wide = closing_coat(np.sort([one, other]), coats, bridging_gap_m=gap)
    assert narrow <= wide


def test_closed_from_the_first_dip_and_never() -> None:
    closing = closing_coat([2e-3, 50e-3], [1e-3] * 9, bridging_gap_m=3.5e-3)
    np.testing.assert_array_equal(closing, [1.0, np.inf])


def test_gap_may_differ_from_coat_to_coat() -> None:
    # A seal coat without stucco bridges less than the backup coats before it.
    gaps = [3.5e-3, 6e-3, 3.5e-3]
    assert closing_coat(8e-3, [0.5e-3, 0.5e-3, 0.2e-3], bridging_gap_m=gaps) == 2.0
    assert closing_coat(9e-3, [0.5e-3, 0.5e-3, 0.2e-3], bridging_gap_m=gaps) == np.inf


def test_broadcasts_over_openings_and_samples() -> None:
    coats = np.linspace(0.5e-3, 1.5e-3, 7)[:, None, None] * np.ones(9)
    closing = closing_coat(np.array([8e-3, 16e-3]), coats, bridging_gap_m=3.5e-3)
    assert closing.shape == (7, 2)
    assert (np.diff(closing[:, 0]) <= 0.0).all()
    assert type(closing_coat(8e-3, [1e-3], bridging_gap_m=3.5e-3)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: bridging_gap(0.0, 1650.0), "surface tension"),
        (lambda: bridging_gap(0.05, 1650.0, -1.0), "size of the stucco"),
        (lambda: narrowed(-1.0, [1e-3]), "width of the opening"),
        (lambda: narrowed(0.01, [-1e-3]), "thickness of the coat"),
        (lambda: closing_coat(0.01, [1e-3], bridging_gap_m=0.0), "gap that is bridged"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
