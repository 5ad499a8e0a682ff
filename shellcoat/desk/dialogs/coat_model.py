"""The coats of a draft as an item model that takes in whatever is typed."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from shellcoat.desk.dialogs.coat_draft import (
    AIR,
    FIGURES,
    NAMES,
    Column,
    Fault,
    Scale,
    StepDraft,
    cell_name,
)
from shellcoat.desk.dialogs.sequence_draft import SequenceDraft
from shellcoat.desk.dialogs.words import kind_word, translate

Index = QModelIndex | QPersistentModelIndex
Roles = Qt.ItemDataRole

FAULT_ROLE = Roles.UserRole + 1
"""What is wrong with a cell; nothing where it is right."""

_TEXTS = {Column.SLURRY: "slurry", Column.STUCCO: "stucco"}


class CoatTableModel(QAbstractTableModel):
    """The coats of one draft, the first next to the wax on top.

    Signals
    -------
    edited : something was changed by hand
    """

    edited = Signal()

    def __init__(self, scale: Scale, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._scale = scale
        self._draft: SequenceDraft | None = None
        self._faults: dict[tuple[int, Column], str] = {}

    @property
    def _steps(self) -> list[StepDraft]:
        return self._draft.steps if self._draft else []

    def show_draft(self, draft: SequenceDraft) -> None:
        """Show the coats of another draft."""
        self.beginResetModel()
        self._draft = draft
        self.endResetModel()
        self.find_faults()

    def step(self, row: int) -> StepDraft | None:
        """The coat of a row."""
        return self._steps[row] if 0 <= row < len(self._steps) else None

    def find_faults(self) -> list[Fault]:
        """Look at every cell again and mark those with something wrong."""
        found = self._draft.faults(self._scale) if self._draft else []
        self._faults = {(fault.row, fault.column): fault.text for fault in found}
        if self._steps:
            last = self.index(len(self._steps) - 1, len(Column) - 1)
            self.dataChanged.emit(self.index(0, 0), last)
        return found

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Coats."""
        return 0 if parent.isValid() else len(self._steps)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """What is known of a coat."""
        return 0 if parent.isValid() else len(Column)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Roles.DisplayRole
    ) -> Any:
        """The column's name over its unit."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        column = Column(section)
        words = translate(NAMES[column])
        if role == Roles.DisplayRole:
            return self._heading(column, words)
        if role == Roles.TextAlignmentRole and column in FIGURES:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
        return words if role in (Roles.ToolTipRole, Roles.AccessibleTextRole) else None

    def _heading(self, column: Column, words: str) -> str:
        if column is Column.NUMBER:
            return "#"
        shown = words[:1].upper() + words[1:]
        if column not in FIGURES:
            return shown
        name, _, which = shown.partition(" ")
        name = self.tr("RH") if column in AIR else name
        return f"{name}\n{which}\n{self._scale.unit(column)}"

    def data(self, index: Index, role: int = Roles.DisplayRole) -> Any:
        """What a cell shows, says aloud and marks."""
        if not index.isValid():
            return None
        row, column = index.row(), Column(index.column())
        fault = self._faults.get((row, column), "")
        if role == FAULT_ROLE:
            return fault
        if role == Roles.TextAlignmentRole:
            across = (
                Qt.AlignmentFlag.AlignRight if column in FIGURES else Qt.AlignmentFlag.AlignLeft
            )
            return across | Qt.AlignmentFlag.AlignVCenter
        return self._words(row, column, role, fault)

    def _words(self, row: int, column: Column, role: int, fault: str) -> str | None:
        shown = self._shown(row, column)
        if role in (Roles.DisplayRole, Roles.EditRole):
            return shown
        if role in (Roles.ToolTipRole, Roles.AccessibleDescriptionRole):
            return fault or shown
        if role == Roles.AccessibleTextRole:
            return f"{cell_name(row, column)}: {shown}"
        return None

    def _shown(self, row: int, column: Column) -> str:
        step = self._steps[row]
        if column is Column.NUMBER:
            return str(row + 1)
        if column is Column.KIND:
            return kind_word(step.kind)
        if column in _TEXTS:
            return str(getattr(step, _TEXTS[column]))
        return step.shown(column, self._scale)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Everything but the number can be typed over."""
        flags = super().flags(index)
        if index.isValid() and index.column() != Column.NUMBER:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: Any, role: int = Roles.EditRole) -> bool:
        """Take in what was typed, right or wrong."""
        if not index.isValid() or role != Roles.EditRole:
            return False
        row, column = index.row(), Column(index.column())
        if value == (self._steps[row].kind if column is Column.KIND else self._shown(row, column)):
            return False
        self._put(self._steps[row], column, value)
        self.find_faults()
        self.edited.emit()
        return True

    def _put(self, step: StepDraft, column: Column, value: Any) -> None:
        if column is Column.KIND:
            step.kind = value
        elif column in _TEXTS:
            setattr(step, _TEXTS[column], str(value))
        else:
            step.type_figure(column, str(value), self._scale)

    def add_after(self, row: int) -> int:
        """Add a coat like that of a row; returns where it stands."""
        like = self.step(row) or (self._steps[-1] if self._steps else StepDraft())
        place = row + 1 if self.step(row) else len(self._steps)
        self.beginInsertRows(QModelIndex(), place, place)
        self._steps.insert(place, like.copy())
        self.endInsertRows()
        self._say_edited()
        return place

    def remove(self, row: int) -> None:
        """Take a coat out; the last one stays, for a sequence has one at least."""
        if self.step(row) is None or len(self._steps) == 1:
            return
        self.beginRemoveRows(QModelIndex(), row, row)
        del self._steps[row]
        self.endRemoveRows()
        self._say_edited()

    def move(self, row: int, by: int) -> int:
        """Move a coat towards the wax or away from it; returns where it stands then."""
        place = row + by
        if self.step(row) is None or self.step(place) is None:
            return row
        self._steps[row], self._steps[place] = self._steps[place], self._steps[row]
        self._say_edited()
        return place

    def _say_edited(self) -> None:
        self.find_faults()
        self.edited.emit()
