"""The strength the wall needs, as it is worded."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shop_cases import NOW, an_id

from shellcoat.forecast.strength_need import SpotVerdict
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.strength import (
    CAUTION,
    NO_SPOTS,
    StrengthWriter,
    shell_strength,
    write_chance,
    write_metal,
    write_spot,
)
from shellcoat.shop import Shell, SpotKind, StressSpot
from shellcoat.units import UnitPreferences, UnitSystem

METRIC, US = UnitPreferences(), UnitPreferences(UnitSystem.US)


def spots() -> tuple[StressSpot, ...]:
    """A narrow arm and a wide flat back."""
    arm = StressSpot(id=an_id("arm"), name="Arm", kind=SpotKind.ROUND, radius_m=0.01, head_m=0.2)
    back = StressSpot(
        id=an_id("back"), name="Back", kind=SpotKind.FLAT, long_m=0.4, short_m=0.3, head_m=0.6
    )
    return arm, back


def measured(heron: Shell, metal: str = "silicon bronze") -> Shell:
    """The shell with its spots."""
    return replace(heron, metal=metal, spots=spots())


def test_the_worst_spot_comes_first(opened: OpenShop, heron: Shell) -> None:
    shell = measured(heron)
    strength = shell_strength(shell, opened.forecast_shell(shell, NOW))
    assert [answer.name for answer in strength.answers] == ["Back", "Arm"]
    assert strength.answers[0].verdict is SpotVerdict.STOP
    # rho g h, C87300 at 0.6 m.
    assert strength.answers[0].pressure_pa == pytest.approx(8360 * 9.80665 * 0.6)


def test_a_spot_in_words(opened: OpenShop, heron: Shell) -> None:
    shell = measured(heron)
    worst = shell_strength(shell, opened.forecast_shell(shell, NOW)).answers[0]
    words = write_spot(worst, StrengthWriter(METRIC)).replace("\u00a0", " ")
    assert "presses with 49.2 kPa" in words
    # beta(4/3) = 0.4274 between Roark's 1.2 and 1.4: 300 mm sqrt(0.4274 * 0.0492 / 4) = 21.75 mm.
    assert "needs about 21.7 mm (17.8–27.5 mm)" in words
    # The root of 8 over 4 MPa thinner with the strength at pouring heat.
    assert "at pouring heat perhaps 15.4 mm" in words
    assert "strength of 2.5 MPa to 6.0 MPa" in words
    assert "under 1 %" in words
    assert "more of wall would make that 90 %" in words


def test_the_same_in_american_units_and_with_a_comma(opened: OpenShop, heron: Shell) -> None:
    shell = measured(heron)
    worst = shell_strength(shell, opened.forecast_shell(shell, NOW)).answers[0]
    words = write_spot(worst, StrengthWriter(US)).replace("\u00a0", " ")
    assert "presses with 7.13 psi" in words  # 49.19 kPa over 6.8948 kPa
    assert "0.86 in" in words  # 21.7 mm
    assert "strength of 363 psi to 870 psi" in words
    comma = write_spot(worst, StrengthWriter(METRIC, ",")).replace("\u00a0", " ")
    assert "21,7 mm" in comma
    assert "2,5 MPa" in comma


def test_a_spot_with_room_asks_for_nothing_more(opened: OpenShop, heron: Shell) -> None:
    shell = measured(heron)
    arm = shell_strength(shell, opened.forecast_shell(shell, NOW)).answers[1]
    words = write_spot(arm, StrengthWriter(METRIC))
    assert arm.verdict is SpotVerdict.FINE
    assert "over 99 %" in words
    assert "more of wall" not in words


def test_a_chance_is_never_nothing_nor_certain() -> None:
    assert write_chance(0.0) == "under 1 %"
    assert write_chance(1.0) == "over 99 %"
    assert write_chance(0.62) == "62 %"
    assert write_chance(0.99) == "99 %"


@pytest.mark.parametrize(
    ("metal", "said"),
    [
        ("silicon bronze", "Reckoned with silicon bronze, 8.36 g/cm³."),
        ("Rotguss", "“Rotguss” is not in the table of metals: reckoned with the heaviest"),
        (" ", "No metal is given: reckoned with the heaviest"),
    ],
)
def test_the_metal_is_named_and_an_unknown_one_said(
    opened: OpenShop, heron: Shell, metal: str, said: str
) -> None:
    shell = measured(heron, metal)
    match = shell_strength(shell, opened.forecast_shell(shell, NOW)).match
    assert write_metal(match, metal, METRIC).replace("\u00a0", " ").startswith(said)


def test_nothing_says_that_it_is_safe(opened: OpenShop, heron: Shell) -> None:
    shell = measured(heron)
    answers = shell_strength(shell, opened.forecast_shell(shell, NOW)).answers
    told = [write_spot(answer, StrengthWriter(METRIC)) for answer in answers]
    told += [answer.verdict.value for answer in answers]
    assert not any("safe" in words for words in [*told, NO_SPOTS])
    assert "safe to pour" not in CAUTION
    assert "no published figure; not counted" in CAUTION
    assert "experienced practice come first" in CAUTION
