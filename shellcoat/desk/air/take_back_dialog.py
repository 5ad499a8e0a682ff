"""Asks why a reading or an import is taken back."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QLineEdit, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label

_WIDTH = 460


class TakeBackDialog(QDialog):
    """Says what will be taken back and asks for the reason, which stays in the book.

    Signals
    -------
    confirmed : the reason
    """

    confirmed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("take_back_dialog")
        self.setWindowTitle(self.tr("Take back"))
        self.setMinimumWidth(_WIDTH)
        self.what = label(self, "take_back_what", wrap=True)
        self.reason = QLineEdit(self)
        self.reason.setObjectName("take_back_reason")
        self.reason.setAccessibleName(self.tr("Reason"))
        self.reason.setPlaceholderText(self.tr("for example: wrong room"))
        self.reason.textChanged.connect(self._on_changed)
        why = QLabel(self.tr("Why? This stays in the book."), self)
        why.setBuddy(self.reason)
        self._make_buttons()
        column = QVBoxLayout(self)
        column.addWidget(self.what)
        column.addSpacing(8)
        column.addWidget(why)
        column.addWidget(self.reason)
        column.addSpacing(8)
        column.addWidget(self._buttons)

    def _make_buttons(self) -> None:
        self._buttons = QDialogButtonBox(self)
        role = QDialogButtonBox.ButtonRole
        self.confirm_button = self._buttons.addButton(self.tr("Take back"), role.AcceptRole)
        self.confirm_button.setObjectName("take_back_confirm")
        self.confirm_button.setProperty("role", "primary")
        self.cancel_button = self._buttons.addButton(self.tr("Leave it"), role.RejectRole)
        self.cancel_button.setObjectName("take_back_cancel")
        self._buttons.accepted.connect(self._confirm)
        self._buttons.rejected.connect(self.reject)

    def ask(self, what: str) -> None:
        """Open for something else."""
        self.what.setText(what)
        self.reason.clear()
        self._on_changed()
        self.open()
        self.reason.setFocus()

    @Slot()
    def _on_changed(self) -> None:
        self.confirm_button.setEnabled(bool(self.reason.text().strip()))

    @Slot()
    def _confirm(self) -> None:
        self.accept()
        self.confirmed.emit(self.reason.text())
