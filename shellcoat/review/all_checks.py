"""Every check of the review, in the order of a report."""

from __future__ import annotations

from shellcoat.review.air_checks import air_check
from shellcoat.review.case import ReviewCase
from shellcoat.review.coat_checks import coats_check, hold_check, intervals_check
from shellcoat.review.core_checks import core_checks
from shellcoat.review.finding import ReviewCheck, Verdict
from shellcoat.review.fire_checks import firing_check, metal_check
from shellcoat.review.person_checks import ALONE, question_check, slurry_check, surface_check
from shellcoat.review.values import ReviewValues
from shellcoat.review.wall_checks import strength_checks, thickness_checks
from shellcoat.review.weight_checks import constant_mass_check, weight_check


def review_checks(case: ReviewCase, values: ReviewValues) -> tuple[ReviewCheck, ...]:
    """Look at everything there is to look at; nothing here decides."""
    hollows, *openings = ALONE
    return (
        coats_check(case),
        intervals_check(case),
        hold_check(case),
        *core_checks(case),
        question_check(case, hollows),
        *thickness_checks(case),
        *strength_checks(case),
        air_check(case, values),
        surface_check(case),
        *(question_check(case, question) for question in openings),
        constant_mass_check(case, values),
        weight_check(case),
        slurry_check(case),
        metal_check(case, values),
        firing_check(case, values),
    )


def tally(checks: tuple[ReviewCheck, ...]) -> dict[Verdict, int]:
    """How many checks say what."""
    said = [check.verdict for check in checks]
    return {verdict: said.count(verdict) for verdict in Verdict}
