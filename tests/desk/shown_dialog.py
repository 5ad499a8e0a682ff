"""Showing a dialog in a test."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtWidgets import QDialog
from pytestqt.qtbot import QtBot

Dialog = TypeVar("Dialog", bound=QDialog)


def shown(qtbot: QtBot, dialog: Dialog) -> Dialog:
    """Show a dialog and hold on to it until the test is over.

    Without a parent it is Python's alone, and qtbot knows it only weakly: dropped, it may be
    collected in a worker's thread, where its timers cannot be stopped.
    """
    qtbot.addWidget(dialog, before_close_func=lambda _widget: dialog.hide())
    dialog.show()
    qtbot.waitExposed(dialog)
    return dialog
