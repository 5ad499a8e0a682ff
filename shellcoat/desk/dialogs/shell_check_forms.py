"""The fields of each kind of check: what was found, and the record that comes of it."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID

from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckForm, CheckFrame, add_hint
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField, TextField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.dialogs.touch_form import TouchForm, translate
from shellcoat.desk.session import DeskSession
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    InfraredReading,
    Shell,
    ShellCheck,
    WallPlace,
    Weighing,
)
from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.units import Quantity

LEAST_MASS_KG, MOST_MASS_KG = 1e-3, 5000.0
THINNEST_M, THICKEST_M = 1e-4, 0.1
"""The limits of the records themselves, told at the field in the person's unit."""


class InfraredForm(CheckForm):
    """What an infrared thermometer read."""

    def __init__(
        self, session: DeskSession, shell_id: UUID, check: InfraredReading | None, body: QWidget
    ) -> None:
        self._shell_id = shell_id
        self.title = translate("Infrared thermometer")
        self._hint = translate(
            "Beside it: the same instrument, at a dry thing long at rest near the shell. Empty "
            "where it was not read."
        )
        self.surface = self._field(session, translate("Surface temperature"), body)
        self.surface.setObjectName("check_surface")
        self.air = self._field(session, translate("Air temperature"), body, optional=True)
        self.air.setObjectName("check_air")
        if check is not None:
            self.surface.set_value(check.surface_temp_c)
            self.air.set_value(check.air_temp_c)

    def _field(
        self, session: DeskSession, name: str, body: QWidget, *, optional: bool = False
    ) -> KeptQuantityField:
        return KeptQuantityField(
            session,
            name,
            Quantity.TEMPERATURE,
            low=COLDEST_C,
            high=HOTTEST_C,
            optional=optional,
            parent=body,
        )

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield from (self.surface, self.air)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("On the &wall"), self.surface)
        grid.add(body, translate("&Beside it"), self.air)
        add_hint(grid, body, "check_hint", self._hint)

    def finished(self, frame: CheckFrame) -> ShellCheck:
        """The check; raises what is wrong with a field."""
        return InfraredReading(
            id=frame.id,
            shell_id=self._shell_id,
            at=frame.at,
            surface_temp_c=self.surface.required(),
            air_temp_c=self.air.value(),
            note=frame.note,
            left_out=frame.left_out,
        )


class WeighingForm(CheckForm):
    """A shell on the scale."""

    def __init__(
        self, session: DeskSession, shell_id: UUID, check: Weighing | None, body: QWidget
    ) -> None:
        self._shell_id = shell_id
        self.title = translate("On the scale")
        self._hint = translate("Shell and wax together, without hook and hanger.")
        self.mass = KeptQuantityField(
            session,
            translate("Mass"),
            Quantity.MASS,
            low=LEAST_MASS_KG,
            high=MOST_MASS_KG,
            parent=body,
        )
        self.mass.setObjectName("check_mass")
        if check is not None:
            self.mass.set_value(check.mass_kg)

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield self.mass

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("&Mass"), self.mass)
        add_hint(grid, body, "check_hint", self._hint)

    def finished(self, frame: CheckFrame) -> ShellCheck:
        """The check; raises what is wrong with a field."""
        return Weighing(
            id=frame.id,
            shell_id=self._shell_id,
            at=frame.at,
            mass_kg=self.mass.required(),
            note=frame.note,
            left_out=frame.left_out,
        )


class CaliperForm(CheckForm):
    """A wall measured at one place."""

    def __init__(
        self, session: DeskSession, shell_id: UUID, check: CaliperReading | None, body: QWidget
    ) -> None:
        self._shell_id = shell_id
        self.title = translate("Wall measured")
        self._hint = translate("Of the shell alone, without the wax behind it.")
        self.thickness = KeptQuantityField(
            session,
            translate("Wall thickness"),
            Quantity.THICKNESS,
            low=THINNEST_M,
            high=THICKEST_M,
            parent=body,
        )
        self.thickness.setObjectName("check_thickness")
        self.place = ChoiceField(translate("Kind of place"), body)
        self.place.setObjectName("check_place")
        self.place.offer([(translate(place.value), place) for place in WallPlace])
        self.where = TextField(translate("Where"), body)
        self.where.setObjectName("check_where")
        self.where.line.setPlaceholderText(translate("such as: back of the head"))
        self.place.set_value(check.place if check else WallPlace.FLAT)
        if check is not None:
            self.thickness.set_value(check.thickness_m)
            self.where.set_value(check.where)

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield from (self.thickness, self.place, self.where)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("Wall t&hickness"), self.thickness)
        add_hint(grid, body, "check_hint", self._hint)
        grid.add(body, translate("Kind of &place"), self.place)
        grid.add(body, translate("&Where"), self.where)

    def finished(self, frame: CheckFrame) -> ShellCheck:
        """The check; raises what is wrong with a field."""
        return CaliperReading(
            id=frame.id,
            shell_id=self._shell_id,
            at=frame.at,
            place=self.place.value(),
            thickness_m=self.thickness.required(),
            where=self.where.value(),
            note=frame.note,
            left_out=frame.left_out,
        )


CheckKind = type[DryCheck] | type[InfraredReading] | type[Weighing] | type[CaliperReading]


def check_form(
    session: DeskSession, shell: Shell, what: ShellCheck | CheckKind, body: QWidget
) -> CheckForm:
    """The form of a check that stands, or an empty one for a kind of check."""
    kind = what if isinstance(what, type) else type(what)
    if kind is DryCheck:
        return TouchForm(shell, what if isinstance(what, DryCheck) else None, body)
    if kind is InfraredReading:
        given = what if isinstance(what, InfraredReading) else None
        return InfraredForm(session, shell.id, given, body)
    if kind is Weighing:
        return WeighingForm(session, shell.id, what if isinstance(what, Weighing) else None, body)
    return CaliperForm(session, shell.id, what if isinstance(what, CaliperReading) else None, body)
