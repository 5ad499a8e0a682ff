"""A coat corrected and taken back: every version stays, with who and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW

from shellcoat.desk.dialogs.coat_dialog import CoatDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import correct_coat, undo_coat
from shellcoat.shop import AirAtDip, AirMovement, Coat, Shell


@pytest.fixture
def coat(session: DeskSession, heron: Shell) -> Coat:
    return session.opened.ledger.coats(heron.id)[-1]


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme, coat: Coat) -> CoatDialog:
    return shown(qtbot, CoatDialog(session, coat))


def versions(dialog: CoatDialog) -> list[list[str]]:
    model = dialog.version_model
    return [
        [model.index(row, column).data() for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_a_correction_is_a_new_version_with_who_and_why(
    qtbot: QtBot, session: DeskSession, dialog: CoatDialog, coat: Coat
) -> None:
    dialog.tank.combo.setEditText("2")
    qtbot.keyClicks(dialog.temperature.line, "70 F")
    qtbot.keyClicks(dialog.humidity.line, "52")
    qtbot.keyClicks(dialog.reason.line, "wrong tank")
    dialog.save_button.click()
    assert dialog.coat is not None
    assert dialog.coat.tank == "2"
    assert dialog.coat.air is not None
    assert dialog.coat.air.temp_c == pytest.approx((70 - 32) / 1.8)
    assert dialog.coat.air.rh == pytest.approx(0.52)
    assert dialog.coat.air.read_at == coat.dipped_at
    history = session.opened.ledger.history(coat.id)
    assert [entry.record for entry in history] == [coat, dialog.coat]
    assert session.opened.ledger.coats(coat.shell_id)[-1] == dialog.coat
    again = shown(qtbot, CoatDialog(session, dialog.coat))
    first, second = versions(again)
    assert (first[1], first[3]) == ("Ana", "")
    assert "logged" in first[2]
    assert (second[1], second[3]) == ("Ana", "wrong tank")
    assert "tank: 1 → 2" in second[2]


def test_a_correction_without_a_reason_is_refused(
    session: DeskSession, dialog: CoatDialog, coat: Coat
) -> None:
    dialog.tank.combo.setEditText("2")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert dialog.reason.message.startswith("Reason is empty")
    assert dialog.tank.combo.currentText() == "2"
    assert session.opened.ledger.history(coat.id)[-1].record == coat


def test_the_time_stays_to_the_second_until_it_is_changed(
    qtbot: QtBot, session: DeskSession, theme: Theme, coat: Coat
) -> None:
    finer = replace(coat, dipped_at=coat.dipped_at + timedelta(seconds=13, microseconds=5))
    correct_coat(session.opened, finer, NOW, "to the second")
    dialog = shown(qtbot, CoatDialog(session, finer))
    dialog.note.set_value("thin at the feet")
    qtbot.keyClicks(dialog.reason.line, "a note")
    dialog.save_button.click()
    assert dialog.coat == replace(finer, note="thin at the feet")


def test_a_dip_that_has_not_come_yet_is_told_at_the_time(
    qtbot: QtBot, session: DeskSession, dialog: CoatDialog, coat: Coat
) -> None:
    dialog.time.set_value(NOW + timedelta(hours=5))
    qtbot.keyClicks(dialog.reason.line, "wrong hour")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "has not come yet" in dialog.time.message
    assert session.opened.ledger.coats(coat.shell_id)[-1] == coat


def test_another_planned_coat_brings_its_slurry_and_its_figures(
    qtbot: QtBot, dialog: CoatDialog, heron: Shell
) -> None:
    prime = heron.sequence.steps[0]
    dialog.step.combo.setCurrentIndex(0)
    dialog.step.combo.activated.emit(0)
    assert dialog.slurry.value() == prime.slurry
    assert dialog.stucco.value() == prime.stucco
    dialog.stucco.combo.setEditText("zircon 100-150 mesh")
    qtbot.keyClicks(dialog.reason.line, "it was the second prime")
    dialog.save_button.click()
    assert dialog.coat is not None
    assert dialog.coat.step == replace(prime, stucco="zircon 100-150 mesh")


def test_temperature_and_humidity_are_known_together_or_not_at_all(
    qtbot: QtBot, dialog: CoatDialog
) -> None:
    qtbot.keyClicks(dialog.temperature.line, "21")
    qtbot.keyClicks(dialog.reason.line, "air")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "Humidity is empty" in dialog.humidity.line.accessibleDescription()
    dialog.temperature.line.clear()
    dialog.save_button.click()
    assert dialog.coat is not None
    assert dialog.coat.air is None


def test_a_reading_not_typed_over_keeps_its_time(
    qtbot: QtBot, session: DeskSession, theme: Theme, coat: Coat
) -> None:
    air = AirAtDip(temp_c=21.23, rh=0.4567, read_at=coat.dipped_at - timedelta(minutes=40))
    correct_coat(session.opened, replace(coat, air=air), NOW, "air")
    dialog = shown(qtbot, CoatDialog(session, replace(coat, air=air)))
    dialog.movement.set_value(AirMovement.FAN_ON_SHELL)
    qtbot.keyClicks(dialog.reason.line, "the fan stood before it")
    dialog.save_button.click()
    assert dialog.coat == replace(coat, air=air, movement=AirMovement.FAN_ON_SHELL)


def test_a_coat_is_taken_back_with_its_reason(
    qtbot: QtBot, session: DeskSession, dialog: CoatDialog, coat: Coat
) -> None:
    dialog.take_back_button.click()
    assert not dialog.taken_back
    assert dialog.reason.message.startswith("Reason is empty")
    qtbot.keyClicks(dialog.reason.line, "dipped the other heron")
    dialog.take_back_button.click()
    assert dialog.taken_back
    assert not dialog.isVisible()
    assert coat not in session.opened.ledger.coats(coat.shell_id)
    last = session.opened.ledger.history(coat.id)[-1]
    assert last.reason == "dipped the other heron"


def test_a_coat_that_somebody_took_back_meanwhile_is_left_alone(
    qtbot: QtBot, session: DeskSession, dialog: CoatDialog, coat: Coat
) -> None:
    undo_coat(session.opened, coat.id, NOW, "logged twice")
    qtbot.keyClicks(dialog.reason.line, "wrong tank")
    for press in (dialog.save_button, dialog.take_back_button):
        press.click()
        assert dialog.isVisible()
        assert "Nothing was saved" in dialog.fault.text()
    assert len(session.opened.ledger.history(coat.id)) == 2
