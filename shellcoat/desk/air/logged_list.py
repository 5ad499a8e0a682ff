"""The list of a room's readings and imports, and the button that takes one back."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading
from shellcoat.desk.air.logged_model import LoggedColumn, LoggedModel
from shellcoat.desk.air.look import LoggedAir
from shellcoat.desk.session import DeskSession

ROW_HEIGHT = 36
WIDTHS = {
    LoggedColumn.TIME: 250,
    LoggedColumn.AIR: 130,
    LoggedColumn.SOURCE: 200,
    LoggedColumn.WHO: 110,
}


def plain_table(table: QTableView, name: str, spoken: str) -> QTableView:
    """Dress a table that is only read: whole rows, stripes, no grid, Tab leads out of it."""
    table.setObjectName(name)
    table.setAccessibleName(spoken)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setAlternatingRowColors(True)
    table.setShowGrid(False)
    table.setWordWrap(False)
    table.setTabKeyNavigation(False)
    table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
    table.horizontalHeader().setDefaultAlignment(
        Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    )
    table.horizontalHeader().setStretchLastSection(True)
    table.horizontalHeader().setHighlightSections(False)
    return table


class LoggedList(QWidget):
    """Typed readings and imports, the latest on top.

    Signals
    -------
    take_back_requested : the line that should not have been logged
    """

    take_back_requested = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("air_logged")
        self._session = session
        self.model = LoggedModel(session, self)
        self.table = plain_table(
            QTableView(self), "air_logged_table", self.tr("Readings and imports of the room")
        )
        self.table.setModel(self.model)
        for column, width in WIDTHS.items():
            self.table.setColumnWidth(column, width)
        self.take_back_button = QPushButton(self.tr("Take back…"), self)
        self.take_back_button.setObjectName("air_take_back")
        self.take_back_button.setEnabled(False)
        self.take_back_button.clicked.connect(self._ask)
        self.table.selectionModel().selectionChanged.connect(self._on_chosen)
        shortcut = QShortcut(QKeySequence.StandardKey.Delete, self.table, self._ask)
        shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
        head = QHBoxLayout()
        head.addWidget(heading(self, "air_logged_title", self.tr("Readings and imports")), 1)
        head.addWidget(self.take_back_button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addLayout(head)
        rows.addWidget(self.table, 1)

    def show_logged(self, rows: Sequence[LoggedAir]) -> None:
        """Show other lines; the chosen one stays chosen."""
        chosen = self.chosen()
        self.model.set_rows(rows)
        self.setVisible(bool(rows))
        if chosen is not None:
            self._choose(chosen.record_ids[0])
        self._on_chosen()

    def _choose(self, record_id: UUID) -> None:
        for number in range(self.model.rowCount()):
            if record_id in self.model.logged(number).record_ids:
                self.table.selectRow(number)
                return

    def chosen(self) -> LoggedAir | None:
        """The line that is chosen."""
        rows = self.table.selectionModel().selectedRows()
        return self.model.logged(rows[0].row()) if rows else None

    @Slot()
    def _on_chosen(self) -> None:
        may = not self._session.opened.book.read_only
        self.take_back_button.setEnabled(may and self.chosen() is not None)

    @Slot()
    def _ask(self) -> None:
        chosen = self.chosen()
        if chosen is not None and self.take_back_button.isEnabled():
            self.take_back_requested.emit(chosen)
