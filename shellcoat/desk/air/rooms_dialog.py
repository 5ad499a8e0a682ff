"""Rooms of the shop: adding one, naming it, saying how its air moves."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID, uuid4

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.changes import save_room
from shellcoat.desk.air.lettering import field_name, heading, label
from shellcoat.desk.air.words import movement_help, movement_word
from shellcoat.desk.fields import message_label
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.shop import AirMovement, Room

_LIST_WIDTH = 220


class RoomsDialog(QDialog):
    """The rooms on the left, the chosen one on the right.

    Signals
    -------
    room_kept : the room that is now in the book
    """

    room_kept = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("rooms_dialog")
        self.setWindowTitle(self.tr("Rooms"))
        self._session = session
        self._rooms: list[Room] = []
        self._editing: UUID | None = None
        self.rooms = QListWidget(self)
        self.rooms.setObjectName("rooms_list")
        self.rooms.setAccessibleName(self.tr("Rooms of the shop"))
        self.rooms.setFixedWidth(_LIST_WIDTH)
        self.rooms.currentRowChanged.connect(self._on_chosen)
        self.add_button = self._button("rooms_add", self.tr("Add room"))
        self.add_button.clicked.connect(self.start_new)
        self._make_form()
        self._lay_out()

    def _make_form(self) -> None:
        self.name = QLineEdit(self)
        self.name.setObjectName("room_name")
        self.name.setAccessibleName(self.tr("Room name"))
        self.name.returnPressed.connect(self.save)
        self.note = QLineEdit(self)
        self.note.setObjectName("room_note")
        self.note.setAccessibleName(self.tr("Note"))
        self.note.setPlaceholderText(self.tr("may stay empty"))
        self.note.returnPressed.connect(self.save)
        self.movements = QButtonGroup(self)
        for number, movement in enumerate(AirMovement):
            self.movements.addButton(self._movement_button(movement), number)
        self.fault = message_label(self)
        self.fault.setObjectName("room_fault")
        self.said = label(self, "room_said", "kept", wrap=True)
        self.save_button = self._button("room_save", self.tr("Save room"))
        self.save_button.setProperty("role", "primary")
        self.save_button.clicked.connect(self.save)
        self.close_button = self._button("rooms_close", self.tr("Close"))
        self.close_button.clicked.connect(self.reject)

    def _button(self, name: str, text: str) -> QPushButton:
        """A button that Enter in a line does not press by itself."""
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        return button

    def _movement_button(self, movement: AirMovement) -> QRadioButton:
        button = QRadioButton(movement_word(movement), self)
        button.setObjectName(f"room_movement_{movement.name.lower()}")
        button.setAccessibleDescription(movement_help(movement, self._session))
        return button

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(10)
        left.addWidget(self.rooms, 1)
        left.addWidget(self.add_button)
        sides = QHBoxLayout(self)
        sides.setSpacing(20)
        sides.addLayout(left)
        sides.addLayout(self._right(), 1)
        self.setMinimumSize(720, 460)

    def _right(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(8)
        column.addLayout(self._lines())
        column.addSpacing(12)
        title = self.tr("How does the air move where shells dry?")
        column.addWidget(heading(self, "room_movement_title", title))
        column.addLayout(self._choices())
        hint = label(self, "room_movement_hint", "muted", wrap=True)
        hint.setText(
            self.tr(
                "The speed is what the forecast assumes; nobody needs to measure it. "
                "A dip can still be logged with another movement."
            )
        )
        column.addWidget(hint)
        column.addStretch(1)
        foot = QHBoxLayout()
        foot.addWidget(self.said, 1)
        foot.addWidget(self.close_button)
        foot.addWidget(self.save_button)
        column.addLayout(foot)
        return column

    def _lines(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(1, 1)
        grid.addWidget(field_name(self, self.tr("Name"), self.name), 0, 0)
        grid.addWidget(self.name, 0, 1)
        grid.addWidget(self.fault, 1, 1)
        grid.addWidget(field_name(self, self.tr("Note"), self.note), 2, 0)
        grid.addWidget(self.note, 2, 1)
        return grid

    def _choices(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setColumnStretch(1, 1)
        for number, movement in enumerate(AirMovement):
            speed = label(self, f"room_speed_{movement.name.lower()}", "muted")
            speed.setText(movement_help(movement, self._session))
            button = self.movements.button(number)
            speed.setMinimumHeight(button.sizeHint().height())
            grid.addWidget(button, number, 0)
            grid.addWidget(speed, number, 1)
        return grid

    def open_at(self, room_id: UUID | None) -> None:
        """Open with a room chosen, or with a new one where the shop has none."""
        self._fill(room_id)
        if not self._rooms:
            self.start_new()
        self.open()
        self.name.setFocus()

    def _fill(self, room_id: UUID | None) -> None:
        self._rooms = self._session.opened.ledger.rooms
        blocked = self.rooms.blockSignals(True)
        self.rooms.clear()
        self.rooms.addItems([room.name for room in self._rooms])
        ids = [room.id for room in self._rooms]
        chosen = ids.index(room_id) if room_id in ids else min(0, len(ids) - 1)
        self.rooms.setCurrentRow(chosen)
        self.rooms.blockSignals(blocked)
        self._on_chosen(chosen)

    @Slot(int)
    def _on_chosen(self, number: int) -> None:
        if number < 0:
            return
        room = self._rooms[number]
        self._show(room)
        self._editing = room.id

    @Slot()
    def start_new(self) -> None:
        """Begin a room that is not in the book yet."""
        self.rooms.setCurrentRow(-1)
        self._show(Room(id=uuid4(), name=self.tr("New room")))
        self._editing = None
        self.name.selectAll()
        self.name.setFocus()

    def _show(self, room: Room) -> None:
        self.fault.hide()
        self.said.clear()
        self.name.setText(room.name)
        self.note.setText(room.note)
        self.movements.button(list(AirMovement).index(room.movement)).setChecked(True)

    @Slot()
    def save(self) -> None:
        """Keep the room as it stands in the form."""
        self.fault.hide()
        kept = self._session.attempt(self._keep)
        if kept is None:
            return
        self._fill(kept.id)
        self.said.setText(self.tr("Kept: {room}.").format(room=kept.name))
        self.room_kept.emit(kept)

    def _keep(self) -> Room | None:
        try:
            return save_room(self._session.opened, self._room(), self._session.now())
        except MendableError as error:
            self.fault.setText(str(error))
            self.fault.show()
            self.name.setFocus()
            return None

    def _room(self) -> Room:
        name, note = self.name.text().strip(), self.note.text().strip()
        movement = list(AirMovement)[self.movements.checkedId()]
        if self._editing is None:
            return Room(id=uuid4(), name=name, movement=movement, note=note)
        standing = self._session.opened.ledger.room(self._editing)
        return replace(standing, name=name, movement=movement, note=note)
