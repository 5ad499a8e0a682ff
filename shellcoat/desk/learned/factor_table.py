"""The list of factors: their names, their bands under one scale, their words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, Qt, Slot
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHeaderView, QTableView, QWidget

from shellcoat.desk.air.logged_list import plain_table
from shellcoat.desk.learned.factor_bar import FactorScale, paint_axis, paint_factor
from shellcoat.desk.learned.factor_model import FACTOR_ROLE, FactorColumn, FactorModel
from shellcoat.desk.rack.delegates import RackDelegate
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.forecast.learned import FactorAnswer

Index = QModelIndex | QPersistentModelIndex

ROW_HEIGHT = 52
LEAST_ROWS = 3
WORDS_WIDTH = 370
FRAMES_PX = 6
MARGIN = 14.0


class FactorTable(QTableView):
    """Every factor with the scale over the bands; as tall as its rows, then it scrolls."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scale, self.theme = FactorScale(), theme
        self.rows = FactorModel(session, self)
        self.setHorizontalHeader(_ScaleHeader(self))
        self.setModel(self.rows)
        plain_table(
            self,
            "learned_factors",
            self.tr("What holds water back"),
        )
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        self._set_widths()
        self._delegates = [RackDelegate(theme, self), _BandDelegate(theme, self)]
        self.setItemDelegate(self._delegates[0])
        self.setItemDelegateForColumn(FactorColumn.BAND, self._delegates[1])

    def _set_widths(self) -> None:
        header = self.horizontalHeader()
        header.setStretchLastSection(False)
        for column in (FactorColumn.NAME, FactorColumn.BAND):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        self.setColumnWidth(FactorColumn.WORDS, WORDS_WIDTH)

    def show_factors(self, factors: Sequence[FactorAnswer]) -> None:
        """Show other factors on a scale that holds them all."""
        self.scale = FactorScale.around(factors)
        self.rows.set_rows(factors)
        self.horizontalHeader().viewport().update()
        self._fit()

    def _fit(self) -> None:
        head = self.horizontalHeader().sizeHint().height() + FRAMES_PX
        rows = self.rows.rowCount()
        self.setMinimumHeight(head + ROW_HEIGHT * min(rows, LEAST_ROWS))
        self.setMaximumHeight(head + ROW_HEIGHT * rows)

    @Slot()
    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.theme = theme
        for delegate in self._delegates:
            delegate.theme = theme
        self.viewport().update()
        self.horizontalHeader().viewport().update()


class _ScaleHeader(QHeaderView):
    """Column names, and the scale over the bands."""

    def __init__(self, table: FactorTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        """Paint as the style does, then the scale."""
        painter.save()
        super().paintSection(painter, rect, logical)
        painter.restore()
        if logical == FactorColumn.BAND:
            field = QRectF(rect).adjusted(MARGIN, 2.0, -MARGIN, -2.0)
            paint_axis(painter, field, self._table.scale, self._table.theme)


class _BandDelegate(RackDelegate):
    """The bands of one factor."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint them across the cell, from its upper edge to its lower."""
        table = self.parent()
        if isinstance(table, FactorTable):
            field = QRectF(rect).adjusted(MARGIN - 10.0, -4.0, 10.0 - MARGIN, 4.0)
            paint_factor(painter, field, index.data(FACTOR_ROLE), table.scale, self.theme)
