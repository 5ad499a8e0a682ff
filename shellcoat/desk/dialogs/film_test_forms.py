"""The fields of each test of slurry or stucco, and the record that comes of it."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckForm, CheckFrame, add_hint
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import SuggestField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.shop import RheologyTest, SlurryTest
from shellcoat.shop.checks import check_name
from shellcoat.units import Quantity

LEAST_DENSITY, MOST_DENSITY = 1000.0, 5000.0
LEAST_SHARE, MOST_SHARE = 0.02, 0.8
LEAST_VISCOSITY, MOST_VISCOSITY = 1e-3, 100.0
MOST_YIELD_PA = 500.0
LEAST_SPEED, MOST_SPEED = 1e-3, 1.0
LEAST_DRAIN_S, MOST_DRAIN_S = 1.0, 3600.0
"""The limits of the records themselves, told at the field in the person's unit."""

USUAL_SPEED_M_S, USUAL_DRAIN_S = 0.05, 30.0
"""What is offered to begin with: a shell lifted by hand, and a usual drain; common practice."""


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Tests", text)


def slurry_field(session: DeskSession, given: str, body: QWidget) -> SuggestField:
    """A slurry, chosen from those in the sequences, or typed."""
    field = SuggestField(translate("Slurry"), body, check=check_name)
    field.setObjectName("test_slurry")
    steps = (step for each in session.opened.ledger.sequences for step in each.steps)
    known = sorted({step.slurry for step in steps})
    field.offer(known, given or next(iter(known), ""))
    return field


def density_field(session: DeskSession, body: QWidget, *, optional: bool) -> KeptQuantityField:
    """The density of a slurry."""
    field = KeptQuantityField(
        session,
        translate("Slurry density"),
        Quantity.DENSITY,
        low=LEAST_DENSITY,
        high=MOST_DENSITY,
        optional=optional,
        parent=body,
    )
    field.setObjectName("test_density")
    return field


def water_field(session: DeskSession, body: QWidget) -> KeptQuantityField:
    """The share of water in a slurry, by mass."""
    field = KeptQuantityField(
        session,
        translate("Water in the slurry"),
        Quantity.HUMIDITY,
        low=LEAST_SHARE,
        high=MOST_SHARE,
        optional=True,
        parent=body,
    )
    field.setObjectName("test_water")
    field.line.setPlaceholderText(translate("% by mass, if known"))
    return field


class RheologyForm(CheckForm):
    """How a slurry flows, and how a shell leaves it."""

    def __init__(self, session: DeskSession, test: RheologyTest | None, body: QWidget) -> None:
        self.title = translate("Flow of a slurry")
        self._session, self._body = session, body
        self.slurry = slurry_field(session, test.slurry if test else "", body)
        self.viscosity = self._field(
            translate("Viscosity"), Quantity.VISCOSITY, LEAST_VISCOSITY, MOST_VISCOSITY
        )
        self.viscosity.setObjectName("test_viscosity")
        self.density = density_field(session, body, optional=False)
        self.yields = self._field(
            translate("Yield stress"), Quantity.YIELD_STRESS, 0.0, MOST_YIELD_PA, optional=True
        )
        self.yields.setObjectName("test_yield")
        self.speed = self._field(
            translate("Withdrawal speed"), Quantity.SPEED, LEAST_SPEED, MOST_SPEED
        )
        self.speed.setObjectName("test_speed")
        self.drain = self._field(
            translate("Drain time"), Quantity.SHORT_TIME, LEAST_DRAIN_S, MOST_DRAIN_S
        )
        self.drain.setObjectName("test_drain")
        self.water = water_field(session, body)
        self.speed.set_value(test.speed_m_s if test else USUAL_SPEED_M_S)
        self.drain.set_value(test.drain_time_s if test else USUAL_DRAIN_S)
        if test is not None:
            self._fill(test)

    def _field(
        self, name: str, quantity: Quantity, low: float, high: float, *, optional: bool = False
    ) -> KeptQuantityField:
        return KeptQuantityField(
            self._session, name, quantity, low=low, high=high, optional=optional, parent=self._body
        )

    def _fill(self, test: RheologyTest) -> None:
        self.viscosity.set_value(test.viscosity_pa_s)
        self.density.set_value(test.density_kg_m3)
        self.yields.set_value(test.yield_stress_pa or None)
        self.water.set_value(test.water_share)

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield from (self.slurry, self.viscosity, self.density, self.yields)
        yield from (self.speed, self.drain, self.water)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("S&lurry"), self.slurry)
        grid.add(body, translate("&Viscosity"), self.viscosity)
        grid.add(body, translate("&Density"), self.density)
        grid.add(body, translate("&Yield stress"), self.yields)
        add_hint(grid, body, "test_yield_hint", translate("Empty where it was not measured."))
        grid.add(body, translate("&Withdrawal speed"), self.speed)
        grid.add(body, translate("D&rain time"), self.drain)
        grid.add(body, translate("W&ater share"), self.water)

    def finished(self, frame: CheckFrame) -> SlurryTest:
        """The test; raises what is wrong with a field."""
        return RheologyTest(
            id=frame.id,
            slurry=self.slurry.value(),
            at=frame.at,
            viscosity_pa_s=self.viscosity.required(),
            density_kg_m3=self.density.required(),
            yield_stress_pa=self.yields.value() or 0.0,
            speed_m_s=self.speed.required(),
            drain_time_s=self.drain.required(),
            water_share=self.water.value(),
            note=frame.note,
            left_out=frame.left_out,
        )
