"""Each check: what lets it be fine, what asks for a look, what says stop."""

from __future__ import annotations

import string
from dataclasses import replace
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st
from review_cases import (
    BACKUP,
    COATS,
    CORE,
    NOW,
    SEAL,
    SHELL,
    a_case,
    a_coat,
    a_forecast,
    a_wall,
    ago,
    an_answer,
    an_id,
    coat_answer,
    only,
    with_core,
    yes_to_all,
)

from shellcoat.forecast.answers import ShellWarning, WarningKind
from shellcoat.forecast.strength_need import answer_spot
from shellcoat.forecast.strength_values import strength_values
from shellcoat.forecast.wall_answers import PlaceAnswer
from shellcoat.review.all_checks import review_checks, tally
from shellcoat.review.case import CoatAir, ReviewCase
from shellcoat.review.finding import CheckKind, Measure, ReviewCheck, Verdict
from shellcoat.review.values import review_values
from shellcoat.review.wall_checks import chance_reached
from shellcoat.shop import (
    Band,
    CaliperReading,
    CareKind,
    Coat,
    CoreCare,
    Defect,
    DefectKind,
    DryCheck,
    DryFinding,
    LookAnswer,
    MeltPlan,
    ReviewQuestion,
    ShellCheck,
    SpotKind,
    StressSpot,
    WallPlace,
    Weighing,
)

VALUES = review_values()


def check(case: ReviewCase, kind: CheckKind) -> ReviewCheck:
    return only(review_checks(case, VALUES), kind)


def verdict(case: ReviewCase, kind: CheckKind) -> Verdict:
    return check(case, kind).verdict


def figure(found: ReviewCheck, name: str) -> object:
    named = {key: each.value for sentence in found.seen for key, each in sentence.figures}
    return named[name]


def text(found: ReviewCheck) -> str:
    return " ".join(sentence.text for sentence in found.seen)


def weighed(hours_ago: float, mass_kg: float) -> Weighing:
    name = ("weighing", hours_ago)
    return Weighing(id=an_id(name), shell_id=SHELL.id, at=ago(hours_ago), mass_kg=mass_kg)


# All of them.


def test_every_kind_of_check_is_made_and_every_sentence_has_its_figures() -> None:
    checks = review_checks(with_core(), VALUES)
    assert {each.kind for each in checks} == set(CheckKind)
    for each in checks:
        assert each.seen
        assert each.would_change
        for sentence in (*each.seen, *each.would_change):
            wanted = {name for _, name, _, _ in string.Formatter().parse(sentence.text) if name}
            assert wanted <= {name for name, _ in sentence.figures}, sentence.text


def test_every_check_names_the_records_behind_it() -> None:
    for each in review_checks(with_core(), VALUES):
        assert each.records, each.kind


def test_what_nobody_looked_at_is_to_be_looked_at() -> None:
    """Without a single answer, weighing, reading or plan no such check is fine."""
    case = a_case(answers={}, air={}, wall=a_wall(places=()))
    unknown = {each.kind for each in review_checks(case, VALUES) if each.verdict is Verdict.LOOK}
    known = {CheckKind.COATS, CheckKind.INTERVALS, CheckKind.HOLD}
    assert unknown == set(CheckKind) - known - {CheckKind.CORE, CheckKind.THICKNESS}


def test_no_sentence_says_that_anything_is_safe_to_pour() -> None:
    for case in (a_case(), a_case(answers={}), with_core(), with_core(plugged=True)):
        for each in review_checks(case, VALUES):
            words = " ".join(s.text for s in (*each.seen, *each.would_change)).casefold()
            assert "safe to" not in words
            assert "will hold" not in words


def test_all_checks_are_counted() -> None:
    checks = review_checks(with_core(chance_dry=0.1, safe_at=None), VALUES)
    assert sum(tally(checks).values()) == len(checks)
    assert tally(checks)[Verdict.STOP] == 1


# Coats, intervals, hold.


def test_all_coats_in_order_are_fine() -> None:
    found = check(a_case(), CheckKind.COATS)
    assert (found.verdict, found.records) == (Verdict.FINE, tuple(coat.id for coat in COATS))


