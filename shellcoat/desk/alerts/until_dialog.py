"""Asks until when something is put off."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.alerts.limits import longest_put_off
from shellcoat.alerts.putting_off import HOUR
from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid
from shellcoat.desk.dialogs.fields import TimeField
from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.session import DeskSession

LEAST_WIDTH_PX = 470


class UntilDialog(FormDialog):
    """A time that lies ahead.

    Signals
    -------
    chosen : the time, in UTC
    """

    chosen = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__("until_dialog", "", parent)
        self.setWindowTitle(self.tr("Put off until"))
        self._session = session
        words = label(self.body, "until_words", wrap=True)
        words.setText(
            self.tr("You are told again at this time, by {days} days from now at most.").format(
                days=longest_put_off().days
            )
        )
        self.until = TimeField(
            self.tr("Put off until"), session.opened.zone, session.now, self.body
        )
        self.until.setObjectName("until_time")
        self.until.time.now_button.hide()  # now is no time to be told again
        self.until.set_value(session.now() + HOUR)
        grid = FieldGrid()
        grid.add(self.body, self.tr("&Until"), self.until)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addWidget(words)
        column.addLayout(grid)
        column.addStretch(1)
        self.body.setMinimumWidth(LEAST_WIDTH_PX)
        self.put_off_button = self.add_primary(self.tr("Put off"), "until_put_off", self._take)
        self.cancel_button = self.add_cancel(self.tr("Cancel"), "until_cancel")

    @Slot()
    def _take(self) -> None:
        until, now = self.until.value(), self._session.now()
        if not now < until <= now + longest_put_off():
            self.until.show_message(self.tr("Give a time that lies ahead, and not too far."))
            self.point_at(self.until)
            return
        self.accept()
        self.chosen.emit(until)
