"""The factors as an item model: what each belongs to, its bands, how much each holds back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import IntEnum
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.learned.words import translate
from shellcoat.desk.rack.model import SECOND_LINE_ROLE
from shellcoat.desk.session import DeskSession
from shellcoat.forecast.learned import FactorAnswer
from shellcoat.operations.learned_wording import (
    factor_lines,
    write_bearing,
    write_factor_likely,
    write_factor_spread,
)

Index = QModelIndex | QPersistentModelIndex
Lines = tuple[str, str]

FACTOR_ROLE = Qt.ItemDataRole.UserRole + 12


class FactorColumn(IntEnum):
    """The columns of the list."""

    NAME = 0
    BAND = 1
    WORDS = 2


class FactorModel(QAbstractTableModel):
    """Rows of the list; immutable, replaced as a whole."""

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: Sequence[FactorAnswer] = ()
        self._answers: dict[int, Callable[[FactorAnswer, FactorColumn], Any]] = {
            FACTOR_ROLE: lambda row, _column: row,
            Qt.ItemDataRole.DisplayRole: lambda row, column: self._lines(row, column)[0],
            SECOND_LINE_ROLE: lambda row, column: self._lines(row, column)[1],
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.ToolTipRole: self._tip,
        }

    @property
    def factors(self) -> Sequence[FactorAnswer]:
        """What is shown."""
        return self._rows

    def set_rows(self, rows: Sequence[FactorAnswer]) -> None:
        """Show other factors; as many as before only repaint."""
        if rows and len(rows) == len(self._rows):
            self._rows = rows
            self.dataChanged.emit(
                self.index(0, 0), self.index(len(rows) - 1, len(FactorColumn) - 1)
            )
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Factors shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Columns of the list."""
        return 0 if parent.isValid() else len(FactorColumn)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Column names; the scale stands over the bands in place of one."""
        shown = role == Qt.ItemDataRole.DisplayRole and section != FactorColumn.BAND
        if orientation is not Qt.Orientation.Horizontal or not (
            shown or role == Qt.ItemDataRole.AccessibleTextRole
        ):
            return None
        return self._header(FactorColumn(section))

    def _header(self, column: FactorColumn) -> str:
        names = (
            self.tr("What"),
            self.tr("Drying time against the tables"),
            self.tr("What the checks say"),
        )
        return names[column]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows, says aloud, and hands to its delegate."""
        answer = self._answers.get(role)
        if answer is None or not index.isValid():
            return None
        return answer(self._rows[index.row()], FactorColumn(index.column()))

    def _lines(self, row: FactorAnswer, column: FactorColumn) -> Lines:
        ledger = self._session.opened.ledger
        if column is FactorColumn.NAME:
            first, second = factor_lines(row, ledger)
            return translate(first), translate(second)
        if column is FactorColumn.WORDS:
            spread, bearing = write_factor_spread(row), write_bearing(row)
            return translate(write_factor_likely(row)), translate(f"{spread}; {bearing}")
        return "", ""

    def _spoken(self, row: FactorAnswer, column: FactorColumn) -> str:
        if column is FactorColumn.BAND:
            before, now = (_ends(band.low, band.high) for band in (row.before, row.now))
            return translate("Before any check {before} of the tables' time, now {now}").format(
                before=before, now=now
            )
        return ", ".join(self._lines(row, column))

    def _tip(self, row: FactorAnswer, column: FactorColumn) -> str:
        if column is FactorColumn.BAND:
            return self._spoken(row, column)
        return breakable("\n".join(self._lines(row, column)))


def _ends(low: float, high: float) -> str:
    return f"{100.0 * low:.0f}\u2013{100.0 * high:.0f}\u00a0%"
