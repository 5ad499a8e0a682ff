"""The list of lessons, newest first, and what can be done with the chosen one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from uuid import UUID

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFont, QKeySequence, QPainter, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading
from shellcoat.desk.air.logged_list import plain_table
from shellcoat.desk.learned.lesson_model import LESSON_ROLE, LessonColumn, LessonModel, LessonRow
from shellcoat.desk.marks import MarkState, paint_mark
from shellcoat.desk.rack.delegates import WARNING_SIDE, RackDelegate
from shellcoat.desk.rack.model import SECOND_LINE_ROLE
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.learned_wording import is_stray

Index = QModelIndex | QPersistentModelIndex

ROW_HEIGHT = 52
LEAST_HEIGHT = 200
WIDTHS = {LessonColumn.WHEN: 150, LessonColumn.COAT: 96}
"""The other columns share what is left."""


class LessonDelegate(RackDelegate):
    """One text, or two lines; struck through where the check is left out."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint the label of a shell strong over its name, everything else plainly."""
        self._strike(painter, index)
        second = str(index.data(SECOND_LINE_ROLE) or "")
        if index.column() == LessonColumn.SHELL or not second:
            super().paint_content(painter, rect, index)
            return
        half = rect.height() // 2
        upper = rect.adjusted(0, 0, 0, half - rect.height())
        first = str(index.data(Qt.ItemDataRole.DisplayRole))
        _paint_line(painter, upper, first, self.theme.text, Qt.AlignmentFlag.AlignBottom)
        lower = rect.adjusted(0, half, 0, 0)
        _paint_line(painter, lower, second, self.theme.muted, Qt.AlignmentFlag.AlignTop)

    def _strike(self, painter: QPainter, index: Index) -> None:
        if index.data(LESSON_ROLE).check.left_out:
            font = QFont(painter.font())
            font.setStrikeOut(True)
            painter.setFont(font)


def _paint_line(
    painter: QPainter, rect: QRect, text: str, colour: str, edge: Qt.AlignmentFlag
) -> None:
    painter.setPen(QColor(colour))
    shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
    painter.drawText(rect, Qt.AlignmentFlag.AlignLeft | edge, shown)


class TaughtDelegate(LessonDelegate):
    """What a check did, behind the mark of a warning where it looks like a stray."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint mark and words."""
        row: LessonRow = index.data(LESSON_ROLE)
        if is_stray(row.lesson) and not row.check.left_out:
            middle = rect.center().y() - WARNING_SIDE / 2
            mark = QRectF(rect.left(), middle, WARNING_SIDE, WARNING_SIDE)
            paint_mark(painter, mark, MarkState.WARNING, self.theme)
            rect = rect.adjusted(WARNING_SIDE + 8, 0, 0, 0)
        super().paint_content(painter, rect, index)

    def _strike(self, painter: QPainter, index: Index) -> None:
        """Why a check is left out is not struck."""


class LessonList(QWidget):
    """Every check and what it taught.

    Signals
    -------
    leave_out_requested, take_in_requested : the check
    shell_requested : the shell of the chosen check
    """

    leave_out_requested = Signal(object)
    take_in_requested = Signal(object)
    shell_requested = Signal(object)

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("learned_lessons")
        self._session = session
        self.model = LessonModel(session, self)
        self.table = self._table(theme)
        self._make_buttons()
        self._lay_out()
        self._on_chosen()

    def _table(self, theme: Theme) -> QTableView:
        table = plain_table(QTableView(self), "learned_table", self.tr("Checks, newest first"))
        table.setModel(self.model)
        table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        table.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        table.horizontalHeader().setStretchLastSection(False)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        for column, width in WIDTHS.items():
            fixed = QHeaderView.ResizeMode.Interactive
            table.horizontalHeader().setSectionResizeMode(column, fixed)
            table.setColumnWidth(column, width)
        table.setMinimumHeight(LEAST_HEIGHT)
        self._delegates = [LessonDelegate(theme, table), TaughtDelegate(theme, table)]
        table.setItemDelegate(self._delegates[0])
        table.setItemDelegateForColumn(LessonColumn.TAUGHT, self._delegates[1])
        table.selectionModel().selectionChanged.connect(self._on_chosen)
        table.activated.connect(self._go)
        shortcut = QShortcut(QKeySequence.StandardKey.Delete, table, self._leave_out)
        shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
        return table

    def _make_buttons(self) -> None:
        leave, take = self.tr("&Leave out…"), self.tr("&Take in again")
        self.leave_out_button = self._button(leave, "learned_leave_out", self._leave_out)
        self.take_in_button = self._button(take, "learned_take_in", self._take_in)
        self.shell_button = self._button(self.tr("&Go to shell"), "learned_go", self._go)

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.clicked.connect(slot)
        return button

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(heading(self, "learned_lessons_title", self.tr("Check by check")), 1)
        for button in (self.leave_out_button, self.take_in_button, self.shell_button):
            head.addWidget(button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addLayout(head)
        rows.addWidget(self.table, 1)
        self.setFocusProxy(self.table)

    def show_lessons(self, rows: Sequence[LessonRow]) -> None:
        """Show other lessons; the chosen check stays chosen."""
        chosen = self.chosen()
        self.model.set_rows(rows)
        number = self.model.row_of(chosen.check.id) if chosen else None
        if rows:
            self.table.selectRow(number or 0)
        self._on_chosen()

    def choose_shell(self, shell_id: UUID) -> None:
        """Choose the newest check of a shell, where it has one."""
        numbers = range(self.model.rowCount())
        own = (each for each in numbers if self.model.lesson(each).lesson.shell_id == shell_id)
        number = next(own, None)
        if number is not None:
            self.table.selectRow(number)

    def chosen(self) -> LessonRow | None:
        """The row that is chosen."""
        rows = self.table.selectionModel().selectedRows()
        return self.model.lesson(rows[0].row()) if rows else None

    @Slot()
    def _on_chosen(self) -> None:
        row = self.chosen()
        may = row is not None and not self._session.opened.book.read_only
        left_out = row is not None and bool(row.check.left_out)
        self.leave_out_button.setEnabled(may and not left_out)
        self.take_in_button.setEnabled(may and left_out)
        self.shell_button.setEnabled(row is not None and row.shell is not None)

    @Slot()
    def _leave_out(self) -> None:
        row = self.chosen()
        if row is not None and self.leave_out_button.isEnabled():
            self.leave_out_requested.emit(row)

    @Slot()
    def _take_in(self) -> None:
        row = self.chosen()
        if row is not None:
            self.take_in_requested.emit(row)

    @Slot()
    def _go(self) -> None:
        row = self.chosen()
        if row is not None and row.shell is not None:
            self.shell_requested.emit(row.shell.id)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        for delegate in self._delegates:
            delegate.theme = theme
        self.table.viewport().update()
