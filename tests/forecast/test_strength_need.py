"""The wall a spot needs against the wall it has."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.forecast.strength_need import (
    SpotVerdict,
    answer_spot,
    borne,
    chance_thick_enough,
    needed_thickness,
    verdict_of,
)
from shellcoat.forecast.strength_values import (
    StrengthTableError,
    metal_of,
    read_strength_values,
    strength_values,
)
from shellcoat.places import resources_dir
from shellcoat.shop import Band, SpotKind, StressSpot

SPOT_ID = UUID("0b0f6f5e-93f7-4b53-8a2f-6f3f7d1f2c11")
VALUES = strength_values()
BRONZE = 8360.0
TENTH = 1.2815515655446004
"""The 90th percentile of the standard normal distribution, any table."""

# Silicon bronze this high presses with 41 kPa: p = rho g h, g = 9.80665 m/s2.
HEAD_41_KPA = 41e3 / (BRONZE * 9.80665)


def face(**changes: object) -> StressSpot:
    """A face of 100 by 150 mm."""
    fields = {
        "id": SPOT_ID,
        "name": "Flat back",
        "kind": SpotKind.FLAT,
        "long_m": 0.15,
        "short_m": 0.10,
        "head_m": HEAD_41_KPA,
    }
    return StressSpot(**(fields | changes))


def ring(**changes: object) -> StressSpot:
    """An arm of 60 mm across."""
    fields = {
        "id": SPOT_ID,
        "name": "Arm",
        "kind": SpotKind.ROUND,
        "radius_m": 0.03,
        "head_m": HEAD_41_KPA,
    }
    return StressSpot(**(fields | changes))


def band(likely: float, factor: float) -> Band:
    """A log-normal band: likely over factor, likely, likely times factor."""
    return Band(likely / factor, likely, likely * factor)


def answer(spot: StressSpot, wall: Band = band(8e-3, 1.15), density: float = BRONZE):  # noqa: B008
    """The answer for a wall that has all its coats."""
    return answer_spot(spot, density, wall, wall, VALUES)


def test_the_worked_example_of_a_flat_face() -> None:
    # Roark 7th ed. table 11.4, a/b = 1.5, worked by hand: 14.1, 9.97 and 8.14 mm at 1, 2, 3 MPa.
    needed = needed_thickness(face(), 41e3, Band(1e6, 2e6, 3e6))
    assert [1e3 * t for t in (needed.high, needed.likely, needed.low)] == pytest.approx(
        [14.1, 9.97, 8.14], abs=0.03
    )


@pytest.mark.parametrize(("clamped", "stress"), [(False, 3.11e6), (True, 2.89e6)])
def test_the_stress_in_the_likely_wall(clamped: bool, stress: float) -> None:
    # The same face, 8 mm thick: 3.11 MPa simply supported, 2.89 MPa clamped.
    found = answer(face(clamped=clamped))
    assert found.pressure_pa == pytest.approx(41e3)
    assert found.stress_pa == pytest.approx(stress, rel=2e-3)


def test_a_round_wall_is_pulled_and_bears_less() -> None:
    found = answer(ring())
    assert found.stress_pa == pytest.approx(41e3 * 0.03 / 0.008)  # p r / t
    share = VALUES.pull_share
    assert found.strength_pa.likely == pytest.approx(VALUES.green_pa.likely * share.likely)
    assert found.needed_m.likely == pytest.approx(41e3 * 0.03 / found.strength_pa.likely)
    assert answer(face()).strength_pa == VALUES.green_pa


def test_the_band_of_a_pulled_wall_against_drawn_strengths() -> None:
    # Both bands drawn at random as log-normal; the table's are nearly even on that scale.
    rng = np.random.default_rng(7)
    drawn = np.ones(400_000)
    for each in (VALUES.green_pa, VALUES.pull_share):
        spread = np.log(each.high / each.low) / (2 * TENTH)
        drawn *= np.exp(rng.normal(np.log(each.likely), spread, drawn.size))
    low, likely, high = np.quantile(drawn, (0.1, 0.5, 0.9))
    found = borne(ring(), VALUES.green_pa, VALUES)
    assert (found.low, found.likely, found.high) == pytest.approx((low, likely, high), rel=0.04)


def test_low_strength_needs_the_thick_wall_and_heat_the_thinner_one() -> None:
    found = answer(face())
    at_low = needed_thickness(face(), 41e3, Band(*[VALUES.green_pa.low] * 3))
    assert found.needed_m.high == pytest.approx(at_low.likely)
    assert found.needed_m.low < found.needed_m.likely < found.needed_m.high
    assert found.needed_hot_m.likely < found.needed_m.likely


lengths = st.floats(0.02, 1.0)
more = st.floats(1.01, 3.0)


@given(long=lengths, share=st.floats(0.1, 0.9), head=st.floats(0.05, 1.5), factor=more)
def test_more_metal_larger_faces_and_heavier_metal_need_more(
    long: float, share: float, head: float, factor: float
) -> None:
    spot = face(long_m=long, short_m=share * long, head_m=head)
    found = answer(spot)
    deeper = answer(face(long_m=long, short_m=share * long, head_m=head * factor))
    larger = answer(face(long_m=long * factor, short_m=share * long * factor, head_m=head))
    heavier = answer(spot, density=BRONZE * factor)
    for other in (deeper, larger, heavier):
        assert other.needed_m.likely > found.needed_m.likely
        assert other.chance_enough <= found.chance_enough
        assert other.aim_m > found.aim_m
    # Similar faces need thickness in proportion; pressure enters by its root.
    assert larger.needed_m.likely == pytest.approx(factor * found.needed_m.likely)
    assert deeper.needed_m.likely == pytest.approx(factor**0.5 * found.needed_m.likely)


@given(wall=st.floats(1e-3, 30e-3), factor=more, spread=st.floats(1.02, 1.6))
def test_a_thicker_wall_is_never_less_likely_to_do(
    wall: float, factor: float, spread: float
) -> None:
    thin, thick = answer(face(), band(wall, spread)), answer(face(), band(wall * factor, spread))
    assert thin.chance_enough <= thick.chance_enough
    assert thin.stress_pa > thick.stress_pa
    assert thin.needed_m == thick.needed_m


@given(wall=st.floats(0.4, 2.5), wide=st.floats(1.02, 1.8), need=st.floats(1.02, 1.8))
def test_the_chance_is_what_brute_force_counts(wall: float, wide: float, need: float) -> None:
    there, needed = band(wall * 8e-3, wide), band(8e-3, need)
    normal = np.random.default_rng(11).normal(size=(2, 100_000))
    walls = there.likely * np.exp(normal[0] * np.log(wide) / TENTH)
    needs = needed.likely * np.exp(normal[1] * np.log(need) / TENTH)
    assert chance_thick_enough(there, needed) == pytest.approx((walls >= needs).mean(), abs=0.008)


def test_a_wall_of_the_thickness_aimed_at_has_nine_chances_in_ten() -> None:
    found = answer(face())
    aimed = answer(face(), band(found.aim_m, 1.15))
    assert aimed.chance_enough == pytest.approx(0.9, abs=1e-4)


def test_bare_wax_and_walls_known_exactly() -> None:
    bare, eight = Band(0.0, 0.0, 0.0), Band(8e-3, 8e-3, 8e-3)
    found = answer(face(), bare)
    assert (found.chance_enough, found.stress_pa, found.verdict) == (0.0, None, SpotVerdict.STOP)
    assert chance_thick_enough(eight, eight) == 1.0
    assert chance_thick_enough(Band(7e-3, 7e-3, 7e-3), eight) == 0.0
    # A band that begins at nothing takes its spread from its upper half.
    assert chance_thick_enough(Band(0.0, 8e-3, 10e-3), Band(10e-3, 10e-3, 10e-3)) == pytest.approx(
        0.1, abs=1e-3
    )


def test_now_and_the_end_are_told_apart() -> None:
    found = answer_spot(face(), BRONZE, band(2e-3, 1.2), band(12e-3, 1.2), VALUES)
    assert found.chance_now < 0.01
    assert found.chance_enough > 0.9
    assert found.verdict is SpotVerdict.FINE


@pytest.mark.parametrize(
    ("chance", "verdict"),
    [
        (1.0, SpotVerdict.FINE),
        (0.9, SpotVerdict.FINE),
        (0.89, SpotVerdict.LOOK),
        (0.5, SpotVerdict.LOOK),
        (0.49, SpotVerdict.STOP),
        (0.0, SpotVerdict.STOP),
    ],
)
def test_the_verdict_follows_the_chance(chance: float, verdict: SpotVerdict) -> None:
    assert verdict_of(chance) is verdict
    assert "safe" not in verdict.value


@pytest.mark.parametrize(
    ("text", "name", "density"),
    [
        # Published data sheets of C87300 (0.302 lb/in3) and C90300 (8.80 g/cm3); metal weights.
        ("silicon bronze", "silicon bronze", 8360.0),
        ("Silicon Bronze C87300, remelt", "silicon bronze", 8360.0),
        ("tin bronze", "tin bronze", 8800.0),
        ("Bronze", "bronze", 8800.0),
        ("yellow brass", "brass", 8400.0),
        ("aluminium", "aluminium", 2700.0),
        ("aluminum 356", "aluminium", 2700.0),
    ],
)
def test_metals_are_known_by_their_words(text: str, name: str, density: float) -> None:
    match = metal_of(text, VALUES.metals)
    assert match.known
    assert (match.metal.name, match.metal.density_kg_m3) == (name, density)


def test_where_a_text_names_two_metals_the_heavier_counts() -> None:
    assert metal_of("aluminium bronze", VALUES.metals).metal.density_kg_m3 == 8800.0


@pytest.mark.parametrize("text", ["", "   ", "Rotguss", "brassy", "grey iron"])
def test_an_unknown_metal_is_taken_as_the_heaviest(text: str) -> None:
    match = metal_of(text, VALUES.metals)
    assert not match.known
    heaviest = max(metal.density_kg_m3 for metal in VALUES.metals)
    assert match.metal.density_kg_m3 == heaviest


def test_the_densities_fit_the_data_sheets_in_pounds() -> None:
    # 0.302 lb/in3, with 0.45359237 kg and 25.4 mm exactly.
    silicon = metal_of("silicon bronze", VALUES.metals).metal
    assert silicon.density_kg_m3 == pytest.approx(0.302 * 0.45359237 / 0.0254**3, rel=1e-3)
    assert all(metal.source.startswith("published") for metal in VALUES.metals)


def test_a_table_without_a_source_is_refused(tmp_path: Path) -> None:
    folder = resources_dir() / "materials"
    text = (folder / "metals.toml").read_text(encoding="utf-8")
    lame = tmp_path / "metals.toml"
    lame.write_text(text.replace("source =", "note ="), encoding="utf-8")
    with pytest.raises(StrengthTableError, match="source"):
        read_strength_values(folder / "strength.toml", lame)
