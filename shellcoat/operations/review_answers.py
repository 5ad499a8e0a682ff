"""What a person tells before burnout: answers, defects, and how the metal is melted."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from uuid import UUID, uuid4

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.wording import write_time
from shellcoat.review.values import review_values
from shellcoat.shop import (
    Defect,
    Ledger,
    LookAnswer,
    MeltPlan,
    ReviewAnswer,
    ReviewQuestion,
)


class DefectInFutureError(MendableError):
    """A defect found, or mended, at a time that has not come."""


def answer_question(
    opened: OpenShop,
    shell_id: UUID,
    question: ReviewQuestion,
    answer: LookAnswer,
    now: datetime,
    note: str = "",
) -> ReviewAnswer:
    """Keep an answer; the newest to a question counts, the same one twice is kept once."""
    standing = newest_answers(opened.ledger, shell_id).get(question)
    if standing is not None and (standing.answer, standing.note) == (answer, note):
        return standing
    given = ReviewAnswer(
        id=uuid4(),
        shell_id=shell_id,
        question=question,
        answer=answer,
        by=opened.who,
        at=now,
        note=note,
    )
    opened.record(given, now)
    return given


def newest_answers(ledger: Ledger, shell_id: UUID) -> dict[ReviewQuestion, ReviewAnswer]:
    """The newest answer to every question that was answered."""
    return {given.question: given for given in ledger.review_answers(shell_id)}


def log_defect(opened: OpenShop, defect: Defect, now: datetime) -> Defect:
    """Keep what was found on a shell."""
    _check_past(opened, defect, now)
    opened.record(defect, now)
    return defect


def mend_defect(opened: OpenShop, defect: Defect, mended_at: datetime, now: datetime) -> Defect:
    """Note that slurry was put on a defect, which then has to dry."""
    mended = replace(defect, mended_at=mended_at)
    _check_past(opened, mended, now)
    opened.amend(mended, now, "mended")
    return mended


def take_back_defect(opened: OpenShop, defect_id: UUID, now: datetime, reason: str) -> None:
    """Take back a defect that was never there; the book keeps it, marked as taken back."""
    opened.withdraw(defect_id, now, reason)


def _check_past(opened: OpenShop, defect: Defect, now: datetime) -> None:
    for moment in (defect.at, defect.mended_at):
        if moment is not None and moment > now + AHEAD_ALLOWED:
            raise DefectInFutureError(
                f"{defect.where}: {write_time(moment, opened.zone, now)} has not come yet. "
                "Give the time it was found or mended."
            )


def melt_plan(ledger: Ledger, shell_id: UUID) -> MeltPlan | None:
    """How this shell's metal is to be melted; None where nobody has said."""
    own = [plan for plan in ledger.melt_plans if plan.shell_id == shell_id]
    return own[-1] if own else None


def usual_melt(opened: OpenShop, shell_id: UUID) -> tuple[float, float | None]:
    """Share and capacity [kg] to propose: this shell's, else the shop's last, else the table's."""
    plans = opened.ledger.melt_plans
    plan = melt_plan(opened.ledger, shell_id) or (plans[-1] if plans else None)
    if plan is None:
        return review_values().extra_share, None
    return plan.extra_share, plan.capacity_kg


def plan_melt(
    opened: OpenShop, shell_id: UUID, extra_share: float, capacity_kg: float | None, now: datetime
) -> MeltPlan:
    """Keep how the metal is to be melted; the same plan twice is kept once."""
    standing = melt_plan(opened.ledger, shell_id)
    if standing is not None and (standing.extra_share, standing.capacity_kg) == (
        extra_share,
        capacity_kg,
    ):
        return standing
    plan = MeltPlan(
        id=uuid4(), shell_id=shell_id, at=now, extra_share=extra_share, capacity_kg=capacity_kg
    )
    opened.record(plan, now)
    return plan
