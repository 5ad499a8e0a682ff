"""How fields stand in a dialog: labels on the left, in one column or several."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading
from shellcoat.desk.style_sheet import FIELD_HEIGHT_PX

GAP = 8
COLUMN_GAP = 28
LABEL_GAP = 14
FIELD_WIDTH_PX = 270
BORDERS_PX = 4
HEADING_PX = 34


class FieldGrid(QGridLayout):
    """Labels on the left, fields on the right; a label stands level with its field's control."""

    def __init__(self) -> None:
        super().__init__()
        self.setContentsMargins(0, 0, 0, 0)
        self.setHorizontalSpacing(LABEL_GAP)
        self.setVerticalSpacing(GAP)
        self.setColumnStretch(1, 1)
        self.setColumnMinimumWidth(1, FIELD_WIDTH_PX)
        self._labels: dict[QWidget, QLabel] = {}

    def add_heading(self, parent: QWidget, name: str, text: str) -> None:
        """Add a heading over what follows."""
        row = self.rowCount()
        if row > 1:
            self.setRowMinimumHeight(row, HEADING_PX)
        self.addWidget(heading(parent, name, text), row, 0, 1, 2, Qt.AlignmentFlag.AlignBottom)

    def add(self, parent: QWidget, text: str, field: QWidget) -> None:
        """Add a field; its label leads the keyboard to it."""
        words = QLabel(text, parent)
        words.setBuddy(field.focusProxy() or field)
        words.setFixedHeight(FIELD_HEIGHT_PX + BORDERS_PX)
        row = self.rowCount()
        self.addWidget(words, row, 0, Qt.AlignmentFlag.AlignTop)
        self.addWidget(field, row, 1)
        self._labels[field] = words

    def add_wide(self, widget: QWidget) -> None:
        """Add something that has no label beside it."""
        self.addWidget(widget, self.rowCount(), 0, 1, 2)

    def add_below(self, widget: QWidget) -> None:
        """Add something that belongs to the field above it."""
        self.addWidget(widget, self.rowCount(), 1)

    def set_shown(self, field: QWidget, shown: bool) -> None:
        """Show or hide a field with its label."""
        field.setVisible(shown)
        self._labels[field].setVisible(shown)


def side_by_side(*grids: FieldGrid) -> QHBoxLayout:
    """Columns of fields, each as tall as it needs."""
    across = QHBoxLayout()
    across.setContentsMargins(0, 0, 0, 0)
    across.setSpacing(COLUMN_GAP)
    for grid in grids:
        column = QVBoxLayout()
        column.addLayout(grid)
        column.addStretch(1)
        across.addLayout(column, 1)
    return across
