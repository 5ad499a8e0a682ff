"""The fields of a stucco's grains: its two sieves, by mesh number or opening."""

from __future__ import annotations

import re
from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckForm, CheckFrame, add_hint
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import SuggestField
from shellcoat.desk.dialogs.film_test_forms import translate
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.forecast.stucco_sizes import sieves
from shellcoat.shop import SlurryTest, StuccoGrain
from shellcoat.shop.checks import check_name
from shellcoat.units import Quantity

LEAST_GRAIN_M, MOST_GRAIN_M = 1e-5, 0.02
LEAST_MINERAL, MOST_MINERAL = 500.0, 8000.0
"""The limits of the record itself, told at the field in the person's unit."""

_MESH = re.compile(r"#\s*(\d+)|(\d+)\s*(?:mesh|#)", re.IGNORECASE)


class SieveError(MendableError):
    """A sieve number that is not in the standard."""


class GrainField(KeptQuantityField):
    """The opening of a sieve: as a length, or as its mesh number."""

    def __init__(self, session: DeskSession, name: str, body: QWidget) -> None:
        super().__init__(
            session,
            name,
            Quantity.THICKNESS,
            low=LEAST_GRAIN_M,
            high=MOST_GRAIN_M,
            parent=body,
        )
        self.line.setPlaceholderText(translate("such as: 50 mesh, or 0.3 mm"))

    def value(self) -> float | None:
        """The opening [m]."""
        typed = self.line.text().strip()
        found = _MESH.fullmatch(typed)
        if found is None:
            return super().value()
        opening = sieves().get(int(found[1] or found[2]))
        if opening is None:
            raise self._unknown(typed)
        self.clear_message()
        return opening

    def _unknown(self, typed: str) -> SieveError:
        numbers = list(sieves())
        message = translate(
            "{name}: “{typed}” is no sieve of ASTM E11 from {coarse} to {fine} mesh. Look at the "
            "sieve, or type its opening as a length."
        ).format(name=self.name, typed=typed, coarse=numbers[0], fine=numbers[-1])
        self.show_message(message)
        return SieveError(message)

    @property
    def name(self) -> str:
        """What messages call the field."""
        return self.line.accessibleName()


def stucco_field(session: DeskSession, given: str, body: QWidget) -> SuggestField:
    """A stucco, chosen from those in the sequences, or typed."""
    field = SuggestField(translate("Stucco"), body, check=check_name)
    field.setObjectName("test_stucco")
    steps = (step for each in session.opened.ledger.sequences for step in each.steps)
    known = sorted({step.stucco for step in steps if step.stucco})
    field.offer(known, given or next(iter(known), ""))
    return field


class GrainForm(CheckForm):
    """The grains of a stucco, by its two sieves."""

    timed = False

    def __init__(self, session: DeskSession, test: StuccoGrain | None, body: QWidget) -> None:
        self.title = translate("Grains of a stucco")
        self.stucco = stucco_field(session, test.stucco if test else "", body)
        self.fine = GrainField(session, translate("Finer sieve"), body)
        self.fine.setObjectName("test_fine")
        self.coarse = GrainField(session, translate("Coarser sieve"), body)
        self.coarse.setObjectName("test_coarse")
        self.mineral = KeptQuantityField(
            session,
            translate("Grain density"),
            Quantity.DENSITY,
            low=LEAST_MINERAL,
            high=MOST_MINERAL,
            optional=True,
            parent=body,
        )
        self.mineral.setObjectName("test_mineral")
        if test is not None:
            self.fine.set_value(test.finest_m)
            self.coarse.set_value(test.coarsest_m)
            self.mineral.set_value(test.grain_density_kg_m3)

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield from (self.stucco, self.fine, self.coarse, self.mineral)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("&Stucco"), self.stucco)
        grid.add(body, translate("&Finer sieve"), self.fine)
        grid.add(body, translate("&Coarser sieve"), self.coarse)
        grid.add(body, translate("&Grain density"), self.mineral)
        add_hint(
            grid,
            body,
            "test_mineral_hint",
            translate("Of the mineral itself, not of the heap. Empty takes the table's."),
        )

    def finished(self, frame: CheckFrame) -> SlurryTest:
        """The test; two sieves given the wrong way round are no mistake worth a question."""
        finest, coarsest = sorted((self.fine.required(), self.coarse.required()))
        return StuccoGrain(
            id=frame.id,
            stucco=self.stucco.value(),
            finest_m=finest,
            coarsest_m=coarsest,
            grain_density_kg_m3=self.mineral.value(),
            note=frame.note,
            left_out=frame.left_out,
        )
