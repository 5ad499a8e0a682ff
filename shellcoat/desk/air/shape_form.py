"""What a person may decide about a logger's file: room, zone, columns, units, date order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QCompleter, QFormLayout, QHBoxLayout, QWidget

from shellcoat.desk.air.file_import import LookedAt, Order
from shellcoat.desk.air.lettering import field_name
from shellcoat.desk.fields import message_label
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.feeds.cells import number_in
from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.shape import LoggerShape
from shellcoat.feeds.wall_times import DateOrder, TimeKind
from shellcoat.feeds.wording import column_words
from shellcoat.shop.shop import UnknownZoneError

Choices = Sequence[tuple[str, Any]]


class ShapeForm(QWidget):
    """Boxes with what was understood chosen; where the file is silent nothing is chosen yet.

    Signals
    -------
    changed : the shape with the choices made so far
    """

    changed = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("import_choices")
        self._session = session
        self._looked: LookedAt | None = None
        self._room_ids: list[UUID] = []
        self._values: dict[str, list[Any]] = {}
        self.room = self._box("import_room", self.tr("Room the logger stood in"))
        self.zone = self._box("import_zone", self.tr("Time zone of the logger's clock"))
        self._make_zone_searchable()
        self.boxes = {
            "date_order": self._box("import_date_order", self.tr("Order of the dates")),
            "temp_column": self._box("import_temp_column", self.tr("Column of the temperature")),
            "temp_unit": self._box("import_temp_unit", self.tr("Unit of the temperature")),
            "humidity_column": self._box(
                "import_humidity_column", self.tr("Column of the humidity")
            ),
            "humidity_unit": self._box("import_humidity_unit", self.tr("Unit of the humidity")),
        }
        for field, box in self.boxes.items():
            box.setPlaceholderText(self.tr("please choose"))
            box.setProperty("field", field)
            box.activated.connect(self._on_chosen)
        self.fault = message_label(self)
        self.fault.setObjectName("import_zone_fault")
        self._lay_out()

    def _box(self, name: str, spoken: str) -> QComboBox:
        box = QComboBox(self)
        box.setObjectName(name)
        box.setAccessibleName(spoken)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(16)
        return box

    def _make_zone_searchable(self) -> None:
        """Hundreds of zones are found by typing a part of the name."""
        self.zone.setEditable(True)
        self.zone.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        completer = QCompleter(self.zone.model(), self.zone)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.zone.setCompleter(completer)
        line = self.zone.lineEdit()
        if line is not None:
            line.setObjectName("import_zone_line")
            line.setAccessibleName(self.zone.accessibleName())
            line.textEdited.connect(self._forget_fault)

    def _lay_out(self) -> None:
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setHorizontalSpacing(12)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        boxes = self.boxes
        temperature = self._pair(boxes["temp_column"], boxes["temp_unit"])
        humidity = self._pair(boxes["humidity_column"], boxes["humidity_unit"])
        rows = (
            (self.tr("Room"), self.room, self.room),
            (self.tr("Logger's clock"), self.zone, self.zone),
            ("", self.fault, self.fault),
            (self.tr("Dates"), boxes["date_order"], boxes["date_order"]),
            (self.tr("Temperature"), boxes["temp_column"], temperature),
            (self.tr("Humidity"), boxes["humidity_column"], humidity),
        )
        for text, box, row in rows:
            self._form.addRow(field_name(self, text, box), row)
        self._form.setRowVisible(self.fault, False)

    def _pair(self, column: QComboBox, unit: QComboBox) -> QWidget:
        """A column beside its unit."""
        pair = QWidget(self)
        row = QHBoxLayout(pair)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(column, 1)
        unit.setMinimumContentsLength(6)
        row.addWidget(unit)
        return pair

    def show_looked(self, looked: LookedAt, room_id: UUID | None) -> None:
        """Offer the choices for a file that was looked at."""
        self._looked = looked
        self._forget_fault()
        self._offer_rooms(room_id)
        self._offer_zones(looked)
        shape = looked.shape
        asked = {question.field: question for question in shape.questions}
        offers: dict[str, Choices] = {
            "date_order": [(order.value, order) for order in DateOrder],
            "temp_column": _columns(shape, shape.temp_column),
            "temp_unit": [(unit.value, unit) for unit in TempUnit],
            "humidity_column": _columns(shape, shape.humidity_column),
            "humidity_unit": [(unit.value, unit) for unit in HumidityUnit],
        }
        for field, box in self.boxes.items():
            box.setAccessibleDescription(asked[field].asks if field in asked else "")
        for field, question in asked.items():
            offers[field] = [(choice.label, choice.value) for choice in question.choices]
        for field, choices in offers.items():
            self._offer(field, choices, getattr(shape, field))
        self._form.setRowVisible(self.boxes["date_order"], "date_order" in asked)
        self._on_chosen()

    def _offer_rooms(self, room_id: UUID | None) -> None:
        rooms = self._session.opened.ledger.rooms
        self._room_ids = [room.id for room in rooms]
        self.room.clear()
        self.room.addItems([room.name for room in rooms])
        self.room.setCurrentIndex(self._room_ids.index(room_id) if room_id in self._room_ids else 0)

    def _offer_zones(self, looked: LookedAt) -> None:
        if self.zone.count() != len(looked.zones):
            self.zone.clear()
            self.zone.addItems(looked.zones)
        self.zone.setCurrentText(self._session.opened.shop.zone)
        shape = looked.shape
        local = shape.time_kind is TimeKind.TEXT and not shape.offset_in_rows
        self._form.setRowVisible(self.zone, local and shape.utc_offset_min is None)

    def _offer(self, field: str, choices: Choices, chosen: Any) -> None:
        box = self.boxes[field]
        self._values[field] = [value for _, value in choices]
        box.clear()
        box.addItems([words for words, _ in choices])
        known = chosen is not None and chosen in self._values[field]
        box.setCurrentIndex(self._values[field].index(chosen) if known else -1)

    def shape(self) -> LoggerShape | None:
        """The shape of the file with the choices made so far; None before a file was looked at."""
        if self._looked is None:
            return None
        chosen = {
            field: self._values[field][box.currentIndex()]
            for field, box in self.boxes.items()
            if box.currentIndex() >= 0
        }
        return replace(self._looked.shape, **chosen)

    def order(self) -> Order | None:
        """What is to be imported; None while something is missing, which is said."""
        shape = self.shape()
        if self._looked is None or shape is None or self.room.currentIndex() < 0:
            return None
        try:
            zone = self._chosen_zone()
        except MendableError as error:
            self.fault.setText(str(error))
            self._form.setRowVisible(self.fault, True)
            self.zone.setFocus()
            return None
        return Order(self._looked.path, shape, self._room_ids[self.room.currentIndex()], zone)

    def _chosen_zone(self) -> ZoneInfo:
        name = self.zone.currentText().strip()
        if self._looked is None or name not in self._looked.zones:
            message = self.tr("Time zone: {name} is not known. Choose one like Europe/Madrid.")
            raise UnknownZoneError(message.format(name=name))
        return ZoneInfo(name)

    @Slot()
    def _on_chosen(self) -> None:
        shape = self.shape()
        if shape is not None:
            self.changed.emit(shape)

    @Slot()
    def _forget_fault(self) -> None:
        self._form.setRowVisible(self.fault, False)


def _columns(shape: LoggerShape, chosen: int | None) -> Choices:
    """Columns with numbers in them that do not hold the time."""
    return [
        (column_words(shape.columns, column), column)
        for column in range(len(shape.columns))
        if column not in shape.time_columns and (column == chosen or _is_numeric(shape, column))
    ]


def _is_numeric(shape: LoggerShape, column: int) -> bool:
    cells = [cells[column] for cells in shape.sample_cells if column < len(cells)]
    return any(number_in(cell) is not None for cell in cells)
