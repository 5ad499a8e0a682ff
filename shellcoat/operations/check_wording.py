"""Checks of a shell, and its wall by place, in a person's words and units."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer, WallEvidence, WallMove
from shellcoat.operations.wording import write_chance, write_time
from shellcoat.shop import (
    Band,
    CaliperReading,
    DryCheck,
    DryFinding,
    InfraredReading,
    Shell,
    ShellCheck,
    WallPlace,
    Weighing,
)
from shellcoat.units import Quantity, UnitPreferences, write_band, write_quantity

NO_WEIGHT = (
    "No weight is expected: the shell's area or the mass of its wax is not given. "
    "Add them under “Edit shell…”."
)
_PLACES = {
    WallPlace.FLAT: "Flat faces",
    WallPlace.EDGE: "Edges",
    WallPlace.CORNER: "Inside corners",
}
STRAY = 0.5
"""From this probability on a check is called a stray one: more likely than not."""

_AT = {
    WallPlace.FLAT: "on the flat",
    WallPlace.EDGE: "over an edge",
    WallPlace.CORNER: "in an inside corner",
}


_MASS_DECIMALS = {"kg": 2, "g": 0, "lb": 1, "oz": 0}


@dataclass(frozen=True, slots=True)
class CheckWriter:
    """Writes what was measured in one person's units."""

    units: UnitPreferences
    decimal_mark: str = "."

    def write(self, value: float, quantity: Quantity, decimals: int | None = None) -> str:
        """A measured value, as finely as its instrument shows it."""
        return write_quantity(
            value, quantity, self.units, decimals=decimals, decimal_mark=self.decimal_mark
        )

    def wall(self, thickness_m: float) -> str:
        """An expected wall, no finer than it is known: "5.4 mm"."""
        return self.write(thickness_m, Quantity.THICKNESS, self._decimals)

    def walls(self, band_m: Band) -> str:
        """A band of walls: "5.1–5.9 mm"."""
        return write_band(
            band_m.low,
            band_m.high,
            Quantity.THICKNESS,
            self.units,
            decimals=self._decimals,
            decimal_mark=self.decimal_mark,
        )

    def masses(self, band_kg: Band) -> str:
        """A band of expected masses, no finer than they are known: "3.20–3.60 kg"."""
        return write_band(
            band_kg.low,
            band_kg.high,
            Quantity.MASS,
            self.units,
            decimals=_MASS_DECIMALS[self.units.unit_for(Quantity.MASS)],
            decimal_mark=self.decimal_mark,
        )

    @property
    def _decimals(self) -> int:
        return 2 if self.units.unit_for(Quantity.THICKNESS) == "in" else 1


def write_check(check: ShellCheck, shell: Shell, writer: CheckWriter) -> str:
    """One check of a shell in a sentence: "Weighed: 3.452 kg."."""
    return f"{write_check_kind(check, shell)}: {write_check_result(check, writer)}."


def write_check_kind(check: ShellCheck, shell: Shell) -> str:
    """What was done, and to which part of the shell."""
    match check:
        case DryCheck():
            return f"Touched, {_part(check, shell)}"
        case InfraredReading():
            return "Infrared"
        case Weighing():
            return "Weighed"
        case CaliperReading():
            return "Wall measured"


def _part(check: DryCheck, shell: Shell) -> str:
    if check.core_id is None:
        return "face"
    names = [core.name for core in shell.cores if core.id == check.core_id]
    return f"core {names[0]}" if names else "a core that is gone"


def write_check_result(check: ShellCheck, writer: CheckWriter) -> str:
    """What came of it: a word, or the figure that was read."""
    match check:
        case DryCheck():
            return "dry" if check.finding is DryFinding.DRY else "still wet"
        case InfraredReading():
            return _infrared(check, writer)
        case Weighing():
            return writer.write(check.mass_kg, Quantity.MASS)
        case CaliperReading():
            where = f", {check.where}" if check.where else ""
            thickness = writer.write(check.thickness_m, Quantity.THICKNESS)
            return f"{thickness} {_AT[check.place]}{where}"


