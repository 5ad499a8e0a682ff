"""The units a person reads and types in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import Self

from shellcoat.errors import MendableError
from shellcoat.units.displays import DISPLAY_UNITS, US_SYMBOLS
from shellcoat.units.quantities import Quantity


class UnitSystem(Enum):
    """The set of units a shop works in; the value is its name in settings files."""

    METRIC = "metric"
    US = "us"


class UnitPreferenceError(MendableError):
    """Unit settings of which some entries are not understood; the rest is in `usable`."""

    def __init__(self, findings: tuple[str, ...], usable: UnitPreferences) -> None:
        super().__init__(f"Unit settings: {'; '.join(findings)}.")
        self.findings = findings
        self.usable = usable


@dataclass(frozen=True)
class UnitPreferences:
    """A unit system and, per quantity, the unit chosen instead of the system's own."""

    system: UnitSystem = UnitSystem.METRIC
    chosen: Mapping[Quantity, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        wrong = [_unfit(quantity, unit) for quantity, unit in self._misfits()]
        if wrong:
            raise UnitPreferenceError(tuple(wrong), UnitPreferences(self.system, self._fits()))
        object.__setattr__(self, "chosen", MappingProxyType(dict(self.chosen)))

    def unit_for(self, quantity: Quantity) -> str:
        """Return the symbol of the unit this quantity is shown in."""
        return self.chosen.get(quantity) or _usual_unit(quantity, self.system)

    @staticmethod
    def choices(quantity: Quantity) -> tuple[str, ...]:
        """List the symbols of the units this quantity can be shown in."""
        return tuple(row.symbol for row in DISPLAY_UNITS[quantity])

    def to_plain(self) -> dict[str, object]:
        """Give the preferences as plain texts for a settings file."""
        chosen = {quantity.value: unit for quantity, unit in self.chosen.items()}
        return {"system": self.system.value, "chosen": chosen}

    @classmethod
    def from_plain(cls, plain: Mapping[str, object]) -> Self:
        """Read `to_plain` back.

        Entries not understood raise one `UnitPreferenceError` that names them all; its `usable`
        holds what was understood, so a program can show the message and carry on.
        """
        findings = [f'the entry "{key}" is not known, remove it' for key in _unknown(plain)]
        system = _read_system(plain.get("system", UnitSystem.METRIC.value), findings)
        chosen = _read_chosen(plain.get("chosen", {}), findings)
        preferences = cls(system, chosen)
        if findings:
            raise UnitPreferenceError(tuple(findings), preferences)
        return preferences

    def _misfits(self) -> list[tuple[Quantity, str]]:
        return [pair for pair in self.chosen.items() if pair[1] not in self.choices(pair[0])]

    def _fits(self) -> dict[Quantity, str]:
        return {key: unit for key, unit in self.chosen.items() if unit in self.choices(key)}


def _usual_unit(quantity: Quantity, system: UnitSystem) -> str:
    metric = DISPLAY_UNITS[quantity][0].symbol
    return metric if system is UnitSystem.METRIC else US_SYMBOLS.get(quantity, metric)


def _unknown(plain: Mapping[str, object]) -> list[str]:
    return [key for key in plain if key not in {"system", "chosen"}]


def _read_system(name: object, findings: list[str]) -> UnitSystem:
    for system in UnitSystem:
        if system.value == name:
            return system
    known = " or ".join(system.value for system in UnitSystem)
    findings.append(f'the system "{name}" is not known, choose {known}')
    return UnitSystem.METRIC


def _read_chosen(entries: object, findings: list[str]) -> dict[Quantity, str]:
    if not isinstance(entries, Mapping):
        findings.append('"chosen" must list quantities and their units')
        return {}
    read = [_read_choice(name, unit, findings) for name, unit in entries.items()]
    return dict(choice for choice in read if choice)


def _read_choice(name: object, unit: object, findings: list[str]) -> tuple[Quantity, str] | None:
    quantity = next((known for known in Quantity if known.value == name), None)
    if quantity is None:
        findings.append(f'the quantity "{name}" is not known, remove it')
        return None
    if isinstance(unit, str) and unit in UnitPreferences.choices(quantity):
        return quantity, unit
    findings.append(_unfit(quantity, unit))
    return None


def _unfit(quantity: Quantity, unit: object) -> str:
    name = quantity.value.replace("_", " ")
    choices = ", ".join(UnitPreferences.choices(quantity))
    return f'{name} cannot be shown in "{unit}", choose one of {choices}'
