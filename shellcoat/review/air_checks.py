"""What the room's air did while the prime coats dried, and how far the wax moved with it."""

from __future__ import annotations

from uuid import UUID

from shellcoat.forecast.answers import WarningKind
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
    worst,
)
from shellcoat.review.values import ReviewValues
from shellcoat.shop import Band, Coat, CoatKind

FEWEST_READINGS = 3
"""Fewer readings over a coat do not show how far the room swung; the program's own choice."""

_SWUNG = "Prime coat {coat}: the room swung by {swing}, limit {limit}; the wax moved by {strain}."
_FEW = (
    "Prime coat {coat}: only {readings} readings; the room swung by {swing} or more, limit "
    "{limit}; the wax moved by {strain}."
)

Judged = tuple[Verdict, Sentence, UUID]


def air_check(case: ReviewCase, values: ReviewValues) -> ReviewCheck:
    """Whether the room held still while each prime coat dried."""
    judged = [
        _judge(case, number, coat, values)
        for number, coat in enumerate(case.coats, start=1)
        if coat.step.kind is CoatKind.PRIME
    ]
    return ReviewCheck(
        kind=CheckKind.AIR,
        verdict=worst([verdict for verdict, _, _ in judged]),
        seen=tuple(seen for _, seen, _ in judged) or (say("There is no prime coat on it."),),
        would_change=(
            say(
                "Readings of those hours, logged now, would change it; look into the cup for "
                "lifted or cracked prime."
            ),
        ),
        records=tuple(coat_id for _, _, coat_id in judged),
    )


def _judge(case: ReviewCase, number: int, coat: Coat, values: ReviewValues) -> Judged:
    limit = coat.step.air.swing_k or values.prime_swing_k
    air = case.air.get(coat.id)
    if air is None or air.readings < 2:
        return Verdict.LOOK, _unread(number, read=air is not None), coat.id
    swing = max(air.swing_k, _warned(case, number))
    few = air.readings < FEWEST_READINGS
    seen = say(
        _FEW if few else _SWUNG,
        coat=count(number),
        readings=count(air.readings),
        swing=Figure(swing, Measure.SWING_K),
        limit=Figure(limit, Measure.SWING_K),
        strain=Figure(wax_strain(swing, values), Measure.STRAIN),
    )
    return (Verdict.LOOK if few or swing > limit else Verdict.FINE), seen, coat.id


def _unread(number: int, *, read: bool) -> Sentence:
    if read:
        return say("Prime coat {coat}: the air was read only once.", coat=count(number))
    return say("Prime coat {coat}: nobody read the air while it dried.", coat=count(number))


def _warned(case: ReviewCase, number: int) -> float:
    """The swing [K] the forecast warned of; it may have looked at a moment more than the record."""
    warned = [
        warning.seen
        for warning in case.forecast.warnings
        if warning.kind is WarningKind.ROOM_SWING and warning.coat_number == number
    ]
    return max((seen for seen in warned if seen is not None), default=0.0)


def wax_strain(swing_k: float, values: ReviewValues) -> Band:
    """How much a wax grows or shrinks [-] over a swing of its room [K]."""
    rate = values.wax_expansion_per_k
    return Band(rate.low * swing_k, rate.likely * swing_k, rate.high * swing_k)
