"""Plates and rings under metal: Roark's table, Navier's series, Lamé's ring, worked numbers."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import strength
from shellcoat.physics.strength import PlateEdge
from shellcoat.places import resources_dir

EDGES = st.sampled_from(PlateEdge)
PRESSURES = st.floats(1e3, 2e5)
SIDES = st.floats(0.01, 1.0)
RATIOS = st.floats(1.0, 20.0)
STRENGTHS = st.floats(5e5, 2e7)


def navier(ratio: float, poisson: float = 0.3, terms: int = 399) -> float:
    """Coefficient at the centre of a simply supported plate, by Navier's double sine series.

    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 1959, art. 30: moment across the
    short side, from the deflection's series; six times it is the stress.
    """
    odd = np.arange(1, terms, 2)
    m, n = np.meshgrid(odd, odd, indexing="ij")
    sign = (-1.0) ** ((m + n) // 2 - 1)
    along, across = (m / ratio) ** 2, n.astype(float) ** 2
    series = sign * (across + poisson * along) / (m * n * (along + across) ** 2)
    return 6.0 * 16.0 / np.pi**4 * float(series.sum())


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0, 4.0, 5.0])
def test_table_points_are_naviers_series(ratio) -> None:
    beta = strength.plate_coefficient(ratio, PlateEdge.SIMPLY_SUPPORTED)
    assert beta == pytest.approx(navier(ratio), abs=3e-4)


@pytest.mark.parametrize("ratio", [1.1, 1.3, 1.5, 1.7, 1.9, 2.2, 2.5, 3.5, 4.5, 7.0, 15.0])
def test_between_table_points_the_lines_stay_close_below(ratio) -> None:
    error = strength.plate_coefficient(ratio, PlateEdge.SIMPLY_SUPPORTED) / navier(ratio) - 1.0
    assert -0.009 < error < 0.001


def test_poissons_ratio_of_a_ceramic_lowers_a_square_by_an_eighth() -> None:
    assert navier(1.0, 0.15) / navier(1.0) == pytest.approx(0.885, abs=0.005)


def test_infinite_strips_are_beams() -> None:
    # p b^2/8 at mid-span and p b^2/12 at a clamped end, times 6.
    strip = strength.plate_coefficient(np.inf, PlateEdge.SIMPLY_SUPPORTED)
    assert strip == pytest.approx(6.0 / 8.0)
    assert strength.plate_coefficient(np.inf, PlateEdge.CLAMPED) == pytest.approx(6.0 / 12.0)


@given(RATIOS, st.floats(1.0, 5.0), EDGES)
def test_a_longer_face_is_never_stressed_less(ratio, factor, edge) -> None:
    shorter = strength.plate_coefficient(ratio, edge)
    assert strength.plate_coefficient(ratio * factor, edge) >= shorter * (1 - 1e-12)


@pytest.mark.parametrize("edge", PlateEdge)
def test_coefficient_has_no_step(edge) -> None:
    ratios = np.linspace(1.0, 8.0, 7001)
    assert np.abs(np.diff(strength.plate_coefficient(ratios, edge))).max() < 6e-4


def test_worked_face_of_100_by_150_mm() -> None:
    # 41 kPa on 8 mm: 3.11 MPa simply supported, 2.89 MPa clamped.
    stress = [strength.plate_stress(41e3, 0.15, 0.10, 0.008, edge) for edge in PlateEdge]
    assert stress == pytest.approx([3.11e6, 2.89e6], abs=5e3)


@pytest.mark.parametrize(("megapascal", "millimetres"), [(1, 14.1), (2, 9.97), (3, 8.14)])
def test_worked_thickness_of_the_same_face(megapascal, millimetres) -> None:
    thickness = strength.required_thickness(
        41e3, 0.15, 0.10, megapascal * 1e6, PlateEdge.SIMPLY_SUPPORTED
    )
    assert 1000.0 * thickness == pytest.approx(millimetres, abs=0.006)


@given(PRESSURES, SIDES, RATIOS, STRENGTHS, EDGES, st.floats(0.5, 4.0))
def test_required_thickness_brings_the_stress_to_the_strength(
    pressure, short, ratio, allowed, edge, margin
) -> None:
    long = short * ratio
    thickness = strength.required_thickness(pressure, long, short, allowed, edge, margin)
    stress = strength.plate_stress(pressure, long, short, thickness, edge)
    assert stress * margin == pytest.approx(allowed, rel=1e-9)


@given(PRESSURES, SIDES, STRENGTHS, st.floats(0.5, 4.0))
def test_required_round_wall_brings_the_stress_to_the_strength(pressure, radius, allowed, margin):
    thickness = strength.round_wall_thickness(pressure, radius, allowed, margin)
    stress = strength.round_wall_stress(pressure, radius, thickness)
    assert stress * margin == pytest.approx(allowed, rel=1e-9)


@pytest.mark.parametrize(("share", "low_by"), [(0.01, 0.005), (0.1, 0.05), (0.4, 0.19)])
def test_thin_ring_against_lame(share, low_by) -> None:
    # Thick cylinder, hoop stress at the inner face: p (R^2 + r^2)/(R^2 - r^2).
    inner, outer = 0.03, 0.03 * (1.0 + share)
    exact = 41e3 * (outer**2 + inner**2) / (outer**2 - inner**2)
    thin = strength.round_wall_stress(41e3, inner, outer - inner)
    assert 1.0 - thin / exact == pytest.approx(low_by, abs=0.002)


def test_head_of_bronze() -> None:
    # 8700 kg/m3 over 0.48 m is the 41 kPa of the worked face.
    assert strength.metal_head_pressure(8700.0, 0.48) == pytest.approx(41e3, rel=2e-3)
    assert strength.metal_head_pressure(8700.0, 0.0) == 0.0


def test_broadcasts_over_faces_and_strengths() -> None:
    thickness = strength.required_thickness(
        np.array([20e3, 41e3, 60e3]),
        0.15,
        0.10,
        np.array([[1e6], [2e6]]),
        PlateEdge.CLAMPED,
    )
    assert thickness.shape == (2, 3)
    assert type(strength.plate_coefficient(1.5, PlateEdge.CLAMPED)) is float


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: strength.plate_coefficient(0.5, PlateEdge.CLAMPED), "long side over short"),
        (lambda: strength.plate_coefficient(np.nan, PlateEdge.CLAMPED), "long side over short"),
        (
            lambda: strength.plate_stress(41e3, 0.1, 0.15, 0.008, PlateEdge.CLAMPED),
            "long side over short",
        ),
        (lambda: strength.plate_stress(41e3, 0.1, 0.0, 0.008, PlateEdge.CLAMPED), "short side"),
        (lambda: strength.bending_stress(-1.0, 0.1, 0.008, 0.5), "pressure"),
        (lambda: strength.bending_stress(41e3, 0.1, 0.0, 0.5), "thickness"),
        (lambda: strength.bending_thickness(41e3, 0.1, 0.0, 0.5), "strength"),
        (lambda: strength.bending_thickness(41e3, 0.1, 1e6, 0.5, 0.0), "margin"),
        (lambda: strength.metal_head_pressure(0.0, 0.5), "density of the metal"),
        (lambda: strength.metal_head_pressure(8400.0, -0.5), "head of metal"),
        (lambda: strength.round_wall_stress(41e3, 0.0, 0.008), "radius"),
        (lambda: strength.round_wall_thickness(41e3, 0.03, -1.0), "strength"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()


def strength_bands() -> list[tuple[str, dict]]:
    """Every figure of the strength table with its place."""
    text = (resources_dir() / "materials" / "strength.toml").read_text(encoding="utf-8")
    sections = tomllib.loads(text)
    return [(f"{s}.{k}", band) for s, bands in sections.items() for k, band in bands.items()]


def test_starting_strengths_are_bands_with_a_standing() -> None:
    bands = strength_bands()
    assert {"flexural_strength_mpa.green", "flexural_strength_mpa.hot"} <= {n for n, _ in bands}
    for name, band in bands:
        assert band["low"] < band["likely"] < band["high"], name
        assert band["source"].startswith(("published: ", "from memory: ")), name


def test_starting_strengths_span_what_is_known() -> None:
    bands = dict(strength_bands())
    recommended = [band for name, band in bands.items() if name.startswith("recommended")]
    assert min(band["low"] for band in recommended) == pytest.approx(1.5, abs=0.05)
    assert max(band["high"] for band in recommended) == pytest.approx(4.9, abs=0.05)
    green, hot = (bands[f"flexural_strength_mpa.{state}"] for state in ("green", "hot"))
    assert (green["low"], green["high"], hot["low"], hot["high"]) == (2.5, 6.0, 5.0, 12.0)
