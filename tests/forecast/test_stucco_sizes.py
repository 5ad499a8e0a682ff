"""The grain of a stucco from the name that shops write on the bin."""

from __future__ import annotations

import pytest

from shellcoat.forecast.stucco_sizes import read_sieves, size_in_name
from shellcoat.forecast.wall_values import WallTableError
from shellcoat.places import resources_dir

TABLE = (resources_dir() / "materials" / "sieve_openings.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("name", "finest_um", "coarsest_um"),
    [
        # ASTM E11: 16, 30, 50 and 100 mesh open 1180, 600, 300 and 150 micrometres.
        ("fused silica 16-30 mesh", 600, 1180),
        ("fused silica 30-50", 300, 600),
        ("50-100", 150, 300),
        ("fused silica 50-100 mesh (fine)", 150, 300),
        ("aluminosilicate 16/30", 600, 1180),
        ("Aluminosilicate -16 +30 mesh", 600, 1180),
        ("zircon 100x200", 75, 150),
        ("chamotte 30 to 50 mesh", 300, 600),
        ("chamotte 16–30", 600, 1180),
        ("100-50 mesh", 150, 300),
        ("chamotte 0.25-0.5 mm", 250, 500),
        ("chamotte 0,2–0,7mm", 200, 700),
        ("quartz 250-500 µm", 250, 500),
        ("batch 2-3, 16-30 mesh", 600, 1180),
    ],
)
def test_a_name_tells_its_sieves(name, finest_um, coarsest_um):
    size = size_in_name(name)
    assert size is not None
    assert 1e6 * size.finest_m == pytest.approx(finest_um)
    assert 1e6 * size.coarsest_m == pytest.approx(coarsest_um)
    assert size.mean_m**2 == pytest.approx(size.finest_m * size.coarsest_m)


@pytest.mark.parametrize(
    "name", ["", "fine", "200 mesh", "coats 2-3", "28-31 % sol", "30-30", "bin 7", "0-0.5 mm"]
)
def test_a_name_without_two_sieves_tells_nothing(name):
    assert size_in_name(name) is None


def test_a_damaged_table_is_named(tmp_path):
    path = tmp_path / "sieve_openings.csv"
    path.write_text(TABLE.replace("16,1180", "16,coarse"), encoding="utf-8")
    with pytest.raises(WallTableError, match=r"sieve_openings\.csv"):
        read_sieves(path)
    path.write_text(TABLE.replace("16,1180", "16,118"), encoding="utf-8")
    with pytest.raises(WallTableError, match="openings must fall"):
        read_sieves(path)
