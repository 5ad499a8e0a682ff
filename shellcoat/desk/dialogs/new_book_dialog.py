"""A new shop: asks for what its book starts with."""

from __future__ import annotations

import getpass
import re
from pathlib import Path

from PySide6.QtCore import QLocale, Qt, Slot
from PySide6.QtWidgets import QCheckBox, QFileDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from shellcoat.book import SUFFIX
from shellcoat.desk.air.lettering import label
from shellcoat.desk.air.words import movement_word
from shellcoat.desk.dialogs.field_grid import FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import ChoiceField, TextField
from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.dialogs.unit_choice import SystemField
from shellcoat.desk.dialogs.zone_field import ZoneField
from shellcoat.errors import MendableError
from shellcoat.operations.demo import local_zone
from shellcoat.operations.new_shop import NewShop, book_path, check_place
from shellcoat.operations.sequences import starters
from shellcoat.places import books_dir
from shellcoat.shop import AirMovement, DipSequence
from shellcoat.shop.checks import MissingTextError, check_name
from shellcoat.units import UnitSystem

UNFIT_IN_FILE_NAMES = re.compile(r'[\\/:*?"<>|\x00-\x1f]+')
LONGEST_FILE_NAME = 80


class FolderGivenError(MendableError):
    """A folder where the name of a file is wanted."""


