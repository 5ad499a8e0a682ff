"""A constant without a unit, a source or an honest range fails here."""

from __future__ import annotations

import math

import pytest

from shellcoat.physics import constants
from shellcoat.physics.constants import Constant

NAMED = {name: value for name, value in vars(constants).items() if name.isupper()}


def test_every_number_in_the_module_is_a_described_constant() -> None:
    assert len(NAMED) >= 10
    assert [name for name, value in NAMED.items() if not isinstance(value, Constant)] == []


@pytest.mark.parametrize("name", sorted(NAMED))
def test_constant_is_described(name: str) -> None:
    constant = NAMED[name]
    assert constant.unit
    assert len(constant.source) > 10
    assert math.isfinite(constant)
    assert constant.low <= constant <= constant.high


def test_gas_constants_agree_with_the_ratio_of_molar_masses() -> None:
    ratio = constants.DRY_AIR_GAS_CONSTANT_J_KGK / constants.VAPOUR_GAS_CONSTANT_J_KGK
    assert ratio == pytest.approx(constants.WATER_AIR_MOLAR_MASS_RATIO, rel=1e-4)


def test_constant_counts_as_a_float() -> None:
    half = Constant(0.5, "-", "common practice", low=0.4, high=0.6)
    assert half * 4 == 2.0
    assert (half.unit, half.low, half.high) == ("-", 0.4, 0.6)
