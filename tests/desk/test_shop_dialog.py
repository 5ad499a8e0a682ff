"""The settings of the shop: units seen at once, wrong zones told, nothing written in vain."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW

from shellcoat.desk.dialogs.shop_dialog import ShopDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.units import Quantity, UnitSystem


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme) -> ShopDialog:
    return shown(qtbot, ShopDialog(session))


def choose_system(dialog: ShopDialog, system: UnitSystem) -> None:
    dialog.units.system.set_value(system)
    dialog.units.system.combo.activated.emit(0)


def choose_unit(dialog: ShopDialog, quantity: Quantity, unit: str) -> None:
    dialog.units.quantities[quantity].set_value(unit)
    dialog.units.quantities[quantity].combo.activated.emit(0)


def test_another_system_is_seen_at_once_and_kept(session: DeskSession, dialog: ShopDialog) -> None:
    assert "a wall of 8.0\u00a0mm" in dialog.units.preview.text()
    choose_system(dialog, UnitSystem.US)
    assert "a wall of 0.315\u00a0in" in dialog.units.preview.text()  # 8 / 25.4
    choose_unit(dialog, Quantity.LENGTH, "cm")
    assert "35.0\u00a0cm" in dialog.units.preview.text()
    dialog.save_button.click()
    assert session.opened.shop.units == {"system": "us", "length": "cm"}
    assert session.write(0.008, Quantity.THICKNESS) == "0.315\u00a0in"
    assert session.write(0.35, Quantity.LENGTH) == "35.0\u00a0cm"


def test_chosen_units_are_shown_again(qtbot: QtBot, session: DeskSession, theme: Theme) -> None:
    units = {"system": "us", "mass": "oz", "time": "min"}
    session.opened.amend(replace(session.opened.shop, units=units), NOW)
    dialog = shown(qtbot, ShopDialog(session))
    assert dialog.units.system.value() is UnitSystem.US
    assert dialog.units.quantities[Quantity.MASS].value() == "oz"
    assert dialog.units.plain() == units


def test_everything_is_kept(qtbot: QtBot, session: DeskSession, dialog: ShopDialog) -> None:
    dialog.name.set_value("Heron Yard and Daughters")
    dialog.zone.set_value("America/Denver")
    dialog.altitude.line.setText("5280 ft")
    dialog.dry_share.line.setText("5 %")
    dialog.certainty.line.setText("95")
    dialog.sound.setChecked(False)
    before = session.opened.shop
    dialog.save_button.click()
    shop = session.opened.shop
    assert shop == replace(
        before,
        name="Heron Yard and Daughters",
        zone="America/Denver",
        altitude_m=shop.altitude_m,
        dry_share=0.05,
        safe_quantile=0.95,
        sound=False,
    )
    assert shop.altitude_m == pytest.approx(1609.344)  # a mile, exact


def test_faults_are_told_at_their_fields_and_nothing_is_lost(
    session: DeskSession, dialog: ShopDialog
) -> None:
    before = session.opened.shop
    dialog.zone.set_value("Mars/Olympus")
    dialog.altitude.line.setText("3 kg")
    dialog.certainty.line.setText("100 %")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "Mars/Olympus" in dialog.zone.message
    assert dialog.altitude.line.accessibleDescription().startswith("Altitude: ")
    assert dialog.certainty.line.accessibleDescription().startswith("Certainty")
    assert dialog.altitude.line.text() == "3 kg"
    assert session.opened.shop == before


def test_nothing_is_written_without_a_change(session: DeskSession, dialog: ShopDialog) -> None:
    before = len(session.opened.ledger.entries)
    dialog.save_button.click()
    assert not dialog.isVisible()
    assert len(session.opened.ledger.entries) == before
