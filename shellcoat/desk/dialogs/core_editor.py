"""One core laid open: its name, its wall, when it is plugged, and its openings."""

from __future__ import annotations

from uuid import UUID, uuid4

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSpinBox, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import Field, NoteField, TextField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.opening_fields import OpeningTable
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.shop import Core
from shellcoat.shop.checks import check_name
from shellcoat.units import Quantity

LAST_COAT = 40
TEXT_MARGIN_PX = 8


class CoatNumberField(Field):
    """The number of a coat; 0 for never."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.spin = QSpinBox(self)
        self.spin.setRange(0, LAST_COAT)
        self.spin.setSpecialValueText(self.tr("never"))
        self.spin.lineEdit().setTextMargins(TEXT_MARGIN_PX, 0, 0, 0)
        self.spin.valueChanged.connect(self._on_edited)
        self._hold(self.spin)

    def set_value(self, number: int) -> None:
        """Show a coat's number."""
        self.spin.setValue(number)

    def value(self) -> int:
        """The number shown."""
        return self.spin.value()


class CoreEditor(QWidget):
    """The fields of one core; `None` makes a new one.

    Signals
    -------
    named : the name was changed by hand
    grown : there is more or less to show
    """

    named = Signal()
    grown = Signal()

    def __init__(self, session: DeskSession, core: Core | None, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("core_editor")
        self.core_id: UUID = core.id if core else uuid4()
        self._make_fields(session)
        self._lay_out()
        self.openings.edited.connect(self.grown)
        if core is not None:
            self._fill(core)

    def _make_fields(self, session: DeskSession) -> None:
        self.name = TextField(self.tr("Core name"), self, check=check_name)
        self.name.setObjectName("core_name")
        self.name.edited.connect(self.named)
        self.area = KeptQuantityField(
            session, self.tr("Wall of the core"), Quantity.AREA, low=1e-5, high=20.0, parent=self
        )
        self.area.setObjectName("core_area")
        self.plug_after = CoatNumberField(self.tr("Plug after coat"), self)
        self.plug_after.setObjectName("core_plug_after")
        self.note = NoteField(self.tr("Note on the core"), self)
        self.note.setObjectName("core_note")
        self.openings = OpeningTable(session, self)

    def _lay_out(self) -> None:
        left, right = FieldGrid(), FieldGrid()
        left.add(self, self.tr("&Name"), self.name)
        left.add(self, self.tr("&Wall area"), self.area)
        left.add(self, self.tr("Plu&g after coat"), self.plug_after)
        right.add(self, self.tr("N&ote"), self.note)
        rule = label(self, "core_measuring", "muted", wrap=True)
        rule.setText(
            self.tr(
                "Measure the clear width on the bare wax, at the narrowest place; neck is the "
                "length of the passage, level its height over the lowest one."
            )
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addLayout(side_by_side(left, right))
        column.addWidget(heading(self, "core_openings_heading", self.tr("Openings")))
        column.addWidget(rule)
        column.addWidget(self.openings)
        column.addStretch(1)

    def _fill(self, core: Core) -> None:
        self.name.set_value(core.name)
        self.area.set_value(core.area_m2)
        self.plug_after.set_value(core.plug_after)
        self.note.set_value(core.note)
        self.openings.set_openings(core.openings)

    def wanted(self) -> list[AnyField]:
        """The fields that have to be right, in the order in which they stand on the screen."""
        return [self.name, self.area, self.plug_after, self.note, *self.openings.wanted()]

    def core(self) -> Core:
        """What stands in the fields, all of which are right."""
        return Core(
            id=self.core_id,
            name=self.name.value(),
            area_m2=self.area.required(),
            openings=self.openings.openings(),
            plug_after=self.plug_after.value(),
            note=self.note.value(),
        )