@pytest.mark.parametrize(
    ("coats", "said"),
    [
        ((), Verdict.STOP),
        (COATS[:1], Verdict.STOP),
        (COATS[:2], Verdict.LOOK),  # only the seal coat is missing
        ((COATS[0], COATS[2], COATS[1]), Verdict.LOOK),
        ((*COATS, a_coat(4, BACKUP, 10.0)), Verdict.LOOK),
        ((COATS[0], a_coat(2, replace(BACKUP, stucco="chamotte"), 60), COATS[2]), Verdict.LOOK),
    ],
)
def test_coats_missing_swapped_or_beyond(coats: tuple[Coat, ...], said: Verdict) -> None:
    assert verdict(a_case(coats=coats, forecast=a_forecast(coats)), CheckKind.COATS) is said


def test_an_interval_too_short_is_named_with_its_numbers() -> None:
    early = coat_answer(2, COATS[1], dipped_early=True, left_before=Band(0.1, 0.22, 0.4))
    first = coat_answer(1, COATS[0], safe_at=COATS[0].dipped_at + (ago(0) - ago(25)))
    forecast = a_forecast(coats=COATS)
    forecast = replace(forecast, coats=(first, early, forecast.coats[2]))
    found = check(a_case(forecast=forecast), CheckKind.INTERVALS)
    assert found.verdict is Verdict.LOOK
    assert found.records == (COATS[1].id,)
    assert figure(found, "waited") == 20 * 3600.0
    assert figure(found, "safe") == 25 * 3600.0
    assert figure(found, "left") == 0.22


def test_intervals_that_were_long_enough_name_the_closest() -> None:
    """The second coat waited 20 h, the third 30 h; both needed six."""
    found = check(a_case(), CheckKind.INTERVALS)
    assert found.verdict is Verdict.FINE
    assert (figure(found, "coat"), figure(found, "waited")) == (2, 20 * 3600.0)
    assert figure(found, "safe") == 6 * 3600.0


def test_many_early_coats_are_counted_after_the_first_few() -> None:
    coats = tuple(a_coat(number, BACKUP, 100.0 - number) for number in range(1, 11))
    forecast = a_forecast(coats)
    early = tuple(replace(answer, dipped_early=answer.number > 1) for answer in forecast.coats)
    case = a_case(coats=coats, forecast=replace(forecast, coats=early))
    found = check(case, CheckKind.INTERVALS)
    assert len(found.seen) == 5
    assert figure(found, "more") == 5
    assert len(found.records) == 9


@pytest.mark.parametrize(
    ("chance", "hours_ago", "said"),
    [
        (0.99, 30.0, Verdict.FINE),
        (0.99, 23.0, Verdict.LOOK),  # dry, but the hold is a day
        (0.89, 30.0, Verdict.STOP),  # the shop wants 90 %
        (0.10, 2.0, Verdict.STOP),
    ],
)
def test_the_final_hold(chance: float, hours_ago: float, said: Verdict) -> None:
    coats = (*COATS[:2], a_coat(3, SEAL, hours_ago))
    case = a_case(coats=coats, forecast=a_forecast(coats, chance_dry=chance))
    assert verdict(case, CheckKind.HOLD) is said


# Cores.


@pytest.mark.parametrize(
    ("known", "said"),
    [
        ({}, Verdict.FINE),
        ({"chance_dry": 0.7}, Verdict.LOOK),
        ({"chance_dry": 0.3}, Verdict.STOP),
        ({"chance_dry": 0.3, "safe_at": None}, Verdict.STOP),
        ({"plugged": True}, Verdict.FINE),
        ({"closed": True}, Verdict.LOOK),
        ({"plugged": True, "water_kg": Band(0.0, 0.001, 0.003)}, Verdict.STOP),
        ({"closed": True, "water_kg": Band(0.002, 0.004, 0.009)}, Verdict.STOP),
    ],
)
def test_a_core(known: dict[str, object], said: Verdict) -> None:
    assert verdict(with_core(**known), CheckKind.CORE) is said


