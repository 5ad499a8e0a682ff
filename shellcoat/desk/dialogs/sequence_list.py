"""The list of sequences; a dot marks those with changes that are not saved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex
Roles = Qt.ItemDataRole


@dataclass(frozen=True, slots=True)
class SequenceLine:
    """One sequence in the list."""

    id: UUID
    name: str
    retired: bool = False
    changed: bool = False


class SequenceListModel(QAbstractListModel):
    """The sequences to choose from."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lines: list[SequenceLine] = []

    def set_lines(self, lines: Sequence[SequenceLine]) -> None:
        """Show other lines; where only words differ the choice stays."""
        same = [line.id for line in lines] == [line.id for line in self._lines]
        if same:
            self._lines = list(lines)
            if self._lines:
                self.dataChanged.emit(self.index(0), self.index(len(self._lines) - 1))
            return
        self.beginResetModel()
        self._lines = list(lines)
        self.endResetModel()

    def id_at(self, row: int) -> UUID | None:
        """The sequence in a row."""
        return self._lines[row].id if 0 <= row < len(self._lines) else None

    def row_of(self, sequence_id: UUID | None) -> int:
        """The row of a sequence, or -1."""
        ids = [line.id for line in self._lines]
        return ids.index(sequence_id) if sequence_id in ids else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Sequences shown."""
        return 0 if parent.isValid() else len(self._lines)

    def data(self, index: Index, role: int = Roles.DisplayRole) -> Any:
        """What a line shows and says aloud."""
        if not index.isValid():
            return None
        line = self._lines[index.row()]
        if role == Roles.DisplayRole:
            return f"● {self._words(line)}" if line.changed else self._words(line)
        if role in (Roles.ToolTipRole, Roles.AccessibleTextRole):
            changed = self.tr("{sequence}, changes not saved").format(sequence=self._words(line))
            return changed if line.changed else self._words(line)
        return None

    def _words(self, line: SequenceLine) -> str:
        name = line.name.strip() or self.tr("New sequence")
        return self.tr("{name} (retired)").format(name=name) if line.retired else name