class NewBookDialog(FormDialog):
    """Shop, person, place, room and starter sequences; `new_shop` is what was filled in."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("new_book_dialog", "", parent)
        self.setWindowTitle(self.tr("New shop"))
        self.new_shop: NewShop | None = None
        self._place_typed = False
        self._make_fields()
        self._make_sequences()
        self._lay_out()
        self._fill()
        self.start_button = self.add_primary(self.tr("Start the book"), "new_book_start", self.save)
        self.add_cancel(self.tr("Cancel"), "new_book_cancel")

    def _make_fields(self) -> None:
        body = self.body
        self.shop_name = TextField(self.tr("Shop name"), body, check=check_name)
        self.shop_name.setObjectName("new_book_shop")
        self.shop_name.edited.connect(self._follow_name)
        self.who = TextField(self.tr("Your name"), body, check=check_name)
        self.who.setObjectName("new_book_who")
        self.place = TextField(self.tr("Where the book is kept"), body, check=_check_place)
        self.place.setObjectName("new_book_place")
        self.place.edited.connect(self._on_place_typed)
        self.browse_button = QPushButton(self.tr("&Choose…"), body)
        self.browse_button.setObjectName("new_book_browse")
        self.browse_button.setAccessibleName(self.tr("Choose where the book is kept"))
        self.browse_button.clicked.connect(self._browse)
        self.zone = ZoneField(local_zone().key, body)
        self.zone.setObjectName("new_book_zone")
        self.units = SystemField(self.tr("Units"), body)
        self.units.setObjectName("new_book_units")
        self.room = TextField(self.tr("Room"), body, check=check_name)
        self.room.setObjectName("new_book_room")
        self.movement = ChoiceField(self.tr("Air movement"), body)
        self.movement.setObjectName("new_book_movement")

    def _make_sequences(self) -> None:
        self.sequences: list[tuple[QCheckBox, DipSequence]] = []
        for number, sequence in enumerate(starters(), start=1):
            box = QCheckBox(sequence.name, self.body)
            box.setObjectName(f"new_book_sequence_{number}")
            box.setToolTip(sequence.description)
            box.setAccessibleDescription(sequence.description)
            box.setChecked(True)
            self.sequences.append((box, sequence))

    def _lay_out(self) -> None:
        body = self.body
        shop, room = FieldGrid(), FieldGrid()
        shop.add_heading(body, "new_book_shop_heading", self.tr("The shop"))
        shop.add(body, self.tr("&Shop name"), self.shop_name)
        shop.add(body, self.tr("&Your name"), self.who)
        shop.add(body, self.tr("Time &zone"), self.zone)
        shop.add(body, self.tr("&Units"), self.units)
        shop.add_heading(body, "new_book_room_heading", self.tr("Where shells dry"))
        shop.add(body, self.tr("&Room"), self.room)
        shop.add(body, self.tr("Air &movement"), self.movement)
        room.add_heading(body, "new_book_sequences_heading", self.tr("Dip sequences to start with"))
        for box, _ in self.sequences:
            room.add_wide(box)
        hint = label(body, "new_book_hint", "muted", wrap=True)
        hint.setText(
            self.tr(
                "Their figures are starting points with their sources. "
                "Change them to what your shop measures."
            )
        )
        room.add_wide(hint)
        place = FieldGrid()
        title = self.tr("Where the book is kept")
        place.add_heading(body, "new_book_place_heading", title)
        place.add_wide(self._place_row())
        down = QVBoxLayout(body)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(14)
        down.addLayout(side_by_side(shop, room))
        down.addLayout(place)

    def _place_row(self) -> QWidget:
        row = QWidget(self.body)
        row.setFocusProxy(self.place.line)
        across = QHBoxLayout(row)
        across.setContentsMargins(0, 0, 0, 0)
        across.addWidget(self.place, 1)
        across.addWidget(self.browse_button, 0, Qt.AlignmentFlag.AlignTop)
        return row

    def _fill(self) -> None:
        imperial = QLocale().measurementSystem() is not QLocale.MeasurementSystem.MetricSystem
        self.units.set_value(UnitSystem.US if imperial else UnitSystem.METRIC)
        self.who.set_value(login_name())
        self.room.set_value(self.tr("Dipping room"))
        self.movement.offer((movement_word(each), each) for each in AirMovement)
        self.movement.set_value(AirMovement.STILL_ROOM)
        self._follow_name()

    @Slot()
    def _follow_name(self) -> None:
        """Call the book after the shop until somebody names another place."""
        if not self._place_typed:
            name = file_name(self.shop_name.line.text()) or self.tr("My shop")
            self.place.set_value(str(books_dir() / f"{name}{SUFFIX}"))

    @Slot()
    def _on_place_typed(self) -> None:
        self._place_typed = True

    @Slot()
    def _browse(self) -> None:
        chosen, _ = QFileDialog.getSaveFileName(
            self,
            self.tr("Where the book is kept"),
            self.place.line.text(),
            self.tr("Shell books (*{suffix})").format(suffix=SUFFIX),
        )
        if chosen:
            self._place_typed = True
            self.place.set_value(str(book_path(Path(chosen))))

    @Slot()
    def save(self) -> None:
        """Hand back what was filled in; what is wrong stays as it was typed."""
        fields = (self.shop_name, self.who, self.zone, self.units, self.room, self.movement)
        if self.all_right((*fields, self.place)):
            self.new_shop = self._filled()
            self.accept()

    def _filled(self) -> NewShop:
        return NewShop(
            path=book_path(Path(self.place.value())),
            shop_name=self.shop_name.value(),
            who=self.who.value(),
            zone=self.zone.value(),
            units={"system": self.units.value().value},
            room_name=self.room.value(),
            movement=self.movement.value(),
            sequences=tuple(sequence for box, sequence in self.sequences if box.isChecked()),
        )


def file_name(shop_name: str) -> str:
    """The shop's name without what a file cannot be called; may be empty."""
    words = UNFIT_IN_FILE_NAMES.sub(" ", shop_name).split()
    return " ".join(words)[:LONGEST_FILE_NAME].strip(" .")


def login_name() -> str:
    """The name this person works under on this machine, where it has one."""
    try:
        return getpass.getuser()
    except OSError:
        return ""


def _check_place(name: str, text: str) -> None:
    if not text:
        raise MissingTextError(f"{name} is empty. Type a path or choose one.")
    if Path(text).expanduser().is_dir():
        raise FolderGivenError(f"{name}: {text} is a folder. Add the name of the book's file.")
    check_place(book_path(Path(text)))