def test_a_core_tells_its_water_as_steam_and_what_was_done_to_it() -> None:
    at_core = {"shell_id": SHELL.id, "core_id": CORE.id, "at": ago(5)}
    blown = CoreCare(id=uuid4(), kind=CareKind.PLUG, **at_core)
    touched = DryCheck(id=uuid4(), finding=DryFinding.DRY, **at_core)
    elsewhere = DryCheck(id=uuid4(), shell_id=SHELL.id, at=ago(4), finding=DryFinding.DRY)
    case = replace(with_core(), care=(blown,), checks=(touched, elsewhere))
    found = check(case, CheckKind.CORE)
    assert found.records == (blown.id, touched.id)
    assert figure(found, "steam") == 0.33
    assert figure(found, "openings") == 1
    assert found.name == "body"


def test_a_hollow_that_is_not_recorded_stops() -> None:
    answers = yes_to_all() | {
        ReviewQuestion.CORES: an_answer(ReviewQuestion.CORES, LookAnswer.NO, "under the wing")
    }
    found = check(a_case(answers=answers), CheckKind.CORES)
    assert found.verdict is Verdict.STOP
    assert figure(found, "note") == "under the wing"


# Wall and strength.


@given(st.floats(1e-3, 10e-3), st.floats(0.02, 0.5), st.floats(1e-3, 10e-3), st.floats(1.01, 2))
def test_a_thicker_wall_never_misses_its_target_sooner(
    likely: float, spread: float, target: float, factor: float
) -> None:
    def wall(middle: float) -> Band:
        return Band(middle * (1 - spread), middle, middle * (1 + spread))

    thin, thick = (
        chance_reached(wall(likely), target),
        chance_reached(wall(factor * likely), target),
    )
    assert 0.0 <= thin <= thick <= 1.0


@pytest.mark.parametrize(
    ("likely_mm", "said"), [(2.1, Verdict.FINE), (1.9, Verdict.LOOK), (0.5, Verdict.LOOK)]
)
def test_a_target_missed_asks_for_a_look_and_never_stops(likely_mm: float, said: Verdict) -> None:
    wall_m = Band(0.9e-3 * likely_mm, 1e-3 * likely_mm, 1.1e-3 * likely_mm)
    place = PlaceAnswer(
        place=WallPlace.EDGE,
        now_m=wall_m,
        at_end_m=wall_m,
        target_m=2e-3,
        chance_at_end=0.5,
        readings=0,
    )
    found = check(a_case(wall=a_wall(places=(place,))), CheckKind.THICKNESS)
    assert (found.verdict, found.name) == (said, "edge")
    assert "Not measured" in text(found)


def test_a_measured_place_shows_its_readings_and_no_others() -> None:
    common = {"shell_id": SHELL.id, "at": ago(3), "thickness_m": 2e-3}
    flat = CaliperReading(id=uuid4(), place=WallPlace.FLAT, **common)
    edge = CaliperReading(id=uuid4(), place=WallPlace.EDGE, **common)
    scale = weighed(4, 3.0)
    found = check(a_case(checks=(scale, flat, edge)), CheckKind.THICKNESS)
    assert set(found.records) == {flat.id, scale.id}


@pytest.mark.parametrize(
    ("wall_mm", "said"), [(25.0, Verdict.FINE), (8.0, Verdict.LOOK), (4.0, Verdict.STOP)]
)
def test_a_face_against_what_the_metal_needs(wall_mm: float, said: Verdict) -> None:
    """100 x 150 mm under half a metre of bronze: with 4 MPa about 7 mm are needed."""
    spot = StressSpot(
        id=an_id("back"),
        name="back",
        kind=SpotKind.FLAT,
        head_m=0.5,
        long_m=0.15,
        short_m=0.10,
        helped_by="two turns of wire",
    )
    wall_m = Band(0.95e-3 * wall_mm, 1e-3 * wall_mm, 1.05e-3 * wall_mm)
    answer = answer_spot(spot, 8360.0, wall_m, wall_m, strength_values())
    shell = replace(SHELL, spots=(spot,))
    found = check(a_case(shell=shell, spots=(answer,)), CheckKind.STRENGTH)
    assert found.verdict is said
    assert figure(found, "help") == "two turns of wire"


# Air and wax.


