"""The strength the wall needs, in a person's words and units."""

from __future__ import annotations

from dataclasses import dataclass

from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.strength_need import SpotAnswer, SpotVerdict, answer_spot
from shellcoat.forecast.strength_values import MetalMatch, metal_of, strength_values
from shellcoat.shop import Band, Shell
from shellcoat.units import Quantity, UnitPreferences, write_band, write_quantity

CAUTION = (
    "These figures find the worst spot and show how far a coat more would go; they cannot say that "
    "a mould will hold. They compare metal at rest with the strength of a dried wall; at pouring "
    "heat a shell may be stronger, and fired and cooled again much weaker. The jolt of the pour, "
    "cracks, damp and thin places come on top. Wire, ribs, sand bed: no published figure; not "
    "counted. Local codes, safety sheets and experienced practice come first."
)

IN_SHORT = "Figures to look at, never a leave to pour; what they leave out stands at the end."

NO_SPOTS = (
    "No spot is given yet. Add the largest flat face, the one deepest under the cup and the widest "
    "round part; the figures then say which is the worst."
)


@dataclass(frozen=True, slots=True)
class ShellStrength:
    """All spots of a shell, the worst first, and the metal they were reckoned with."""

    match: MetalMatch
    answers: tuple[SpotAnswer, ...]


def shell_strength(shell: Shell, forecast: ShellForecast) -> ShellStrength:
    """Answer for every spot of a shell, with the starting strengths."""
    values = strength_values()
    match = metal_of(shell.metal, values.metals)
    answers = [
        answer_spot(
            spot,
            match.metal.density_kg_m3,
            forecast.thickness_m,
            forecast.thickness_at_end_m,
            values,
        )
        for spot in shell.spots
    ]
    return ShellStrength(match, tuple(sorted(answers, key=lambda answer: answer.chance_enough)))


@dataclass(frozen=True, slots=True)
class StrengthWriter:
    """Writes the figures of a spot in one person's units."""

    units: UnitPreferences
    decimal_mark: str = "."

    def wall(self, thickness_m: float) -> str:
        """A thickness, no finer than it is known: "8.1 mm"."""
        return write_quantity(
            thickness_m,
            Quantity.THICKNESS,
            self.units,
            decimals=self._decimals,
            decimal_mark=self.decimal_mark,
        )

    def walls(self, band_m: Band) -> str:
        """A band of thicknesses, "6.6–10.3 mm"."""
        return write_band(
            band_m.low,
            band_m.high,
            Quantity.THICKNESS,
            self.units,
            decimals=self._decimals,
            decimal_mark=self.decimal_mark,
        )

    @property
    def _decimals(self) -> int:
        return 2 if self.units.unit_for(Quantity.THICKNESS) == "in" else 1

    def stress(self, stress_pa: float) -> str:
        """A stress or strength: in MPa, as the trade does, or in psi where that is chosen."""
        if self.units.unit_for(Quantity.PRESSURE) == "psi":
            return write_quantity(
                stress_pa, Quantity.PRESSURE, self.units, decimals=0, decimal_mark=self.decimal_mark
            )
        digits = 1 if stress_pa >= 1e6 else 2
        return f"{stress_pa / 1e6:.{digits}f}".replace(".", self.decimal_mark) + "\u00a0MPa"

    def pressure(self, pressure_pa: float) -> str:
        """The pressure of the metal."""
        return write_quantity(
            pressure_pa, Quantity.PRESSURE, self.units, decimal_mark=self.decimal_mark
        )


def write_spot(answer: SpotAnswer, writer: StrengthWriter) -> str:
    """A spot in sentences: what presses, what is needed, what is there, what a chance that is."""
    return (
        f"The metal presses with {writer.pressure(answer.pressure_pa)}; against it the wall needs "
        f"about {writer.wall(answer.needed_m.likely)} ({writer.walls(answer.needed_m)}), at "
        f"pouring heat perhaps {writer.wall(answer.needed_hot_m.likely)}. "
        f"{_write_wall(answer, writer)} Chance that it is thick enough by these figures: "
        f"{write_chance(answer.chance_enough)}.{_write_lack(answer, writer)}"
    )


def _write_wall(answer: SpotAnswer, writer: StrengthWriter) -> str:
    if answer.stress_pa is None:
        return "No wall is on it and none is planned."
    strength = answer.strength_pa
    return (
        f"With all coats on it is likely {writer.wall(answer.wall_at_end_m.likely)} thick, "
        f"stressed to {writer.stress(answer.stress_pa)}, against a strength of "
        f"{writer.stress(strength.low)} to {writer.stress(strength.high)}."
    )


def _write_lack(answer: SpotAnswer, writer: StrengthWriter) -> str:
    lack = answer.aim_m - answer.wall_at_end_m.likely
    if answer.verdict is SpotVerdict.FINE or lack <= 0.0:
        return ""
    return f" About {writer.wall(lack)} more of wall would make that 90 %."


def write_chance(chance: float) -> str:
    """A chance in per cent; never nothing and never certainty."""
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def write_metal(match: MetalMatch, written: str, units: UnitPreferences, mark: str = ".") -> str:
    """Which metal was reckoned with, and whether that was known."""
    density = write_quantity(match.metal.density_kg_m3, Quantity.DENSITY, units, decimal_mark=mark)
    if match.known:
        return f"Reckoned with {match.metal.name}, {density}."
    named = f"“{written}” is not in the table of metals" if written.strip() else "No metal is given"
    return f"{named}: reckoned with the heaviest there, {match.metal.name}, {density}."