def _infrared(check: InfraredReading, writer: CheckWriter) -> str:
    surface = writer.write(check.surface_temp_c, Quantity.TEMPERATURE)
    if check.air_temp_c is None:
        return f"{surface} on the wall"
    beside = writer.write(check.air_temp_c, Quantity.TEMPERATURE)
    below = check.air_temp_c - check.surface_temp_c
    gap = writer.write(abs(below), Quantity.TEMPERATURE_DIFFERENCE)
    return f"{surface}, {gap} {'below' if below >= 0.0 else 'above'} {beside} beside it"


def write_wall(answer: WallAnswer, writer: CheckWriter, zone: ZoneInfo, now: datetime) -> str:
    """The wall of a shell by place, and its weight, in sentences."""
    places = [write_place(place, writer) for place in answer.places]
    return " ".join([*places, write_weight(answer, writer, zone, now)])


def write_place_name(place: WallPlace) -> str:
    """What a kind of place is called at the head of a sentence."""
    return _PLACES[place]


def write_place(answer: PlaceAnswer, writer: CheckWriter) -> str:
    """The wall at one kind of place in a sentence."""
    return f"{_PLACES[answer.place]}: {write_place_figures(answer, writer)}"


def write_place_figures(answer: PlaceAnswer, writer: CheckWriter) -> str:
    """The wall now, at the end, and how likely that reaches the target."""
    now, end = writer.wall(answer.now_m.likely), writer.wall(answer.at_end_m.likely)
    return (
        f"likely {now} now ({writer.walls(answer.now_m)}); with all coats on {end} "
        f"({writer.walls(answer.at_end_m)}). {write_chance_of_target(answer, writer)} "
        f"{write_readings(answer.readings)}"
    )


def write_chance_of_target(answer: PlaceAnswer, writer: CheckWriter) -> str:
    """How likely the finished wall is as thick as it is meant to be."""
    chance = write_chance(answer.chance_at_end).replace(" %", "\u00a0%")
    return f"Chance of reaching {writer.wall(answer.target_m)}: {chance}."


def write_readings(readings: int) -> str:
    """How often the wall was measured at a kind of place."""
    if not readings:
        return "Not measured yet."
    return f"Measured {readings} times." if readings > 1 else "Measured once."


def write_weight(answer: WallAnswer, writer: CheckWriter, zone: ZoneInfo, now: datetime) -> str:
    """The weight expected now, and what the scale last said."""
    expected, seen = answer.mass_expected_kg, answer.mass_seen_kg
    head = f"Expected weight now {writer.masses(expected)}." if expected else NO_WEIGHT
    if seen is None:
        return f"{head} Never weighed yet." if expected else head
    at = f" at {write_time(answer.mass_seen_at, zone, now)}" if answer.mass_seen_at else ""
    then = answer.mass_expected_then_kg
    against = f", when {writer.masses(then)} was expected" if then else ""
    return f"{head} Weighed {writer.write(seen, Quantity.MASS)}{at}{against}."


def write_move(move: WallMove, writer: CheckWriter) -> str:
    """One piece of evidence and what it did to the wall, in a sentence."""
    source = f"{move.evidence.value}, {move.name}" if move.name else move.evidence.value
    after = f"{writer.wall(move.after_m.likely)} ({writer.walls(move.after_m)})"
    if move.evidence is WallEvidence.SEQUENCE:
        return f"{_capital(source)}: wall {after}."
    if move.seen_m is None or move.evidence in (WallEvidence.PLATE, WallEvidence.RHEOLOGY):
        return f"{_capital(source)}: {writer.wall(move.before_m.likely)} → {after}."
    expected = writer.wall(move.expected_m.likely)
    stray = f", likely a stray one ({write_chance(move.wild)})" if move.wild >= STRAY else ""
    return (
        f"{_capital(source)}: expected {expected}, {_seen(move)} {writer.wall(move.seen_m)}{stray}"
        f"; wall on the flats now {after}."
    )


def _seen(move: WallMove) -> str:
    return "read" if move.evidence is WallEvidence.CALIPER else "by its weight"


def write_shift(move: WallMove, writer: CheckWriter) -> str:
    """What a check did to the wall, short enough for a table."""
    before, after = writer.wall(move.before_m.likely), writer.wall(move.after_m.likely)
    stray = f"; likely a stray one ({write_chance(move.wild)})" if move.wild >= STRAY else ""
    if before == after:
        return f"wall stays {after}{stray}"
    return f"wall {before} → {after}{stray}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
