"""The sieve openings that come with the program against the published table."""

from __future__ import annotations

from itertools import pairwise

import pytest
from reference_tables import rows

from shellcoat.forecast.stucco_sizes import sieves


@pytest.mark.parametrize("row", rows("sieve_openings.csv"), ids=lambda row: row["ASTM_mesh"])
def test_opening_is_the_tables(row: dict[str, str]) -> None:
    opening_m = sieves()[int(row["ASTM_mesh"])]
    assert 1e6 * opening_m == pytest.approx(float(row["opening_um"]), abs=1e-6)


def test_openings_step_by_the_fourth_root_of_two() -> None:
    # ISO 565 and ASTM E11: down to 32 micrometres each sieve opens 2^(1/4) = 1.189 times the
    # next finer one, rounded to preferred numbers (within 3 %); finer ones skip every other.
    openings = [opening for opening in sieves().values() if opening >= 32e-6]
    ratios = [coarse / fine for coarse, fine in pairwise(openings)]
    assert len(ratios) == 29
    assert ratios == pytest.approx([2.0**0.25] * 29, rel=0.03)
