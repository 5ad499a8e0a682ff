"""What a shop's own checks teach the forecast, and what they cannot."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from uuid import UUID

import numpy as np
import pytest
from builders import (
    ROOM,
    a_case,
    a_core,
    a_forecaster,
    a_log,
    a_shell,
    an_id,
    an_opening,
    at,
    backup,
    forecast_one,
    prime,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from shellcoat.forecast.check_looks import TaughtCase, TeachingCheck
from shellcoat.forecast.forecaster import Forecaster, ShellCase
from shellcoat.forecast.learned import FactorKind, Learned
from shellcoat.forecast.starting_values import starting_values
from shellcoat.physics import moist_air
from shellcoat.shop import DryCheck, DryFinding, InfraredReading, Weighing

LOG = a_log(-400.0, 400.0)
DIPS = (0.0, 10.0, 22.0, 34.0, 48.0)
SHELL = a_shell(area_m2=0.3)
CASE = a_case(SHELL, DIPS)
NOW_H = 60.0
VALUES = starting_values().checks


def times(
    forecaster: Forecaster, case: ShellCase = CASE, now_h: float = NOW_H
) -> list[tuple[float, float]]:
    """Likely and safe hours of each coat of a shell."""
    found = forecast_one(case, LOG, now_h, forecaster)
    return [
        (
            (answer.likely_at - coat.dipped_at).total_seconds() / 3600.0,
            (answer.safe_at - coat.dipped_at).total_seconds() / 3600.0,
        )
        for answer, coat in zip(found.coats, case.coats, strict=True)
    ]


FIRST = times(a_forecaster())


def touch(
    rank: int, share: float, finding: DryFinding, core_id: UUID | None = None, name: object = ""
) -> DryCheck:
    """A touch of a coat at so many times the hours it was first thought to take."""
    coat = CASE.coats[rank]
    return DryCheck(
        id=an_id(("touch", rank, share, finding, name)),
        shell_id=SHELL.id,
        core_id=core_id,
        at=coat.dipped_at + timedelta(hours=share * FIRST[rank][0]),
        finding=finding,
    )


def taught(checks: Sequence[TeachingCheck], case: ShellCase = CASE) -> Forecaster:
    forecaster = a_forecaster()
    cases = [TaughtCase(case.shell, case.coats, case.care, tuple(checks))] if checks else []
    forecaster.learn(cases, [], {ROOM: LOG}, at(NOW_H))
    return forecaster


def bracket(rank: int, share: float) -> list[DryCheck]:
    """Still wet a tenth before, dry a tenth after so many times the first likely time."""
    return [
        touch(rank, 0.9 * share, DryFinding.STILL_WET),
        touch(rank, 1.1 * share, DryFinding.DRY),
    ]


def film(learned: Learned) -> float:
    return next(one.now.likely for one in learned.factors if one.kind is FactorKind.FILM)


def test_no_check_changes_nothing():
    assert times(taught([])) == FIRST


def test_a_slow_shop_is_told_later_and_a_quick_one_sooner():
    slow = times(taught([check for rank in range(5) for check in bracket(rank, 1.5)]))
    quick = times(taught([check for rank in range(5) for check in bracket(rank, 0.7)]))
    for (slow_likely, _), (likely, _), (quick_likely, _) in zip(slow, FIRST, quick, strict=True):
        assert 1.2 * likely < slow_likely < 1.5 * likely
        assert 0.7 * likely < quick_likely < 0.9 * likely


def test_checks_that_agree_make_it_surer_not_later():
    agreed = times(taught([check for rank in range(5) for check in bracket(rank, 1.0)]))
    for (likely, safe), (first_likely, first_safe) in zip(agreed, FIRST, strict=True):
        assert likely == pytest.approx(first_likely, rel=0.05)
        assert safe / likely < 0.93 * first_safe / first_likely


def test_a_censored_touch_pulls_one_way_only():
    """Dry at a time says that the wall was dry by then; still wet, that it was not."""
    wet_late = times(taught([touch(2, 1.4, DryFinding.STILL_WET)]))
    dry_soon = times(taught([touch(2, 0.7, DryFinding.DRY)]))
    expected = times(taught([touch(2, 0.3, DryFinding.STILL_WET)]))
    assert all(later[1] > first[1] for later, first in zip(wet_late, FIRST, strict=True))
    assert all(sooner[1] < first[1] for sooner, first in zip(dry_soon, FIRST, strict=True))
    assert expected[2] == pytest.approx(FIRST[2], rel=0.02)


def test_a_wall_found_wet_is_not_told_to_be_dry():
    """What was found on a coat counts for that coat above all."""
    now_h = DIPS[-1] + 1.3 * FIRST[4][0]
    late = DryCheck(id=an_id("late"), shell_id=SHELL.id, at=at(now_h), finding=DryFinding.STILL_WET)
    forecaster = a_forecaster()
    forecaster.learn([TaughtCase(SHELL, CASE.coats, (), (late,))], [], {ROOM: LOG}, at(now_h))
    before = forecast_one(CASE, LOG, now_h)
    after = forecast_one(CASE, LOG, now_h, forecaster)
    assert before.chance_dry > 0.8
    assert after.chance_dry < 0.55
    assert after.safe_at > at(now_h)
    # The other coats hear of it only through the shop.
    moved = [
        (one.likely_at - other.likely_at).total_seconds()
        for one, other in zip(after.coats, before.coats, strict=True)
    ]
    assert moved[4] > 1.2 * moved[3] > 0.0


def test_a_wall_found_dry_before_its_time_was_not_dipped_early():
    dipped_h = DIPS[3] + 1.05 * FIRST[3][0]
    case = a_case(SHELL, (*DIPS[:4], dipped_h))
    assert forecast_one(case, LOG, NOW_H).coats[4].dipped_early
    checks = [
        DryCheck(
            id=an_id(("dry", minute)),
            shell_id=SHELL.id,
            at=at(dipped_h) - timedelta(hours=0.4 * FIRST[3][0], minutes=minute),
            finding=DryFinding.DRY,
        )
        for minute in (0, 5)
    ]
    found = forecast_one(case, LOG, NOW_H, taught(checks, case))
    assert not found.coats[4].dipped_early


def test_touches_by_one_person_on_one_coat_count_once():
    """Five times "still wet" in a row is one idea of dry, not five."""
    once = times(taught([touch(2, 1.2, DryFinding.STILL_WET)]))
    many = times(taught([touch(2, 1.15 + 0.0125 * n, DryFinding.STILL_WET) for n in range(5)]))
    moved, moved_more = once[2][0] - FIRST[2][0], many[2][0] - FIRST[2][0]
    assert 0.0 < moved_more < 1.7 * moved


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 4), st.sampled_from((0.05, 20.0)))
def test_one_wild_check_cannot_wreck_what_many_have_taught(rank, share):
    good = [check for one in range(5) for check in bracket(one, 1.2)]
    finding = DryFinding.DRY if share < 1.0 else DryFinding.STILL_WET
    # A touch long after the next dip is of that dip, so the late one is of the last coat.
    rank = rank if share < 1.0 else 4
    wild = touch(rank, min(share, 3.5), finding, name="wild")
    before, after = times(taught(good)), times(taught([*good, wild]))
    for (likely, safe), (likely_after, safe_after) in zip(before, after, strict=True):
        assert likely_after == pytest.approx(likely, rel=0.04)
        assert safe_after == pytest.approx(safe, rel=0.04)


def test_a_wild_check_is_seen_to_be_wild_and_a_good_one_is_not():
    good = [check for one in range(5) for check in bracket(one, 1.2)]
    wild = touch(3, 0.1, DryFinding.DRY, name="wild")
    lessons = {one.check_id: one for one in taught([*good, wild]).learned().lessons}
    assert lessons[wild.id].wild > 0.9
    assert all(lessons[check.id].wild < 0.15 for check in good)


def test_checks_teach_in_any_order():
    checks = [check for rank in range(5) for check in bracket(rank, 1.3)]
    assert times(taught(checks)) == times(taught(checks[::-1]))


def test_what_is_left_out_is_as_if_it_had_not_been():
    checks = [check for rank in range(5) for check in bracket(rank, 1.3)]
    forecaster = taught(checks)
    forecaster.learn(
        [TaughtCase(SHELL, CASE.coats, (), tuple(checks[:4]))], [], {ROOM: LOG}, at(NOW_H)
    )
    assert times(forecaster) == times(taught(checks[:4]))


def test_the_pace_of_a_check_is_what_leaving_it_out_would_undo():
    checks = [check for rank in range(5) for check in bracket(rank, 1.4)]
    whole = taught(checks).learned()
    lessons = {one.check_id: one for one in whole.lessons}
    for check in (checks[0], checks[7]):
        rest = taught([other for other in checks if other is not check]).learned()
        slurry = CASE.coats[0 if check is checks[0] else 3].step.slurry
        then = next(one for one in rest.usual_coats if one.slurry == slurry)
        now = next(one for one in whole.usual_coats if one.slurry == slurry)
        assert lessons[check.id].pace == pytest.approx(now.safe_s / then.safe_s, rel=1e-9)


# Infrared and weighings: made from what the model has at known factors


def test_an_infrared_reading_on_a_wet_wall_is_near_the_wet_bulb():
    """A wet surface in moving air lies between wet bulb and air (psychrometry); see expected."""
    coat = CASE.coats[4]
    reading = InfraredReading(
        id=an_id("ir"),
        shell_id=SHELL.id,
        at=coat.dipped_at + timedelta(minutes=20),
        surface_temp_c=17.0,
        air_temp_c=22.0,
    )
    (lesson,) = taught([reading]).learned().lessons
    depression = 22.0 - float(moist_air.wet_bulb(22.0, 0.5))
    assert lesson.expected is not None
    assert 0.4 * depression < lesson.expected.likely < depression
    assert lesson.seen == pytest.approx(5.0)


def test_a_surface_as_warm_as_the_air_says_dry_and_a_cold_one_says_wet():
    coat = CASE.coats[3]
    at_time = coat.dipped_at + timedelta(hours=0.8 * FIRST[3][0])
    warm, cold = (
        InfraredReading(
            id=an_id(("ir", drop)),
            shell_id=SHELL.id,
            at=at_time,
            surface_temp_c=22.0 - drop,
            air_temp_c=22.0,
        )
        for drop in (0.0, 5.0)
    )
    assert times(taught([warm]))[3][0] < FIRST[3][0] < times(taught([cold]))[3][0]


def weighings(share: float) -> list[Weighing]:
    """Two weighings of the last coat; between them went `share` of the 75 g it brought."""
    coat = CASE.coats[4]
    brought = coat.step.water_kg_m2.likely * 0.3
    hours = (0.1, 0.6 * FIRST[4][0])
    return [
        Weighing(
            id=an_id(("scale", index)),
            shell_id=SHELL.id,
            at=coat.dipped_at + timedelta(hours=hour),
            mass_kg=4.0 - brought * share * index,
        )
        for index, hour in enumerate(hours)
    ]


def test_much_water_gone_is_a_quick_wall_and_little_a_slow_one():
    much, little = times(taught(weighings(0.95))), times(taught(weighings(0.4)))
    assert much[4][0] < FIRST[4][0] < little[4][0]
    (lesson,) = taught(weighings(0.7)).learned().lessons
    assert lesson.expected is not None
    assert 0.0 < lesson.expected.low < lesson.expected.high < 0.075


def test_a_weighing_alone_or_of_an_unknown_area_teaches_nothing():
    assert times(taught(weighings(0.4)[:1])) == FIRST
    shell = a_shell()
    unknown = a_case(shell, DIPS)
    forecaster = taught(weighings(0.4), unknown)
    assert times(forecaster, unknown) == times(a_forecaster(), unknown)


# Cores


def test_a_core_learns_by_itself_and_leaves_the_face_alone():
    core = a_core(an_opening(0.12))
    shell = a_shell(area_m2=0.3, cores=(core,))
    case = a_case(shell, DIPS)
    before = forecast_one(case, LOG, NOW_H)
    likely = before.cores[0].likely_at
    assert likely is not None
    dipped = case.coats[-1].dipped_at
    check = DryCheck(
        id=an_id("inside"),
        shell_id=shell.id,
        core_id=core.id,
        at=dipped + 0.6 * (likely - dipped),
        finding=DryFinding.DRY,
    )
    forecaster = taught([check], case)
    after = forecast_one(case, LOG, NOW_H, forecaster)
    assert after.safe_at == before.safe_at
    assert after.cores[0].likely_at < likely
    kinds = [one.kind for one in forecaster.learned().factors]
    assert kinds.count(FactorKind.VENT) == 1


# The air counts only as it was up to the check


def test_later_air_does_not_change_what_a_check_said():
    checks = bracket(1, 1.3)
    until = a_log(-400.0, 30.0)
    damp = a_log(-400.0, 400.0, rh=lambda hour: 0.5 if hour <= 30.0 else 0.9)
    found = []
    for log in (until, damp):
        forecaster = a_forecaster()
        case = TaughtCase(SHELL, CASE.coats, (), tuple(checks))
        forecaster.learn([case], [], {ROOM: log}, at(NOW_H))
        found.append(film(forecaster.learned()))
    assert found[0] == pytest.approx(found[1], rel=1e-9)


def test_looks_are_kept_and_made_anew_when_the_air_before_a_check_changes():
    checks = bracket(1, 1.3)
    case = TaughtCase(SHELL, CASE.coats, (), tuple(checks))
    warm = a_forecaster()
    warm.learn([case], [], {ROOM: LOG}, at(NOW_H))
    other = a_log(-400.0, 400.0, rh=0.65)
    warm.learn([case], [], {ROOM: other}, at(NOW_H))
    cold = a_forecaster()
    cold.learn([case], [], {ROOM: other}, at(NOW_H))
    assert film(warm.learned()) == film(cold.learned())


# The touch's likelihood against the definition


def test_the_chance_of_a_touch_is_that_of_its_definition():
    """One touch and nothing else: P(dry) by drawing times and ideas of dry with numpy."""
    check = touch(2, 1.0, DryFinding.DRY)
    (lesson,) = taught([check]).learned().lessons
    likely, safe = FIRST[2]
    spread = np.log(safe / likely) / norm.ppf(0.9)
    idea = np.hypot(np.hypot(spread, VALUES.touch), VALUES.touch_again)
    chance = norm.cdf(np.log(1.0) / idea)
    expected = (1.0 - VALUES.stray_share) * chance + 0.5 * VALUES.stray_share
    assert lesson.chance == pytest.approx(expected, abs=0.03)


def test_kinds_are_told_apart():
    """Only backup coats are slow: their crust takes the blame, not the prime's."""
    checks = [
        *bracket(0, 1.0),
        *bracket(1, 1.0),
        *bracket(2, 1.6),
        *bracket(3, 1.6),
        *bracket(4, 1.6),
    ]
    crusts = {
        one.slurry: one.now.likely
        for one in taught(checks).learned().factors
        if one.kind is FactorKind.CRUST
    }
    assert crusts[backup().slurry] > 1.15
    assert crusts[backup().slurry] > 1.1 * crusts[prime().slurry]
