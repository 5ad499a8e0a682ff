"""The choice of units: a system, and another unit for any quantity where a shop has one."""

from __future__ import annotations

from PySide6.QtCore import QT_TRANSLATE_NOOP, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP, LABEL_GAP
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.dialogs.words import translate
from shellcoat.desk.style_sheet import FIELD_HEIGHT_PX
from shellcoat.units import Quantity, UnitPreferences, UnitSystem, write_quantity

SYSTEMS = {
    UnitSystem.METRIC: QT_TRANSLATE_NOOP("Dialogs", "Metric"),
    UnitSystem.US: QT_TRANSLATE_NOOP("Dialogs", "US customary"),
}
QUANTITIES = {
    Quantity.THICKNESS: QT_TRANSLATE_NOOP("Dialogs", "Thickness"),
    Quantity.LENGTH: QT_TRANSLATE_NOOP("Dialogs", "Height of a piece"),
    Quantity.AREA: QT_TRANSLATE_NOOP("Dialogs", "Surface"),
    Quantity.MASS: QT_TRANSLATE_NOOP("Dialogs", "Mass"),
    Quantity.MASS_PER_AREA: QT_TRANSLATE_NOOP("Dialogs", "Water on the wall"),
    Quantity.TEMPERATURE: QT_TRANSLATE_NOOP("Dialogs", "Temperature"),
    Quantity.TEMPERATURE_DIFFERENCE: QT_TRANSLATE_NOOP("Dialogs", "Swing of the room"),
    Quantity.SPEED: QT_TRANSLATE_NOOP("Dialogs", "Air speed"),
    Quantity.HEIGHT: QT_TRANSLATE_NOOP("Dialogs", "Altitude"),
    Quantity.VISCOSITY: QT_TRANSLATE_NOOP("Dialogs", "Viscosity"),
    Quantity.SMALL_MASS: QT_TRANSLATE_NOOP("Dialogs", "Slurry on a plate"),
    Quantity.DENSITY: QT_TRANSLATE_NOOP("Dialogs", "Density"),
    Quantity.TIME: QT_TRANSLATE_NOOP("Dialogs", "Final hold"),
}
"""The quantities that occur in the window and can be shown in more than one unit."""

SAMPLE_WALL_M = 0.008
SAMPLE_PIECE_M = 0.35
SAMPLE_WATER_KG_M2 = 0.25
SAMPLE_AIR_C = 21.5


class SystemField(ChoiceField):
    """Metric or US customary."""

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(name, parent)
        self.offer((translate(words), system) for system, words in SYSTEMS.items())


class UnitChoice(QWidget):
    """All choices, with a sentence that shows them at work.

    Signals
    -------
    edited : another unit was chosen
    """

    edited = Signal()

    def __init__(self, given: UnitPreferences, decimal_mark: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("units")
        self._decimal_mark = decimal_mark
        self._given = given
        self.system = SystemField(self.tr("Units"), self)
        self.system.setObjectName("units_system")
        self.system.set_value(given.system)
        self.system.edited.connect(self._on_system)
        self.quantities = {quantity: self._field(quantity) for quantity in QUANTITIES}
        self.preview = label(self, "units_preview", "notice", wrap=True)
        self._lay_out()
        self._offer_units()
        for quantity, field in self.quantities.items():
            field.set_value(given.chosen.get(quantity, ""))
        self._show_preview()

    def _field(self, quantity: Quantity) -> ChoiceField:
        field = ChoiceField(translate(QUANTITIES[quantity]), self)
        field.setObjectName(f"units_{quantity.value}")
        field.combo.setMinimumContentsLength(9)
        field.edited.connect(self._on_unit)
        return field

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(LABEL_GAP)
        grid.setVerticalSpacing(GAP)
        self._add(grid, 0, 0, self.tr("&Units"), self.system)
        for number, field in enumerate(self.quantities.values(), start=2):
            row, side = divmod(number, 2)
            self._add(grid, row, 2 * side, field.name, field)
        for fields in (1, 3):
            grid.setColumnStretch(fields, 1)
        down = QVBoxLayout(self)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(GAP)
        down.addLayout(grid)
        down.addWidget(self.preview)

    def _add(self, grid: QGridLayout, row: int, column: int, text: str, field: ChoiceField) -> None:
        words = QLabel(text, self)
        words.setBuddy(field.combo)
        words.setFixedHeight(FIELD_HEIGHT_PX)
        grid.addWidget(words, row, column)
        grid.addWidget(field, row, column + 1)

    def _offer_units(self) -> None:
        """Name the system's own unit first in every list."""
        usual = UnitPreferences(self.system.value())
        for quantity, field in self.quantities.items():
            own = self.tr("usual: {unit}").format(unit=usual.unit_for(quantity))
            units = UnitPreferences.choices(quantity)
            field.offer([(own, ""), *((unit, unit) for unit in units)])

    @Slot()
    def _on_system(self) -> None:
        """Another system begins with its own units."""
        self._offer_units()
        self._on_unit()

    @Slot()
    def _on_unit(self) -> None:
        self._show_preview()
        self.edited.emit()

    def value(self) -> UnitPreferences:
        """The units as chosen."""
        chosen = {quantity: field.value() for quantity, field in self.quantities.items()}
        return UnitPreferences(
            self.system.value(), {quantity: unit for quantity, unit in chosen.items() if unit}
        )

    @property
    def changed(self) -> bool:
        """Whether other units are chosen than were given."""
        units, given = self.value(), self._given
        return (units.system, dict(units.chosen)) != (given.system, dict(given.chosen))

    def plain(self) -> dict[str, str]:
        """The units as they are kept with the shop."""
        units = self.value()
        chosen = {quantity.value: unit for quantity, unit in units.chosen.items()}
        return {"system": units.system.value, **chosen}

    def _show_preview(self) -> None:
        units = self.value()

        def write(value: float, quantity: Quantity, decimals: int | None = None) -> str:
            return write_quantity(
                value, quantity, units, decimals=decimals, decimal_mark=self._decimal_mark
            )

        metric_wall = units.unit_for(Quantity.THICKNESS) == "mm"
        self.preview.setText(
            self.tr(
                "So it reads: a wall of {wall} on a piece {piece} high, {water} of water in a "
                "coat, air of {air}."
            ).format(
                wall=write(SAMPLE_WALL_M, Quantity.THICKNESS, 1 if metric_wall else None),
                piece=write(SAMPLE_PIECE_M, Quantity.LENGTH),
                water=write(SAMPLE_WATER_KG_M2, Quantity.MASS_PER_AREA),
                air=write(SAMPLE_AIR_C, Quantity.TEMPERATURE),
            )
        )
