"""The fields of a dip: everything filled in, everything correctable."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from uuid import UUID, uuid4

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QLineEdit, QWidget

from shellcoat.desk.choices import choose
from shellcoat.desk.fields import QuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.desk.time_field import WallTimeField
from shellcoat.errors import MendableError
from shellcoat.operations.dips import DipOrder, DipProposal
from shellcoat.operations.wording import write_ago, write_warnings
from shellcoat.shop import AirAtDip, AirMovement, CoatStep
from shellcoat.units import Quantity


class NoCoatChosenError(MendableError):
    """A dip without saying what went on."""


class DipForm(QWidget):
    """Time, coat, tank, room, air and note of one dip."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("dip_form")
        self._session = session
        self._proposal: DipProposal | None = None
        self._coat_id = uuid4()
        self.time = WallTimeField(
            session.opened.zone, session.now, self.tr("Time of the dip"), self
        )
        self.time.setObjectName("dip_time")
        self.coat = self._combo("dip_coat", self.tr("Coat"))
        self.tank = self._combo("dip_tank", self.tr("Tank"), editable=True)
        self.stucco = self._combo("dip_stucco", self.tr("Stucco"), editable=True)
        self.room = self._combo("dip_room", self.tr("Dries in"))
        self.movement = self._combo("dip_movement", self.tr("Air movement"))
        self.temp = self._air_field(self.tr("Air temperature"), Quantity.TEMPERATURE, -30, 70)
        self.temp.setObjectName("dip_temp")
        self.rh = self._air_field(self.tr("Humidity"), Quantity.HUMIDITY, 0, 1)
        self.rh.setObjectName("dip_rh")
        self.air_age = QLabel(self)
        self.air_age.setObjectName("dip_air_age")
        self.air_age.setWordWrap(True)
        self.note = self._line("dip_note", self.tr("Note"))
        self.reason = self._line("dip_reason", self.tr("Why dip early"))
        for movement in AirMovement:
            self.movement.addItem(self.tr(movement.value), movement)
        self.coat.currentIndexChanged.connect(self._on_coat_changed)
        self.room.currentIndexChanged.connect(self._on_room_changed)
        self._lay_out()

    def _combo(self, name: str, spoken: str, *, editable: bool = False) -> QComboBox:
        combo = QComboBox(self)
        combo.setObjectName(name)
        combo.setAccessibleName(spoken)
        combo.setEditable(editable)
        combo.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(18)
        return combo

    def _air_field(self, name: str, quantity: Quantity, low: float, high: float) -> QuantityField:
        return QuantityField(
            self._session, name, quantity, low=low, high=high, optional=True, parent=self
        )

    def _line(self, name: str, spoken: str) -> QLineEdit:
        line = QLineEdit(self)
        line.setObjectName(name)
        line.setAccessibleName(spoken)
        line.setMaxLength(4000)
        return line

    def _lay_out(self) -> None:
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._form.setLabelAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        rows: tuple[tuple[str, QWidget], ...] = (
            (self.tr("&Time"), self.time),
            (self.tr("&Coat"), self.coat),
            (self.tr("St&ucco"), self.stucco),
            (self.tr("Tan&k"), self.tank),
            (self.tr("&Dries in"), self.room),
            (self.tr("Air &movement"), self.movement),
            (self.tr("Temp&erature"), self.temp),
            (self.tr("Humidit&y"), self.rh),
            ("", self.air_age),
            (self.tr("&Note"), self.note),
            (self.tr("&Why early"), self.reason),
        )
        for text, field in rows:
            label = QLabel(text, self)
            label.setBuddy(field.focusProxy() or field)
            self._form.addRow(label, field)

    def show_proposal(self, proposal: DipProposal, now: datetime) -> None:
        """Fill everything in for a shell; what was typed for another one goes."""
        self._proposal = proposal
        self._coat_id = uuid4()
        self.time.follow()
        self._fill_rooms(proposal.room_id)
        self._fill_coats(proposal)
        self._fill_tanks(proposal.tank)
        self.note.clear()
        self.reason.clear()
        self._form.setRowVisible(self.reason, proposal.early)
        self._show_air(proposal.air, now)

    def _fill_rooms(self, room_id: UUID) -> None:
        self.room.blockSignals(True)
        self.room.clear()
        for room in self._session.opened.ledger.rooms:
            self.room.addItem(room.name, room.id)
        choose(self.room, room_id)
        self.room.blockSignals(False)
        self._show_movement()

    def _fill_coats(self, proposal: DipProposal) -> None:
        self.coat.blockSignals(True)
        self.coat.clear()
        for number, step in enumerate(proposal.shell.sequence.steps, start=1):
            self.coat.addItem(f"{number}  {self.tr(step.kind.value)}: {step.slurry}", step)
        self.coat.setCurrentIndex(proposal.number - 1 if proposal.step else -1)
        self.coat.blockSignals(False)
        self._on_coat_changed()

    def _fill_tanks(self, usual: str) -> None:
        tanks = {
            coat.tank
            for coats in self._session.opened.ledger.coats_by_shell.values()
            for coat in coats
            if coat.tank
        }
        self.tank.clear()
        self.tank.addItems(sorted(tanks))
        self.tank.setEditText(usual)

    def _on_coat_changed(self) -> None:
        step: CoatStep | None = self.coat.currentData()
        shell = self._proposal.shell if self._proposal else None
        stuccos = {s.stucco for s in shell.sequence.steps if s.stucco} if shell else set()
        self.stucco.clear()
        self.stucco.addItems(sorted(stuccos))
        self.stucco.setEditText(step.stucco if step else "")

    def _on_room_changed(self) -> None:
        self._show_movement()
        room_id = self.room.currentData()
        if room_id is not None:
            self._show_air(self._session.opened.book.last_reading(room_id), self._session.now())

    def _show_movement(self) -> None:
        room_id = self.room.currentData()
        if room_id is not None:
            movement = self._session.opened.ledger.room(room_id).movement
            choose(self.movement, movement)

    def refresh_air(self, air: AirAtDip | None, now: datetime) -> None:
        """Show a newer reading, unless a person has typed one or chosen another room."""
        proposed = self._proposal is not None and self.room.currentData() == self._proposal.room_id
        typed = (self.temp.line.text(), self.rh.line.text()) != self._typed_before
        if proposed and not typed:
            self._show_air(air, now)

    def _show_air(self, air: AirAtDip | None, now: datetime) -> None:
        self._air = air
        self.temp.set_value(air.temp_c if air else None)
        self.rh.set_value(air.rh if air else None)
        self._typed_before = (self.temp.line.text(), self.rh.line.text())
        self.air_age.setText(
            self.tr("Read {ago}. Type over it to log a new reading.").format(
                ago=write_ago(air.read_at, now)
            )
            if air
            else self.tr("No reading yet. Leave it empty, or type what the instrument shows.")
        )

    def filled(self) -> DipOrder:
        """The dip as it stands in the fields.

        Raises
        ------
        MendableError
            for a field that cannot be read; the message stands at the field too.
        """
        proposal, step = self._proposal, self.coat.currentData()
        if proposal is None or step is None:
            raise NoCoatChosenError(
                self.tr("Choose which coat went on: the sequence of this shell is through.")
            )
        dipped_at = self.time.moment()
        fresh, air = self._filled_air(dipped_at)
        return DipOrder(
            coat_id=self._coat_id,
            shell_id=proposal.shell.id,
            step=replace(step, stucco=self.stucco.currentText().strip()),
            dipped_at=dipped_at,
            room_id=self.room.currentData(),
            movement=self.movement.currentData(),
            tank=self.tank.currentText().strip(),
            air=air,
            note=self.note.text().strip(),
            reason=self.reason.text().strip() if proposal.early else "",
            warnings=write_warnings(proposal.forecast, self._session.opened.units),
            coats_ever=proposal.coats_ever,
            fresh_air=fresh,
        )

    def _filled_air(self, dipped_at: datetime) -> tuple[bool, AirAtDip | None]:
        if (self.temp.line.text(), self.rh.line.text()) == self._typed_before:
            return False, self._air
        temp, rh = self.temp.value(), self.rh.value()
        if temp is None and rh is None:
            return False, None
        for field, value in ((self.temp, temp), (self.rh, rh)):
            if value is None:
                field.required()
        return True, AirAtDip(temp_c=temp or 0.0, rh=rh or 0.0, read_at=dipped_at)
