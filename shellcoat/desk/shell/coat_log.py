"""The log of a shell's coats as an item model over plain rows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import IntEnum
from typing import Any
from uuid import UUID

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.answers import CoatAnswer, ShellForecast
from shellcoat.operations.wording import write_time
from shellcoat.shop import Coat
from shellcoat.units import Quantity, write_duration

Index = QModelIndex | QPersistentModelIndex

COAT_ROLE = Qt.ItemDataRole.UserRole + 1


class Column(IntEnum):
    """The columns of the log."""

    NUMBER = 0
    DIPPED = 1
    COAT = 2
    TANK = 3
    THICKNESS = 4
    SAFE = 5
    INTERVAL = 6
    LOOK = 7


@dataclass(frozen=True, slots=True)
class LoggedCoat:
    """One line of the log; `until_next_s` [s] is how long it had before the next dip."""

    coat: Coat
    answer: CoatAnswer | None
    until_next_s: float | None
    next_early: bool
    corrected: bool


def coat_lines(session: DeskSession, shell_id: UUID, forecast: ShellForecast) -> list[LoggedCoat]:
    """The coats of a shell with what the forecast says of each."""
    ledger = session.opened.ledger
    coats = ledger.coats(shell_id)
    answers = {answer.coat_id: answer for answer in forecast.coats}
    following = [*coats, None][1:]
    lines = []
    for coat, after in zip(coats, following, strict=True):
        gap = (after.dipped_at - coat.dipped_at).total_seconds() if after else None
        early = answers.get(after.id) if after else None
        lines.append(
            LoggedCoat(
                coat=coat,
                answer=answers.get(coat.id),
                until_next_s=gap,
                next_early=bool(early and early.dipped_early),
                corrected=ledger.live[coat.id].replaces is not None,
            )
        )
    return lines


class CoatLogModel(QAbstractTableModel):
    """The coats of one shell, the first on top."""

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._lines: list[LoggedCoat] = []
        self._cells: dict[Column, Callable[[int, LoggedCoat], str]] = {
            Column.NUMBER: lambda number, _line: str(number),
            Column.DIPPED: lambda _number, line: self._time(line.coat.dipped_at),
            Column.COAT: lambda _number, line: _materials(line.coat),
            Column.TANK: lambda _number, line: self._tank(line.coat),
            Column.THICKNESS: lambda _number, line: self._thickness(line.answer),
            Column.SAFE: lambda _number, line: self._safe(line.answer),
            Column.INTERVAL: lambda _number, line: self._interval(line),
            Column.LOOK: self._look,
        }

    def set_lines(self, lines: list[LoggedCoat]) -> None:
        """Show other coats."""
        self.beginResetModel()
        self._lines = lines
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Coats shown."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        """Columns of the log."""
        return 0 if parent.isValid() else len(Column)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Column names."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        names = (
            self.tr("Coat"),
            self.tr("Dipped"),
            self.tr("Slurry and stucco"),
            self.tr("Tank, room"),
            self.tr("Built"),
            self.tr("Safely dry"),
            self.tr("Left to dry"),
            self.tr("Look"),
        )
        return names[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows and says aloud."""
        if not index.isValid():
            return None
        line = self._lines[index.row()]
        if role == COAT_ROLE:
            return line.coat
        shown = (
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.ToolTipRole,
            Qt.ItemDataRole.AccessibleTextRole,
        )
        if role in shown:
            return self._cells[Column(index.column())](index.row() + 1, line)
        return None

    def _time(self, moment: datetime) -> str:
        return write_time(moment, self._session.opened.zone, self._session.now())

    def _tank(self, coat: Coat) -> str:
        room = self._session.opened.ledger.room(coat.room_id).name
        return ", ".join(part for part in (coat.tank, room) if part)

    def _thickness(self, answer: CoatAnswer | None) -> str:
        if answer is None:
            return ""
        return self._session.write(answer.thickness_m.likely, Quantity.THICKNESS)

    def _safe(self, answer: CoatAnswer | None) -> str:
        if answer is None:
            return ""
        return self._time(answer.safe_at) if answer.safe_at else self.tr("not in this air")

    def _interval(self, line: LoggedCoat) -> str:
        return write_duration(line.until_next_s) if line.until_next_s is not None else ""

    def _look(self, number: int, line: LoggedCoat) -> str:
        words = []
        if line.next_early:
            words.append(self.tr("coat {next} went on early").format(next=number + 1))
        if line.corrected:
            words.append(self.tr("corrected"))
        return "; ".join([*words, *filter(None, (line.coat.reason, line.coat.note))])


def _materials(coat: Coat) -> str:
    return f"{coat.step.slurry} + {coat.step.stucco}" if coat.step.stucco else coat.step.slurry
