"""A new shell on the rack, or what is known of one put right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from uuid import uuid4

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.field_grid import FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import ChoiceField, NoteField, SuggestField, TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, SessionDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.dialogs.sequence_choice import SequenceChoice
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.dialogs.words import state_word, usual_metals
from shellcoat.desk.session import DeskSession
from shellcoat.operations.shells import LabelTakenError, edit_shell, free_label, start_shell
from shellcoat.shop import Shell, ShellState
from shellcoat.shop.checks import MissingTextError, check_name
from shellcoat.units import Quantity


class ShellDialog(SessionDialog):
    """Everything that is known of a shell but its coats; `shell` is the one that was saved."""

    def __init__(
        self, session: DeskSession, shell: Shell | None, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, "shell_dialog", "", parent)
        self.setWindowTitle(
            self.tr("Edit {shell}").format(shell=shortened(shell.name))
            if shell
            else self.tr("New shell")
        )
        self.shell: Shell | None = None
        self._original = shell
        self._standing = Standing(session.opened, shell.id) if shell else None
        self._make_piece_fields()
        self._make_place_fields()
        self._lay_out()
        self.save_button = self.add_primary(
            self.tr("Save") if shell else self.tr("Put on the rack"), "shell_save", self.save
        )
        self.add_cancel(self.tr("Cancel"), "shell_cancel")
        self._fill()
        self.guard_saving(self.save_button)

    def _make_piece_fields(self) -> None:
        session, parent = self.session, self.body
        self.name = TextField(self.tr("Name"), parent, check=check_name)
        self.name.setObjectName("shell_name")
        self.metal = SuggestField(self.tr("Metal"), parent)
        self.metal.setObjectName("shell_metal")
        self.height_field = KeptQuantityField(
            session,
            self.tr("Height of the piece"),
            Quantity.LENGTH,
            low=0.005,
            high=10.0,
            parent=parent,
        )
        self.height_field.setObjectName("shell_height")
        self.area = KeptQuantityField(
            session,
            self.tr("Surface"),
            Quantity.AREA,
            low=1e-4,
            high=100.0,
            optional=True,
            parent=parent,
        )
        self.area.setObjectName("shell_area")
        self.wax = KeptQuantityField(
            session,
            self.tr("Wax mass"),
            Quantity.MASS,
            low=1e-3,
            high=2000.0,
            optional=True,
            parent=parent,
        )
        self.wax.setObjectName("shell_wax")
        self.sequence = SequenceChoice(session, self._original, parent)
        self.sequence.setObjectName("shell_sequence")

    def _make_place_fields(self) -> None:
        session, parent = self.session, self.body
        self.label = TextField(self.tr("Label"), parent, check=check_name)
        self.label.setObjectName("shell_label")
        self.room = ChoiceField(self.tr("Room"), parent)
        self.room.setObjectName("shell_room")
        self.place = TextField(self.tr("Rack place"), parent)
        self.place.setObjectName("shell_place")
        self.started = TimeField(
            self.tr("Start of the shell"), session.opened.zone, session.now, parent
        )
        self.started.setObjectName("shell_started")
        self.state = ChoiceField(self.tr("State"), parent)
        self.state.setObjectName("shell_state")
        self.reason = TextField(self.tr("Reason"), parent, check=self._check_reason)
        self.reason.setObjectName("shell_reason")
        self.note = NoteField(self.tr("Note"), parent)
        self.note.setObjectName("shell_note")

    def _lay_out(self) -> None:
        body = self.body
        piece, place = FieldGrid(), FieldGrid()
        piece.add_heading(body, "shell_piece_heading", self.tr("The piece"))
        piece.add(body, self.tr("&Name"), self.name)
        piece.add(body, self.tr("&Metal"), self.metal)
        piece.add(body, self.tr("&Height of the piece"), self.height_field)
        piece.add(body, self.tr("Sur&face"), self.area)
        piece.add(body, self.tr("&Wax mass"), self.wax)
        piece.add(body, self.tr("Dip &sequence"), self.sequence)
        place.add_heading(body, "shell_place_heading", self.tr("On the rack"))
        place.add(body, self.tr("&Label"), self.label)
        place.add(body, self.tr("&Room"), self.room)
        place.add(body, self.tr("Rack &place"), self.place)
        place.add(body, self.tr("S&tarted"), self.started)
        place.add(body, self.tr("Stat&e"), self.state)
        place.add(body, self.tr("Re&ason"), self.reason)
        place.add(body, self.tr("N&ote"), self.note)
        place.set_shown(self.state, self._original is not None)
        place.set_shown(self.reason, self._original is not None)
        body.setLayout(side_by_side(piece, place))

    def _fill(self) -> None:
        opened, shell = self.session.opened, self._original
        may_stay_empty = self.tr("may stay empty")
        self.room.offer((room.name, room.id) for room in opened.ledger.rooms)
        self.state.offer((state_word(state), state) for state in ShellState)
        self.metal.offer(self._metals(), shell.metal if shell else "")
        for field in (self.area, self.wax):
            field.line.setPlaceholderText(f"{field.line.placeholderText()}, {may_stay_empty}")
        for line in (self.metal.line, self.place.line):
            line.setPlaceholderText(may_stay_empty)
        self.reason.line.setPlaceholderText(self.tr("why this changes; stays in the book"))
        if shell is None:
            self.label.set_value(free_label(opened))
            self.room.combo.setCurrentIndex(0)
            return
        self.name.set_value(shell.name)
        self.label.set_value(shell.label)
        self.room.set_value(shell.room_id)
        self.place.set_value(shell.rack_place)
        self.height_field.set_value(shell.drying_length_m)
        self.area.set_value(shell.area_m2)
        self.wax.set_value(shell.wax_mass_kg)
        self.started.set_value(shell.started_at)
        self.state.set_value(shell.state)
        self.note.set_value(shell.note)

    def _metals(self) -> list[str]:
        """The usual metals, then what this shop has cast besides."""
        usual = usual_metals()
        cast = {shell.metal for shell in self.session.opened.ledger.shells if shell.metal}
        return [*usual, *sorted(cast.difference(usual), key=str.casefold)]

    def _check_reason(self, name: str, text: str) -> None:
        if self._scraps() and not text:
            raise MissingTextError(
                self.tr(
                    "{name} is empty. Say in a few words why the shell is scrapped; the next one "
                    "may learn from it."
                ).format(name=name)
            )

    def _scraps(self) -> bool:
        before = self._original.state if self._original else ShellState.IN_WORK
        chosen = self.state.combo.currentData()
        return chosen is ShellState.SCRAPPED and before is not ShellState.SCRAPPED

    def _fields(self) -> Iterator[AnyField]:
        """In the order in which they stand on the screen."""
        yield from (self.name, self.metal, self.height_field, self.area, self.wax, self.sequence)
        yield from (self.label, self.room, self.place, self.started)
        if self._original is not None:
            yield from (self.state, self.reason)
        yield self.note

    @Slot()
    def save(self) -> None:
        """Keep the shell; what cannot be kept stays as it was typed, with what is wrong."""
        if not self.all_right(list(self._fields())):
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self.shell = kept
            self.accept()

    def _keep(self) -> Shell | None:
        opened, now, shell = self.session.opened, self.session.now(), self._filled()
        try:
            if self._standing is None:
                return start_shell(opened, shell, now)
            self._standing.check(now)
            if shell == self._original:
                return shell
            return edit_shell(opened, shell, now, self.reason.value())
        except LabelTakenError as error:
            self.label.show_message(str(error))
            self.point_at(self.label)
            return None

    def _filled(self) -> Shell:
        shell = Shell(
            id=self._original.id if self._original else uuid4(),
            name=self.name.value(),
            label=self.label.value(),
            sequence=self.sequence.value(),
            room_id=self.room.value(),
            started_at=self.started.value(),
            rack_place=self.place.value(),
            metal=self.metal.value(),
            drying_length_m=self.height_field.required(),
            area_m2=self.area.value(),
            wax_mass_kg=self.wax.value(),
            note=self.note.value(),
        )
        old = self._original
        if old is None:
            return shell
        # What has a dialog of its own stays as it is.
        return replace(shell, state=self.state.value(), cores=old.cores, spots=old.spots)
