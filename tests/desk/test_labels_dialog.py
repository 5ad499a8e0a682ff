"""The dialog that makes labels: what is ticked comes out, and what cannot is told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot
from pyzbar.pyzbar import decode
from shown_dialog import shown
from small_shop import NOW, an_id

from shellcoat.desk.labels.dialog import LabelsDialog
from shellcoat.desk.session import DeskSession
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell, find_shell, set_state, start_shell
from shellcoat.shop import Shell, ShellState

pytestmark = pytest.mark.usefixtures("theme")


@pytest.fixture
def bell(opened: OpenShop, heron: Shell) -> Shell:
    made = replace(heron, id=an_id("bell"), name="Ship's bell", label="BL-4")
    return start_shell(opened, made, NOW)


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, heron: Shell, bell: Shell) -> LabelsDialog:
    made = shown(qtbot, LabelsDialog(session, [heron.id]))
    made.choose_size("tape-18")
    return made


def codes(path: Path) -> set[str]:
    with Image.open(path) as image:
        return {found.data.decode() for found in decode(image)}


def test_what_it_makes_is_found_by_the_scanner(
    dialog: LabelsDialog, opened: OpenShop, tmp_path: Path
) -> None:
    dialog.tick_all()
    dialog.write_pictures(tmp_path)
    found = [find_shell(opened, *codes(path)) for path in sorted(tmp_path.glob("*.png"))]
    assert [shell.label for shell in found] == ["014", "BL-4"]
    assert "pictures: 2" in dialog.notice.text()


def test_only_ticked_shells_come_out(dialog: LabelsDialog, tmp_path: Path) -> None:
    assert [shell.label for shell in dialog.chosen] == ["014"]
    dialog.tick_none()
    assert not dialog.pdf_button.isEnabled()
    assert not dialog.pictures_button.isEnabled()
    assert "Tick the shells" in dialog.hint.text()


def test_a_tick_is_set_by_the_space_bar(qtbot: QtBot, dialog: LabelsDialog) -> None:
    dialog.shells.setCurrentRow(1)
    qtbot.keyClick(dialog.shells, Qt.Key.Key_Space)
    assert [shell.label for shell in dialog.chosen] == ["014", "BL-4"]


def test_all_means_all_in_work_and_scrapped_ones_are_not_offered(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell, bell: Shell
) -> None:
    set_state(opened, heron.id, ShellState.FINISHED, NOW)
    set_state(opened, bell.id, ShellState.SCRAPPED, NOW)
    dialog = shown(qtbot, LabelsDialog(session))
    assert [dialog.shells.item(row).text() for row in range(dialog.shells.count())] == [
        "014  Standing heron"
    ]
    dialog.tick_all()
    assert dialog.chosen == []


def test_pages_are_written_from_the_place_pressed(
    qtbot: QtBot, dialog: LabelsDialog, tmp_path: Path
) -> None:
    dialog.choose_size("a4-3x8")
    assert dialog.first.isVisible()
    assert not dialog.pictures_button.isEnabled()
    scale, left, top = dialog.preview._frame(dialog.size_chosen)
    middle = QPoint(round(left + scale * 105), round(top + scale * (0.5 + 1.5 * 37)))
    qtbot.mouseClick(dialog.preview, Qt.MouseButton.LeftButton, pos=middle)
    assert dialog.first.value() == 5  # the middle of the second of eight rows
    dialog.copies.setValue(24)
    assert dialog.copies.value() == 20
    dialog.write_pdf(tmp_path / "out.pdf")
    assert "pages: 1" in dialog.notice.text()
    dialog.first.setValue(6)
    dialog.write_pdf(tmp_path / "out.pdf")
    assert "pages: 2" in dialog.notice.text()
    dialog.choose_size("tape-12")
    assert not dialog.first.isVisible()
    assert dialog.first.value() == 1


def test_a_label_without_room_is_told_and_not_written(
    dialog: LabelsDialog, session: DeskSession, opened: OpenShop, heron: Shell, qtbot: QtBot
) -> None:
    long = edit_shell(opened, replace(heron, label="in small letters and far too long"), NOW)
    made = shown(qtbot, LabelsDialog(session, [long.id]))
    made.choose_size("tape-12")
    assert "Choose a larger size" in made.fault.text()
    assert not made.pdf_button.isEnabled()
    made.choose_size("tape-24")
    assert not made.fault.isVisible()
    assert made.pdf_button.isEnabled()


def test_a_file_that_cannot_be_written_is_told(dialog: LabelsDialog, tmp_path: Path) -> None:
    dialog.write_pdf(tmp_path / "nowhere" / "x.pdf")
    assert "could not be written" in dialog.fault.text()


def test_the_size_is_remembered(qtbot: QtBot, dialog: LabelsDialog, session: DeskSession) -> None:
    dialog.choose_size("tag-62x29")
    assert shown(qtbot, LabelsDialog(session)).size_chosen.key == "tag-62x29"
    dialog.choose_size("tape-12")
