"""A coat put right, or taken back; the book keeps every version of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading
from shellcoat.desk.air.words import movement_word
from shellcoat.desk.dialogs.coat_words import version_rows
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import ChoiceField, SuggestField, TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.quantity_fields import PairedQuantityField
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.dialogs.text_table import ROW_PX, TextTableModel, text_table
from shellcoat.desk.dialogs.words import step_words
from shellcoat.desk.session import DeskSession
from shellcoat.operations.dips import DipInFutureError, correct_coat, undo_coat
from shellcoat.shop import AirAtDip, AirMovement, Coat, CoatStep
from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.shop.checks import MissingTextError, check_name, check_text
from shellcoat.units import Quantity

VERSION_WIDTHS = (110, 110, 330)
MOST_VERSIONS_SHOWN = 4


class CoatDialog(SessionDialog):
    """One coat; `coat` is the corrected one, `taken_back` says that it was taken back."""

    def __init__(self, session: DeskSession, coat: Coat, parent: QWidget | None = None) -> None:
        super().__init__(session, "coat_dialog", "", parent)
        self.coat: Coat | None = None
        self.taken_back = False
        self._original = coat
        self._standing = Standing(session.opened, coat.id)
        self._shell = session.opened.ledger.shell(coat.shell_id)
        coats = session.opened.ledger.coats(coat.shell_id)
        self._number = [each.id for each in coats].index(coat.id) + 1
        self.setWindowTitle(
            self.tr("Coat {number} of {shell}").format(
                number=self._number, shell=shortened(self._shell.name)
            )
        )
        self._make_coat_fields()
        self._make_air_fields()
        self._make_versions()
        self._lay_out()
        self._fill()
        self.take_back_button = self.add_button(
            self.tr("Take this coat back"), "coat_take_back", ButtonRole.ResetRole, self.take_back
        )
        self.save_button = self.add_primary(self.tr("Save correction"), "coat_save", self.save)
        self.add_cancel(self.tr("Cancel"), "coat_cancel")
        self.guard_saving(self.save_button, self.take_back_button)

    def _make_coat_fields(self) -> None:
        session, parent = self.session, self.body
        self.time = TimeField(self.tr("Time of the dip"), session.opened.zone, session.now, parent)
        self.time.setObjectName("coat_time")
        self.step = ChoiceField(self.tr("Coat"), parent)
        self.step.setObjectName("coat_step")
        self.step.combo.activated.connect(self._on_step_chosen)
        self.slurry = SuggestField(self.tr("Slurry"), parent, check=check_name)
        self.slurry.setObjectName("coat_slurry")
        self.stucco = SuggestField(self.tr("Stucco"), parent)
        self.stucco.setObjectName("coat_stucco")
        self.tank = SuggestField(self.tr("Tank"), parent)
        self.tank.setObjectName("coat_tank")

    def _make_air_fields(self) -> None:
        parent = self.body
        self.room = ChoiceField(self.tr("Room"), parent)
        self.room.setObjectName("coat_room")
        self.room.combo.activated.connect(self._on_room_chosen)
        self.movement = ChoiceField(self.tr("Air movement"), parent)
        self.movement.setObjectName("coat_movement")
        self.temperature = self._air_field(
            self.tr("Air temperature"), Quantity.TEMPERATURE, COLDEST_C, HOTTEST_C
        )
        self.temperature.setObjectName("coat_temperature")
        self.humidity = self._air_field(self.tr("Humidity"), Quantity.HUMIDITY, 0.0, 1.0)
        self.humidity.setObjectName("coat_humidity")
        self.temperature.partner, self.humidity.partner = self.humidity, self.temperature
        self.note = TextField(self.tr("Note"), parent)
        self.note.setObjectName("coat_note")
        self.reason = TextField(self.tr("Reason"), parent, check=self._check_reason)
        self.reason.setObjectName("coat_reason")

    def _air_field(
        self, name: str, quantity: Quantity, low: float, high: float
    ) -> PairedQuantityField:
        return PairedQuantityField(
            self.session, name, quantity, low=low, high=high, optional=True, parent=self.body
        )

    def _make_versions(self) -> None:
        headings = (self.tr("When"), self.tr("Who"), self.tr("What"), self.tr("Why"))
        self.version_model = TextTableModel(headings, self)
        self.version_model.set_rows(version_rows(self.session, self._original.id))
        self.versions = text_table(
            self.version_model,
            "coat_versions",
            self.tr("Versions of this coat"),
            VERSION_WIDTHS,
            self.body,
        )
        shown = min(self.version_model.rowCount(), MOST_VERSIONS_SHOWN)
        self.versions.setFixedHeight(ROW_PX * shown + 46)

    def _lay_out(self) -> None:
        body = self.body
        left, right = FieldGrid(), FieldGrid()
        left.add_heading(body, "coat_heading", self.tr("The coat"))
        left.add(body, self.tr("&Time"), self.time)
        left.add(body, self.tr("&Coat"), self.step)
        left.add(body, self.tr("S&lurry"), self.slurry)
        left.add(body, self.tr("St&ucco"), self.stucco)
        left.add(body, self.tr("Tan&k"), self.tank)
        right.add_heading(body, "coat_air_heading", self.tr("The air it dried in"))
        right.add(body, self.tr("&Room"), self.room)
        right.add(body, self.tr("Air &movement"), self.movement)
        right.add(body, self.tr("T&emperature"), self.temperature)
        right.add(body, self.tr("&Humidity"), self.humidity)
        right.add(body, self.tr("&Note"), self.note)
        why = FieldGrid()
        why.add(body, self.tr("Reas&on"), self.reason)
        down = QVBoxLayout(body)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(GAP)
        down.addLayout(side_by_side(left, right))
        down.addSpacing(GAP)
        down.addWidget(heading(body, "coat_versions_heading", self.tr("Versions")))
        down.addWidget(self.versions)
        down.addSpacing(GAP)
        down.addLayout(why)
        down.addStretch(1)

    def _fill(self) -> None:
        coat, ledger = self._original, self.session.opened.ledger
        self.time.set_value(coat.dipped_at)
        self._fill_steps(coat.step)
        planned = self._shell.sequence.steps
        self.slurry.offer(sorted({step.slurry for step in planned}), coat.step.slurry)
        stuccos = {step.stucco for step in planned if step.stucco}
        self.stucco.offer(sorted(stuccos), coat.step.stucco)
        self.tank.offer(self._tanks(), coat.tank)
        self.room.offer((room.name, room.id) for room in ledger.rooms)
        self.room.set_value(coat.room_id)
        self.movement.offer((movement_word(each), each) for each in AirMovement)
        self.movement.set_value(coat.movement)
        self.temperature.set_value(coat.air.temp_c if coat.air else None)
        self.humidity.set_value(coat.air.rh if coat.air else None)
        self.note.set_value(coat.note)
        self.reason.line.setPlaceholderText(
            self.tr("why this is corrected or taken back; stays in the book")
        )

    def _fill_steps(self, own: CoatStep) -> None:
        """The planned coats; one that was logged otherwise stands first as it was logged."""
        planned = list(enumerate(self._shell.sequence.steps, start=1))
        choices = [(step_words(number, step), step) for number, step in planned]
        fitting = [index for index, (_, step) in enumerate(choices) if step == own]
        if not fitting:
            words = self.tr("as logged: {step}").format(step=step_words(self._number, own))
            choices.insert(0, (words, own))
            fitting = [0]
        self.step.offer(choices)
        same = self._number - 1
        self.step.combo.setCurrentIndex(same if same in fitting else fitting[0])

    def _tanks(self) -> list[str]:
        coats = self.session.opened.ledger.coats_by_shell.values()
        return sorted({coat.tank for each in coats for coat in each if coat.tank})

    @Slot()
    def _on_step_chosen(self) -> None:
        step: CoatStep = self.step.value()
        self.slurry.set_value(step.slurry)
        self.stucco.set_value(step.stucco)

    @Slot()
    def _on_room_chosen(self) -> None:
        self.movement.set_value(self.session.opened.ledger.room(self.room.value()).movement)

    def _check_reason(self, name: str, text: str) -> None:
        if not text:
            raise MissingTextError(
                self.tr("{name} is empty. Say in a few words why; it stays in the book.").format(
                    name=name
                )
            )
        check_text(name, text)

    def _fields(self) -> Iterator[AnyField]:
        yield from (self.time, self.step, self.slurry, self.stucco, self.tank)
        yield from (self.room, self.movement, self.temperature, self.humidity, self.note)
        yield self.reason

    @Slot()
    def save(self) -> None:
        """Write the corrected coat; what cannot be kept stays as it was typed."""
        if not self.all_right(list(self._fields())):
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self.coat = kept
            self.accept()

    def _keep(self) -> Coat | None:
        opened, now, coat = self.session.opened, self.session.now(), self._filled()
        self._standing.check(now)
        if coat == self._original:
            return coat
        try:
            return correct_coat(opened, coat, now, self.reason.value())
        except DipInFutureError as error:
            self.time.show_message(str(error))
            self.point_at(self.time)
            return None

    def _filled(self) -> Coat:
        step = replace(self.step.value(), slurry=self.slurry.value(), stucco=self.stucco.value())
        dipped_at = self.time.value()
        return replace(
            self._original,
            step=step,
            dipped_at=dipped_at,
            tank=self.tank.value(),
            room_id=self.room.value(),
            movement=self.movement.value(),
            air=self._air(dipped_at),
            note=self.note.value(),
        )

    def _air(self, dipped_at: datetime) -> AirAtDip | None:
        """The reading as it was logged, or the one typed over it, taken at the dip."""
        temp_c, rh = self.temperature.value(), self.humidity.value()
        if temp_c is None or rh is None:
            return None
        air = self._original.air
        if air is not None and (air.temp_c, air.rh) == (temp_c, rh):
            return air
        return AirAtDip(temp_c=temp_c, rh=rh, read_at=dipped_at)

    @Slot()
    def take_back(self) -> None:
        """Take the coat back, with the reason."""
        if not self.all_right([self.reason]):
            return
        if self.session.attempt(self._undo):
            self.taken_back = True
            self.accept()

    def _undo(self) -> bool:
        now = self.session.now()
        self._standing.check(now)
        undo_coat(self.session.opened, self._original.id, now, self.reason.value())
        return True
