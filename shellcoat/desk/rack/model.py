"""The rack as an item model over plain rows, sorted and filtered before they get here."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum
from typing import TYPE_CHECKING, Any
from uuid import UUID

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.marks import MarkState, mark_word
from shellcoat.desk.rack import words
from shellcoat.desk.session import DeskSession
from shellcoat.operations.rack import RackRow, RackState
from shellcoat.units import Quantity

if TYPE_CHECKING:
    from shellcoat.desk.section import SectionPicture

Index = QModelIndex | QPersistentModelIndex

ROW_ROLE = Qt.ItemDataRole.UserRole + 1
SECOND_LINE_ROLE = Qt.ItemDataRole.UserRole + 2
PICTURE_ROLE = Qt.ItemDataRole.UserRole + 3

MARKS = {
    RackState.WILL_NOT_DRY: MarkState.WILL_NOT_DRY,
    RackState.DIP_DUE: MarkState.DIP_DUE,
    RackState.READY_FOR_REVIEW: MarkState.READY_FOR_REVIEW,
    RackState.BARE: MarkState.BARE,
    RackState.LIKELY_DRY: MarkState.LIKELY_DRY,
    RackState.WET: MarkState.WET,
    RackState.HOLDING: MarkState.HOLDING,
    RackState.COMING: MarkState.HOLDING,
    RackState.ON_HOLD: MarkState.ON_HOLD,
    RackState.FINISHED: MarkState.FINISHED,
    RackState.SCRAPPED: MarkState.FINISHED,
}


class Column(IntEnum):
    """The columns of the rack."""

    STATE = 0
    SHELL = 1
    COATS = 2
    SECTION = 3
    DRY = 4
    NEXT = 5
    LOOK = 6


def state_word(state: RackState) -> str:
    """The word beside a shell's mark."""
    own = {RackState.SCRAPPED: "scrapped", RackState.COMING: "forecast on its way"}
    return words.translate(own[state]) if state in own else mark_word(MARKS[state])


class RackModel(QAbstractTableModel):
    """Rows of the rack; new rows keep the selection on the shell it was on."""

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: list[RackRow] = []
        self._lines: dict[Column, Callable[[RackRow], words.Lines]] = {
            Column.STATE: lambda row: (state_word(row.state), ""),
            Column.SHELL: words.shell_lines,
            Column.COATS: words.coat_lines,
            Column.SECTION: lambda _row: ("", ""),
            Column.DRY: lambda row: words.dry_lines(row, session, session.now()),
            Column.NEXT: words.next_lines,
            Column.LOOK: lambda row: (words.look_text(row, session), ""),
        }
        self._answers: dict[int, Callable[[RackRow, Column], Any]] = {
            ROW_ROLE: lambda row, _column: row,
            PICTURE_ROLE: lambda row, _column: self._picture(row),
            Qt.ItemDataRole.DisplayRole: lambda row, column: self._lines[column](row)[0],
            SECOND_LINE_ROLE: lambda row, column: self._lines[column](row)[1],
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.ToolTipRole: self._spoken,
        }

    def set_rows(self, rows: list[RackRow]) -> None:
        """Show other rows; the same shells in the same order only repaint."""
        if [row.shell.id for row in rows] == [row.shell.id for row in self._rows]:
            self._rows = rows
            if rows:
                last = self.index(len(rows) - 1, len(Column) - 1)
                self.dataChanged.emit(self.index(0, 0), last)
            return
        if len(rows) != len(self._rows):
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
            return
        self._reorder(rows)

    def _reorder(self, rows: list[RackRow]) -> None:
        self.layoutAboutToBeChanged.emit()
        old = self.persistentIndexList()
        shells = [self._rows[index.row()].shell.id for index in old]
        self._rows = rows
        place = {row.shell.id: number for number, row in enumerate(rows)}
        new = [
            self.index(place[shell], index.column()) if shell in place else QModelIndex()
            for shell, index in zip(shells, old, strict=True)
        ]
        self.changePersistentIndexList(old, new)
        self.layoutChanged.emit()

    def row_of(self, shell_id: UUID) -> int | None:
        """Where a shell stands; None when it is not shown."""
        for number, row in enumerate(self._rows):
            if row.shell.id == shell_id:
                return number
        return None

    def rack_row(self, number: int) -> RackRow:
        """The row at that place."""
        return self._rows[number]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Shells shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Columns of the rack."""
        return 0 if parent.isValid() else len(Column)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Column names."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        names = (
            self.tr("State"),
            self.tr("Shell"),
            self.tr("Coats"),
            self.tr("Wall"),
            self.tr("Dry"),
            self.tr("Next coat"),
            self.tr("Look"),
        )
        return names[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows, says aloud, and hands to its delegate."""
        answer = self._answers.get(role)
        if answer is None or not index.isValid():
            return None
        return answer(self._rows[index.row()], Column(index.column()))

    def _picture(self, row: RackRow) -> SectionPicture | None:
        if row.forecast is None:
            return None
        # Loaded with the first forecast, as the rack shows before there is one.
        from shellcoat.desk.section import section_picture

        coats = self._session.opened.ledger.coats(row.shell.id)
        return section_picture(row.shell, row.forecast, coats)

    def _spoken(self, row: RackRow, column: Column) -> str:
        if column is not Column.SECTION:
            return ", ".join(line for line in self._lines[column](row) if line)
        picture = self._picture(row)
        if picture is None:
            return ""
        from shellcoat.desk.section import describe_section

        return describe_section(picture, lambda m: self._session.write(m, Quantity.THICKNESS))