@pytest.mark.parametrize(
    ("air", "said"),
    [
        (CoatAir(21.0, 22.5, 20), Verdict.FINE),
        (CoatAir(20.0, 22.5, 20), Verdict.LOOK),
        (CoatAir(21.0, 21.5, 2), Verdict.LOOK),  # two readings show nothing of a night
        (CoatAir(21.0, 21.0, 1), Verdict.LOOK),
        (None, Verdict.LOOK),
    ],
)
def test_the_room_over_a_prime_coat(air: CoatAir | None, said: Verdict) -> None:
    case = a_case(air={COATS[0].id: air} if air else {})
    assert verdict(case, CheckKind.AIR) is said


def test_the_wax_moves_two_to_four_parts_in_ten_thousand_a_kelvin() -> None:
    """Thermal expansion of pattern wax 2 to 4e-4 per K near room temperature (from memory)."""
    found = check(a_case(air={COATS[0].id: CoatAir(20.0, 23.0, 20)}), CheckKind.AIR)
    strain = figure(found, "strain")
    assert isinstance(strain, Band)
    assert (strain.low, strain.high) == (pytest.approx(6e-4), pytest.approx(12e-4))


def test_a_swing_the_forecast_warned_of_is_never_hidden() -> None:
    warning = ShellWarning(WarningKind.ROOM_SWING, 1, 2.4, 1.7)
    found = check(a_case(forecast=a_forecast(warnings=(warning,))), CheckKind.AIR)
    assert found.verdict is Verdict.LOOK
    assert figure(found, "swing") == 2.4


# What a person sees.


@pytest.mark.parametrize("question", list(ReviewQuestion))
def test_no_answer_and_not_looked_are_the_same_and_no_is_graver_than_yes(
    question: ReviewQuestion,
) -> None:
    def said(answer: LookAnswer | None) -> list[Verdict]:
        answers = yes_to_all()
        del answers[question]
        if answer is not None:
            answers[question] = an_answer(question, answer)
        case = a_case(answers=answers)
        return [each.verdict for each in review_checks(case, VALUES)]

    assert said(None) == said(LookAnswer.NOT_LOOKED)
    differ = [
        (yes, no, unknown)
        for yes, no, unknown in zip(
            said(LookAnswer.YES), said(LookAnswer.NO), said(None), strict=True
        )
        if yes is not no
    ]
    ((yes, no, unknown),) = differ
    assert yes is Verdict.FINE
    assert no in (Verdict.LOOK, Verdict.STOP)
    assert unknown is Verdict.LOOK


def a_defect(kind: DefectKind, found_ago: float, mended_ago: float | None = None) -> Defect:
    return Defect(
        id=an_id((kind, found_ago)),
        shell_id=SHELL.id,
        kind=kind,
        where="left wing",
        at=ago(found_ago),
        mended_at=None if mended_ago is None else ago(mended_ago),
    )


@pytest.mark.parametrize(
    ("defect", "said"),
    [
        (a_defect(DefectKind.CRACK, 20), Verdict.STOP),
        (a_defect(DefectKind.DRIP, 20), Verdict.LOOK),
        (a_defect(DefectKind.OTHER, 20), Verdict.LOOK),
        (a_defect(DefectKind.CRACK, 20, 5), Verdict.STOP),  # coats here took six hours to dry
        (a_defect(DefectKind.CRACK, 20, 7), Verdict.FINE),
        (a_defect(DefectKind.PATCH, 5), Verdict.STOP),
        (a_defect(DefectKind.PATCH, 7), Verdict.FINE),
    ],
)
def test_a_mend_has_to_dry_as_long_as_a_coat(defect: Defect, said: Verdict) -> None:
    found = check(a_case(defects=(defect,)), CheckKind.SURFACE)
    assert found.verdict is said
    assert defect.id in found.records


# The scale.


