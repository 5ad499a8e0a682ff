"""What only a person can see: questions with their answers, and defects found and mended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from shellcoat.review.case import ReviewCase
from shellcoat.review.finding import (
    CheckKind,
    ReviewCheck,
    Sentence,
    Verdict,
    say,
    span,
    time,
    words,
    worst,
)
from shellcoat.shop import Defect, DefectKind, LookAnswer, ReviewQuestion


@dataclass(frozen=True, slots=True)
class Asked:
    """A question, what a "no" asks for, and what to do then; "yes" lets work go on."""

    kind: CheckKind
    text: str
    if_no: Verdict
    would_change: str


ASKED = {
    ReviewQuestion.SURFACE: Asked(
        CheckKind.SURFACE,
        "Looked all over: no crack, drip or thin place beside those listed?",
        Verdict.LOOK,
        "List what was found, mend it and let it dry.",
    ),
    ReviewQuestion.CORES: Asked(
        CheckKind.CORES,
        "Is every hollow that slurry ran into recorded as a core?",
        Verdict.STOP,
        "Record the hollow as a core, so that its water is reckoned.",
    ),
    ReviewQuestion.DRAINS: Asked(
        CheckKind.DRAINS,
        "Can the wax run out, with openings at its lowest places?",
        Verdict.STOP,
        "Open drains at the lowest places: wax that cannot get out cracks the shell.",
    ),
    ReviewQuestion.VENTS: Asked(
        CheckKind.VENTS,
        "Can air get out of the highest places when the metal comes?",
        Verdict.LOOK,
        "Open vents where air would be trapped.",
    ),
    ReviewQuestion.CUP_RIM: Asked(
        CheckKind.CUP_RIM,
        "Is the rim of the cup clean, with no loose shell to fall in?",
        Verdict.LOOK,
        "Clean the rim and blow or tip out what is loose.",
    ),
    ReviewQuestion.REINFORCEMENT: Asked(
        CheckKind.REINFORCEMENT,
        "Is wire or other reinforcement on wherever it is wanted?",
        Verdict.LOOK,
        "Put it on, or decide that none is wanted.",
    ),
    ReviewQuestion.SLURRY: Asked(
        CheckKind.SLURRY,
        "Was the slurry in its band on every coat?",
        Verdict.LOOK,
        "Look the tank's log up; a coat of slurry out of its band may be weak.",
    ),
    ReviewQuestion.FIRING: Asked(
        CheckKind.FIRING,
        "Does the firing plan leave time to heat wall and cores through?",
        Verdict.LOOK,
        "Plan a longer soak, or a slower rise where water or wax may be left.",
    ),
}
"""Every question; those whose check says more are put together with it."""

ALONE = (
    ReviewQuestion.CORES,
    ReviewQuestion.DRAINS,
    ReviewQuestion.VENTS,
    ReviewQuestion.CUP_RIM,
    ReviewQuestion.REINFORCEMENT,
)


def question_check(case: ReviewCase, question: ReviewQuestion) -> ReviewCheck:
    """The check that is one question and no more."""
    asked = ASKED[question]
    return ReviewCheck(
        kind=asked.kind,
        verdict=answer_verdict(case, question),
        seen=(answer_words(case, question),),
        would_change=(change_words(case, question),),
        records=case.behind(question),
    )


def answer_verdict(case: ReviewCase, question: ReviewQuestion) -> Verdict:
    """What an answer asks for: nobody looked, so look."""
    return {
        LookAnswer.YES: Verdict.FINE,
        LookAnswer.NO: ASKED[question].if_no,
        LookAnswer.NOT_LOOKED: Verdict.LOOK,
    }[case.answer(question)]


def answer_words(case: ReviewCase, question: ReviewQuestion) -> Sentence:
    """Who answered what, and when."""
    given = case.answers.get(question)
    if given is None or given.answer is LookAnswer.NOT_LOOKED:
        return say(f"{ASKED[question].text} Nobody has looked.")
    common = {"by": words(given.by), "at": time(given.at)}
    said = "Yes" if given.answer is LookAnswer.YES else "No"
    if given.note:
        text = f"{ASKED[question].text} {said}, says {{by}}, {{at}}: {{note}}"
        return say(text, note=words(given.note), **common)
    return say(f"{ASKED[question].text} {said}, says {{by}}, {{at}}.", **common)


def change_words(case: ReviewCase, question: ReviewQuestion) -> Sentence:
    """What would change it: looking, or doing something about it."""
    if case.answer(question) is LookAnswer.NO:
        return say(ASKED[question].would_change)
    return say("Look, and answer.")


def surface_check(case: ReviewCase) -> ReviewCheck:
    """Cracks, drips and patches: all listed, all mended, all mends dry."""
    judged = [_judge(case, defect) for defect in case.defects]
    question = ReviewQuestion.SURFACE
    return ReviewCheck(
        kind=CheckKind.SURFACE,
        verdict=worst([answer_verdict(case, question), *(verdict for verdict, _ in judged)]),
        seen=(answer_words(case, question), *(seen for _, seen in judged)),
        would_change=(_surface_change(case),),
        records=(*case.behind(question), *(defect.id for defect in case.defects)),
    )


def _surface_change(case: ReviewCase) -> Sentence:
    if any(defect.closed_at is None for defect in case.defects):
        return say("Mend what is open and let it dry as long as a coat.")
    return change_words(case, ReviewQuestion.SURFACE)


def _judge(case: ReviewCase, defect: Defect) -> tuple[Verdict, Sentence]:
    common = {"what": words(defect.kind.value), "where": words(defect.where)}
    closed = defect.closed_at
    if closed is None:
        verdict = Verdict.STOP if defect.kind is DefectKind.CRACK else Verdict.LOOK
        return verdict, say("Open {what}, {where}.", **common)
    needed = mend_drying_s(case)
    if needed is None:
        text = "A {what}, {where}, mended {closed}: nothing tells how long it takes to dry."
        return Verdict.LOOK, say(text, closed=time(closed), **common)
    common |= {"closed": time(closed), "needed": span(needed)}
    if closed + timedelta(seconds=needed) > case.now:
        text = "A {what}, {where}, mended {closed}: it needs about {needed} to dry."
        return Verdict.STOP, say(text, **common)
    text = "A {what}, {where}, mended {closed} and dry since: a coat here took up to {needed}."
    return Verdict.FINE, say(text, **common)


def mend_drying_s(case: ReviewCase) -> float | None:
    """How long a mend takes to dry [s]: as long as the slowest coat of this shell.

    Common practice: a mend is a thick coat, so no shorter time will do.
    """
    spans = [
        (answer.safe_at - coat.dipped_at).total_seconds()
        for coat, answer in case.dried
        if answer.safe_at is not None
    ]
    return max(spans, default=None)


def slurry_check(case: ReviewCase) -> ReviewCheck:
    """Whether the slurry was in its band: no tank log is kept, so a person answers."""
    question = ReviewQuestion.SLURRY
    used = sorted({coat.step.slurry for coat in case.coats})
    return ReviewCheck(
        kind=CheckKind.SLURRY,
        verdict=answer_verdict(case, question),
        seen=(
            say(
                "Not recorded: the book holds no limits for {slurries}.",
                slurries=words(", ".join(used) or "any slurry"),
            ),
            answer_words(case, question),
        ),
        would_change=(change_words(case, question),),
        records=(*case.behind(question), *case.coat_ids),
    )
