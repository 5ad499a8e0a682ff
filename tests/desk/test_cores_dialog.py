"""The cores of a shell: typed in, put right, taken away, and everything that can be wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, an_id

from shellcoat.book import open_book
from shellcoat.desk.dialogs.cores_dialog import CoresDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import Core, Opening, OpeningFacing, OpeningShape, Shell

BODY = Core(
    id=an_id("body"),
    name="Body",
    area_m2=0.030001234,
    openings=(
        Opening(width_m=0.0123456, height_m=0.0123456, facing=OpeningFacing.DOWN),
        Opening(shape=OpeningShape.SLOT, width_m=0.006, height_m=0.02, level_m=0.09),
    ),
    plug_after=6,
    note="from the base",
)
BILL = Core(id=an_id("bill"), name="Bill", area_m2=0.002)


@pytest.fixture
def cored(opened: OpenShop, heron: Shell) -> Shell:
    """The heron with two cores."""
    return edit_shell(opened, replace(heron, cores=(BODY, BILL)), NOW, "measured")


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell) -> CoresDialog:
    return shown(qtbot, CoresDialog(session, cored))


@pytest.fixture
def bare(qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell) -> CoresDialog:
    return shown(qtbot, CoresDialog(session, heron))


def kept(session: DeskSession) -> tuple[Core, ...]:
    (shell,) = session.opened.ledger.shells
    return shell.cores


def retype(qtbot: QtBot, line: QLineEdit, text: str) -> None:
    line.selectAll()
    qtbot.keyClicks(line, text)


def test_a_core_is_typed_in_with_any_units(
    qtbot: QtBot, session: DeskSession, bare: CoresDialog
) -> None:
    qtbot.mouseClick(bare.new_button, Qt.MouseButton.LeftButton)
    (editor,) = bare.editors
    qtbot.keyClicks(editor.name.line, "Body of the heron")
    qtbot.keyClicks(editor.area.line, "10 sq in")
    editor.plug_after.spin.setValue(7)
    editor.openings.add_button.click()
    (line,) = editor.openings.lines
    line.shape.set_value(OpeningShape.SLOT)
    line.shape.edited.emit()
    qtbot.keyClicks(line.width.line, "1/2 in")
    qtbot.keyClicks(line.height.line, "3 cm")
    line.facing.set_value(OpeningFacing.UP)
    bare.save_button.click()
    (core,) = kept(session)
    (opening,) = core.openings
    assert not bare.isVisible()
    assert (core.name, core.plug_after) == ("Body of the heron", 7)
    assert core.area_m2 == pytest.approx(10 * 0.0254**2)  # the inch of 1959, exact
    assert opening.shape is OpeningShape.SLOT
    assert opening.facing is OpeningFacing.UP
    assert (opening.width_m, opening.height_m) == pytest.approx((0.0127, 0.03))


def test_a_round_opening_is_as_high_as_wide(
    qtbot: QtBot, session: DeskSession, dialog: CoresDialog
) -> None:
    line = dialog.editors[0].openings.lines[0]
    assert not line.height.isEnabled()
    retype(qtbot, line.width.line, "9 mm")
    dialog.save_button.click()
    assert kept(session)[0].openings[0].height_m == pytest.approx(0.009)


def test_what_is_not_touched_stays_exactly_as_it_was(
    session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    entries = len(session.opened.ledger.entries)
    dialog.save_button.click()
    assert kept(session) == cored.cores
    assert len(session.opened.ledger.entries) == entries


def test_a_wrong_unit_is_told_at_its_field_by_name(
    qtbot: QtBot, session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    line = dialog.editors[0].openings.lines[1]
    retype(qtbot, line.width.line, "3 kg")
    dialog.list.setCurrentRow(1)
    dialog.save_button.click()
    assert dialog.isVisible()
    assert dialog.list.currentRow() == 0
    assert line.width.line.accessibleDescription().startswith("Width of opening 2")
    assert kept(session) == cored.cores


def test_a_slot_wider_than_high_is_refused_at_its_height(
    qtbot: QtBot, session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    line = dialog.editors[0].openings.lines[1]
    retype(qtbot, line.height.line, "5 mm")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert line.height.line.accessibleDescription().startswith("Height of opening 2 is less")
    assert kept(session) == cored.cores


@pytest.mark.parametrize("name", ["", "Body"])
def test_a_core_wants_a_name_of_its_own(
    qtbot: QtBot, session: DeskSession, dialog: CoresDialog, cored: Shell, name: str
) -> None:
    editor = dialog.editors[1]
    editor.name.set_value(name)
    dialog.save_button.click()
    assert dialog.isVisible()
    assert dialog.list.currentRow() == 1
    assert editor.name.message.startswith("Core name")
    assert kept(session) == cored.cores


def test_cores_and_openings_are_taken_away_only_by_saving(
    session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    dialog.editors[0].openings.lines[0].remove_button.click()
    dialog.list.setCurrentRow(1)
    dialog.remove_button.click()
    assert kept(session) == cored.cores
    dialog.save_button.click()
    (core,) = kept(session)
    assert core == replace(BODY, openings=BODY.openings[1:])


def test_an_opening_keeps_its_number_once_another_has_gone(dialog: CoresDialog) -> None:
    openings = dialog.editors[0].openings
    openings.lines[0].remove_button.click()
    openings.add_button.click()
    names = [line.width.line.accessibleName() for line in openings.lines]
    assert names == ["Width of opening 2", "Width of opening 3"]
    assert [line.number_label.text() for line in openings.lines] == ["2", "3"]


def test_a_change_by_somebody_else_is_not_written_over(
    session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    edit_shell(session.opened, replace(cored, note="leans"), NOW + timedelta(minutes=1), "seen")
    dialog.editors[1].name.set_value("Beak")
    dialog.save_button.click()
    assert dialog.isVisible()
    assert "Ana" in dialog.fault.text()
    assert kept(session) == cored.cores


def test_a_shell_without_cores_is_told_what_one_is(bare: CoresDialog) -> None:
    assert bare.empty.isVisible()
    assert "hollow" in bare.empty.text()
    assert not bare.remove_button.isEnabled()


def test_escape_keeps_everything_as_it_was(
    qtbot: QtBot, session: DeskSession, dialog: CoresDialog, cored: Shell
) -> None:
    dialog.remove_core()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert kept(session) == cored.cores


def test_a_very_long_name_does_not_push_the_dialog_wide(
    qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell
) -> None:
    usual = CoresDialog(session, cored).sizeHint().width()
    long = replace(BODY, name="N" * 200)
    dialog = shown(qtbot, CoresDialog(session, replace(cored, cores=(long,))))
    assert dialog.sizeHint().width() == usual
    assert dialog.editors[0].name.value() == "N" * 200


def test_a_book_to_read_only_cannot_be_saved(
    qtbot: QtBot, opened: OpenShop, cored: Shell, theme: Theme
) -> None:
    read_only = open_book(opened.book.path, read_only=True)
    session = DeskSession(OpenShop(read_only, who="Ana", station="bench"), now=lambda: NOW)
    dialog = shown(qtbot, CoresDialog(session, cored))
    assert not dialog.save_button.isEnabled()
    assert not dialog.new_button.isEnabled()
    assert not dialog.remove_button.isEnabled()
    session.close()


def test_every_control_has_a_name_to_be_read_aloud(dialog: CoresDialog) -> None:
    for line in dialog.editors[0].openings.lines:
        for widget in (*line.fields(), line.remove_button):
            control: QWidget = widget.focusProxy() or widget
            assert control.accessibleName()
            assert control.objectName()
