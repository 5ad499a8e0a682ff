"""The table of walls: sources, what words name, and figures that must agree with each other."""

from __future__ import annotations

import tomllib

import pytest

from shellcoat.forecast.wall_values import WallTableError, read_wall_values, wall_values
from shellcoat.places import resources_dir
from shellcoat.shop import WallPlace

FOLDER = resources_dir() / "materials"
TABLE = (FOLDER / "wall.toml").read_text(encoding="utf-8")
DRYING = FOLDER / "drying.toml"


@pytest.mark.parametrize(
    ("name", "material"),
    [
        ("colloidal silica prime, zircon flour", "zircon"),
        ("Fused Silica backup", "fused silica"),
        ("aluminosilicate 16-30 mesh", "aluminosilicate"),
        ("mullite 30-50", "aluminosilicate"),
        ("washed silica sand", "quartz"),
        ("the grey one", "any other"),
        ("colloidal silica", "any other"),
    ],
)
def test_words_in_a_name_tell_the_material(name, material):
    assert wall_values().material(name).name == material


@pytest.mark.parametrize("row", wall_values().materials, ids=lambda row: row.name)
def test_volumes_of_water_and_solids_add_up_to_the_slurry(row):
    water = row.water.likely
    volume = water / 1000.0 + (1.0 - water) / row.solids_kg_m3
    assert row.slurry_kg_m3 == pytest.approx(1.0 / volume, rel=0.01)


@pytest.mark.parametrize("row", wall_values().materials, ids=lambda row: row.name)
def test_a_wall_has_the_pores_of_a_shell_or_more(row):
    # Shells have 10 to 30 % of open pores (International Journal of Metalcasting 2016); closed
    # ones and voids between grains come on top.
    pores = 1.0 - row.bulk.likely / row.grain.likely
    assert 0.2 < pores < 0.4


def test_edges_build_thin_and_corners_thick():
    place = wall_values().place
    assert place[WallPlace.EDGE].high < 1.0 < place[WallPlace.CORNER].low


def test_every_figure_has_a_source():
    def figures(part):
        if isinstance(part, list):
            for row in part:
                yield from figures(row)
        elif isinstance(part, dict):
            if {"value", "likely"} & part.keys():
                yield part
            else:
                for row in part.values():
                    yield from figures(row)

    found = list(figures(tomllib.loads(TABLE)))
    assert len(found) > 40
    assert all(figure["source"].strip() for figure in found)


@pytest.mark.parametrize("cut", ["seal_share", "caliper", "coverage", "edge", "bulk", "wax_mass"])
def test_a_missing_figure_is_told(tmp_path, cut):
    path = tmp_path / "wall.toml"
    lines = [line for line in TABLE.splitlines() if not line.startswith(f"{cut} =")]
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(WallTableError, match=r"wall\.toml: .*Restore the file"):
        read_wall_values(path, DRYING)


def test_a_figure_without_its_source_is_refused(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(TABLE.replace(', source = "from memory: one spot', ', note = "'), "utf-8")
    with pytest.raises(WallTableError, match="source"):
        read_wall_values(path, DRYING)
