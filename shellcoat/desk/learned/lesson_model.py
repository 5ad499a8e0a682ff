"""The lessons as an item model: what was found, what was expected, what it taught."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any
from uuid import UUID

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.learned import words
from shellcoat.desk.rack.model import SECOND_LINE_ROLE
from shellcoat.desk.session import DeskSession
from shellcoat.forecast.learned import Learned, Lesson
from shellcoat.operations.learned_wording import (
    find_shell,
    write_expected,
    write_seen,
    write_stray,
    write_taught,
)
from shellcoat.operations.wording import write_time
from shellcoat.shop import Ledger, Shell, ShellCheck

Index = QModelIndex | QPersistentModelIndex
Lines = tuple[str, str]

LESSON_ROLE = Qt.ItemDataRole.UserRole + 11


class LessonColumn(IntEnum):
    """The columns of the list."""

    WHEN = 0
    SHELL = 1
    COAT = 2
    FOUND = 3
    EXPECTED = 4
    TAUGHT = 5


@dataclass(frozen=True, slots=True)
class LessonRow:
    """A lesson with its check and its shell as they stand; the shell may have been taken back."""

    lesson: Lesson
    check: ShellCheck
    shell: Shell | None


def lesson_rows(learned: Learned, ledger: Ledger) -> tuple[LessonRow, ...]:
    """Lessons whose check still stands, in their order."""
    checks = {check.id: check for found in ledger.checks().values() for check in found}
    return tuple(
        LessonRow(lesson, checks[lesson.check_id], find_shell(lesson.shell_id, ledger))
        for lesson in learned.lessons
        if lesson.check_id in checks
    )


class LessonModel(QAbstractTableModel):
    """Rows of the list; words are made when a row is looked at."""

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: Sequence[LessonRow] = ()
        self._lines: dict[LessonColumn, Callable[[LessonRow], Lines]] = {
            LessonColumn.WHEN: lambda row: (
                write_time(row.lesson.at, session.opened.zone, session.now()),
                "",
            ),
            LessonColumn.SHELL: lambda row: words.shell_lines(row.shell),
            LessonColumn.COAT: lambda row: (words.coat_words(row.lesson.coat_number), ""),
            LessonColumn.FOUND: lambda row: words.found_lines(row.check, row.shell, session),
            LessonColumn.EXPECTED: self._expected,
            LessonColumn.TAUGHT: _taught,
        }
        self._answers: dict[int, Callable[[LessonRow, LessonColumn], Any]] = {
            LESSON_ROLE: lambda row, _column: row,
            Qt.ItemDataRole.DisplayRole: lambda row, column: self._lines[column](row)[0],
            SECOND_LINE_ROLE: lambda row, column: self._lines[column](row)[1],
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.ToolTipRole: lambda row, column: breakable(self._whole(row, column)),
        }

    def set_rows(self, rows: Sequence[LessonRow]) -> None:
        """Show other rows; the same checks in the same order only repaint."""
        if [row.check.id for row in rows] == [row.check.id for row in self._rows]:
            self._rows = rows
            if rows:
                last = self.index(len(rows) - 1, len(LessonColumn) - 1)
                self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def lesson(self, number: int) -> LessonRow:
        """The row at that place."""
        return self._rows[number]

    def row_of(self, check_id: UUID) -> int | None:
        """Where a check stands; None when it does not."""
        ids = (row.check.id for row in self._rows)
        return next((number for number, each in enumerate(ids) if each == check_id), None)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Lessons shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Columns of the list."""
        return 0 if parent.isValid() else len(LessonColumn)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Column names."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return self._header(LessonColumn(section))

    def _header(self, column: LessonColumn) -> str:
        names = (
            self.tr("When"),
            self.tr("Shell"),
            self.tr("Coat"),
            self.tr("Found"),
            self.tr("Expected"),
            self.tr("What it did"),
        )
        return names[column]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows, says aloud, and hands to its delegate."""
        answer = self._answers.get(role)
        if answer is None or not index.isValid():
            return None
        return answer(self._rows[index.row()], LessonColumn(index.column()))

    def _expected(self, row: LessonRow) -> Lines:
        units, mark = self._session.opened.units, self._session.decimal_mark
        return (
            words.translate(write_expected(row.lesson, row.check, units, mark)),
            words.translate(write_seen(row.lesson, row.check, units, mark)),
        )

    def _whole(self, row: LessonRow, column: LessonColumn) -> str:
        return "\n".join(line for line in self._lines[column](row) if line)

    def _spoken(self, row: LessonRow, column: LessonColumn) -> str:
        return f"{self._header(column)}: {', '.join(filter(None, self._lines[column](row)))}"


def _taught(row: LessonRow) -> Lines:
    first = words.translate(write_taught(row.lesson, row.check))
    if row.check.left_out:
        return first, ""
    return first, words.translate(write_stray(row.lesson))
