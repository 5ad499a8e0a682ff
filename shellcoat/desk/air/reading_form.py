"""The form for a reading taken from thermometer and hygrometer."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import card, field_name, heading, label
from shellcoat.desk.air.words import air_words
from shellcoat.desk.fields import QuantityField, message_label
from shellcoat.desk.session import DeskSession
from shellcoat.desk.time_field import WallTimeField
from shellcoat.errors import MendableError
from shellcoat.operations.air import log_reading
from shellcoat.operations.wording import write_time
from shellcoat.shop import AirReading
from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.units import Quantity


class ReadingForm(QWidget):
    """Time, temperature, humidity, a note. Enter logs, and what was kept is said below.

    Signals
    -------
    kept : the reading that is now in the book
    """

    kept = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("air_form")
        self._session = session
        self._room_id: UUID | None = None
        frame, column = card(self, "air_form_card")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(frame)
        self._fields = QWidget(self)
        self._make_fields()
        self.said = label(self, "air_form_said", "kept", wrap=True)
        self.fault = message_label(self)
        self.fault.setObjectName("air_form_fault")
        column.addWidget(heading(self, "air_form_title", self.tr("Log a reading")))
        column.addWidget(self._fields)
        column.addWidget(self.fault)
        column.addWidget(self.said)
        self.said.hide()

    def _make_fields(self) -> None:
        session, parent = self._session, self._fields
        self.time = WallTimeField(
            session.opened.zone, session.now, self.tr("Time of the reading"), parent
        )
        self.time.setObjectName("air_form_time")
        self.time.editor.setObjectName("air_form_time_editor")
        self.time.fold.setObjectName("air_form_time_fold")
        self.time.now_button.setObjectName("air_form_time_now")
        self.temperature = QuantityField(
            session,
            self.tr("Air temperature"),
            Quantity.TEMPERATURE,
            low=COLDEST_C,
            high=HOTTEST_C,
            parent=parent,
        )
        self.temperature.setObjectName("air_form_temperature")
        self.humidity = QuantityField(
            session, self.tr("Humidity"), Quantity.HUMIDITY, low=0.0, high=1.0, parent=parent
        )
        self.humidity.setObjectName("air_form_humidity")
        self.note = QLineEdit(parent)
        self.note.setObjectName("air_form_note")
        self.note.setAccessibleName(self.tr("Note"))
        self.note.setPlaceholderText(self.tr("may stay empty"))
        self.log_button = QPushButton(self.tr("Log reading"), parent)
        self.log_button.setObjectName("air_form_log")
        self.log_button.setProperty("role", "primary")
        self.log_button.clicked.connect(self.log)
        self.temperature.line.returnPressed.connect(self._after_temperature)
        for line in (self.humidity.line, self.note):
            line.returnPressed.connect(self.log)
        for field in (self.temperature, self.humidity):
            field.edited.connect(self._forget_last)
        self._lay_out()

    def _lay_out(self) -> None:
        grid = QGridLayout(self._fields)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(1, 1)
        grid.setVerticalSpacing(8)
        rows = (
            (self.tr("Time"), self.time, self.time.editor),
            (self.tr("Temperature"), self.temperature, self.temperature.line),
            (self.tr("Humidity"), self.humidity, self.humidity.line),
            (self.tr("Note"), self.note, self.note),
        )
        for number, (name, field, buddy) in enumerate(rows):
            words = field_name(self._fields, name, buddy)
            grid.addWidget(words, number, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(field, number, 1)
        grid.addWidget(self.log_button, len(rows), 1)

    def set_room(self, room_id: UUID | None, name: str) -> None:
        """Log what follows for this room."""
        if room_id != self._room_id:
            self._forget_last()
        self._room_id = room_id
        self.log_button.setAccessibleDescription(self.tr("Room: {name}").format(name=name))
        self._fields.setEnabled(room_id is not None and not self._session.opened.book.read_only)

    @Slot()
    def _after_temperature(self) -> None:
        """Enter goes on to the humidity while it is empty."""
        if self.humidity.line.text().strip():
            self.log()
        else:
            self.humidity.line.setFocus()

    @Slot()
    def log(self) -> None:
        """Keep the reading; what cannot be kept is said beneath the field at fault."""
        self._forget_last()
        values = self._values()
        if values is None or self._room_id is None:
            return
        reading = self._session.attempt(lambda: self._keep(*values))
        if reading is not None:
            self._clear()
            self._say(reading)
            self.kept.emit(reading)

    def _values(self) -> tuple[float, float] | None:
        """Temperature and humidity; both are looked at, so that both faults are told at once."""
        found = [self._value_of(field) for field in (self.temperature, self.humidity)]
        temp_c, rh = found
        if temp_c is None or rh is None:
            wrong = self.temperature if temp_c is None else self.humidity
            wrong.line.setFocus()
            wrong.line.selectAll()
            return None
        return temp_c, rh

    @staticmethod
    def _value_of(field: QuantityField) -> float | None:
        try:
            return field.required()
        except MendableError:
            return None  # the field shows what is wrong

    def _keep(self, temp_c: float, rh: float) -> AirReading | None:
        session, room_id = self._session, self._room_id
        if room_id is None:
            return None
        try:
            return log_reading(
                session.opened,
                room_id,
                self.time.moment(),
                temp_c,
                rh,
                session.now(),
                self.note.text().strip(),
            )
        except MendableError as error:
            self.fault.setText(str(error))
            self.fault.show()
            return None

    def _clear(self) -> None:
        self.temperature.set_value(None)
        self.humidity.set_value(None)
        self.note.clear()
        self.time.follow()
        self.temperature.line.setFocus()

    def _say(self, reading: AirReading) -> None:
        session = self._session
        at = write_time(reading.read_at, session.opened.zone, session.now())
        air = air_words(reading.temp_c, reading.rh, session)
        self.said.setText(self.tr("Kept: {air} at {time}.").format(air=air, time=at))
        self.said.show()

    @Slot()
    def _forget_last(self) -> None:
        """Take away what was said about the reading before."""
        self.said.hide()
        self.fault.hide()
