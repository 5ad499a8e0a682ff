"""The check of a book, in words."""

from __future__ import annotations

import sqlite3

from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shown_dialog import shown

from shellcoat.desk.dialogs.check_dialog import CheckDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.shop import Shell


def checked(qtbot: QtBot, session: DeskSession) -> CheckDialog:
    dialog = shown(qtbot, CheckDialog(session))
    qtbot.waitUntil(lambda: bool(dialog.report.toPlainText()))
    return dialog


def test_a_sound_book_is_said_to_be_sound_and_the_report_can_be_copied(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    dialog = checked(qtbot, session)
    assert dialog.headline.text() == "The book is sound."
    report = dialog.report.toPlainText()
    assert f"{len(session.opened.ledger.entries)} entries" in report
    assert session.opened.book.head in report
    assert str(session.opened.book.path) in report
    dialog.copy_button.click()
    assert QApplication.clipboard().text().endswith(report)


def test_what_was_changed_behind_its_back_is_named(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    with sqlite3.connect(session.opened.book.path) as connection:
        triggers = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        for (name,) in triggers.fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE entry SET who = 'Somebody' WHERE seq = 8")
    connection.close()
    dialog = checked(qtbot, session)
    assert dialog.headline.text().startswith("Problems found: ")
    report = dialog.report.toPlainText()
    assert "entry 8: was changed after it was kept" in report
    assert "guards against change are missing" in report


def test_closing_while_it_checks_is_harmless(
    qtbot: QtBot, session: DeskSession, theme: Theme
) -> None:
    dialog = CheckDialog(session)
    dialog.show()
    dialog.reject()
    dialog.deleteLater()
    qtbot.waitUntil(lambda: not session.runner.busy)
