"""The wall: by place against its target, and where metal presses against what it needs."""

from __future__ import annotations

from math import log
from statistics import NormalDist
from uuid import UUID

from shellcoat.forecast.strength_need import SpotAnswer, SpotVerdict, verdict_of
from shellcoat.forecast.thickness import TENTH_TO_NINETIETH
from shellcoat.forecast.wall_answers import PlaceAnswer
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
from shellcoat.shop import Band, CaliperReading, WallPlace, Weighing

_VERDICTS = {
    SpotVerdict.FINE: Verdict.FINE,
    SpotVerdict.LOOK: Verdict.LOOK,
    SpotVerdict.STOP: Verdict.STOP,
}


def thickness_checks(case: ReviewCase) -> tuple[ReviewCheck, ...]:
    """One check for each kind of place; a target missed asks for a look, the metal's need stops."""
    return tuple(_thickness_check(case, place) for place in case.wall.places)


def _thickness_check(case: ReviewCase, place: PlaceAnswer) -> ReviewCheck:
    chance = chance_reached(place.now_m, place.target_m)
    return ReviewCheck(
        kind=CheckKind.THICKNESS,
        verdict=Verdict.FINE if chance >= 0.5 else Verdict.LOOK,
        seen=(
            say(
                "Likely {likely} ({band}) against a target of {target}, reached with a chance of "
                "{chance}.",
                likely=Figure(place.now_m.likely, Measure.THICKNESS_M),
                band=Figure(place.now_m, Measure.THICKNESS_M),
                target=Figure(place.target_m, Measure.THICKNESS_M),
                chance=Figure(chance, Measure.CHANCE),
            ),
            _measured(place),
        ),
        would_change=(say("Measure the wall here with a caliper, or give it another coat."),),
        records=_wall_records(case, place.place),
        name=place.place.value,
    )


def chance_reached(wall_m: Band, target_m: float) -> float:
    """Probability that a wall, taken as log-normal, is as thick as its target [m]."""
    if wall_m.low <= 0.0:
        return 0.0
    spread = log(wall_m.high / wall_m.low) / TENTH_TO_NINETIETH
    distance = log(wall_m.likely / target_m)
    if spread == 0.0:
        return 1.0 if distance >= 0.0 else 0.0
    return NormalDist().cdf(distance / spread)


def _measured(place: PlaceAnswer) -> Sentence:
    if place.readings:
        return say("Readings taken here: {readings}.", readings=count(place.readings))
    return say("Not measured here: this is what the coats are expected to have built.")


def _wall_records(case: ReviewCase, place: WallPlace) -> tuple[UUID, ...]:
    found = [
        check.id
        for check in case.checks
        if (isinstance(check, CaliperReading) and check.place is place)
        or isinstance(check, Weighing)
    ]
    return tuple(found) or case.coat_ids


def strength_checks(case: ReviewCase) -> tuple[ReviewCheck, ...]:
    """One check for each stress spot, the worst first; where none is given, a look."""
    if not case.spots:
        return (_no_spots(case),)
    return tuple(_spot_check(case, spot) for spot in case.spots)


def _no_spots(case: ReviewCase) -> ReviewCheck:
    return ReviewCheck(
        kind=CheckKind.STRENGTH,
        verdict=Verdict.LOOK,
        seen=(say("No place where metal presses is given, so nothing was compared."),),
        would_change=(
            say("Give the largest flat face, the deepest place and the widest round part."),
        ),
        records=(case.shell.id,),
    )


def _spot_check(case: ReviewCase, spot: SpotAnswer) -> ReviewCheck:
    return ReviewCheck(
        kind=CheckKind.STRENGTH,
        verdict=_VERDICTS[verdict_of(spot.chance_now)],
        seen=(_need_words(spot), *_stress_words(spot), *_help_words(case, spot)),
        would_change=(
            say(
                "A measured wall, a coat more, or a lower head of metal; about {aim} of wall "
                "would leave room.",
                aim=Figure(spot.aim_m, Measure.THICKNESS_M),
            ),
        ),
        records=(case.shell.id, *_wall_records(case, WallPlace.FLAT)),
        name=spot.name,
    )


def _need_words(spot: SpotAnswer) -> Sentence:
    return say(
        "The metal presses with {pressure}; the wall needs {needed} and has {wall}: thick enough "
        "by these figures with a chance of {chance}.",
        pressure=Figure(spot.pressure_pa, Measure.PRESSURE_PA),
        needed=Figure(spot.needed_m, Measure.THICKNESS_M),
        wall=Figure(spot.wall_now_m, Measure.THICKNESS_M),
        chance=Figure(spot.chance_now, Measure.CHANCE),
    )


def _stress_words(spot: SpotAnswer) -> tuple[Sentence, ...]:
    if spot.stress_pa is None:
        return ()
    return (
        say(
            "Stress in the likely wall {stress}, strength of a dried wall {strength}.",
            stress=Figure(spot.stress_pa, Measure.STRESS_PA),
            strength=Figure(spot.strength_pa, Measure.STRESS_PA),
        ),
    )


def _help_words(case: ReviewCase, spot: SpotAnswer) -> tuple[Sentence, ...]:
    own = next((each for each in case.shell.spots if each.id == spot.spot_id), None)
    if own is None or not own.helped_by:
        return ()
    return (say("Helped by {help}, which no figure counts.", help=words(own.helped_by)),)
