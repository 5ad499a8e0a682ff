"""One stress spot laid open: what it looks like, its measures, the metal above it."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import uuid4

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField, TextField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.session import DeskSession
from shellcoat.shop import SpotKind, StressSpot
from shellcoat.shop.checks import check_name
from shellcoat.shop.stress import LARGEST_M, SMALLEST_M, StressSpotError
from shellcoat.units import Quantity


class SpotEditor(QWidget):
    """Shows a spot, or an empty form for a new one; `number` tells its controls apart.

    Signals
    -------
    named : the name was changed by hand
    grown : there is more or less to show
    """

    named = Signal()
    grown = Signal()

    def __init__(
        self, session: DeskSession, spot: StressSpot | None, number: int, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._session, self._prefix = session, f"spot_{number}"
        self._id = spot.id if spot else uuid4()
        self.setObjectName(f"{self._prefix}_editor")
        self._make_fields()
        self._lay_out()
        self._offer()
        self._fill(spot)
        self.kind.edited.connect(self._on_kind)
        self.name.edited.connect(self.named)

    def _make_fields(self) -> None:
        self.name = TextField(self.tr("Name of the spot"), self, check=check_name)
        self.kind = ChoiceField(self.tr("Shape"), self)
        self.long = self._length(self.tr("Long side"))
        self.short = self._length(self.tr("Short side"))
        self.edge = ChoiceField(self.tr("Its edges"), self)
        self.radius = self._length(self.tr("Radius"))
        self.head = self._length(self.tr("Head of metal"))
        self.helped = TextField(self.tr("Helped by"), self)
        for field, name in self._named():
            field.setObjectName(f"{self._prefix}_{name}")
        self.name.line.setPlaceholderText(self.tr("such as: flat back, base plate, neck"))
        self.helped.line.setPlaceholderText(self.tr("wire, ribs, sand bed; noted, not counted"))

    def _named(self) -> Iterator[tuple[AnyField, str]]:
        yield from ((self.name, "name"), (self.kind, "kind"), (self.long, "long"))
        yield from ((self.short, "short"), (self.edge, "edge"), (self.radius, "radius"))
        yield from ((self.head, "head"), (self.helped, "helped"))

    def _length(self, name: str) -> KeptQuantityField:
        return KeptQuantityField(
            self._session, name, Quantity.LENGTH, low=SMALLEST_M, high=LARGEST_M, parent=self
        )

    def _lay_out(self) -> None:
        self._grid = grid = FieldGrid()
        grid.add(self, self.tr("&Name"), self.name)
        grid.add(self, self.tr("&Shape"), self.kind)
        grid.add(self, self.tr("&Long side"), self.long)
        grid.add(self, self.tr("S&hort side"), self.short)
        grid.add(self, self.tr("Its &edges"), self.edge)
        self._edge_words = self._hint(
            "edge_words",
            self.tr(
                "In doubt take the first. Held is an edge that turns into a thick corner or rib "
                "all around."
            ),
        )
        grid.add(self, self.tr("Rad&ius"), self.radius)
        grid.add(self, self.tr("Head of &metal"), self.head)
        self._hint("head_words", self.tr("From the spot up to the metal in the full cup."))
        grid.add(self, self.tr("Helped &by"), self.helped)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(grid)
        column.addStretch(1)

    def _hint(self, name: str, text: str) -> QWidget:
        words = label(self, f"{self._prefix}_{name}", "muted", wrap=True)
        words.setText(text)
        self._grid.add_below(words)
        return words

    def _offer(self) -> None:
        self.kind.offer(
            [
                (self.tr("flat face"), SpotKind.FLAT),
                (self.tr("round wall, metal inside"), SpotKind.ROUND),
            ]
        )
        self.edge.offer(
            [
                (self.tr("can tilt (simply supported)"), False),
                (self.tr("held fast (clamped)"), True),
            ]
        )

    def _fill(self, spot: StressSpot | None) -> None:
        self.kind.set_value(spot.kind if spot else SpotKind.FLAT)
        self.edge.set_value(spot.clamped if spot else False)
        if spot is not None:
            self.name.set_value(spot.name)
            self.long.set_value(spot.long_m)
            self.short.set_value(spot.short_m)
            self.radius.set_value(spot.radius_m)
            self.head.set_value(spot.head_m)
            self.helped.set_value(spot.helped_by)
        self._on_kind()

    @property
    def _flat(self) -> bool:
        return self.kind.combo.currentData() is SpotKind.FLAT

    @Slot()
    def _on_kind(self) -> None:
        flat = self._flat
        for field in (self.long, self.short, self.edge):
            self._grid.set_shown(field, flat)
        self._edge_words.setVisible(flat)
        self._grid.set_shown(self.radius, not flat)
        self.grown.emit()

    def wanted(self) -> Iterator[AnyField]:
        """The fields that this shape has, in the order in which they stand."""
        yield from (self.name, self.kind)
        yield from (self.long, self.short, self.edge) if self._flat else (self.radius,)
        yield from (self.head, self.helped)

    def spot(self) -> StressSpot:
        """The spot; raises what is wrong with it."""
        flat = self._flat
        long, short = (self.long.required(), self.short.required()) if flat else (None, None)
        if long is not None and short is not None and long < short:
            raise StressSpotError(
                self.tr("Long side: it is less than the short side. Change them round.")
            )
        return StressSpot(
            id=self._id,
            name=self.name.value(),
            kind=self.kind.value(),
            head_m=self.head.required(),
            long_m=long,
            short_m=short,
            radius_m=None if flat else self.radius.required(),
            clamped=flat and self.edge.value(),
            helped_by=self.helped.value(),
        )
