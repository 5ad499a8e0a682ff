"""A new shell, a shell put right, and everything that can be wrong with one."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
import shiboken6
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QDialog
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, ROOM, an_id

from shellcoat.desk.dialogs.shell_dialog import ShellDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.sequences import retire_sequence
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import Core, Shell, ShellState, SpotKind, StressSpot


@pytest.fixture
def new(qtbot: QtBot, session: DeskSession, theme: Theme) -> ShellDialog:
    return shown(qtbot, ShellDialog(session, None))


@pytest.fixture
def edit(qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell) -> ShellDialog:
    return shown(qtbot, ShellDialog(session, heron))


def test_a_new_shell_is_put_on_the_rack(
    qtbot: QtBot, session: DeskSession, new: ShellDialog
) -> None:
    qtbot.keyClicks(new.name.line, "Diving gannet")
    new.metal.combo.setEditText("tin bronze")
    qtbot.keyClicks(new.height_field.line, "35 cm")
    qtbot.keyClicks(new.wax.line, "2 lb")
    qtbot.keyClicks(new.place.line, "B3")
    new.save_button.click()
    (shell,) = session.opened.ledger.shells
    assert new.shell == shell
    assert not new.isVisible()
    assert (shell.name, shell.label, shell.rack_place) == ("Diving gannet", "001", "B3")
    assert shell.metal == "tin bronze"
    assert shell.drying_length_m == pytest.approx(0.35)
    assert shell.wax_mass_kg == pytest.approx(2 * 0.45359237)  # the pound of 1959, exact
    assert shell.area_m2 is None
    assert (shell.room_id, shell.started_at) == (ROOM, NOW)
    assert shell.sequence == session.opened.ledger.sequences[0]
    assert shell.state is ShellState.IN_WORK


def test_the_label_is_the_next_free_number(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    dialog = shown(qtbot, ShellDialog(session, None))
    assert heron.label == "014"
    assert dialog.label.value() == "015"


def test_a_wrong_unit_is_told_at_its_field_and_nothing_is_lost(
    qtbot: QtBot, session: DeskSession, new: ShellDialog
) -> None:
    qtbot.keyClicks(new.height_field.line, "3 kg")
    qtbot.keyClicks(new.place.line, "B3")
    new.save_button.click()
    assert new.isVisible()
    message = new.height_field.line.accessibleDescription()
    assert message.startswith("Height of the piece: ")
    assert "mass" in message
    assert "is empty" in new.name.message  # both faults are told at once
    assert new.name.line.hasFocus()
    assert (new.height_field.line.text(), new.place.line.text()) == ("3 kg", "B3")
    assert session.opened.ledger.shells == []
    qtbot.keyClicks(new.name.line, "Diving gannet")
    assert new.name.message == ""  # it goes as soon as somebody types


def test_a_label_in_use_is_refused_at_its_field(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    dialog = shown(qtbot, ShellDialog(session, None))
    qtbot.keyClicks(dialog.name.line, "Second heron")
    qtbot.keyClicks(dialog.height_field.line, "30 cm")
    dialog.label.set_value("014")
    dialog.save_button.click()
    assert dialog.shell is None
    assert "Standing heron" in dialog.label.message
    assert dialog.label.line.text() == "014"
    assert len(session.opened.ledger.shells) == 1
    dialog.label.set_value("015")
    dialog.save_button.click()
    assert dialog.shell is not None
    assert dialog.shell.label == "015"


def test_enter_saves_and_escape_cancels(
    qtbot: QtBot, session: DeskSession, new: ShellDialog
) -> None:
    qtbot.keyClicks(new.name.line, "Diving gannet")
    qtbot.keyClicks(new.height_field.line, "35 cm")
    qtbot.keyClick(new.height_field.line, Qt.Key.Key_Return)
    assert new.shell is not None
    other = shown(qtbot, ShellDialog(session, None))
    qtbot.keyClick(other.name.line, Qt.Key.Key_Escape)
    assert not other.isVisible()
    assert other.shell is None


def test_run_as_the_window_runs_it_the_answer_outlives_the_dialog(
    qtbot: QtBot, session: DeskSession, theme: Theme
) -> None:
    dialog = ShellDialog(session, None)

    def fill() -> None:
        dialog.name.set_value("Diving gannet")
        dialog.height_field.line.setText("35 cm")
        dialog.save_button.click()

    QTimer.singleShot(0, dialog, fill)
    assert dialog.exec() == QDialog.DialogCode.Accepted
    assert dialog.shell is not None
    qtbot.waitUntil(lambda: not shiboken6.isValid(dialog))  # nothing of it stays behind
    assert dialog.shell == session.opened.ledger.shells[0]


def test_an_edited_shell_changes_only_what_was_typed(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    # A height and a start that no field shows to the last digit.
    finer = replace(
        heron,
        drying_length_m=0.35437,
        started_at=heron.started_at + timedelta(seconds=7, microseconds=123456),
    )
    edit_shell(session.opened, finer, NOW)
    dialog = shown(qtbot, ShellDialog(session, finer))
    dialog.note.editor.setPlainText("Wax patched at the neck")
    dialog.save_button.click()
    assert dialog.shell == replace(finer, note="Wax patched at the neck")
    assert session.opened.ledger.shell(heron.id) == dialog.shell


def test_saving_without_a_change_writes_nothing(
    session: DeskSession, edit: ShellDialog, heron: Shell
) -> None:
    before = len(session.opened.ledger.entries)
    edit.save_button.click()
    assert edit.shell == heron
    assert len(session.opened.ledger.entries) == before


def test_another_sequence_tells_what_becomes_of_the_coats(
    session: DeskSession, edit: ShellDialog
) -> None:
    assert not edit.sequence.change.isVisible()
    twelve = next(s for s in session.opened.ledger.sequences if len(s.steps) == 12)
    edit.sequence.set_value(twelve)
    assert edit.sequence.change.isVisible()
    assert edit.sequence.change.text() == "Coats on: 3; the new wall has 12."
    edit.save_button.click()
    assert edit.shell is not None
    assert edit.shell.sequence == twelve


def test_a_shell_keeps_the_sequence_it_was_started_with(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    retire_sequence(session.opened, heron.sequence.id, NOW)
    dialog = shown(qtbot, ShellDialog(session, heron))
    assert dialog.sequence.value() == heron.sequence
    assert "as this shell was started" in dialog.sequence.combo.currentText()
    other = shown(qtbot, ShellDialog(session, None))
    offered = [other.sequence.combo.itemData(i) for i in range(other.sequence.combo.count())]
    assert heron.sequence.id not in [sequence.id for sequence in offered]


def test_scrapping_asks_for_the_reason_and_keeps_it(
    qtbot: QtBot, session: DeskSession, edit: ShellDialog, heron: Shell
) -> None:
    edit.state.set_value(ShellState.SCRAPPED)
    edit.save_button.click()
    assert edit.isVisible()
    assert "is empty" in edit.reason.message
    qtbot.keyClicks(edit.reason.line, "cracked from the cup down")
    edit.save_button.click()
    assert session.opened.ledger.shell(heron.id).state is ShellState.SCRAPPED
    assert session.opened.ledger.live[heron.id].reason == "cracked from the cup down"


def test_what_somebody_else_changed_meanwhile_is_not_written_over(
    qtbot: QtBot, session: DeskSession, edit: ShellDialog, heron: Shell
) -> None:
    session.opened.who = "Ben"
    edit_shell(session.opened, replace(heron, rack_place="C1"), NOW)
    session.opened.who = "Ana"
    edit.place.set_value("D4")
    edit.save_button.click()
    assert edit.isVisible()
    assert edit.fault.isVisible()
    assert "Ben" in edit.fault.text()
    assert edit.place.line.text() == "D4"
    assert session.opened.ledger.shell(heron.id).rack_place == "C1"


def test_names_of_200_characters_do_not_push_the_dialog_wide(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    usual = shown(qtbot, ShellDialog(session, heron)).width()
    long = replace(heron, name="W" * 200, label="9" * 200, rack_place="R" * 200, metal="M" * 200)
    edit_shell(session.opened, long, NOW)
    opened = session.opened
    opened.amend(replace(opened.ledger.room(ROOM), name="Q" * 200), NOW)
    dialog = shown(qtbot, ShellDialog(session, long))
    assert dialog.width() <= usual + 60
    second = replace(long, id=an_id("second"), label="015", drying_length_m=0.2)
    opened.record(second, NOW)
    other = shown(qtbot, ShellDialog(session, second))
    other.label.set_value(long.label)
    other.save_button.click()
    assert "W" * 200 in other.label.message
    assert other.width() <= usual + 60


def test_editing_a_shell_keeps_its_cores_and_spots(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    core = Core(id=an_id("core"), name="body", area_m2=0.02)
    spot = StressSpot(
        id=an_id("spot"), name="back", kind=SpotKind.FLAT, head_m=0.3, long_m=0.2, short_m=0.1
    )
    measured = edit_shell(session.opened, replace(heron, cores=(core,), spots=(spot,)), NOW)
    dialog = shown(qtbot, ShellDialog(session, measured))
    dialog.name.line.setText("Heron, standing")
    dialog.save_button.click()
    (shell,) = session.opened.ledger.shells
    assert (shell.name, shell.cores, shell.spots) == ("Heron, standing", (core,), (spot,))
