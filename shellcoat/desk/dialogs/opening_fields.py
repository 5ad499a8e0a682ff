"""The openings of one core: a line of fields for each, under common headings."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.dialogs.core_words import facing_word, shape_word
from shellcoat.desk.dialogs.field_grid import BORDERS_PX, GAP
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.desk.style_sheet import FIELD_HEIGHT_PX
from shellcoat.errors import MendableError
from shellcoat.shop import Opening, OpeningFacing, OpeningShape
from shellcoat.shop.core import MOST_OPENINGS
from shellcoat.units import Quantity

USUAL_NECK_M = 0.005
FIELD_WIDTH_PX = 104
SHORT_WORD = 8


class LargerFirstError(MendableError):
    """A height that is smaller than the width."""


class OpeningFields(QObject):
    """The fields of one opening; `number` is what messages call it."""

    def __init__(self, session: DeskSession, number: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.number = number
        self.number_label = QLabel(str(number), parent)
        self.number_label.setFixedHeight(FIELD_HEIGHT_PX + BORDERS_PX)
        self.shape = ChoiceField(self.tr("Shape of opening {n}").format(n=number), parent)
        self.shape.offer((shape_word(shape), shape) for shape in OpeningShape)
        self.width = self._length(session, self.tr("Width of opening {n}"), number, 1e-4, 2.0)
        self.height = self._length(session, self.tr("Height of opening {n}"), number, 1e-4, 5.0)
        self.neck = self._length(session, self.tr("Neck of opening {n}"), number, 0.0, 2.0)
        self.facing = ChoiceField(self.tr("Facing of opening {n}").format(n=number), parent)
        self.facing.offer((facing_word(facing), facing) for facing in OpeningFacing)
        self.level = self._length(session, self.tr("Level of opening {n}"), number, 0.0, 10.0)
        self.remove_button = QPushButton(self.tr("Remove"), parent)
        self.remove_button.setAutoDefault(False)
        self.remove_button.setAccessibleName(self.tr("Remove opening {n}").format(n=number))
        for choice in (self.shape, self.facing):
            choice.combo.setMinimumContentsLength(SHORT_WORD)
        self._name(number)
        self.shape.edited.connect(self._on_shape)

    def _length(
        self, session: DeskSession, name: str, number: int, low: float, high: float
    ) -> KeptQuantityField:
        parent = self.parent()
        field = KeptQuantityField(
            session,
            name.format(n=number),
            Quantity.LENGTH,
            low=low,
            high=high,
            parent=parent if isinstance(parent, QWidget) else None,
        )
        field.line.setMinimumWidth(FIELD_WIDTH_PX)
        return field

    def _name(self, number: int) -> None:
        names = ("shape", "width", "height", "neck", "facing", "level")
        for name, field in zip(names, self.fields(), strict=True):
            field.setObjectName(f"opening_{number}_{name}")
        self.remove_button.setObjectName(f"opening_{number}_remove")

    def fields(self) -> tuple[AnyField, ...]:
        """In the order in which they stand on the screen."""
        return (self.shape, self.width, self.height, self.neck, self.facing, self.level)

    def widgets(self) -> tuple[QWidget, ...]:
        """Everything that stands in the line."""
        return (self.number_label, *self.fields(), self.remove_button)

    def wanted(self) -> list[AnyField]:
        """The fields that have to be right."""
        return [each for each in self.fields() if each is not self.height or not self._is_round()]

    def set_opening(self, opening: Opening | None) -> None:
        """Show an opening, or the usual beginnings of a new one."""
        self.shape.set_value(opening.shape if opening else OpeningShape.ROUND)
        self.width.set_value(opening.width_m if opening else None)
        self.height.set_value(opening.height_m if opening else None)
        self.neck.set_value(opening.neck_m if opening else USUAL_NECK_M)
        self.facing.set_value(opening.facing if opening else OpeningFacing.SIDE)
        self.level.set_value(opening.level_m if opening else 0.0)
        self._on_shape()

    def _is_round(self) -> bool:
        return self.shape.combo.currentData() is OpeningShape.ROUND

    @Slot()
    def _on_shape(self) -> None:
        """A round opening is as high as it is wide."""
        self.height.setEnabled(not self._is_round())
        if self._is_round():
            self.height.set_value(None)
            self.height.line.setPlaceholderText(self.tr("as wide"))

    def opening(self) -> Opening:
        """What stands in the fields, all of which are right."""
        width = self.width.required()
        height = width if self._is_round() else self.height.required()
        if height < width:
            message = self.tr("{name} is less than the width. Give the smaller as the width.")
            message = message.format(name=self.height.line.accessibleName())
            self.height.show_message(message)
            raise LargerFirstError(message)
        return Opening(
            shape=self.shape.value(),
            width_m=width,
            height_m=height,
            neck_m=self.neck.required(),
            facing=self.facing.value(),
            level_m=self.level.required(),
        )


class OpeningTable(QWidget):
    """All openings of a core, and the button for another."""

    edited = Signal()

    def __init__(self, session: DeskSession, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("core_openings")
        self._session = session
        self.lines: list[OpeningFields] = []
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(GAP)
        self._grid.setVerticalSpacing(GAP)
        self._heads = [QLabel(text, self) for text in self._headings()]
        for column, head in enumerate(self._heads):
            self._grid.addWidget(head, 0, column)
            self._grid.setColumnStretch(column, 1 if head.text() else 0)
        self.none = QLabel(self.tr("No opening: nothing dries out of this core."), self)
        self.none.setObjectName("core_no_opening")
        self.add_button = QPushButton(self.tr("Add o&pening"), self)
        self.add_button.setObjectName("opening_add")
        self.add_button.setAutoDefault(False)
        self.add_button.clicked.connect(self._on_add)
        column_box = QVBoxLayout(self)
        column_box.setContentsMargins(0, 0, 0, 0)
        column_box.setSpacing(GAP)
        column_box.addLayout(self._grid)
        column_box.addWidget(self.none)
        column_box.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignLeft)
        self._show_lines()

    def _headings(self) -> tuple[str, ...]:
        return (
            "",
            self.tr("Shape"),
            self.tr("Width"),
            self.tr("Height"),
            self.tr("Neck"),
            self.tr("Facing"),
            self.tr("Level"),
            "",
        )

    def set_openings(self, openings: tuple[Opening, ...]) -> None:
        """Show a core's openings."""
        for opening in openings:
            self._add(opening)

    @Slot()
    def _on_add(self) -> None:
        line = self._add(None)
        line.width.setFocus(Qt.FocusReason.OtherFocusReason)

    def _add(self, opening: Opening | None) -> OpeningFields:
        # A number once given stays with its line, so that no message names another one.
        number = max((line.number for line in self.lines), default=0) + 1
        line = OpeningFields(self._session, number, self)
        line.set_opening(opening)
        line.remove_button.clicked.connect(lambda: self._remove(line))
        self.lines.append(line)
        row = self._grid.rowCount()
        for column, widget in enumerate(line.widgets()):
            self._grid.addWidget(widget, row, column, Qt.AlignmentFlag.AlignTop)
        self._show_lines()
        return line

    def _remove(self, line: OpeningFields) -> None:
        self.lines.remove(line)
        for widget in line.widgets():
            self._grid.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self.add_button.setFocus(Qt.FocusReason.OtherFocusReason)
        line.deleteLater()
        self._show_lines()

    def _show_lines(self) -> None:
        for head in self._heads:
            head.setVisible(bool(self.lines))
        self.none.setVisible(not self.lines)
        self.add_button.setEnabled(len(self.lines) < MOST_OPENINGS)
        self.edited.emit()

    def wanted(self) -> Iterator[AnyField]:
        """The fields that have to be right."""
        for line in self.lines:
            yield from line.wanted()

    def openings(self) -> tuple[Opening, ...]:
        """What stands in the fields, all of which are right."""
        return tuple(line.opening() for line in self.lines)