@pytest.mark.parametrize(
    ("checks", "said"),
    [
        ((), Verdict.LOOK),
        ((weighed(1, 3.0),), Verdict.LOOK),
        ((weighed(31, 3.1), weighed(1, 3.0)), Verdict.LOOK),  # the first was before the last coat
        ((weighed(3, 3.0), weighed(1, 3.0)), Verdict.LOOK),  # two hours tell nothing
        ((weighed(25, 3.0), weighed(1, 3.0)), Verdict.FINE),
        ((weighed(25, 3.002), weighed(1, 3.0)), Verdict.FINE),  # 2 g of 3 kg in a day
        ((weighed(25, 3.006), weighed(1, 3.0)), Verdict.LOOK),
        ((weighed(25, 3.06), weighed(1, 3.0)), Verdict.STOP),
        ((weighed(25, 3.0), weighed(1, 3.06)), Verdict.LOOK),  # it gained: a wet cloth, a hook
    ],
)
def test_constant_mass(checks: tuple[ShellCheck, ...], said: Verdict) -> None:
    """Dry: less than 0.1 % between weighings a day apart (ISO 12570, from memory)."""
    assert verdict(a_case(checks=checks), CheckKind.CONSTANT_MASS) is said


def test_a_weighing_left_out_does_not_count() -> None:
    stray = replace(weighed(25, 3.6), left_out="with its hook")
    found = check(a_case(checks=(stray, weighed(1, 3.0))), CheckKind.CONSTANT_MASS)
    assert found.records == (weighed(1, 3.0).id,)


@pytest.mark.parametrize(
    ("expected", "seen", "said"),
    [
        (Band(2.8, 3.0, 3.2), 3.1, Verdict.FINE),
        (Band(2.8, 3.0, 3.2), 3.3, Verdict.LOOK),
        (None, 3.1, Verdict.LOOK),
        (None, None, Verdict.LOOK),
    ],
)
def test_weight_against_expected(expected: Band | None, seen: float | None, said: Verdict) -> None:
    wall = a_wall(
        mass_expected_then_kg=expected, mass_seen_kg=seen, mass_seen_at=ago(1) if seen else None
    )
    assert verdict(a_case(wall=wall), CheckKind.WEIGHT) is said


# Metal and fire.


def plan(capacity_kg: float | None, extra: float = 0.0) -> MeltPlan:
    return MeltPlan(
        id=an_id("melt"), shell_id=SHELL.id, at=NOW, extra_share=extra, capacity_kg=capacity_kg
    )


@pytest.mark.parametrize(
    ("capacity", "said"),
    [(None, Verdict.LOOK), (20.0, Verdict.FINE), (9.0, Verdict.LOOK), (8.0, Verdict.STOP)],
)
def test_the_metal_goes_into_the_furnace_or_not(capacity: float | None, said: Verdict) -> None:
    """1 kg of wax of 0.95 is 8.8 kg of silicon bronze, up to 9.1 where the wax is lighter."""
    assert verdict(a_case(melt=plan(capacity)), CheckKind.METAL) is said


def test_a_metal_nobody_named_is_reckoned_as_the_heaviest_and_is_never_fine() -> None:
    unknown = replace(a_case().metal, known=False)
    assert verdict(a_case(metal=unknown, melt=plan(99.0)), CheckKind.METAL) is Verdict.LOOK


def test_a_wax_nobody_weighed_asks_for_its_mass() -> None:
    found = check(a_case(shell=replace(SHELL, wax_mass_kg=None)), CheckKind.METAL)
    assert found.verdict is Verdict.LOOK
    assert "not given" in text(found)


def test_cup_and_runners_come_on_top() -> None:
    plain = figure(check(a_case(melt=plan(20.0)), CheckKind.METAL), "mass")
    more = figure(check(a_case(melt=plan(20.0, 0.5)), CheckKind.METAL), "mass")
    assert isinstance(plain, float)
    assert more == pytest.approx(1.5 * plain)


def test_a_thicker_wall_takes_longer_to_heat_and_a_core_longer_still() -> None:
    def spans(case: ReviewCase) -> list[Band]:
        return [
            each.value
            for sentence in check(case, CheckKind.FIRING).seen
            for _, each in sentence.figures
            if each.measure is Measure.SPAN_S and isinstance(each.value, Band)
        ]

    (thin,) = spans(a_case())
    (thick,) = spans(a_case(forecast=a_forecast(thickness_m=Band(9e-3, 10e-3, 11e-3))))
    wall, core = spans(with_core())
    assert thin.likely < thick.likely
    assert wall.likely < core.likely
    assert all(band.low < band.likely < band.high for band in (thick, core))
