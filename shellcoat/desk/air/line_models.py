"""Small tables of the import: the first rows as they will be read, and lines left out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.air.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.feeds.screening import BadRow
from shellcoat.feeds.shape import LoggerShape, SampleRow
from shellcoat.units import Quantity

Index = QModelIndex | QPersistentModelIndex
Line = tuple[str, ...]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class LineModel(QAbstractTableModel):
    """Rows of plain texts under headers; replaced as a whole."""

    def __init__(self, headers: Line, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headers = headers
        self.lines: Sequence[Line] = ()

    def set_lines(self, lines: Sequence[Line]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Count the rows."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Count the columns."""
        return 0 if parent.isValid() else len(self._headers)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        """Name a column."""
        if role != Qt.ItemDataRole.DisplayRole or orientation != Qt.Orientation.Horizontal:
            return None
        return self._headers[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Say what stands in a cell."""
        if not index.isValid():
            return None
        text = self.lines[index.row()][index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self._headers[index.column()]}: {text}"
        return None


def sample_headers() -> Line:
    """The headers over the first rows."""
    return (
        translate("Air", "Time in the file"),
        translate("Air", "Temperature"),
        translate("Air", "Humidity"),
        translate("Air", "The row itself"),
    )


def sample_lines(shape: LoggerShape, session: DeskSession) -> list[Line]:
    """The first rows as they will be read, each beside its own text."""
    return [
        (*_sample_words(row, session), shape.delimiter.join(cells))
        for row, cells in zip(shape.sample, shape.sample_cells, strict=True)
    ]


def _sample_words(row: SampleRow, session: DeskSession) -> Line:
    unread = translate("Air", "not read")
    write = session.write
    return (
        unread if row.at_ms is None else _clock_words(row.at_ms, unread),
        unread if row.temp_c is None else write(row.temp_c, Quantity.TEMPERATURE),
        unread if row.rh is None else write(row.rh, Quantity.HUMIDITY),
    )


def _clock_words(at_ms: int, unread: str) -> str:
    try:
        return f"{_EPOCH + timedelta(milliseconds=at_ms):%Y-%m-%d %H:%M:%S}"
    except OverflowError:
        return unread


def left_out_headers() -> Line:
    """The headers over the lines that were left out."""
    return (
        translate("Air", "Line"),
        translate("Air", "Why it was left out"),
        translate("Air", "What stands there"),
    )


def left_out_lines(rows: Sequence[BadRow]) -> list[Line]:
    """Lines that were left out, in the order of the file."""
    return [(str(row.line), row.reason, row.text) for row in sorted(rows, key=lambda row: row.line)]
