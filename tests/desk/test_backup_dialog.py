"""Copies of the book: made, listed, and going back to one said before it is done."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import SetClock

from shellcoat.book import open_book
from shellcoat.book.backup import back_up, backup_folder, restore
from shellcoat.desk.dialogs.backup_dialog import BackupDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.shop import AirReading


def opened_on(qtbot: QtBot, session: DeskSession) -> BackupDialog:
    dialog = shown(qtbot, BackupDialog(session))
    qtbot.waitUntil(lambda: not session.runner.busy)
    return dialog


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme) -> BackupDialog:
    return opened_on(qtbot, session)


def rows(dialog: BackupDialog) -> list[list[str]]:
    model = dialog.model
    return [
        [model.index(row, column).data() for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_a_copy_is_made_and_listed(
    qtbot: QtBot, session: DeskSession, clock: SetClock, dialog: BackupDialog
) -> None:
    assert rows(dialog) == []
    assert not dialog.restore_button.isEnabled()
    dialog.back_up_button.click()
    qtbot.waitUntil(lambda: len(rows(dialog)) == 1)
    clock.forward(hours=3)
    dialog.back_up_button.click()
    qtbot.waitUntil(lambda: len(rows(dialog)) == 2)
    newest, older = rows(dialog)
    assert (newest[0], newest[1], older[1]) == ("17:00", "just now", "3\u00a0h ago")
    assert newest[2] == str(len(session.opened.ledger.entries))
    copies = sorted(path.name for path in backup_folder(session.opened.book.path).iterdir())
    assert [older[4], newest[4]] == copies
    with open_book(dialog.folder / newest[4], read_only=True) as copy:
        assert copy.head == session.opened.book.head


def test_copies_of_other_books_are_not_listed(
    qtbot: QtBot, session: DeskSession, clock: SetClock, theme: Theme
) -> None:
    book = session.opened.book
    made = back_up(book, backup_folder(book.path), clock())
    made.rename(made.with_name(made.name.replace("heron-yard", "teal-lane")))
    assert rows(opened_on(qtbot, session)) == []


def test_restoring_says_what_it_does_and_leaves_it_to_the_window(
    qtbot: QtBot, session: DeskSession, clock: SetClock, dialog: BackupDialog, read: AirReading
) -> None:
    dialog.back_up_button.click()
    qtbot.waitUntil(lambda: len(rows(dialog)) == 1)
    path = session.opened.book.path
    head = session.opened.book.head
    session.opened.withdraw(read.id, clock(), "wrong room")
    dialog.restore_button.click()
    words = dialog.question.what.text()
    assert "Entries logged since then: 1." in words
    assert "heron-yard before restoring" in words
    with qtbot.waitSignal(dialog.restore_requested) as asked:
        dialog.question.restore_button.click()
    assert not dialog.isVisible()
    (backup,) = asked.args
    session.close()
    kept = restore(backup, path, clock())
    # What was promised: the present file stays beside it under the name that was told.
    assert kept is not None
    assert kept.name.startswith("heron-yard before restoring")
    with open_book(path) as book:
        assert book.head == head


def test_enter_leaves_the_book_as_it_is(
    qtbot: QtBot, session: DeskSession, dialog: BackupDialog
) -> None:
    dialog.back_up_button.click()
    qtbot.waitUntil(lambda: len(rows(dialog)) == 1)
    dialog.restore_button.click()
    with qtbot.assertNotEmitted(dialog.restore_requested):
        qtbot.keyClick(dialog.question, Qt.Key.Key_Return)
    assert not dialog.question.isVisible()
    assert dialog.isVisible()


def test_a_copy_that_cannot_be_made_is_told(
    qtbot: QtBot, session: DeskSession, theme: Theme, tmp_path: Path
) -> None:
    backup_folder(session.opened.book.path).write_text("a file in the way", encoding="utf-8")
    dialog = opened_on(qtbot, session)
    dialog.back_up_button.click()
    qtbot.waitUntil(dialog.fault.isVisible)
    assert "Not saved" in dialog.fault.text()
    assert dialog.back_up_button.isEnabled()
