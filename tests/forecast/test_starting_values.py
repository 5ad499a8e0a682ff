"""The table of starting values: figures, sources, and what a damaged file says."""

from __future__ import annotations

import pytest

from shellcoat.forecast.starting_values import (
    StartingValuesError,
    read_starting_values,
    starting_values,
)
from shellcoat.places import resources_dir
from shellcoat.shop import AirMovement

TABLE = (resources_dir() / "materials" / "drying.toml").read_text(encoding="utf-8")


def test_figures_are_in_si():
    values = starting_values()
    assert values.ahead.memory_s == pytest.approx(48 * 3600.0)
    assert values.reading_age_s == pytest.approx(6 * 3600.0)
    assert 0.0 < values.ahead.assumed_rh < 1.0
    # 1000 kg/m3 of water in the share of the pores that a coat fills.
    assert values.pore_water_density == pytest.approx(1000.0 * 0.25 * 0.15, rel=0.005)
    assert values.crust_share == pytest.approx(0.25 / 3.0)


def test_every_way_the_air_moves_has_its_speed_still_first():
    speeds = [starting_values().air_speed_m_s[movement] for movement in AirMovement]
    assert speeds == sorted(speeds)
    assert speeds[0] < 0.2


@pytest.mark.parametrize(
    ("cut", "named"),
    [
        ("tortuosity", r"\[wall\] tortuosity"),
        ("memory_h", r"\[air_ahead\] memory_h"),
        ("fan_in_room", r"\[air_speed_m_s\] fan_in_room"),
    ],
)
def test_a_missing_figure_is_named(tmp_path, cut, named):
    lines = [line for line in TABLE.splitlines() if not line.startswith(cut)]
    path = tmp_path / "drying.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(StartingValuesError, match=named):
        read_starting_values(path)


def test_a_figure_without_its_source_is_refused(tmp_path):
    path = tmp_path / "drying.toml"
    path.write_text(TABLE.replace(', source = "from memory: vapour path', ', note = "'), "utf-8")
    with pytest.raises(StartingValuesError, match="tortuosity needs a value and a source"):
        read_starting_values(path)
