"""The cores: water still in them, the steam it would make, and what is open."""

from __future__ import annotations

from uuid import UUID

from shellcoat.forecast.answers import CoreAnswer
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
    time,
)
from shellcoat.shop import Core, DryCheck

OPEN_IT = "Open it and dry it, or look in and log what you find."


def core_checks(case: ReviewCase) -> tuple[ReviewCheck, ...]:
    """One check for each core of the shell."""
    cores = {core.id: core for core in case.shell.cores}
    known = [answer for answer in case.forecast.cores if answer.core_id in cores]
    return tuple(_core_check(case, cores[answer.core_id], answer) for answer in known)


def _core_check(case: ReviewCase, core: Core, answer: CoreAnswer) -> ReviewCheck:
    shut = answer.closed or answer.plugged
    judge = _shut_core if shut else _open_core
    verdict, state, change = judge(case, answer)
    return ReviewCheck(
        kind=CheckKind.CORE,
        verdict=verdict,
        seen=(state, _held(answer), _openings(core, answer)),
        would_change=(change,),
        records=_behind(case, core.id),
        name=core.name,
    )


Judged = tuple[Verdict, Sentence, Sentence]


def _shut_core(_case: ReviewCase, answer: CoreAnswer) -> Judged:
    state = say("It is plugged.") if answer.plugged else say("Its openings have closed over.")
    if answer.water_kg.high > answer.dry_kg:
        return Verdict.STOP, state, say(OPEN_IT)
    if answer.plugged:
        return Verdict.FINE, state, say("Another coat or a wet plug would change it.")
    return Verdict.LOOK, state, say("Open it, so that its air can get out as it heats.")


def _open_core(case: ReviewCase, answer: CoreAnswer) -> Judged:
    chance = Figure(answer.chance_dry, Measure.CHANCE)
    if answer.chance_dry >= case.safe_quantile:
        state = say("It is dry with a chance of {chance}.", chance=chance)
        return (
            Verdict.FINE,
            state,
            say("Another coat would change it, or a touch that finds it wet."),
        )
    state = say("It is not safely dry: dry with a chance of {chance}.", chance=chance)
    verdict = Verdict.LOOK if answer.chance_dry >= 0.5 else Verdict.STOP
    if answer.safe_at is None:
        return verdict, state, say("It will not be safely dry within a week: blow, turn or widen.")
    return verdict, state, say("It is safely dry {safe}.", safe=time(answer.safe_at))


def _held(answer: CoreAnswer) -> Sentence:
    return say(
        "Likely {water} of water in it, at most about {most}; heated it would make {steam} of "
        "steam.",
        water=Figure(answer.water_kg.likely, Measure.WATER_KG),
        most=Figure(answer.water_kg.high, Measure.WATER_KG),
        steam=Figure(answer.steam_l.likely, Measure.STEAM_L),
    )


def _openings(core: Core, answer: CoreAnswer) -> Sentence:
    if not core.openings:
        return say("No opening is recorded.")
    if answer.closed or answer.plugged:
        return say("Openings recorded: {openings}.", openings=count(len(core.openings)))
    return say(
        "Openings recorded: {openings}, the widest now {width} clear.",
        openings=count(len(core.openings)),
        width=Figure(answer.width_m, Measure.LENGTH_M),
    )


def _behind(case: ReviewCase, core_id: UUID) -> tuple[UUID, ...]:
    """What was done to the core and found in it; the coats where there is nothing of either."""
    acts = [act.id for act in case.care if act.core_id in (core_id, None)]
    touches = [
        check.id
        for check in case.checks
        if isinstance(check, DryCheck) and check.core_id == core_id
    ]
    return (*acts, *touches) or case.coat_ids
