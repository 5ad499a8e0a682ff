"""Bending coefficients of rectangular plates against every row of the published table."""

from __future__ import annotations

import pytest
from reference_tables import rows

from shellcoat.physics.strength import PlateEdge, plate_coefficient


@pytest.mark.parametrize(
    "row", rows("plate_coefficients.csv"), ids=lambda row: f"{row['edge']}-{row['a_over_b']}"
)
def test_coefficient_is_the_tables(row: dict[str, str]) -> None:
    beta = plate_coefficient(float(row["a_over_b"]), PlateEdge[row["edge"].upper()])
    assert beta == pytest.approx(float(row["beta"]), abs=1e-12)
