"""A table of plain texts that is only read: versions of a record, copies of a book."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

Index = QModelIndex | QPersistentModelIndex

ROW_PX = 34
SHOWN = (
    Qt.ItemDataRole.DisplayRole,
    Qt.ItemDataRole.ToolTipRole,
    Qt.ItemDataRole.AccessibleTextRole,
)


class TextTableModel(QAbstractTableModel):
    """Rows of texts under headings."""

    def __init__(self, headings: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headings = tuple(headings)
        self._rows: list[tuple[str, ...]] = []

    def set_rows(self, rows: Sequence[tuple[str, ...]]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = list(rows)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Rows shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Columns shown."""
        return 0 if parent.isValid() else len(self._headings)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Column names."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self._headings[section]
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows and says aloud."""
        if index.isValid() and role in SHOWN:
            return self._rows[index.row()][index.column()]
        return None


def text_table(
    model: TextTableModel, name: str, spoken: str, widths: Sequence[int], parent: QWidget
) -> QTableView:
    """A table over such a model; the last column takes what room is left."""
    table = QTableView(parent)
    table.setObjectName(name)
    table.setAccessibleName(spoken)
    table.setModel(model)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setShowGrid(False)
    table.setAlternatingRowColors(True)
    table.setTabKeyNavigation(False)
    table.verticalHeader().hide()
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
    table.verticalHeader().setDefaultSectionSize(ROW_PX)
    table.horizontalHeader().setStretchLastSection(True)
    table.horizontalHeader().setDefaultAlignment(
        Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    )
    for column, width in enumerate(widths):
        table.setColumnWidth(column, width)
    return table
