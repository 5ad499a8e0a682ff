"""The latest reading in large type, its age, and what it means for wax and wet coats."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import card, heading, label
from shellcoat.desk.air.look import LatestAir
from shellcoat.desk.air.words import age_words, is_old, movement_word, old_words
from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.shop import Room
from shellcoat.units import Quantity

_MARK_PX = 20
_LINE_PX = 24


class LatestCard(QWidget):
    """What the room's air was when somebody, or a logger, last looked."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("air_latest")
        self._session, self._theme = session, theme
        self._frame, column = card(self, "air_latest_card")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._frame)
        self.title = heading(self, "air_latest_title")
        self.movement = label(self, "air_latest_movement", "muted")
        self.temperature = label(self, "air_latest_temperature", "big")
        self.humidity = label(self, "air_latest_humidity", "big")
        self.age = label(self, "air_latest_age", wrap=True)
        self._mark = label(self, "air_latest_mark")
        self._mark.setFixedWidth(_MARK_PX)
        self.old = label(self, "air_latest_old", wrap=True)
        self.dew_point = label(self, "air_latest_dew_point", "headline")
        self.wet_bulb = label(self, "air_latest_wet_bulb", "headline")
        column.setSpacing(4)
        self._fill(column)

    def _fill(self, column: QVBoxLayout) -> None:
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.movement)
        column.addLayout(head)
        numbers = QHBoxLayout()
        numbers.setSpacing(24)
        numbers.addWidget(self.temperature)
        numbers.addWidget(self.humidity)
        numbers.addStretch(1)
        column.addLayout(numbers)
        column.addWidget(self.age)
        column.addLayout(self._warning())
        column.addSpacing(6)
        column.addWidget(self._meanings())

    def _warning(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.old, 1)
        return row

    def _meanings(self) -> QWidget:
        """Dew point and wet bulb, each with what it says to a person who dips wax."""
        self._table = QWidget(self)
        grid = QGridLayout(self._table)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(2, 1)
        rows = (
            (self.tr("Dew point"), self.dew_point, self.tr("anything colder gathers damp")),
            (
                self.tr("Wet bulb"),
                self.wet_bulb,
                self.tr("a wet coat cools towards this, and the wax under it with it"),
            ),
        )
        top = Qt.AlignmentFlag.AlignTop
        for number, (name, value, meaning) in enumerate(rows):
            words = label(self._table, f"{value.objectName()}_meaning", "muted", wrap=True)
            words.setText(meaning)
            for column, part in enumerate((QLabel(name, self._table), value, words)):
                part.setMinimumHeight(_LINE_PX)
                grid.addWidget(part, number, column, top)
        return self._table

    def show_latest(self, room: Room, latest: LatestAir | None) -> None:
        """Show the latest reading of a room, or that there is none."""
        self.title.setText(room.name)
        self.movement.setText(movement_word(room.movement))
        for part in (self.temperature, self.humidity, self._table):
            part.setVisible(latest is not None)
        old = latest is not None and is_old(latest, self._session.now())
        self._show_old(old=old)
        if latest is None:
            self.age.setText(self.tr("The air of this room was never read."))
        else:
            self._show_numbers(latest)
        self._describe()

    def _show_numbers(self, latest: LatestAir) -> None:
        write, reading = self._session.write, latest.reading
        self.temperature.setText(write(reading.temp_c, Quantity.TEMPERATURE))
        self.humidity.setText(write(reading.rh, Quantity.HUMIDITY))
        self.age.setText(age_words(latest, self._session))
        dew_point = latest.dew_point_c
        self.dew_point.setText(
            self.tr("none") if dew_point is None else write(dew_point, Quantity.TEMPERATURE)
        )
        self.wet_bulb.setText(write(latest.wet_bulb_c, Quantity.TEMPERATURE))

    def _show_old(self, *, old: bool) -> None:
        self.old.setText(old_words() if old else "")
        self.old.setVisible(old)
        self._mark.setVisible(old)
        ratio = self.devicePixelRatioF()
        self._mark.setPixmap(mark_pixmap(MarkState.WARNING, self._theme, _MARK_PX, ratio))

    def _describe(self) -> None:
        """Say the whole card as one text to assistive technology."""
        parts = (self.temperature, self.humidity, self.age, self.old)
        said = [part.text() for part in parts if part.isVisibleTo(self) and part.text()]
        self.setAccessibleName(self.tr("Latest reading: {room}").format(room=self.title.text()))
        self.setAccessibleDescription(". ".join(said))

    def set_theme(self, theme: Theme) -> None:
        """Repaint the mark in other colours."""
        self._theme = theme
