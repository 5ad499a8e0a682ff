"""Coats against the sequence, intervals against the safe dry time, and the final hold."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from shellcoat.forecast.answers import CoatAnswer, DryState
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
    span,
    time,
    words,
)
from shellcoat.shop import Coat, CoatKind, CoatStep

MOST_NAMED = 4
"""Coats that are named one by one before the rest is only counted."""


def coats_check(case: ReviewCase) -> ReviewCheck:
    """Whether the coats of the sequence are on, in their order."""
    planned, steps = case.shell.sequence.steps, [coat.step for coat in case.coats]
    seen = [
        say(
            "{on} of {planned} planned coats are on.",
            on=count(len(steps)),
            planned=count(len(planned)),
        )
    ]
    odd = list(_departures(steps, planned))
    missing = planned[len(steps) :]
    return ReviewCheck(
        kind=CheckKind.COATS,
        verdict=_coats_verdict(missing, bool(odd) or len(steps) > len(planned)),
        seen=(*seen, *_shortly(odd)),
        would_change=(_next_for(missing),),
        records=case.coat_ids,
    )


def _coats_verdict(missing: tuple[CoatStep, ...], odd: bool) -> Verdict:
    if any(step.kind is not CoatKind.SEAL for step in missing):
        return Verdict.STOP
    return Verdict.LOOK if missing or odd else Verdict.FINE


def _next_for(missing: tuple[CoatStep, ...]) -> Sentence:
    if missing:
        return say(
            "Dip what is missing, first {slurry}, or give the shell the sequence it really got.",
            slurry=words(missing[0].slurry),
        )
    return say("A corrected coat, or another sequence for this shell, would change it.")


def _departures(steps: list[CoatStep], planned: tuple[CoatStep, ...]) -> Iterator[Sentence]:
    for number, (step, plan) in enumerate(zip(steps, planned, strict=False), start=1):
        if (step.kind, step.slurry, step.stucco) != (plan.kind, plan.slurry, plan.stucco):
            yield say(
                "Coat {coat} is {put}, planned was {plan}.",
                coat=count(number),
                put=words(_named(step)),
                plan=words(_named(plan)),
            )


def _named(step: CoatStep) -> str:
    return f"{step.slurry} / {step.stucco}" if step.stucco else step.slurry


def _shortly(sentences: list[Sentence]) -> list[Sentence]:
    more = len(sentences) - MOST_NAMED
    if more <= 0:
        return sentences
    return [*sentences[:MOST_NAMED], say("{more} more like these.", more=count(more))]


def intervals_check(case: ReviewCase) -> ReviewCheck:
    """Whether every coat waited until the wall before it was safely dry."""
    pairs = list(zip(case.dried, case.dried[1:], strict=False))
    early = [pair for pair in pairs if pair[1][1].dipped_early]
    seen = _shortly([_early_words(*pair) for pair in early]) if early else [_closest_words(pairs)]
    return ReviewCheck(
        kind=CheckKind.INTERVALS,
        verdict=Verdict.LOOK if early else Verdict.FINE,
        seen=tuple(seen),
        would_change=(
            say(
                "Nothing changes an interval that is past; a corrected time, air logged later or "
                "a check of those coats would change what is reckoned."
            ),
        ),
        records=tuple(pair[1][0].id for pair in early) or case.coat_ids,
    )


Dried = tuple[Coat, CoatAnswer]


def _early_words(before: Dried, after: Dried) -> Sentence:
    waited = (after[0].dipped_at - before[0].dipped_at).total_seconds()
    common = {
        "coat": count(after[1].number),
        "waited": span(waited),
        "left": Figure(after[1].left_before.likely, Measure.SHARE),
    }
    safe_at = before[1].safe_at
    if safe_at is None:
        return say(
            "Coat {coat} went on after {waited}; the wall would not have been safely dry for "
            "days, about {left} of its water was still in it.",
            **common,
        )
    return say(
        "Coat {coat} went on after {waited}, safe would have been {safe}: about {left} of the "
        "water was still in the wall.",
        safe=span((safe_at - before[0].dipped_at).total_seconds()),
        **common,
    )


def _closest_words(pairs: list[tuple[Dried, Dried]]) -> Sentence:
    reckoned = [(before, after, before[1].safe_at) for before, after in pairs if before[1].safe_at]
    if not reckoned:
        return say("There is no interval between coats yet.")
    before, after, safe_at = min(reckoned, key=lambda each: each[1][0].dipped_at - each[2])
    return say(
        "Every coat went on past the safe time of the one before; closest was coat {coat} after "
        "{waited}, safe after {safe}.",
        coat=count(after[1].number),
        waited=span((after[0].dipped_at - before[0].dipped_at).total_seconds()),
        safe=span((safe_at - before[0].dipped_at).total_seconds()),
    )


def hold_check(case: ReviewCase) -> ReviewCheck:
    """Whether the last coat is safely dry and the final hold over."""
    if not case.coats:
        return _hold(case, Verdict.STOP, say("No coat is on."), say("Dip the shell."))
    if case.forecast.chance_dry < case.safe_quantile:
        return _hold(case, Verdict.STOP, _wet_words(case), _dry_when(case))
    ends = hold_ends(case)
    held = span((case.now - case.coats[-1].dipped_at).total_seconds())
    hold = span(case.shell.sequence.final_hold_s)
    if ends > case.now:
        seen = say(
            "The last coat is safely dry; it has hung for {held} of the final hold of {hold}.",
            held=held,
            hold=hold,
        )
        return _hold(case, Verdict.LOOK, seen, say("The hold is over {ends}.", ends=time(ends)))
    seen = say(
        "The last coat is safely dry and has hung for {held}; the final hold is {hold}.",
        held=held,
        hold=hold,
    )
    change = say("Another coat, or water on the shell, would begin it anew.")
    return _hold(case, Verdict.FINE, seen, change)


def hold_ends(case: ReviewCase) -> datetime:
    """When the final hold, counted from the last dip, is over."""
    return case.coats[-1].dipped_at + timedelta(seconds=case.shell.sequence.final_hold_s)


def _hold(case: ReviewCase, verdict: Verdict, seen: Sentence, change: Sentence) -> ReviewCheck:
    return ReviewCheck(
        kind=CheckKind.HOLD,
        verdict=verdict,
        seen=(seen,),
        would_change=(change,),
        records=case.coat_ids[-1:],
    )


def _wet_words(case: ReviewCase) -> Sentence:
    left = case.forecast.water_left
    return say(
        "The last coat is not safely dry: dry with a chance of {chance}, {left} of the water "
        "still in the wall.",
        chance=Figure(case.forecast.chance_dry, Measure.CHANCE),
        left=Figure(left, Measure.SHARE),
    )


def _dry_when(case: ReviewCase) -> Sentence:
    safe_at = case.forecast.safe_at
    if safe_at is None or case.forecast.state is DryState.OUT_OF_SIGHT:
        return say("In this air it will not be safely dry within days: move, dry or warm the air.")
    return say("It is safely dry {safe}.", safe=time(safe_at))
