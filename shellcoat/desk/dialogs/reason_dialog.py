"""Asks for the reason of something that stays in the book with it."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid
from shellcoat.desk.dialogs.fields import TextField
from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.shop.checks import MissingTextError, check_text

LEAST_WIDTH_PX = 470


def check_reason(name: str, text: str) -> None:
    """Refuse a reason that says nothing."""
    if not text:
        words = QCoreApplication.translate(
            "Reason", "{name} is empty. Say in a few words why; it stays in the book."
        )
        raise MissingTextError(words.format(name=name))
    check_text(name, text)


class ReasonDialog(FormDialog):
    """Says what will be done, and does it only with a reason.

    Signals
    -------
    confirmed : the reason
    """

    confirmed = Signal(str)

    def __init__(
        self, title: str, what: str, verb: str, example: str, parent: QWidget | None = None
    ) -> None:
        super().__init__("reason_dialog", title, parent)
        self.what = label(self.body, "reason_what", wrap=True)
        self.what.setText(breakable(what))
        self.reason = TextField(self.tr("Reason"), self.body, check=check_reason)
        self.reason.setObjectName("reason")
        self.reason.line.setPlaceholderText(example)
        grid = FieldGrid()
        grid.add(self.body, self.tr("&Reason"), self.reason)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addWidget(self.what)
        column.addLayout(grid)
        column.addStretch(1)
        self.confirm_button = self.add_primary(verb, "reason_confirm", self.confirm)
        self.cancel_button = self.add_cancel(self.tr("Cancel"), "reason_cancel")
        self.body.setMinimumWidth(LEAST_WIDTH_PX)
        self.reason.setFocus()

    @Slot()
    def confirm(self) -> None:
        """Go on, if a reason is given."""
        if self.all_right([self.reason]):
            self.accept()
            self.confirmed.emit(self.reason.value())
