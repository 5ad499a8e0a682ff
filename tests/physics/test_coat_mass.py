"""What a coat weighs and how thick that makes it, by worked figures and mass balances."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import buildup, coat_mass

FILMS = st.floats(0.0, 5.0)
SHARES = st.floats(0.02, 0.95)
DENSITIES = st.floats(1000.0, 5000.0)


def test_a_backup_coat_of_fused_silica_by_hand() -> None:
    """0.94 kg/m2 of slurry, a quarter of it water, and one layer of 16-30 mesh.

    By hand: water 0.94 x 0.267 = 0.251 kg/m2, solids 0.94 x 0.733 = 0.689. Sieves 16 and 30 open
    1.18 and 0.60 mm, their geometric mean is 0.841 mm; 0.7 x 2/3 x 0.841e-3 x 2200 = 0.864 kg/m2
    of stucco. Together 1.553 kg/m2, at 1650 kg/m3 0.941 mm: between 0.9 and 1.4 mm a coat, as
    whole shells have, and within 0.8 to 1.5 mm of a backup coat (common practice).
    """
    water = coat_mass.film_water(0.94, 0.267)
    solids = coat_mass.film_solids(0.94, 0.267)
    stucco = coat_mass.stucco_mass(0.8414e-3, 2200.0, 0.7)
    thickness = coat_mass.coat_thickness(solids, 1650.0, stucco)
    assert water == pytest.approx(0.251, abs=5e-4)
    assert solids == pytest.approx(0.689, abs=5e-4)
    assert stucco == pytest.approx(0.864, abs=5e-4)
    assert thickness == pytest.approx(0.941e-3, abs=1e-6)


def test_water_of_the_slurry_from_its_recipe() -> None:
    # 1.7 parts of fused silica flour to 1 of 28 % sol: 0.72 of 2.7 parts are water, and the
    # volumes 1.98/2200 and 0.72/1000 add up to 1.665 g/cm3 (computed, physics design section 8).
    assert coat_mass.water_share_from_density(1665.0, 2200.0) == pytest.approx(0.72 / 2.7, rel=0.01)


def test_stucco_on_a_square_lattice_is_counted_grain_by_grain() -> None:
    grain, density = 0.9e-3, 2600.0
    grains_per_m2 = 1.0 / grain**2
    counted = grains_per_m2 * pi / 6.0 * grain**3 * density
    assert coat_mass.stucco_mass(grain, density, pi / 4.0) == pytest.approx(counted, rel=1e-12)


@given(FILMS, SHARES)
def test_water_and_solids_are_the_whole_film(film, share) -> None:
    parts = coat_mass.film_water(film, share) + coat_mass.film_solids(film, share)
    assert parts == pytest.approx(film, abs=1e-12)


@given(st.floats(0.02, 0.9), st.floats(1500.0, 5000.0))
def test_density_of_a_mixture_tells_its_water(share, solids) -> None:
    slurry = 1.0 / (share / 998.2 + (1.0 - share) / solids)
    assert coat_mass.water_share_from_density(slurry, solids) == pytest.approx(share, rel=0.02)


@given(FILMS, DENSITIES, FILMS)
def test_one_material_packs_as_one_mass(solids, bulk, stucco) -> None:
    whole = coat_mass.coat_thickness(solids, bulk, stucco)
    assert whole * bulk == pytest.approx(solids + stucco, rel=1e-9, abs=1e-12)
    assert whole == pytest.approx(coat_mass.coat_thickness(solids, bulk, stucco, bulk))


@given(FILMS, DENSITIES, FILMS, DENSITIES)
def test_two_materials_lie_between_their_densities(solids, bulk, stucco, other) -> None:
    thickness = coat_mass.coat_thickness(solids, bulk, stucco, other)
    mass = solids + stucco
    assert mass / max(bulk, other) <= thickness * (1 + 1e-9) + 1e-15
    assert thickness <= mass / min(bulk, other) * (1 + 1e-9) + 1e-15


def test_film_of_a_yield_stress_as_mass() -> None:
    # Yield 5 Pa at 1650 kg/m3 holds 0.309 mm (physics design section 6): 0.51 kg/m2.
    film = buildup.yield_film(5.0, 1650.0) * 1650.0
    assert coat_mass.film_water(film, 0.267) == pytest.approx(0.136, abs=5e-4)


def test_broadcasts() -> None:
    stucco = coat_mass.stucco_mass(np.array([0.2e-3, 0.4e-3]), 2200.0, np.array([[0.6], [0.8]]))
    assert stucco.shape == (2, 2)
    np.testing.assert_allclose(stucco[:, 1] / stucco[:, 0], 2.0)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: coat_mass.film_water(-0.1, 0.3), "film of slurry"),
        (lambda: coat_mass.film_water(0.9, 26.7), "water in the slurry"),
        (lambda: coat_mass.film_solids(0.9, 0.0), "water in the slurry"),
        (lambda: coat_mass.film_solids(float("nan"), 0.3), "film of slurry"),
        (lambda: coat_mass.water_share_from_density(2300.0, 2200.0), "by its density"),
        (lambda: coat_mass.water_share_from_density(900.0, 2200.0), "by its density"),
        (lambda: coat_mass.water_share_from_density(0.0, 2200.0), "slurry density"),
        (lambda: coat_mass.water_share_from_density(1600.0, 0.0), "density of the solids"),
        (lambda: coat_mass.stucco_mass(-1e-3, 2200.0, 0.7), "stucco grain"),
        (lambda: coat_mass.stucco_mass(1e-3, 0.0, 0.7), "density of the grains"),
        (lambda: coat_mass.stucco_mass(1e-3, 2200.0, 70.0), "stucco coverage"),
        (lambda: coat_mass.coat_thickness(-1.0, 1650.0), "dry slurry"),
        (lambda: coat_mass.coat_thickness(1.0, 0.0), "bulk density"),
        (lambda: coat_mass.coat_thickness(1.0, 1650.0, -1.0), "stucco"),
        (lambda: coat_mass.coat_thickness(1.0, 1650.0, 1.0, 0.0), "bulk density of the stucco"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()
