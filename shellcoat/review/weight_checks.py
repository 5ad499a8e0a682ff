"""The scale: whether the shell still loses water, and whether it weighs what it should."""

from __future__ import annotations

from uuid import UUID

from shellcoat.review.case import ReviewCase
from shellcoat.review.finding import (
    CheckKind,
    Figure,
    Measure,
    ReviewCheck,
    Sentence,
    Verdict,
    say,
    span,
    time,
)
from shellcoat.review.values import ReviewValues
from shellcoat.shop import Weighing

DAY_S, HOUR_S = 86400.0, 3600.0


def weighings(case: ReviewCase) -> list[Weighing]:
    """Every weighing that counts, by time."""
    found = [check for check in case.checks if isinstance(check, Weighing)]
    return [check for check in found if not check.left_out and check.at <= case.now]


def constant_mass_check(case: ReviewCase, values: ReviewValues) -> ReviewCheck:
    """Whether the last two weighings since the last coat show the shell still losing water."""
    after = case.coats[-1].dipped_at if case.coats else case.shell.started_at
    since = [check for check in weighings(case) if check.at >= after]
    if len(since) < 2:
        return _constant(case, Verdict.LOOK, _too_few(len(since)), _weigh_again(values), since)
    first, last = since[-2:]
    apart = (last.at - first.at).total_seconds()
    if apart < values.least_apart_s:
        seen = say(
            "Weighed twice within {apart}: too close together for a scale to tell.",
            apart=span(apart),
        )
        return _constant(case, Verdict.LOOK, seen, _weigh_again(values), since)
    rate = (last.mass_kg - first.mass_kg) / apart
    limit = values.change_per_day * last.mass_kg / DAY_S
    return _constant(
        case,
        mass_verdict(rate / limit, values),
        say(
            "Between the last two weighings, {apart} apart, it changed by {rate} an hour; a dry "
            "shell changes by no more than {limit}.",
            apart=span(apart),
            rate=Figure(rate * HOUR_S, Measure.RATE_KG_H),
            limit=Figure(limit * HOUR_S, Measure.RATE_KG_H),
        ),
        _weigh_again(values),
        since[-2:],
    )


def mass_verdict(times_limit: float, values: ReviewValues) -> Verdict:
    """What a change of mass says, as a multiple of the limit; losing is below zero."""
    if abs(times_limit) <= 1.0:
        return Verdict.FINE
    return Verdict.STOP if times_limit < -values.stop_at_times else Verdict.LOOK


def _too_few(number: int) -> Sentence:
    if number:
        return say("Weighed only once since the last coat.")
    return say("Not weighed since the last coat.")


def _weigh_again(values: ReviewValues) -> Sentence:
    return say(
        "Weigh it twice, at least {apart} apart, on the same scale.",
        apart=span(values.least_apart_s),
    )


def _constant(
    case: ReviewCase, verdict: Verdict, seen: Sentence, change: Sentence, behind: list[Weighing]
) -> ReviewCheck:
    return ReviewCheck(
        kind=CheckKind.CONSTANT_MASS,
        verdict=verdict,
        seen=(seen,),
        would_change=(change,),
        records=tuple(check.id for check in behind) or case.coat_ids[-1:],
    )


def weight_check(case: ReviewCase) -> ReviewCheck:
    """Whether the last weighing lies within what coats, area and wax mass let expect."""
    wall = case.wall
    expected, seen_kg, at = wall.mass_expected_then_kg, wall.mass_seen_kg, wall.mass_seen_at
    records = tuple(check.id for check in weighings(case)[-1:]) or (case.shell.id,)
    if seen_kg is None or at is None:
        change = say("Weigh it.")
        return _weight(Verdict.LOOK, say("It has not been weighed."), change, records)
    mass = Figure(seen_kg, Measure.MASS_KG)
    if expected is None:
        seen = say("Weighed {mass}; nothing to hold it against.", mass=mass)
        change = say("Give the shell's area and the mass of its wax.")
        return _weight(Verdict.LOOK, seen, change, (case.shell.id, *records))
    inside = expected.low <= seen_kg <= expected.high
    return _weight(
        Verdict.FINE if inside else Verdict.LOOK,
        say(
            "Weighed {mass} {at}, expected {expected}.",
            mass=mass,
            at=time(at),
            expected=Figure(expected, Measure.MASS_KG),
        ),
        say("A better area or wax mass, or another weighing, would change it."),
        (case.shell.id, *records),
    )


def _weight(
    verdict: Verdict, seen: Sentence, change: Sentence, records: tuple[UUID, ...]
) -> ReviewCheck:
    return ReviewCheck(
        kind=CheckKind.WEIGHT,
        verdict=verdict,
        seen=(seen,),
        would_change=(change,),
        records=records,
    )
