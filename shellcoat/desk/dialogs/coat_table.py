"""The table of coats to type in; what is wrong in it is framed."""

from __future__ import annotations

from PySide6.QtCore import QAbstractItemModel, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from shellcoat.desk.dialogs.coat_draft import AIR, BUILT, WATER, Column, cell_name
from shellcoat.desk.dialogs.coat_model import FAULT_ROLE, CoatTableModel, Index, Roles
from shellcoat.desk.dialogs.lettering import worn_theme
from shellcoat.desk.dialogs.words import kind_word
from shellcoat.desk.style_sheet import TABLE_ROW_PX
from shellcoat.shop import CoatKind

HEADER_PX = 62
CORNER_PX = 11
WIDTHS = {
    Column.NUMBER: 34,
    Column.KIND: 80,
    Column.SLURRY: 200,
    Column.STUCCO: 200,
    **dict.fromkeys((*BUILT, *WATER), 65),
    **dict.fromkeys(AIR, 74),
}


class CellDelegate(QStyledItemDelegate):
    """Frames a cell with something wrong, and folds its corner."""

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line over the cell, named after it."""
        editor = super().createEditor(parent, option, index)
        editor.setObjectName("sequence_cell_editor")
        editor.setAccessibleName(cell_name(index.row(), Column(index.column())))
        return editor

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the cell, then its mark."""
        super().paint(painter, option, index)
        if not index.data(FAULT_ROLE):
            return
        box = QRectF(option.rect).adjusted(1, 1, -2, -2)
        top_left = box.topLeft()
        across, down = QPointF(CORNER_PX, 0), QPointF(0, CORNER_PX)
        corner = QPolygonF([top_left, top_left + across, top_left + down])
        painter.save()
        colour = QColor(worn_theme().warm)
        painter.setPen(QPen(colour, 2))
        painter.drawRect(box)
        painter.setBrush(colour)
        painter.drawPolygon(corner)
        painter.restore()


class KindDelegate(CellDelegate):
    """Offers the kinds of coat in a list."""

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A list over the cell."""
        combo = QComboBox(parent)
        combo.setObjectName("sequence_kind_editor")
        combo.setAccessibleName(cell_name(index.row(), Column.KIND))
        for kind in CoatKind:
            combo.addItem(kind_word(kind), kind)
        combo.activated.connect(lambda _index: self._finish(combo))
        return combo

    def _finish(self, combo: QComboBox) -> None:
        self.commitData.emit(combo)
        self.closeEditor.emit(combo)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Begin with the coat's own kind."""
        if isinstance(editor, QComboBox):
            editor.setCurrentText(str(index.data(Roles.DisplayRole)))

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Put the chosen kind into the cell."""
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentData())


class CoatTable(QTableView):
    """The table; Enter opens a cell."""

    def __init__(self, model: CoatTableModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("sequence_coats")
        self.setAccessibleName(self.tr("Coats of the sequence"))
        self.setModel(model)
        self.setItemDelegate(CellDelegate(self))
        self.setItemDelegateForColumn(Column.KIND, KindDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked
            | triggers.SelectedClicked
            | triggers.EditKeyPressed
            | triggers.AnyKeyPressed
        )
        self.setAlternatingRowColors(True)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(TABLE_ROW_PX)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        header.setHighlightSections(False)
        header.setFixedHeight(HEADER_PX)
        for column, width in WIDTHS.items():
            self.setColumnWidth(column, width)
        for column in (Column.SLURRY, Column.STUCCO):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the cell on Enter, which would else press the dialog's button."""
        opens = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if opens and self.state() is not QAbstractItemView.State.EditingState:
            self.edit(self.currentIndex())
            event.accept()
            return
        super().keyPressEvent(event)
