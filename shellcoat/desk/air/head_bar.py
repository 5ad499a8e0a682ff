"""The bar above the page: which room, how far back, and what can be opened."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QButtonGroup, QComboBox, QHBoxLayout, QLabel, QPushButton, QWidget

from shellcoat.desk.air.look import Span
from shellcoat.desk.air.words import span_word
from shellcoat.shop import Room

_ROOM_WIDTH = 160
_SPANS = tuple(Span)


class HeadBar(QWidget):
    """Choices on the left, buttons on the right.

    Signals
    -------
    room_chosen, span_chosen : what the person wants to see
    rooms_requested, import_requested : a dialog to open
    """

    room_chosen = Signal(object)
    span_chosen = Signal(object)
    rooms_requested = Signal()
    import_requested = Signal()

    def __init__(self, span: Span, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("air_head")
        self._rooms: Sequence[Room] = ()
        self.room_box = QComboBox(self)
        self.room_box.setObjectName("air_room")
        self.room_box.setAccessibleName(self.tr("Room"))
        self.room_box.setMinimumWidth(_ROOM_WIDTH)
        self.room_box.activated.connect(self._on_room)
        self.spans = QButtonGroup(self)
        self.spans.setExclusive(True)
        for number, each in enumerate(_SPANS):
            self.spans.addButton(self._span_button(each, chosen=each is span), number)
        self.spans.idClicked.connect(self._on_span)
        self.rooms_button = self._button("air_rooms", self.tr("Rooms…"))
        self.rooms_button.clicked.connect(self.rooms_requested)
        self.import_button = self._button("air_import", self.tr("Import logger file…"))
        self.import_button.clicked.connect(self.import_requested)
        self._lay_out()

    def _span_button(self, span: Span, *, chosen: bool) -> QPushButton:
        button = self._button(f"air_span_{span.name.lower()}", span_word(span))
        button.setCheckable(True)
        button.setChecked(chosen)
        button.setAccessibleDescription(self.tr("How far back the plot looks"))
        return button

    def _button(self, name: str, text: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        return button

    def _lay_out(self) -> None:
        words = QLabel(self.tr("Room"), self)
        words.setBuddy(self.room_box)
        spans = QHBoxLayout()
        spans.setSpacing(4)
        for button in self.spans.buttons():
            spans.addWidget(button)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addWidget(words)
        row.addWidget(self.room_box)
        row.addSpacing(4)
        row.addLayout(spans)
        row.addStretch(1)
        row.addWidget(self.rooms_button)
        row.addWidget(self.import_button)

    def show_rooms(self, rooms: Sequence[Room], chosen: UUID | None) -> None:
        """Fill the box only when rooms have changed, so that it does not close under a hand."""
        if rooms != self._rooms:
            self._rooms = rooms
            self.room_box.clear()
            self.room_box.addItems([room.name for room in rooms])
        ids = [room.id for room in rooms]
        self.room_box.setCurrentIndex(ids.index(chosen) if chosen in ids else -1)

    def allow(self, *, changes: bool) -> None:
        """Let rooms be changed and files be imported, or not."""
        self.rooms_button.setEnabled(changes)
        self.import_button.setEnabled(changes and bool(self._rooms))

    def choose_span(self, span: Span) -> None:
        """Choose a span as if it had been pressed."""
        self.spans.button(_SPANS.index(span)).setChecked(True)
        self.span_chosen.emit(span)

    @Slot(int)
    def _on_room(self, number: int) -> None:
        self.room_chosen.emit(self._rooms[number].id)

    @Slot(int)
    def _on_span(self, number: int) -> None:
        self.span_chosen.emit(_SPANS[number])
