"""One coat on its way: what was typed is kept, right or wrong, until it can be saved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import IntEnum

from PySide6.QtCore import QT_TRANSLATE_NOOP

from shellcoat.desk.dialogs.words import translate
from shellcoat.errors import MendableError
from shellcoat.shop import AirLimits, Band, CoatKind, CoatStep
from shellcoat.shop.checks import MissingTextError, check_name, check_text
from shellcoat.units import Quantity, UnitPreferences, read_quantity, write_quantity

OWN_FIGURE = "this shop's own figure"
"""What stands as the source of a figure that somebody here has changed."""


class Column(IntEnum):
    """The columns of the table of coats."""

    NUMBER = 0
    KIND = 1
    SLURRY = 2
    STUCCO = 3
    BUILT_LOW = 4
    BUILT_LIKELY = 5
    BUILT_HIGH = 6
    WATER_LOW = 7
    WATER_LIKELY = 8
    WATER_HIGH = 9
    RH_LOW = 10
    RH_HIGH = 11


BUILT = (Column.BUILT_LOW, Column.BUILT_LIKELY, Column.BUILT_HIGH)
WATER = (Column.WATER_LOW, Column.WATER_LIKELY, Column.WATER_HIGH)
AIR = (Column.RH_LOW, Column.RH_HIGH)
BANDS = (
    (BUILT, QT_TRANSLATE_NOOP("Dialogs", "built")),
    (WATER, QT_TRANSLATE_NOOP("Dialogs", "water")),
    (AIR, QT_TRANSLATE_NOOP("Dialogs", "humidity")),
)

NAMES: Mapping[Column, object] = {
    Column.NUMBER: QT_TRANSLATE_NOOP("Dialogs", "coat"),
    Column.KIND: QT_TRANSLATE_NOOP("Dialogs", "kind"),
    Column.SLURRY: QT_TRANSLATE_NOOP("Dialogs", "slurry"),
    Column.STUCCO: QT_TRANSLATE_NOOP("Dialogs", "stucco"),
    Column.BUILT_LOW: QT_TRANSLATE_NOOP("Dialogs", "built low"),
    Column.BUILT_LIKELY: QT_TRANSLATE_NOOP("Dialogs", "built likely"),
    Column.BUILT_HIGH: QT_TRANSLATE_NOOP("Dialogs", "built high"),
    Column.WATER_LOW: QT_TRANSLATE_NOOP("Dialogs", "water low"),
    Column.WATER_LIKELY: QT_TRANSLATE_NOOP("Dialogs", "water likely"),
    Column.WATER_HIGH: QT_TRANSLATE_NOOP("Dialogs", "water high"),
    Column.RH_LOW: QT_TRANSLATE_NOOP("Dialogs", "humidity lowest"),
    Column.RH_HIGH: QT_TRANSLATE_NOOP("Dialogs", "humidity highest"),
}


@dataclass(frozen=True, slots=True)
class FigureKind:
    """What a column of figures holds, in SI; an optional one may stay empty."""

    quantity: Quantity
    high: float
    optional: bool = False


FIGURES: Mapping[Column, FigureKind] = {
    **dict.fromkeys(BUILT, FigureKind(Quantity.THICKNESS, 0.02)),
    **dict.fromkeys(WATER, FigureKind(Quantity.MASS_PER_AREA, 2.0)),
    **dict.fromkeys(AIR, FigureKind(Quantity.HUMIDITY, 1.0, optional=True)),
}


@dataclass(frozen=True, slots=True)
class Scale:
    """Reads and writes the figures of the table in the person's units."""

    units: UnitPreferences
    decimal_mark: str

    def unit(self, column: Column) -> str:
        """The unit of a column."""
        return self.units.unit_for(FIGURES[column].quantity)

    def write(self, column: Column, value: float) -> str:
        """A figure without its unit, which stands in the heading."""
        return self.write_with_unit(column, value).removesuffix(self.unit(column)).rstrip()

    def write_with_unit(self, column: Column, value: float) -> str:
        """A figure with its unit."""
        quantity = FIGURES[column].quantity
        return write_quantity(value, quantity, self.units, decimal_mark=self.decimal_mark)

    def read(self, column: Column, text: str, name: str) -> float | None:
        """A typed figure; None for an empty one that may be empty."""
        kind = FIGURES[column]
        if kind.optional and not text.strip():
            return None
        return read_quantity(
            text,
            kind.quantity,
            field=name,
            unit=self.unit(column),
            low=0.0,
            high=kind.high,
            decimal_mark=self.decimal_mark,
        )


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one cell of the table."""

    row: int
    column: Column
    text: str


@dataclass(slots=True)
class StepDraft:
    """One coat; `unread` holds figures as typed that are no figures yet."""

    origin: CoatStep | None = None
    kind: CoatKind = CoatKind.BACKUP
    slurry: str = ""
    stucco: str = ""
    watch: str = ""
    figures: dict[Column, float | None] = field(default_factory=dict)
    unread: dict[Column, str] = field(default_factory=dict)

    @classmethod
    def of(cls, step: CoatStep) -> StepDraft:
        """Begin with a coat as it stands."""
        built, water, air = step.thickness_m, step.water_kg_m2, step.air
        figures: dict[Column, float | None] = {
            **dict(zip(BUILT, (built.low, built.likely, built.high), strict=True)),
            **dict(zip(WATER, (water.low, water.likely, water.high), strict=True)),
            **dict(zip(AIR, (air.rh_low, air.rh_high), strict=True)),
        }
        return cls(step, step.kind, step.slurry, step.stucco, step.watch, figures)

    def copy(self) -> StepDraft:
        """Another coat like this one."""
        return replace(self, figures=dict(self.figures), unread=dict(self.unread))

    def shown(self, column: Column, scale: Scale) -> str:
        """A figure as it stands in its cell: as typed, or in the person's units."""
        if column in self.unread:
            return self.unread[column]
        value = self.figures.get(column)
        return "" if value is None else scale.write(column, value)

    def type_figure(self, column: Column, text: str, scale: Scale) -> None:
        """Take in what was typed; what is no figure is kept as text."""
        try:
            self.figures[column] = scale.read(column, text, "")
            self.unread.pop(column, None)
        except MendableError:
            self.unread[column] = text

    def faults(self, row: int, scale: Scale, *, strict: bool) -> Iterator[Fault]:
        """What is wrong; what is merely empty counts only in the end, when `strict`."""
        for column, text in self._text_faults(row, strict=strict):
            yield Fault(row, column, text)
        for column in FIGURES:
            text = self._figure_fault(row, column, scale, strict=strict)
            if text:
                yield Fault(row, column, text)
        for columns, name in BANDS:
            if self._falls(columns):
                yield Fault(row, columns[-2], self._order_words(row, columns, name, scale))

    def _text_faults(self, row: int, *, strict: bool) -> Iterator[tuple[Column, str]]:
        check_slurry = check_name if strict else check_text
        for column, text, check in (
            (Column.SLURRY, self.slurry, check_slurry),
            (Column.STUCCO, self.stucco, check_text),
        ):
            try:
                check(cell_name(row, column), text)
            except MendableError as error:
                yield column, str(error)

    def _figure_fault(self, row: int, column: Column, scale: Scale, *, strict: bool) -> str:
        name = cell_name(row, column)
        if column in self.unread:
            try:
                scale.read(column, self.unread[column], name)
            except MendableError as error:
                return str(error)
        missing = self.figures.get(column) is None and not FIGURES[column].optional
        return _empty_words(name) if strict and missing else ""

    def _falls(self, columns: tuple[Column, ...]) -> bool:
        if any(column in self.unread for column in columns):
            return False
        known = [value for column in columns if (value := self.figures.get(column)) is not None]
        return known != sorted(known)

    def _order_words(
        self, row: int, columns: tuple[Column, ...], name: object, scale: Scale
    ) -> str:
        values = [self.figures.get(column) for column in columns]
        written = [
            scale.write_with_unit(column, value)
            for column, value in zip(columns, values, strict=True)
            if value is not None
        ]
        return translate("Coat {number}, {name}: {values} must rise in this order.").format(
            number=row + 1, name=translate(name), values=", ".join(written)
        )

    def build(self, row: int) -> CoatStep:
        """The coat as a record.

        Raises
        ------
        MendableError
            for the first thing that is wrong with it.
        """
        air = self.origin.air if self.origin else AirLimits()
        return CoatStep(
            kind=self.kind,
            slurry=self.slurry.strip(),
            stucco=self.stucco.strip(),
            thickness_m=self._band(row, BUILT),
            water_kg_m2=self._band(row, WATER),
            air=replace(air, rh_low=self.figures.get(AIR[0]), rh_high=self.figures.get(AIR[1])),
            watch=self.watch.strip(),
            source=self.source(),
        )

    def _band(self, row: int, columns: tuple[Column, ...]) -> Band:
        low, likely, high = (self._figure(row, column) for column in columns)
        return Band(low, likely, high)

    def _figure(self, row: int, column: Column) -> float:
        value = self.figures.get(column)
        if value is None:
            raise MissingTextError(_empty_words(cell_name(row, column)))
        return value

    def source(self) -> str:
        """Where the figures come from; a changed one is the shop's own."""
        source = self.origin.source if self.origin else ""
        before = StepDraft.of(self.origin).figures if self.origin else {}
        for heading, columns in (("Thickness", BUILT), ("Water", WATER), ("Air", AIR)):
            if any(self.figures.get(column) != before.get(column) for column in columns):
                source = with_own_figure(source, heading)
        return source


def cell_name(row: int, column: Column) -> str:
    """What messages call a cell, such as "Coat 3, built low"."""
    return translate("Coat {number}, {name}").format(number=row + 1, name=translate(NAMES[column]))


def with_own_figure(source: str, heading: str) -> str:
    """The sources, of which that of one figure is now the shop itself."""
    own = f"{heading}: {OWN_FIGURE}"
    lines = source.split("\n") if source else []
    if not any(line.startswith(f"{heading}: ") for line in lines):
        return "\n".join([*lines, own])
    return "\n".join(own if line.startswith(f"{heading}: ") else line for line in lines)


def _empty_words(name: str) -> str:
    return translate("{name} is empty. Type a value.").format(name=name)
