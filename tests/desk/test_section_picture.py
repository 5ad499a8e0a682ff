"""What the section drawing is built from, and what it says in words."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from walls import COARSE, a_forecast, a_picture, a_shell, some_coats, write_mm

from shellcoat.desk.section import describe_band, describe_section, section_picture
from shellcoat.desk.section.grains import stucco_grain_m
from shellcoat.desk.section.words import coat_rows, write_spread
from shellcoat.forecast.answers import DryState
from shellcoat.shop import Band, CoatKind


def test_bands_are_the_coats_on_and_those_to_come():
    picture = a_picture(5)
    assert [band.number for band in picture.bands] == list(range(1, 10))
    assert [band.planned for band in picture.bands] == [False] * 5 + [True] * 4
    assert [band.kind for band in picture.bands[:3]] == [
        CoatKind.PRIME,
        CoatKind.PRIME,
        CoatKind.BACKUP,
    ]
    assert picture.bands[-1].kind is CoatKind.SEAL
    assert math.fsum(band.thickness_m for band in picture.on) == pytest.approx(4.05e-3)


def test_water_lies_in_the_outer_wetted_depth():
    # Coats of 1.2, 1.2, 0.75, … mm from the outside: 3 mm wet reaches 0.6 mm into the third.
    picture = a_picture(5, wetted_mm=3.0, water_left=0.4)
    assert [round(1e3 * band.wet_m, 6) for band in picture.bands[:5]] == [0, 0, 0.6, 1.2, 1.2]
    assert [band.wetness for band in picture.bands[:5]] == [0, 0, 0.4, 0.4, 0.4]
    assert picture.wet_m == pytest.approx(3e-3)


@given(st.integers(1, 9), st.floats(0.0, 30.0), st.floats(0.0, 1.0))
def test_water_never_reaches_past_the_wax(coats_on: int, wetted_mm: float, left: float):
    picture = a_picture(coats_on, wetted_mm=wetted_mm, water_left=left)
    wall_m = math.fsum(band.thickness_m for band in picture.on)
    expected = min(1e-3 * wetted_mm, wall_m) if left > 0.0 else 0.0
    assert picture.wet_m == pytest.approx(expected, abs=1e-12)
    assert all(band.wet_m == 0.0 for band in picture.to_come)


def test_dry_wall_shows_no_water_though_some_is_left():
    picture = a_picture(5, state=DryState.DRY, water_left=0.06)
    assert picture.wet_m == 0.0
    assert "dry" in describe_section(picture, write_mm)


def test_coat_is_named_as_it_was_dipped_not_as_planned():
    shell = a_shell(9)
    coats = some_coats(shell, 2)
    forecast = a_forecast(shell, coats)
    other = replace(coats[1], step=shell.sequence.steps[3])
    picture = section_picture(shell, forecast, [coats[0], other])
    assert picture.bands[0].kind is CoatKind.PRIME
    assert picture.bands[1].kind is CoatKind.BACKUP
    assert COARSE in picture.bands[1].label


def test_wall_in_words():
    words = describe_section(a_picture(5, wetted_mm=3.0), write_mm).replace("\u00a0", " ")
    assert words == (
        "Wall of 5 coats, 4.05 mm of 8.00 mm; outer 3.00 mm wet, 40 % of the water left. "
        "4 coats to come, 7.85 mm at the end."
    )


def test_bare_wax_in_words():
    words = describe_section(a_picture(0), write_mm)
    assert words.startswith("Bare wax, no coat yet")
    assert "9 coats" in words


def test_one_coat_is_not_called_coats():
    assert "Wall of 1 coat," in describe_section(a_picture(1), write_mm)


@pytest.mark.parametrize(
    ("number", "state"),
    [(1, "dry"), (3, "outer 0.60 mm wet"), (5, "wet through"), (7, "not on yet")],
)
def test_each_coat_says_how_wet_it_is(number: int, state: str):
    band = a_picture(5, wetted_mm=3.0).bands[number - 1]
    words = describe_band(band, write_mm).replace("\u00a0", " ")
    assert words.startswith(f"Coat {number}, ")
    assert state in words.splitlines()[-1]


def test_like_coats_share_a_row():
    rows = coat_rows(a_picture(5), write_mm)
    assert [row.numbers for row in rows] == ["1–2", "3", "4–5", "6–8", "9"]
    assert rows[3].thickness.replace("\u00a0", " ") == "3 × 1.20 mm"


def test_spread_is_written_with_its_unit_once():
    assert write_spread(Band(4e-3, 5e-3, 6e-3), write_mm) == "5.00\u00a0mm (4.00–6.00\u00a0mm)"
    assert write_spread(Band(5e-3, 5e-3, 5e-3), write_mm) == "5.00\u00a0mm"


@pytest.mark.parametrize(
    ("stucco", "grain_mm"),
    [
        # Geometric middle of the sieve openings of ASTM E11: 0.300 and 0.150 mm, 1.18 and 0.60 mm.
        ("fused silica 50-100 mesh (fine)", 0.2121),
        ("aluminosilicate 16–30 Mesh", 0.8414),
        ("chamotte 0,5-1 mm", 0.7071),
        ("river sand", 0.7),
        ("fused silica 17-31 mesh", 0.7),
        ("9999999999-1 mm", 0.7),
        ("", 0.0),
        ("   ", 0.0),
    ],
)
def test_grain_follows_from_the_stuccos_name(stucco: str, grain_mm: float):
    assert stucco_grain_m(CoatKind.BACKUP, stucco) == pytest.approx(1e-3 * grain_mm, rel=1e-3)


@given(st.text(max_size=60))
def test_any_name_of_a_stucco_gives_a_grain(stucco: str):
    assert 0.0 <= stucco_grain_m(CoatKind.PRIME, stucco) <= 0.01
