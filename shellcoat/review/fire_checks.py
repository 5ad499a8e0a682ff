"""Fire and metal: how long the heat needs through wall and cores, and how much metal to melt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, hypot, log

from shellcoat.physics.heating import heat_through_time, radiation_film
from shellcoat.review.case import ReviewCase
from shellcoat.review.finding import (
    CheckKind,
    Figure,
    Measure,
    ReviewCheck,
    Sentence,
    Verdict,
    count,
    say,
    words,
)
from shellcoat.review.person_checks import answer_verdict, answer_words, change_words
from shellcoat.review.values import ReviewValues, melts_between
from shellcoat.shop import Band, ReviewQuestion

ROOM_C = 20.0
"""Where a shell starts from [°C]; the program's own choice."""

HALF_WAY = 0.5
"""Radiation is taken with the face half way up; the program's own choice."""


def metal_mass(wax_kg: float, metal_kg_m3: float, extra: float, values: ReviewValues) -> Band:
    """Metal to melt [kg] for a wax of this mass [kg], `extra` [-] more for cup and runners."""
    needed = wax_kg * metal_kg_m3 * (1.0 + extra)
    wax = values.wax_density_kg_m3
    return Band(needed / wax.high, needed / wax.likely, needed / wax.low)


def metal_check(case: ReviewCase, values: ReviewValues) -> ReviewCheck:
    """Whether the metal to melt goes into the furnace."""
    verdict, seen, change = _metal(case, values)
    melt = (case.melt.id,) if case.melt else ()
    return ReviewCheck(
        kind=CheckKind.METAL,
        verdict=verdict,
        seen=seen,
        would_change=(change,),
        records=(case.shell.id, *melt),
    )


Judged = tuple[Verdict, tuple[Sentence, ...], Sentence]


def _metal(case: ReviewCase, values: ReviewValues) -> Judged:
    if case.shell.wax_mass_kg is None:
        seen = say("The mass of the wax is not given, so the metal cannot be reckoned.")
        return Verdict.LOOK, (seen,), say("Weigh the wax, or one like it, and give its mass.")
    extra = case.melt.extra_share if case.melt else values.extra_share
    density = case.metal.metal.density_kg_m3
    mass = metal_mass(case.shell.wax_mass_kg, density, extra, values)
    told = (_mass_words(case, mass, extra), *_melting_words(case))
    capacity = case.melt.capacity_kg if case.melt else None
    if capacity is None:
        return Verdict.LOOK, told, say("Say how much the furnace or crucible holds.")
    verdict = Verdict.FINE if mass.likely <= capacity else Verdict.STOP
    if verdict is Verdict.FINE and (mass.high > capacity or not case.metal.known):
        verdict = Verdict.LOOK
    holds = say("The furnace holds {capacity}.", capacity=Figure(capacity, Measure.MASS_KG))
    return verdict, (*told, holds), say("Another share for cup and runners, or a larger crucible.")


def _mass_words(case: ReviewCase, mass: Band, extra: float) -> Sentence:
    text = (
        "About {mass} ({band}) of {metal} for {wax} of wax and {extra} more for cup and runners."
        if case.metal.known
        else "The metal is not known; of the heaviest, {metal}, about {mass} ({band}) for {wax} of "
        "wax and {extra} more for cup and runners."
    )
    return say(
        text,
        mass=Figure(mass.likely, Measure.MASS_KG),
        band=Figure(mass, Measure.MASS_KG),
        metal=words(case.metal.metal.name),
        wax=Figure(case.shell.wax_mass_kg or 0.0, Measure.MASS_KG),
        extra=Figure(extra, Measure.SHARE),
    )


def _melting_words(case: ReviewCase) -> tuple[Sentence, ...]:
    melts = melts_between(case.metal.metal.name)
    if melts is None or not case.metal.known:
        return ()
    return (
        say(
            "Alloys of this name melt between {low} and {high}.",
            low=Figure(melts[0], Measure.TEMPERATURE_C),
            high=Figure(melts[1], Measure.TEMPERATURE_C),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Heated:
    """What the time to heat through depends on, each in SI."""

    thickness_m: float
    furnace_c: float
    emissivity: float
    conductivity_w_mk: float
    density_kg_m3: float
    heat_capacity_j_kgk: float

    def time(self, to_go: float) -> float:
        face = ROOM_C + HALF_WAY * (self.furnace_c - ROOM_C)
        return heat_through_time(
            self.thickness_m,
            radiation_film(self.furnace_c, face, self.emissivity),
            self.conductivity_w_mk,
            self.density_kg_m3,
            self.heat_capacity_j_kgk,
            to_go,
        )


def heating_band(wall_m: Band, values: ReviewValues) -> Band:
    """Time [s] to heat a wall [m] through from one face in a furnace hot from the start.

    Each figure is moved to its ends alone; their effects err independently, so the spreads of the
    logarithm add as squares.
    """
    bands = (
        wall_m,
        values.furnace_c,
        values.emissivity,
        values.conductivity_w_mk,
        values.density_kg_m3,
        values.heat_capacity_j_kgk,
    )
    middle = [band.likely for band in bands]
    likely = _Heated(*middle).time(values.to_go)
    up, down = 0.0, 0.0
    for place, band in enumerate(bands):
        ends = [
            log(_moved(middle, place, end).time(values.to_go) / likely)
            for end in (band.low, band.high)
        ]
        up, down = hypot(up, max(ends)), hypot(down, min(ends))
    return Band(likely * exp(-down), likely, likely * exp(up))


def _moved(middle: list[float], place: int, value: float) -> _Heated:
    return _Heated(*(value if at == place else each for at, each in enumerate(middle)))


def firing_check(case: ReviewCase, values: ReviewValues) -> ReviewCheck:
    """How long the heat needs, as a figure to look at; a person says whether the plan heeds it."""
    question = ReviewQuestion.FIRING
    return ReviewCheck(
        kind=CheckKind.FIRING,
        verdict=answer_verdict(case, question),
        seen=(*_heating_words(case, values), answer_words(case, question)),
        would_change=(change_words(case, question),),
        records=(*case.behind(question), *case.coat_ids),
    )


def _heating_words(case: ReviewCase, values: ReviewValues) -> tuple[Sentence, ...]:
    wall_m = case.forecast.thickness_m
    if wall_m.low <= 0.0:
        return ()
    wall = heating_band(wall_m, values)
    told = say(
        "In a furnace already at {furnace} the wall is hot through after about {wall}, a figure "
        "to look at.",
        furnace=Figure(values.furnace_c.likely, Measure.TEMPERATURE_C),
        wall=Figure(_minutes(wall), Measure.SPAN_S),
    )
    if not case.shell.cores:
        return (told,)
    # A core stands behind the wall: its lining is heated by it once the wall is hot.
    behind = _scaled(wall, 2.0)
    return (
        told,
        say(
            "Linings of the {cores} cores follow behind the wall, about {behind} in all.",
            cores=count(len(case.shell.cores)),
            behind=Figure(_minutes(behind), Measure.SPAN_S),
        )
        if len(case.shell.cores) > 1
        else say(
            "The lining of the core follows behind the wall, about {behind} in all.",
            behind=Figure(_minutes(behind), Measure.SPAN_S),
        ),
    )


def _scaled(band: Band, factor: float) -> Band:
    return _each(band, lambda value: value * factor)


def _minutes(band: Band) -> Band:
    return _each(band, lambda value: max(round(value / 60.0), 1) * 60.0)


def _each(band: Band, act: Callable[[float], float]) -> Band:
    return Band(act(band.low), act(band.likely), act(band.high))
