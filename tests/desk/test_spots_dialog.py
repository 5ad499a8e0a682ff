"""Stress spots given, changed and taken away."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, an_id

from shellcoat.desk.dialogs.spots_dialog import SpotsDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import Shell, SpotKind, StressSpot
from shellcoat.shop.stress import MOST_SPOTS

BACK = StressSpot(
    id=an_id("back"),
    name="Flat back",
    kind=SpotKind.FLAT,
    long_m=0.15037,
    short_m=0.1,
    head_m=0.5,
    clamped=True,
    helped_by="two ribs",
)
NECK = StressSpot(id=an_id("neck"), name="Neck", kind=SpotKind.ROUND, radius_m=0.03, head_m=0.4)


@pytest.fixture
def measured(session: DeskSession, heron: Shell) -> Shell:
    return edit_shell(session.opened, replace(heron, spots=(BACK, NECK)), NOW)


@pytest.fixture
def empty(qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell) -> SpotsDialog:
    return shown(qtbot, SpotsDialog(session, heron))


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme, measured: Shell) -> SpotsDialog:
    return shown(qtbot, SpotsDialog(session, measured))


def test_a_flat_face_is_added(
    qtbot: QtBot, session: DeskSession, empty: SpotsDialog, heron: Shell
) -> None:
    assert empty.empty.isVisible()
    empty.new_button.click()
    (editor,) = empty.editors
    qtbot.keyClicks(editor.name.line, "Base plate")
    qtbot.keyClicks(editor.long.line, "15 cm")
    qtbot.keyClicks(editor.short.line, "4 in")
    qtbot.keyClicks(editor.head.line, "500")
    qtbot.keyClicks(editor.helped.line, "wire all round")
    assert not editor.radius.isVisible()
    empty.save_button.click()
    assert not empty.isVisible()
    (spot,) = session.opened.ledger.shell(heron.id).spots
    assert empty.shell == session.opened.ledger.shell(heron.id)
    assert (spot.name, spot.kind, spot.clamped) == ("Base plate", SpotKind.FLAT, False)
    assert (spot.long_m, spot.short_m, spot.head_m) == pytest.approx((0.15, 0.1016, 0.5))
    assert spot.helped_by == "wire all round"


def test_a_round_wall_has_a_radius_only(
    qtbot: QtBot, session: DeskSession, empty: SpotsDialog, heron: Shell
) -> None:
    empty.new_button.click()
    (editor,) = empty.editors
    editor.kind.set_value(SpotKind.ROUND)
    editor.kind.combo.activated.emit(1)
    assert editor.radius.isVisible()
    assert not any(each.isVisible() for each in (editor.long, editor.short, editor.edge))
    qtbot.keyClicks(editor.name.line, "Neck")
    qtbot.keyClicks(editor.radius.line, "30 mm")
    qtbot.keyClicks(editor.head.line, "40 cm")
    qtbot.keyClick(editor.head.line, Qt.Key.Key_Return)
    (spot,) = session.opened.ledger.shell(heron.id).spots
    assert replace(spot, id=NECK.id) == NECK


def test_saving_without_a_change_writes_nothing(
    session: DeskSession, dialog: SpotsDialog, measured: Shell
) -> None:
    before = len(session.opened.ledger.entries)
    dialog.save_button.click()
    assert dialog.shell == measured
    assert len(session.opened.ledger.entries) == before


def test_only_what_was_typed_changes(
    session: DeskSession, dialog: SpotsDialog, measured: Shell
) -> None:
    dialog.editors[0].head.line.setText("60 cm")
    dialog.save_button.click()
    kept = session.opened.ledger.shell(measured.id)
    assert kept == replace(measured, spots=(replace(BACK, head_m=0.6), NECK))


def test_a_spot_is_taken_away_at_saving_and_not_before(
    session: DeskSession, dialog: SpotsDialog, measured: Shell
) -> None:
    dialog.list.setCurrentRow(0)
    dialog.remove_button.click()
    assert session.opened.ledger.shell(measured.id).spots == (BACK, NECK)
    assert dialog.list.item(0).text() == "Neck"
    dialog.save_button.click()
    assert session.opened.ledger.shell(measured.id).spots == (NECK,)


def test_what_is_wrong_is_brought_into_view(dialog: SpotsDialog) -> None:
    dialog.list.setCurrentRow(0)
    dialog.editors[1].radius.line.setText("wide")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert dialog.list.currentRow() == 1
    assert dialog.editors[1].radius.line.hasFocus()
    assert dialog.shell is None


def test_sides_given_the_wrong_way_round_are_told(dialog: SpotsDialog) -> None:
    dialog.editors[0].long.line.setText("5 cm")
    dialog.save_button.click()
    assert dialog.isVisible()
    shown_words = dialog.editors[0].long.line.accessibleDescription()
    assert "less than the short side" in shown_words
    assert "Change them round" in shown_words


def test_what_somebody_else_changed_meanwhile_is_not_written_over(
    session: DeskSession, dialog: SpotsDialog, measured: Shell
) -> None:
    session.opened.who = "Ben"
    edit_shell(session.opened, replace(measured, rack_place="C1"), NOW)
    dialog.editors[0].head.line.setText("60 cm")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "Ben" in dialog.fault.text()
    assert session.opened.ledger.shell(measured.id).spots == (BACK, NECK)


def test_the_list_follows_the_name_and_ends_at_the_most(qtbot: QtBot, dialog: SpotsDialog) -> None:
    editor = dialog.editors[0]
    editor.name.line.selectAll()
    qtbot.keyClicks(editor.name.line, "Rear face")
    assert dialog.list.item(0).text() == "Rear face"
    for _ in range(MOST_SPOTS - 2):
        assert dialog.new_button.isEnabled()
        dialog.new_button.click()
    assert not dialog.new_button.isEnabled()
    assert len(dialog.editors) == MOST_SPOTS


def test_every_control_has_its_own_name_and_one_for_people(dialog: SpotsDialog) -> None:
    kinds = (QLineEdit, QComboBox, QAbstractButton)
    found = [widget for kind in kinds for widget in dialog.findChildren(kind)]
    own = [widget for widget in found if not widget.objectName().startswith("qt_")]
    names = [widget.objectName() for widget in own]
    assert all(names)
    assert len(names) == len(set(names))


def test_escape_changes_nothing(qtbot: QtBot, session: DeskSession, dialog: SpotsDialog) -> None:
    before = len(session.opened.ledger.entries)
    dialog.remove_button.click()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert len(session.opened.ledger.entries) == before
