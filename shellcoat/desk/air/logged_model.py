"""The list of readings: typed ones and imports, the latest on top."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.air.look import LoggedAir
from shellcoat.desk.air.words import logged_words, time_words, translate
from shellcoat.desk.session import DeskSession

Index = QModelIndex | QPersistentModelIndex


class LoggedColumn(IntEnum):
    """The columns of the list."""

    TIME = 0
    AIR = 1
    SOURCE = 2
    WHO = 3
    NOTE = 4


class LoggedModel(QAbstractTableModel):
    """Lines of the list; immutable, replaced as a whole."""

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: Sequence[LoggedAir] = ()

    def set_rows(self, rows: Sequence[LoggedAir]) -> None:
        """Show other lines; where they are the same only the words of their times may change."""
        if rows and rows == self._rows:
            last = self.index(len(rows) - 1, LoggedColumn.TIME)
            self.dataChanged.emit(self.index(0, LoggedColumn.TIME), last)
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def logged(self, row: int) -> LoggedAir:
        """The line at a place."""
        return self._rows[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Count the lines."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Count the columns."""
        return 0 if parent.isValid() else len(LoggedColumn)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        """Name a column."""
        if role != Qt.ItemDataRole.DisplayRole or orientation != Qt.Orientation.Horizontal:
            return None
        return _header(LoggedColumn(section))

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Say what stands in a cell."""
        if not index.isValid():
            return None
        column = LoggedColumn(index.column())
        text = self._text(self._rows[index.row()], column)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{_header(column)}: {text}"
        return None

    def _text(self, row: LoggedAir, column: LoggedColumn) -> str:
        if column is LoggedColumn.TIME:
            return time_words(row, self._session)
        if column is LoggedColumn.AIR:
            return logged_words(row, self._session)
        if column is LoggedColumn.SOURCE:
            return row.source if row.imported else translate("Air", "typed")
        return row.who if column is LoggedColumn.WHO else row.note


def _header(column: LoggedColumn) -> str:
    return {
        LoggedColumn.TIME: translate("Air", "Read"),
        LoggedColumn.AIR: translate("Air", "Air"),
        LoggedColumn.SOURCE: translate("Air", "From"),
        LoggedColumn.WHO: translate("Air", "Logged by"),
        LoggedColumn.NOTE: translate("Air", "Note"),
    }[column]
