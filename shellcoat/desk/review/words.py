"""The words and marks of the review, on the page and on paper."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.marks import MarkState
from shellcoat.operations.review import ReviewState, Standing
from shellcoat.operations.review_wording import DECISION_WORDS
from shellcoat.operations.wording import write_dated
from shellcoat.review.finding import Verdict
from shellcoat.shop import Review

# The lens asks for a look; neither it nor the tick says that a mould will hold.
MARKS = {
    Verdict.FINE: MarkState.FINISHED,
    Verdict.LOOK: MarkState.READY_FOR_REVIEW,
    Verdict.STOP: MarkState.WARNING,
}


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Review", text)


def decision_words(review: Review, zone: ZoneInfo) -> str:
    """What was decided: "wait until Thu 26 Nov 2026 11:49"."""
    words = translate(DECISION_WORDS[review.decision])
    if review.wait_until is None:
        return words
    return f"{words} {write_dated(review.wait_until, zone)}"


def signature_words(review: Review, zone: ZoneInfo) -> str:
    """Who decided what, and when."""
    return translate("{decision} – signed by {name}, {at}").format(
        decision=decision_words(review, zone),
        name=review.name,
        at=write_dated(review.at, zone),
    )


def standing_words(state: ReviewState) -> str:
    """Whether a signed review still says what the book says, and why not."""
    if state.standing is Standing.CURRENT:
        return translate("Nothing about this shell was entered since.")
    head = translate("Out of date: {why}").format(why=state.why[0])
    more = len(state.why) - 1
    if more == 0:
        return head
    return f"{head} " + translate("And {more} more entries since.").format(more=more)


def unsigned_words() -> str:
    """What stands where a signature would."""
    return translate("Not signed: evidence only. A person decides.")
