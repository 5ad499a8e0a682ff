"""The fields of a plate test: a plate, by its sides or its area, and the slurry left on it."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckForm, CheckFrame, add_hint
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.dialogs.film_test_forms import (
    density_field,
    slurry_field,
    translate,
    water_field,
)
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.shop import PlateTest, SlurryTest
from shellcoat.units import Quantity

LEAST_SIDE_M, MOST_SIDE_M = 0.01, 2.0
LEAST_AREA_M2, MOST_AREA_M2 = 1e-4, 4.0
LEAST_MASS_KG, MOST_MASS_KG = 1e-5, 20.0
"""The limits of the record itself, told at the field in the person's unit."""

BY_AREA = 0
"""What is chosen where the wetted area itself is typed; else the number of wetted sides."""


class PlateForm(CheckForm):
    """A plate dipped and drained like a shell, weighed before and after."""

    def __init__(self, session: DeskSession, test: PlateTest | None, body: QWidget) -> None:
        self.title = translate("Plate test")
        self._session, self._body = session, body
        self.slurry = slurry_field(session, test.slurry if test else "", body)
        self.wetted = ChoiceField(translate("Plate"), body)
        self.wetted.setObjectName("test_wetted")
        self.wetted.offer(
            [
                (translate("length and width, both sides wetted"), 2),
                (translate("length and width, one side wetted"), 1),
                (translate("the wetted area"), BY_AREA),
            ]
        )
        self.wetted.combo.currentIndexChanged.connect(self._show_sides)
        self.length = self._side(translate("Length of the plate"), "test_length")
        self.width = self._side(translate("Width of the plate"), "test_width")
        self.area = self._field(
            translate("Wetted area"), Quantity.AREA, LEAST_AREA_M2, MOST_AREA_M2
        )
        self.area.setObjectName("test_area")
        self.mass = self._field(
            translate("Slurry on the plate"), Quantity.SMALL_MASS, LEAST_MASS_KG, MOST_MASS_KG
        )
        self.mass.setObjectName("test_mass")
        self.density = density_field(session, body, optional=True)
        self.water = water_field(session, body)
        self._grid: FieldGrid | None = None
        self.wetted.set_value(BY_AREA if test else 2)
        if test is not None:
            self._fill(test)

    def _side(self, name: str, object_name: str) -> KeptQuantityField:
        field = self._field(name, Quantity.LENGTH, LEAST_SIDE_M, MOST_SIDE_M)
        field.setObjectName(object_name)
        return field

    def _field(self, name: str, quantity: Quantity, low: float, high: float) -> KeptQuantityField:
        return KeptQuantityField(
            self._session, name, quantity, low=low, high=high, parent=self._body
        )

    def _fill(self, test: PlateTest) -> None:
        self.area.set_value(test.area_m2)
        self.mass.set_value(test.mass_kg)
        self.density.set_value(test.density_kg_m3)
        self.water.set_value(test.water_share)

    @property
    def _sides(self) -> int:
        return int(self.wetted.combo.currentData() or BY_AREA)

    def _show_sides(self) -> None:
        if self._grid is None:
            return
        for field in (self.length, self.width):
            self._grid.set_shown(field, self._sides != BY_AREA)
        self._grid.set_shown(self.area, self._sides == BY_AREA)

    def fields(self) -> Iterator[AnyField]:
        """The fields that are asked for, in the order in which they stand."""
        yield from (self.slurry, self.wetted)
        yield from (self.area,) if self._sides == BY_AREA else (self.length, self.width)
        yield from (self.mass, self.density, self.water)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        self._grid = grid
        grid.add(body, translate("S&lurry"), self.slurry)
        grid.add(body, translate("&Plate by"), self.wetted)
        grid.add(body, translate("L&ength"), self.length)
        grid.add(body, translate("&Width"), self.width)
        grid.add(body, translate("&Area"), self.area)
        grid.add(body, translate("Slurry &on it"), self.mass)
        add_hint(
            grid,
            body,
            "test_mass_hint",
            translate(
                "Drained as a shell is, without stucco: the plate weighed wet, less the plate."
            ),
        )
        grid.add(body, translate("&Density"), self.density)
        grid.add(body, translate("Wate&r share"), self.water)
        self._show_sides()

    def finished(self, frame: CheckFrame) -> SlurryTest:
        """The test; raises what is wrong with a field."""
        return PlateTest(
            id=frame.id,
            slurry=self.slurry.value(),
            at=frame.at,
            area_m2=self._area(),
            mass_kg=self.mass.required(),
            density_kg_m3=self.density.value(),
            water_share=self.water.value(),
            note=frame.note,
            left_out=frame.left_out,
        )

    def _area(self) -> float:
        if self._sides == BY_AREA:
            return self.area.required()
        return self._sides * self.length.required() * self.width.required()
