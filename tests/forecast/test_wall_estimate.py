"""The wall of one shell by calipers and scale: what moves the estimate, and what cannot."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import exp, log, sqrt

import numpy as np
import pytest
from builders import a_coat, a_shell, an_id, at, backup, prime
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from shellcoat.forecast.step_figures import StepEvidence
from shellcoat.forecast.thickness import wall_thickness
from shellcoat.forecast.wall_answers import WallAnswer, WallEvidence
from shellcoat.forecast.wall_estimate import estimate_wall, flat_wall
from shellcoat.forecast.wall_readings import WallCase
from shellcoat.forecast.wall_values import wall_values
from shellcoat.shop import (
    Band,
    CaliperReading,
    DryCheck,
    DryFinding,
    PlateTest,
    WallPlace,
    Weighing,
)

STEPS = (prime(), prime(), *[backup()] * 6)
SHELL = a_shell(steps=STEPS, area_m2=0.3, wax_mass_kg=2.5)
ON = 5
COATS = tuple(a_coat(SHELL, number, 24.0 * number) for number in range(1, ON + 1))
WALL_M = sum(step.thickness_m.likely for step in STEPS[:ON])
NOW = at(24.0 * ON + 100.0)
SHARED = 0.5
VALUES = wall_values()
NO_STRAYS = replace(VALUES, stray=replace(VALUES.stray, reading_share=0.0, shell_share=0.0))
UNTESTED = StepEvidence()
WATER = Band(0.0, 0.01, 0.02)
FLAT, EDGE, CORNER = WallPlace.FLAT, WallPlace.EDGE, WallPlace.CORNER

RATIOS = st.floats(0.5, 2.0)
READINGS = st.lists(
    st.tuples(st.sampled_from(WallPlace), RATIOS, st.integers(1, ON)), min_size=1, max_size=6
)


def a_reading(
    ratio: float = 1.0,
    place: WallPlace = FLAT,
    coats: int = ON,
    name: object = 0,
    **changes: object,
) -> CaliperReading:
    """A caliper reading so many times as thick as the flats should be after so many coats."""
    likely = sum(step.thickness_m.likely for step in STEPS[:coats])
    fields = {
        "id": an_id(("caliper", ratio, place, coats, name)),
        "shell_id": SHELL.id,
        "at": at(24.0 * coats + 10.0),
        "place": place,
        "thickness_m": ratio * likely,
    }
    return CaliperReading(**(fields | changes))


def a_weighing(mass_kg: float, name: object = 0, **changes: object) -> Weighing:
    fields = {
        "id": an_id(("weighing", mass_kg, name)),
        "shell_id": SHELL.id,
        "at": at(24.0 * ON + 20.0),
        "mass_kg": mass_kg,
    }
    return Weighing(**(fields | changes))


def estimate(*checks: object, evidence=UNTESTED, values=VALUES, **changes) -> WallAnswer:
    """The wall after five coats with these checks; every weighing is of an almost dry wall."""
    walls = tuple(evidence.figures(coat.step).thickness_m for coat in COATS)
    fields = {
        "shell": SHELL,
        "coats": COATS,
        "walls": walls,
        "checks": checks,
        "water_now_kg_m2": WATER,
        "water_then_kg_m2": {check.id: WATER for check in checks if isinstance(check, Weighing)},
    }
    return estimate_wall(WallCase(**(fields | changes)), evidence, NOW, values, SHARED)


def wall_now(answer: WallAnswer, place: WallPlace = FLAT) -> Band:
    return next(found.now_m for found in answer.places if found.place is place)


def at_end(answer: WallAnswer, place: WallPlace = FLAT) -> Band:
    return next(found.at_end_m for found in answer.places if found.place is place)


def width(band: Band) -> float:
    return log(band.high / band.low)


def close(one: Band, other: Band, rel: float = 1e-9) -> bool:
    return (one.low, one.likely, one.high) == pytest.approx(
        (other.low, other.likely, other.high), rel=rel
    )


def test_without_a_reading_the_flats_are_the_coats_own_bands():
    answer = estimate()
    bands = [step.thickness_m for step in STEPS]
    assert wall_now(answer) == wall_thickness(bands[:ON], SHARED)
    assert at_end(answer) == wall_thickness(bands, SHARED)
    assert [found.place for found in answer.places] == [FLAT, EDGE, CORNER]
    assert [move.evidence for move in answer.moves] == [WallEvidence.SEQUENCE]
    assert wall_now(answer, EDGE).likely < WALL_M < wall_now(answer, CORNER).likely


def test_a_bare_wax_has_a_wall_to_come_and_its_own_weight():
    answer = estimate(a_reading(), coats=(), walls=())
    assert wall_now(answer) == Band(0.0, 0.0, 0.0)
    assert at_end(answer) == wall_thickness([step.thickness_m for step in STEPS], SHARED)
    assert answer.moves == ()
    assert answer.mass_expected_kg is not None
    assert answer.mass_expected_kg.likely == pytest.approx(2.5)


def joint_mean(readings: list[tuple[WallPlace, float]]) -> tuple[float, float]:
    """Mean and standard deviation of ln of the factor, by normal equations.

    Unknowns: factor, edge, corner. A closed form of its own: precisions added in a matrix.
    """
    growth_sd = _prior_spread(ON)
    edge, corner = VALUES.place[EDGE], VALUES.place[CORNER]
    place_sd = [log(band.high / band.low) / 2 / 1.2816 for band in (edge, corner)]
    precision = np.diag([1 / growth_sd**2, 1 / place_sd[0] ** 2, 1 / place_sd[1] ** 2])
    pull = precision @ np.array([0.0, log(edge.likely), log(corner.likely)])
    for place, ratio in readings:
        row = np.array([1.0, float(place is EDGE), float(place is CORNER)])
        precision += np.outer(row, row) / VALUES.spread.caliper**2
        pull += row * log(ratio) / VALUES.spread.caliper**2
    cover = np.linalg.inv(precision)
    return float((cover @ pull)[0]), float(sqrt(cover[0, 0]))


def _prior_spread(coats: int) -> float:
    """Relative standard deviation of the wall, from the band that `wall_thickness` gives."""
    band = wall_thickness([step.thickness_m for step in STEPS[:coats]], SHARED)
    return (band.high - band.likely) / 1.2816 / band.likely


@given(st.lists(st.tuples(st.sampled_from(WallPlace), st.floats(0.7, 1.4)), min_size=1, max_size=5))
@settings(max_examples=40, deadline=None)
def test_without_strays_it_is_the_mean_weighed_by_precision(readings):
    checks = [a_reading(ratio, place, name=n) for n, (place, ratio) in enumerate(readings)]
    answer = estimate(*checks, values=NO_STRAYS)
    mean, spread = joint_mean(readings)
    assert log(wall_now(answer).likely / WALL_M) == pytest.approx(mean, abs=2e-3)
    own = wall_thickness([step.thickness_m for step in STEPS[:ON]], SHARED)
    narrowed = log(wall_now(answer).high / wall_now(answer).likely) / log(own.high / own.likely)
    assert narrowed == pytest.approx(spread / _prior_spread(ON), rel=0.02)


def test_a_flat_reading_alone_by_hand():
    """One reading of a wall a fifth thicker than expected, 10 % spread, no strays.

    By hand: prior spread s of ln, reading 0.10: the factor is exp(ln 1.2 s2/(s2 + 0.01)).
    """
    variance = _prior_spread(ON) ** 2
    expected = WALL_M * exp(log(1.2) * variance / (variance + 0.01))
    found = wall_now(estimate(a_reading(1.2), values=NO_STRAYS)).likely
    assert found == pytest.approx(expected, rel=1e-3)


@given(READINGS, st.randoms())
@settings(max_examples=30, deadline=None)
def test_the_order_of_checks_does_not_matter(readings, shuffle):
    checks = [
        a_reading(ratio, place, coats, name=number)
        for number, (place, ratio, coats) in enumerate(readings)
    ]
    checks.append(a_weighing(4.4))
    first = estimate(*checks)
    shuffle.shuffle(checks)
    again = estimate(*checks)
    assert first == again


@given(READINGS)
@settings(max_examples=30, deadline=None)
def test_the_time_of_day_under_one_coat_does_not_matter(readings):
    def answer(minutes: list[int]) -> Band:
        return wall_now(
            estimate(
                *(
                    a_reading(
                        ratio, place, coats, name=n, at=at(24.0 * coats + 1.0 + minutes[n] / 60.0)
                    )
                    for n, (place, ratio, coats) in enumerate(readings)
                )
            )
        )

    up = list(range(len(readings)))
    assert close(answer(up), answer(up[::-1]))


@pytest.mark.parametrize("place", WallPlace)
def test_more_agreeing_readings_never_widen(place):
    answer = estimate()
    checks: list[CaliperReading] = []
    widths = [width(wall_now(answer, place))]
    for number in range(8):
        ratio = wall_now(answer, place).likely / WALL_M
        checks.append(a_reading(ratio, place, name=number))
        answer = estimate(*checks)
        widths.append(width(wall_now(answer, place)))
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < 0.5 * widths[0]


@given(st.floats(0.9, 1.1), st.integers(1, 5))
@settings(max_examples=20, deadline=None)
def test_one_more_reading_of_the_estimate_narrows_it(ratio, count):
    checks = [a_reading(ratio, name=number) for number in range(count)]
    before = wall_now(estimate(*checks))
    after = wall_now(estimate(*checks, a_reading(before.likely / WALL_M, name="last")))
    assert width(after) <= width(before) * (1.0 + 1e-6)


@pytest.mark.parametrize("place", WallPlace)
def test_a_reading_as_expected_barely_moves_the_estimate(place):
    ratio = wall_now(estimate(), place).likely / WALL_M
    assert wall_now(estimate(a_reading(ratio, place))).likely == pytest.approx(WALL_M, rel=2e-3)


@pytest.mark.parametrize("factor", [5.0, 0.2])
def test_one_wild_reading_cannot_carry_the_estimate_away(factor):
    good = [a_reading(1.0, name=number) for number in range(2)]
    alone = estimate(a_reading(factor, name="wild"))
    among = estimate(*good, a_reading(factor, name="wild"))
    assert wall_now(alone).likely == pytest.approx(WALL_M, rel=0.05)
    assert wall_now(among).likely == pytest.approx(wall_now(estimate(*good)).likely, rel=0.005)
    assert wild_of(among, factor) > 0.98
    assert max(wild_of(among, 1.0), wild_of(estimate(*good), 1.0)) < 0.05


def wild_of(answer: WallAnswer, ratio: float) -> float:
    """The chance of being stray that a reading of this ratio got."""
    seen = [move for move in answer.moves if move.seen_m == pytest.approx(ratio * WALL_M)]
    return seen[0].wild


@pytest.mark.parametrize("factor", [5.0, 1.5, 0.4])
def test_three_that_agree_do_move_it(factor):
    answer = estimate(*(a_reading(factor, name=number) for number in range(3)))
    assert wall_now(answer).likely == pytest.approx(factor * WALL_M, rel=0.06)
    assert wild_of(answer, factor) < 0.05


@given(st.floats(0.01, 30.0), st.sampled_from(WallPlace))
@settings(max_examples=40, deadline=None)
def test_what_one_reading_can_do_is_bounded(factor, place):
    # Whatever is typed, two good readings hold the estimate within an eighth; one of 1.4 times
    # the wall, which might be true, pulls hardest.
    good = [a_reading(1.0, name=number) for number in range(2)]
    thickness = min(max(factor * WALL_M, 1e-4), 0.1)
    wild = a_reading(1.0, place, name="wild", thickness_m=thickness)
    assert wall_now(estimate(*good, wild)).likely == pytest.approx(WALL_M, rel=1 / 8)


def test_what_is_left_out_or_still_to_come_changes_nothing():
    plain = estimate(a_reading(0.9))
    dry = DryCheck(id=an_id("dry"), shell_id=SHELL.id, at=at(30.0), finding=DryFinding.DRY)
    answer = estimate(
        a_reading(0.9),
        a_reading(3.0, left_out="wax in the jaws"),
        a_weighing(9.0, left_out="hook on the scale"),
        a_reading(3.0, name="tomorrow", at=at(24.0 * ON + 500.0)),
        dry,
    )
    assert answer == plain


def test_a_reading_before_any_coat_says_nothing_of_a_wall():
    early = a_reading(2.0, at=at(1.0))
    assert estimate(early) == estimate()


def test_a_reading_under_an_earlier_coat_tells_less_than_one_now():
    now, before = estimate(a_reading(1.3)), estimate(a_reading(1.3, coats=2))
    assert 1.0 < wall_now(before).likely / WALL_M < wall_now(now).likely / WALL_M
    assert width(wall_now(now)) < width(wall_now(before)) < width(wall_now(estimate()))


@pytest.mark.parametrize("coats", [1, 2, 4, ON])
def test_a_reading_at_any_coat_is_weighed_coat_by_coat(coats):
    """Against the normal law of all coats' errors at once, on a matrix of coats by coats.

    The error of each coat has the standard deviation of its band, any two hang together by one
    half; a reading sees the sum of those that were on, the wall now is the sum of all five.
    """
    bands = [step.thickness_m for step in STEPS]
    sigma = np.array([(band.high - band.low) / 2.563 for band in bands])
    cover = np.outer(sigma, sigma) * (SHARED + (1.0 - SHARED) * np.eye(len(sigma)))

    def wall(number: int) -> np.ndarray:
        on = np.arange(len(bands)) < number
        return on / sum(band.likely for band in bands[:number])

    seen = wall(coats)
    answer = estimate(a_reading(1.25, coats=coats), values=NO_STRAYS)
    for number, band in ((ON, wall_now(answer)), (len(bands), at_end(answer))):
        thing = wall(number)
        gain = thing @ cover @ seen / (seen @ cover @ seen + VALUES.spread.caliper**2)
        own = wall_thickness(bands[:number], SHARED)
        # The coats to come are told by the wall now alone, which loses a twentieth of what an
        # early reading would say of them.
        lost = 0.05 if number > ON > coats else 0.0
        expected = gain * log(1.25)
        assert log(band.likely / own.likely) == pytest.approx(expected, abs=1e-3 + lost * expected)
        left = 1.0 - gain * (thing @ cover @ seen) / (thing @ cover @ thing)
        narrowed = log(band.high / band.likely) / log(own.high / own.likely)
        assert narrowed == pytest.approx(sqrt(left), rel=0.02 + lost)


@given(READINGS)
@settings(max_examples=15, deadline=None)
def test_the_short_way_for_a_rack_gives_the_same_flats(readings):
    checks = [
        a_reading(ratio, place, coats, name=number)
        for number, (place, ratio, coats) in enumerate(readings)
    ]
    case = WallCase(
        shell=SHELL,
        coats=COATS,
        walls=tuple(step.thickness_m for step in STEPS[:ON]),
        checks=tuple(checks),
    )
    for given_case in (case, replace(case, checks=())):
        flats = flat_wall(given_case, UNTESTED, NOW, VALUES, SHARED)
        answer = estimate_wall(given_case, UNTESTED, NOW, VALUES, SHARED)
        assert flats == (wall_now(answer), at_end(answer))


def test_the_moves_lead_from_the_sequence_to_the_answer():
    checks = [a_reading(1.2, name="one"), a_reading(1.1, EDGE, 3), a_weighing(4.4)]
    answer = estimate(*checks)
    moves = answer.moves
    assert [move.evidence for move in moves] == [
        WallEvidence.SEQUENCE,
        WallEvidence.CALIPER,
        WallEvidence.CALIPER,
        WallEvidence.WEIGHING,
    ]
    assert [move.at for move in moves[1:]] == sorted(check.at for check in checks)
    for move, following in pairwise(moves):
        assert move.after_m == following.before_m
    assert moves[-1].after_m == wall_now(answer)
    assert {move.check_id for move in moves[1:]} == {check.id for check in checks}
    assert moves[1].place is EDGE


def test_a_reading_is_compared_with_what_was_expected_before_it():
    checks = [a_reading(1.3, name=n, at=at(24.0 * ON + 1.0 + n)) for n in range(3)]
    first, second, third = estimate(*checks, values=NO_STRAYS).moves[1:]
    assert first.expected_m.likely == pytest.approx(WALL_M, rel=2e-3)
    assert first.expected_m.likely < second.expected_m.likely < third.expected_m.likely
    # Four in five readings fall inside: the wall's own spread and the caliper's.
    expected = 2 * 1.2816 * sqrt(_prior_spread(ON) ** 2 + VALUES.spread.caliper**2)
    assert width(first.expected_m) == pytest.approx(expected, rel=0.01)


def test_a_plate_test_is_told_before_the_readings():
    plate = PlateTest(
        id=an_id("plate"),
        slurry="fused silica backup",
        at=at(-20.0),
        area_m2=0.02,
        mass_kg=0.0188,
        water_share=0.267,
    )
    evidence = StepEvidence([plate])
    answer = estimate(a_reading(1.0), evidence=evidence)
    own, by_plate, caliper = answer.moves
    bands = [step.thickness_m for step in STEPS[:ON]]
    assert own.after_m == wall_thickness(bands, SHARED)
    assert (by_plate.evidence, by_plate.name) == (WallEvidence.PLATE, "fused silica backup")
    assert by_plate.at == plate.at
    # Three backup coats of 0.94 mm each, where the sequence let expect 1.2 mm.
    assert by_plate.seen_m == pytest.approx(3 * 0.94e-3, rel=0.01)
    assert by_plate.expected_m.likely == pytest.approx(3.6e-3)
    assert by_plate.after_m.likely < by_plate.before_m.likely == own.after_m.likely
    assert caliper.before_m == by_plate.after_m


def test_coats_that_went_on_wet_are_thinner_and_lighter_by_all_evidence():
    plate = PlateTest(
        id=an_id("plate"), slurry="fused silica backup", at=at(-20.0), area_m2=0.02, mass_kg=0.02
    )
    evidence = StepEvidence([plate])
    full = [evidence.figures(coat.step).thickness_m for coat in COATS]
    thin = tuple(Band(0.9 * band.low, 0.9 * band.likely, 0.9 * band.high) for band in full)
    dry, wet = estimate(evidence=evidence), estimate(evidence=evidence, walls=thin)
    nothing = Band(0.0, 0.0, 0.0)
    masses = [
        estimate(evidence=evidence, walls=walls, water_now_kg_m2=nothing).mass_expected_kg.likely
        for walls in (tuple(full), thin)
    ]
    assert (masses[1] - 2.5) / (masses[0] - 2.5) == pytest.approx(0.9, rel=2e-3)
    for on_dry, on_wet in zip(dry.moves, wet.moves, strict=True):
        assert on_wet.before_m.likely == pytest.approx(0.9 * on_dry.before_m.likely)
        assert on_wet.after_m.likely == pytest.approx(0.9 * on_dry.after_m.likely)
    assert wet.moves[1].seen_m == pytest.approx(0.9 * dry.moves[1].seen_m)


def test_what_was_learned_goes_with_the_coats_to_come():
    answer = estimate(*(a_reading(1.3, name=number) for number in range(4)))
    gained = at_end(answer).likely - wall_now(answer).likely
    planned = sum(step.thickness_m.likely for step in STEPS[ON:])
    # The coats share half of their variance: the next ones will be thick too, but less surely.
    assert planned < gained < planned * wall_now(answer).likely / WALL_M


def test_edges_measured_tell_of_edges_more_than_of_flats():
    thin = [a_reading(0.6, EDGE, name=number) for number in range(4)]
    before, after = estimate(), estimate(*thin)
    edge_moved = log(wall_now(after, EDGE).likely / wall_now(before, EDGE).likely)
    flat_moved = log(wall_now(after).likely / wall_now(before).likely)
    assert edge_moved < flat_moved < 0.0
    places = {found.place: found.readings for found in after.places}
    assert places == {FLAT: 0, EDGE: 4, CORNER: 0}


@given(st.floats(0.6, 1.6), st.floats(1.02, 1.3))
@settings(max_examples=20, deadline=None)
def test_a_thicker_reading_never_thins_the_wall_nor_its_chance(ratio, more):
    thin, thick = (estimate(a_reading(r), values=NO_STRAYS) for r in (ratio, ratio * more))
    for one, other in zip(thin.places, thick.places, strict=True):
        assert one.now_m.likely <= other.now_m.likely
        assert one.chance_at_end <= other.chance_at_end + 1e-9


def test_the_chance_at_the_end_is_that_of_the_band():
    answer = estimate(a_reading(0.9), values=NO_STRAYS)
    flat = answer.places[0]
    spread = log(flat.at_end_m.high / flat.at_end_m.low) / 2 / 1.2816
    chance = norm.cdf(log(flat.at_end_m.likely / flat.target_m) / spread)
    assert flat.target_m == SHELL.sequence.target_thickness_m
    assert flat.chance_at_end == pytest.approx(chance, abs=0.02)


def dry_mass_kg() -> float:
    """Shell and wax, dry, by thickness, bulk density and area.

    Zircon prime without stucco: 2 x 0.45 mm at 2900 kg/m3, backup 3 x 1.2 mm at 1650:
    8.55 kg/m2, on 0.3 m2 2.565 kg, with 2.5 kg of wax 5.065 kg.
    """
    return 2.5 + 0.3 * (2 * 0.45e-3 * 2900.0 + 3 * 1.2e-3 * 1650.0)


def test_the_weight_expected_by_hand():
    answer = estimate()
    assert answer.mass_expected_kg.likely == pytest.approx(dry_mass_kg() + 0.3 * 0.01, rel=0.01)
    wet = estimate(water_now_kg_m2=Band(0.2, 0.25, 0.3))
    more = wet.mass_expected_kg.likely - answer.mass_expected_kg.likely
    assert more == pytest.approx(0.3 * 0.24, rel=0.03)


def test_a_weighing_as_expected_moves_nothing_but_the_weight():
    mass = dry_mass_kg() + 0.3 * 0.01
    answer = estimate(a_weighing(mass))
    assert wall_now(answer).likely == pytest.approx(WALL_M, rel=5e-3)
    assert width(answer.mass_expected_kg) < 0.2 * width(estimate().mass_expected_kg)
    assert answer.mass_expected_kg.likely == pytest.approx(mass, rel=5e-3)
    assert answer.mass_seen_kg == mass
    then = answer.mass_expected_then_kg
    assert then.low < mass < then.high
    assert answer.moves[-1].seen_m == pytest.approx(WALL_M, rel=1e-6)


def test_a_weighing_without_strays_is_the_mean_weighed_by_precision():
    """A dry wall a fifth too heavy: area and bulk density share the blame with the wall.

    By hand: ln 1.2 = factor + area and bulk + scale; variances s2, 0.15^2 + 0.07^2, and that of
    the scale (half a per cent of the mass and a fiftieth of the wax over the wall's mass).
    """
    wall_kg = dry_mass_kg() - 2.5
    weighing = a_weighing(2.5 + 1.2 * wall_kg)
    dry = Band(0.0, 0.0, 0.0)
    answer = estimate(weighing, values=NO_STRAYS, water_then_kg_m2={weighing.id: dry})
    scale = ((0.005 * dry_mass_kg()) ** 2 + (0.02 * 2.5) ** 2) / wall_kg**2
    variance = _prior_spread(ON) ** 2
    expected = log(1.2) * variance / (variance + 0.15**2 + 0.07**2 + scale)
    assert log(wall_now(answer).likely / WALL_M) == pytest.approx(expected, abs=2e-3)


def test_ten_weighings_do_not_make_the_area_known():
    mass = 2.5 + 1.2 * (dry_mass_kg() - 2.5)
    one = estimate(a_weighing(mass), values=NO_STRAYS)
    ten = estimate(*(a_weighing(mass, name=n) for n in range(10)), values=NO_STRAYS)
    assert width(wall_now(ten)) > 0.95 * width(wall_now(one))


def test_a_wet_shell_is_not_taken_for_a_thick_one():
    wet = Band(0.35, 0.40, 0.45)
    mass = dry_mass_kg() + 0.3 * 0.40
    weighing = a_weighing(mass)
    told = estimate(weighing, water_then_kg_m2={weighing.id: wet})
    taken_for_dry = estimate(weighing)
    assert wall_now(told).likely == pytest.approx(WALL_M, rel=5e-3)
    assert wall_now(taken_for_dry).likely > wall_now(told).likely * 1.01


@pytest.mark.parametrize(
    "changes", [{"area_m2": None}, {"wax_mass_kg": None}], ids=["no area", "no wax mass"]
)
def test_without_area_or_wax_a_weighing_is_only_shown(changes):
    shell = replace(SHELL, **changes)
    answer = estimate(a_weighing(4.4), shell=shell)
    assert wall_now(answer) == wall_now(estimate())
    assert answer.mass_seen_kg == 4.4
    assert answer.mass_seen_at == at(24.0 * ON + 20.0)
    assert answer.mass_expected_kg is None
    assert answer.mass_expected_then_kg is None


def test_a_weighing_whose_water_nobody_knows_is_only_shown():
    answer = estimate(a_weighing(4.4), water_then_kg_m2={})
    assert wall_now(answer) == wall_now(estimate())
    assert answer.mass_seen_kg == 4.4


def test_a_shell_lighter_than_its_wax_is_a_stray_weighing():
    answer = estimate(a_weighing(2.4))
    assert answer.moves[-1].wild == 1.0
    assert answer.moves[-1].seen_m is None
    assert wall_now(answer) == wall_now(estimate())


def test_a_little_shell_on_a_lot_of_wax_cannot_be_weighed():
    # 1 % of 200 kg of wax is as much as the whole wall: the scale shows it, and tells nothing.
    heavy = replace(SHELL, wax_mass_kg=200.0)
    answer = estimate(a_weighing(199.5), shell=heavy)
    assert wall_now(answer) == wall_now(estimate())
    assert [move.evidence for move in answer.moves] == [WallEvidence.SEQUENCE]
    then = answer.mass_expected_then_kg
    assert then.likely == pytest.approx(200.0 + dry_mass_kg() - 2.5, rel=1e-3)
    # Half a per cent by the scale and two by the wax.
    assert then.likely - then.low == pytest.approx(1.2816 * sqrt(1.0**2 + 4.0**2), rel=0.02)


def test_a_bare_wax_is_weighed_against_its_own_mass():
    bare = a_weighing(2.52, at=at(2.0))
    answer = estimate(bare)
    assert answer.mass_expected_then_kg.likely == pytest.approx(2.5)
    assert answer.mass_expected_then_kg.high < 2.6
    assert wall_now(answer) == wall_now(estimate())


def test_the_latest_weighing_is_compared_with_what_the_earlier_ones_let_expect():
    first = a_weighing(4.4)
    second = a_weighing(4.42, at=at(24.0 * ON + 30.0))
    answer = estimate(second, first)
    assert (answer.mass_seen_kg, answer.mass_seen_at) == (4.42, second.at)
    assert answer.mass_expected_then_kg.likely == pytest.approx(4.4, rel=0.02)
    assert width(answer.mass_expected_then_kg) < 0.3 * width(estimate().mass_expected_kg)


def test_a_weighing_is_compared_with_what_was_expected_before_it():
    """By hand, without strays, dry: P is the variance of wall, area and bulk, R the scale's.

    The first weighing is expected with P + R, the second with P R / (P + R) + R.
    """
    dry = Band(0.0, 0.0, 0.0)
    mass, wall_kg = dry_mass_kg(), dry_mass_kg() - 2.5
    first, second = a_weighing(mass), a_weighing(mass, "later", at=at(24.0 * ON + 30.0))
    water = {first.id: dry, second.id: dry}
    prior = _prior_spread(ON) ** 2 + 0.15**2 + 0.07**2
    scale = ((0.005 * mass) ** 2 + (0.02 * 2.5) ** 2) / wall_kg**2
    for checks, variance in (
        ([first], prior + scale),
        ([first, second], prior * scale / (prior + scale) + scale),
    ):
        answer = estimate(*checks, values=NO_STRAYS, water_then_kg_m2=water)
        then = answer.mass_expected_then_kg
        found = log((then.high - 2.5) / (then.low - 2.5)) / 2 / 1.2816
        assert found == pytest.approx(sqrt(variance), rel=0.02)
    heavy = a_weighing(2.5 + 1.3 * wall_kg)
    then = estimate(heavy, water_then_kg_m2={heavy.id: dry}).mass_expected_then_kg
    assert then.likely == pytest.approx(mass, rel=2e-3)


def test_simulated_shells_lie_within_their_bands_as_often_as_they_say():
    """Shells whose truth is drawn from the prior: four in five walls lie inside the band."""
    draw = np.random.default_rng(20261125)
    spread, inside, tries = _prior_spread(ON), 0, 100
    for _ in range(tries):
        truth = exp(draw.normal(0.0, spread))
        checks = [
            a_reading(truth * exp(draw.normal(0.0, VALUES.spread.caliper)), name=number)
            for number in range(draw.integers(0, 4))
        ]
        found = wall_now(estimate(*checks))
        inside += found.low <= truth * WALL_M <= found.high
    # 80 % of 100, three standard deviations of a count either way.
    assert abs(inside - 0.8 * tries) < 3.0 * sqrt(tries * 0.8 * 0.2)
