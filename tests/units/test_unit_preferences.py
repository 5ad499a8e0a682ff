"""The choice of units: defaults, overrides, and its plain form in settings."""

from __future__ import annotations

import json

import pytest

from shellcoat.units import Quantity, UnitPreferenceError, UnitPreferences, UnitSystem

Q = Quantity


@pytest.mark.parametrize(
    ("quantity", "metric", "us"),
    [
        (Q.THICKNESS, "mm", "in"),
        (Q.TEMPERATURE, "°C", "°F"),
        (Q.TEMPERATURE_DIFFERENCE, "K", "°F"),
        (Q.HUMIDITY, "%", "%"),
        (Q.MASS, "kg", "lb"),
        (Q.VOLUME, "L", "gal"),
        (Q.PRESSURE, "kPa", "psi"),
        (Q.TIME, "h", "h"),
    ],
)
def test_each_system_has_its_usual_units(quantity: Quantity, metric: str, us: str) -> None:
    assert UnitPreferences(UnitSystem.METRIC).unit_for(quantity) == metric
    assert UnitPreferences(UnitSystem.US).unit_for(quantity) == us


def test_one_quantity_can_be_shown_in_another_unit() -> None:
    preferences = UnitPreferences(UnitSystem.METRIC, {Q.TEMPERATURE: "°F"})
    assert preferences.unit_for(Q.TEMPERATURE) == "°F"
    assert preferences.unit_for(Q.TEMPERATURE_DIFFERENCE) == "K"


@pytest.mark.parametrize("quantity", list(Quantity))
@pytest.mark.parametrize("system", list(UnitSystem))
def test_the_usual_unit_is_among_the_choices(quantity: Quantity, system: UnitSystem) -> None:
    choices = UnitPreferences.choices(quantity)
    assert UnitPreferences(system).unit_for(quantity) in choices
    assert len(choices) == len(set(choices))


def test_preferences_cannot_be_changed_from_outside() -> None:
    chosen = {Q.MASS: "g"}
    preferences = UnitPreferences(chosen=chosen)
    chosen[Q.MASS] = "oz"
    assert preferences.unit_for(Q.MASS) == "g"
    with pytest.raises(TypeError):
        preferences.chosen[Q.MASS] = "oz"  # type: ignore[index]


def test_equal_preferences_are_one_key() -> None:
    first, second = (UnitPreferences(UnitSystem.US, {Q.MASS: "oz"}) for _ in range(2))
    assert first == second
    assert len({first, second}) == 1


def test_a_unit_that_does_not_fit_is_refused_with_the_choices() -> None:
    with pytest.raises(UnitPreferenceError, match='mass cannot be shown in "mm", choose one of kg'):
        UnitPreferences(UnitSystem.METRIC, {Q.MASS: "mm"})


@pytest.mark.parametrize("system", list(UnitSystem))
def test_the_plain_form_survives_a_settings_file(system: UnitSystem) -> None:
    chosen = {quantity: UnitPreferences.choices(quantity)[-1] for quantity in Quantity}
    preferences = UnitPreferences(system, chosen)
    plain = json.loads(json.dumps(preferences.to_plain()))
    assert UnitPreferences.from_plain(plain) == preferences


def test_missing_entries_mean_the_usual_units() -> None:
    assert UnitPreferences.from_plain({}) == UnitPreferences()
    assert UnitPreferences.from_plain({"system": "us"}) == UnitPreferences(UnitSystem.US)


def test_everything_not_understood_is_told_at_once_and_the_rest_kept() -> None:
    plain = {
        "system": "imperial",
        "chosen": {"temperature": "°F", "mass": "mm", "time": 3, "colour": "red"},
        "theme": "dark",
    }
    with pytest.raises(UnitPreferenceError) as caught:
        UnitPreferences.from_plain(plain)
    assert len(caught.value.findings) == 5
    for told in ('"imperial"', "metric or us", '"mm"', '"3"', '"colour"', '"theme"'):
        assert told in str(caught.value)
    assert caught.value.usable == UnitPreferences(UnitSystem.METRIC, {Q.TEMPERATURE: "°F"})


def test_choices_that_are_no_table_are_told() -> None:
    with pytest.raises(UnitPreferenceError, match='"chosen" must list') as caught:
        UnitPreferences.from_plain({"system": "us", "chosen": ["°F"]})
    assert caught.value.usable == UnitPreferences(UnitSystem.US)
