"""The shells whose dip is due, one large button each."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from shellcoat.desk.session import DeskSession
from shellcoat.operations.rack import RackRow, RackState
from shellcoat.operations.wording import write_ago

MOST = 6
COLUMNS = 2
BUTTON_PX = 56
DUE = (RackState.DIP_DUE, RackState.BARE)


class DueList(QWidget):
    """Up to six shells that wait for their dip, the one that waits longest first."""

    shell_requested = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("dip_due_list")
        self._session = session
        self._title = QLabel(self)
        self._title.setProperty("role", "headline")
        self._shells: list[UUID] = []
        self.buttons = [self._button(place) for place in range(MOST)]
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.addWidget(self._title, 0, 0, 1, COLUMNS)
        for place, button in enumerate(self.buttons):
            grid.addWidget(button, 1 + place // COLUMNS, place % COLUMNS)
        for column in range(COLUMNS):
            grid.setColumnStretch(column, 1)

    def _button(self, place: int) -> QPushButton:
        button = QPushButton(self)
        button.setObjectName(f"dip_due_{place + 1}")
        button.setMinimumHeight(BUTTON_PX)
        button.clicked.connect(lambda: self.shell_requested.emit(self._shells[place]))
        return button

    def show_rows(self, rows: Sequence[RackRow], chosen: UUID | None) -> None:
        """Show the due shells other than the one on the page."""
        due = [row for row in rows if row.state in DUE and row.shell.id != chosen]
        self._shells = [row.shell.id for row in due[:MOST]]
        self._title.setText(self.tr("Due as well: {count}").format(count=len(due)) if due else "")
        for place, button in enumerate(self.buttons):
            button.setVisible(place < len(self._shells))
            if place < len(self._shells):
                self._show(button, due[place])

    def _show(self, button: QPushButton, row: RackRow) -> None:
        name = f"{row.shell.label}  {row.shell.name}"
        coat = self.tr("coat {number}").format(number=row.coats_on + 1)
        since = row.forecast.safe_at if row.forecast else None
        waits = (
            self.tr("dry {ago}").format(ago=write_ago(since, self._session.now())) if since else ""
        )
        below = ", ".join(part for part in (coat, row.shell.rack_place, waits) if part)
        fitted = self.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, 300)
        button.setText(f"{fitted}\n{below}")
        button.setAccessibleName(f"{name}, {below}")
        button.setToolTip(name)
