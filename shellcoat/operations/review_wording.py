"""Findings of the review in a person's words and units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from shellcoat.operations.strength import StrengthWriter
from shellcoat.operations.wording import write_chance, write_dated, write_little_water
from shellcoat.review.finding import (
    CheckKind,
    Figure,
    Measure,
    ReviewCheck,
    Sentence,
    Verdict,
)
from shellcoat.review.person_checks import ASKED
from shellcoat.shop import Band, Decision, LookAnswer, ReviewQuestion
from shellcoat.units import Quantity, UnitPreferences, write_band, write_duration, write_quantity

Translate = Callable[[str], str]

VERDICT_WORDS = {Verdict.FINE: "fine", Verdict.LOOK: "look", Verdict.STOP: "stop"}

TITLES = {
    CheckKind.COATS: "Coats against the sequence",
    CheckKind.INTERVALS: "Time between coats",
    CheckKind.HOLD: "Final hold",
    CheckKind.CORE: "Core “{name}”",
    CheckKind.CORES: "Hollows recorded",
    CheckKind.THICKNESS: "Wall, {name}",
    CheckKind.STRENGTH: "Strength needed, {name}",
    CheckKind.AIR: "Air over the prime coats",
    CheckKind.SURFACE: "Cracks, drips and patches",
    CheckKind.DRAINS: "Drains for the wax",
    CheckKind.VENTS: "Vents for the air",
    CheckKind.CUP_RIM: "Rim of the cup",
    CheckKind.REINFORCEMENT: "Reinforcement",
    CheckKind.CONSTANT_MASS: "Weight holds still",
    CheckKind.WEIGHT: "Weight against expected",
    CheckKind.SLURRY: "Slurry on every coat",
    CheckKind.METAL: "Metal to melt",
    CheckKind.FIRING: "Heating through",
}
NAMELESS = {CheckKind.STRENGTH: "Strength needed"}

PLACES = {"flat": "flat faces", "edge": "edges", "inside corner": "inside corners"}

ANSWER_WORDS = {
    LookAnswer.YES: "Yes",
    LookAnswer.NO: "No",
    LookAnswer.NOT_LOOKED: "Not looked",
}

DECISION_WORDS = {
    Decision.BURN_OUT: "burn out",
    Decision.WAIT_UNTIL: "wait until",
    Decision.REPAIR: "repair",
    Decision.SCRAP: "scrap",
}


def as_it_is(text: str) -> str:
    """No translation: the command line speaks English."""
    return text


def question_text(question: ReviewQuestion) -> str:
    """A question as it is asked."""
    return ASKED[question].text


@dataclass(frozen=True, slots=True)
class FindingWriter:
    """Writes checks of the review in one person's units, language and clock."""

    units: UnitPreferences
    zone: ZoneInfo
    decimal_mark: str = "."
    translate: Translate = as_it_is

    def title(self, check: ReviewCheck) -> str:
        """What a check is called."""
        if not check.name and check.kind in NAMELESS:
            return self.translate(NAMELESS[check.kind])
        name = check.name
        if check.kind is CheckKind.THICKNESS:
            name = self.translate(PLACES[check.name])
        return self.translate(TITLES[check.kind]).format(name=name)

    def verdict(self, verdict: Verdict) -> str:
        """The word that stands beside a check's mark."""
        return self.translate(VERDICT_WORDS[verdict])

    def sentence(self, sentence: Sentence) -> str:
        """A sentence with its figures."""
        figures = {name: self.figure(figure) for name, figure in sentence.figures}
        return self.translate(sentence.text).format(**figures)

    def sentences(self, sentences: tuple[Sentence, ...]) -> tuple[str, ...]:
        """Every sentence with its figures."""
        return tuple(self.sentence(each) for each in sentences)

    def figure(self, figure: Figure) -> str:
        """A figure, or the ends of a band."""
        value, measure = figure.value, figure.measure
        if isinstance(value, str):
            return value
        if isinstance(value, datetime):
            return write_dated(value, self.zone)
        if isinstance(value, Band):
            return self._band(value, measure)
        return self._number(value, measure)

    def _band(self, band: Band, measure: Measure) -> str:
        if measure in _QUANTITIES:
            quantity, decimals = _QUANTITIES[measure]
            return write_band(
                band.low,
                band.high,
                quantity,
                self.units,
                decimals=self._decimals(quantity, decimals),
                decimal_mark=self.decimal_mark,
            )
        if measure is Measure.STRAIN:
            ends = [self._plain(100.0 * end, 3) for end in (band.low, band.high)]
            return f"{ends[0]}–{ends[1]}\u00a0%"
        ends = [self._number(end, measure) for end in (band.low, band.high)]
        return ends[0] if ends[0] == ends[1] else f"{ends[0]} – {ends[1]}"

    def _number(self, value: float, measure: Measure) -> str:
        if measure in _QUANTITIES:
            quantity, decimals = _QUANTITIES[measure]
            return write_quantity(
                value,
                quantity,
                self.units,
                decimals=self._decimals(quantity, decimals),
                decimal_mark=self.decimal_mark,
            )
        return _PLAIN[measure](self, value)

    def _decimals(self, quantity: Quantity, decimals: int | None) -> int | None:
        """A tenth of a millimetre is a hundredth of an inch."""
        inches = quantity is Quantity.THICKNESS and self.units.unit_for(quantity) == "in"
        return 2 if inches else decimals

    def _plain(self, value: float, decimals: int) -> str:
        return f"{value:.{decimals}f}".replace(".", self.decimal_mark)

    def _steam(self, litres: float) -> str:
        return f"{self._plain(litres, 0 if litres >= 10.0 else 1)}\u00a0L"

    def _rate(self, kg_per_hour: float) -> str:
        grams = write_quantity(
            kg_per_hour, Quantity.SMALL_MASS, self.units, decimal_mark=self.decimal_mark
        )
        return grams if kg_per_hour < 0 else grams.lstrip("+")


def _span(_writer: FindingWriter, seconds: float) -> str:
    return write_duration(seconds)


def _share(_writer: FindingWriter, share: float) -> str:
    return f"{100.0 * share:.0f}\u00a0%"


def _stress(writer: FindingWriter, stress_pa: float) -> str:
    return StrengthWriter(writer.units, writer.decimal_mark).stress(stress_pa)


_QUANTITIES: dict[Measure, tuple[Quantity, int | None]] = {
    Measure.THICKNESS_M: (Quantity.THICKNESS, 1),
    Measure.LENGTH_M: (Quantity.LENGTH, None),
    Measure.MASS_KG: (Quantity.MASS, 1),
    Measure.SWING_K: (Quantity.TEMPERATURE_DIFFERENCE, 1),
    Measure.TEMPERATURE_C: (Quantity.TEMPERATURE, 0),
    Measure.PRESSURE_PA: (Quantity.PRESSURE, 0),
}
_PLAIN: dict[Measure, Callable[[FindingWriter, float], str]] = {
    Measure.COUNT: lambda _writer, value: f"{value:.0f}",
    Measure.SPAN_S: _span,
    Measure.SHARE: _share,
    Measure.CHANCE: lambda _writer, chance: write_chance(chance).replace(" %", "\u00a0%"),
    Measure.STEAM_L: FindingWriter._steam,
    Measure.RATE_KG_H: FindingWriter._rate,
    Measure.STRESS_PA: _stress,
    Measure.WATER_KG: lambda writer, value: write_little_water(value, writer.units),
    Measure.STRAIN: lambda writer, value: f"{writer._plain(100.0 * value, 3)}\u00a0%",
}
