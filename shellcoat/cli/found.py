"""What was found on a shell, read from the command line."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from shellcoat.cli.times import read_time
from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    DryFinding,
    InfraredReading,
    Shell,
    ShellCheck,
    WallPlace,
    Weighing,
)
from shellcoat.shop.air import COLDEST_C, HOTTEST_C
from shellcoat.shop.dry_check import HEAVIEST_KG, LIGHTEST_KG
from shellcoat.shop.wall_check import THICKEST_M, THINNEST_M
from shellcoat.units import Quantity, UnitPreferences, read_quantity

TOUCHES = {"dry": DryFinding.DRY, "wet": DryFinding.STILL_WET}
EXAMPLES = {"infrared": "19.5C", "weigh": "12.4kg", "wall": "5.2mm"}
FINDINGS = (*TOUCHES, *EXAMPLES)
PLACES = {"flat": WallPlace.FLAT, "edge": WallPlace.EDGE, "corner": WallPlace.CORNER}

_BELONGS_TO: Mapping[str, tuple[str, ...]] = {
    "core": tuple(TOUCHES),
    "air": ("infrared",),
    "place": ("wall",),
    "where": ("wall",),
}
"""What each option says more about."""

_LIMITS = {
    Quantity.TEMPERATURE: (COLDEST_C, HOTTEST_C),
    Quantity.MASS: (LIGHTEST_KG, HEAVIEST_KG),
    Quantity.THICKNESS: (THINNEST_M, THICKEST_M),
}


class OddCheckError(MendableError):
    """A check that lacks something, or says something that does not belong to it."""


class NoSuchCoreError(MendableError):
    """A name that no core of the shell carries."""


def names_a_shell(options: argparse.Namespace) -> bool:
    """Whether a shell was checked, or the book itself; what does not go together is refused."""
    given = [name for name in (*_BELONGS_TO, "at", "note") if getattr(options, name) is not None]
    if options.shell is None:
        if given:
            raise OddCheckError(f"--{given[0]}: say which shell was checked and what was found.")
        return False
    if options.finding is None:
        raise OddCheckError(f"Say what was found on the shell: {', '.join(FINDINGS)}.")
    for name in given:
        owners = _BELONGS_TO.get(name, FINDINGS)
        if options.finding not in owners:
            raise OddCheckError(
                f"--{name} goes with {' or '.join(owners)}, not with {options.finding}. "
                "Leave it away."
            )
    _refuse_odd_value(options.finding, options.value)
    return True


def _refuse_odd_value(finding: str, value: str | None) -> None:
    if finding in TOUCHES and value is not None:
        raise OddCheckError(f"{finding} needs no figure. Leave {value!r} away.")
    if finding in EXAMPLES and value is None:
        raise OddCheckError(f"Say what was read, for example: {finding} {EXAMPLES[finding]}.")


def read_check(
    opened: OpenShop, shell: Shell, options: argparse.Namespace, now: datetime
) -> ShellCheck:
    """Make the check that was typed; a bare number is in the shop's own unit."""
    at = read_time(options.at, opened.zone, now) if options.at else now
    common: dict[str, Any] = {
        "id": uuid4(),
        "shell_id": shell.id,
        "at": at,
        "note": options.note or "",
    }
    units, value = opened.units, options.value
    if options.finding in TOUCHES:
        core_id = _core_id(shell, options.core) if options.core is not None else None
        return DryCheck(**common, finding=TOUCHES[options.finding], core_id=core_id)
    if options.finding == "infrared":
        surface = _figure(units, value, Quantity.TEMPERATURE, "Surface temperature")
        air = None
        if options.air is not None:
            air = _figure(units, options.air, Quantity.TEMPERATURE, "Air temperature")
        return InfraredReading(**common, surface_temp_c=surface, air_temp_c=air)
    if options.finding == "weigh":
        return Weighing(**common, mass_kg=_figure(units, value, Quantity.MASS, "Mass"))
    return CaliperReading(
        **common,
        place=PLACES[options.place or "flat"],
        where=options.where or "",
        thickness_m=_figure(units, value, Quantity.THICKNESS, "Wall thickness"),
    )


def _figure(units: UnitPreferences, text: str, quantity: Quantity, field: str) -> float:
    low, high = _LIMITS[quantity]
    return read_quantity(
        text, quantity, field=field, unit=units.unit_for(quantity), low=low, high=high
    )


def _core_id(shell: Shell, text: str) -> UUID:
    """The core of that name, or the only one whose name begins so."""
    wanted = text.strip().casefold()
    for match in (str.__eq__, str.startswith):
        found = [core.id for core in shell.cores if wanted and match(core.name.casefold(), wanted)]
        if len(found) == 1:
            return found[0]
    names = ", ".join(core.name for core in shell.cores)
    if not names:
        raise NoSuchCoreError(f"{shell.name} has no cores. Add them on its page in the window.")
    raise NoSuchCoreError(f"{text!r} is not one core of {shell.name}. It has: {names}.")
