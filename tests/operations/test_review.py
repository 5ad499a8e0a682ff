"""The review from the book: its evidence, a signature, and what makes it out of date."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from uuid import uuid4

import pytest
from shop_cases import (
    DRYING,
    HOUR,
    SHORT_WALL,
    at,
    dip,
    on_rack,
    steady_air,
    typed_reading,
)

from shellcoat.book import open_book
from shellcoat.book.exchange import export_book, import_book
from shellcoat.operations.checks import log_check, take_back_check
from shellcoat.operations.dips import correct_coat, undo_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review import (
    ChangedMeanwhileError,
    Signature,
    Standing,
    UnsignedError,
    due_for_burnout,
    make_review,
    review_input,
    review_state,
    sign_review,
)
from shellcoat.operations.review_answers import (
    DefectInFutureError,
    answer_question,
    log_defect,
    mend_defect,
    newest_answers,
    plan_melt,
    take_back_defect,
    usual_melt,
)
from shellcoat.operations.review_frozen import Evidence, FrozenReviewError, freeze, thaw
from shellcoat.operations.review_report import review_json, review_text, summary_line
from shellcoat.operations.review_wording import FindingWriter, question_text
from shellcoat.operations.shells import edit_shell, set_state
from shellcoat.review.finding import Figure, Measure, Verdict
from shellcoat.shop import (
    Band,
    Decision,
    Defect,
    DefectKind,
    LookAnswer,
    ReviewQuestion,
    Shell,
    ShellState,
    Weighing,
)
from shellcoat.units import UnitPreferences, UnitSystem

EVENING = at(30)
BURN = Signature(decision=Decision.BURN_OUT, name="R. Vale", note="looked it over twice")


@pytest.fixture
def through(opened: OpenShop) -> Shell:
    """A shell with all its coats on in dry, steady air."""
    steady_air(opened, 0.45)
    steady_air(opened, 0.45, room_id=DRYING)
    shell = on_rack(opened, metal="silicon bronze", wax_mass_kg=1.0, area_m2=0.2)
    for hours in (-40.0, -24.0, 0.0):
        dip(opened, shell, at(hours))
    return shell


def evidence(opened: OpenShop, shell: Shell) -> Evidence:
    return make_review(opened, review_input(opened, shell, EVENING))


def verdicts(found: Evidence) -> dict[str, Verdict]:
    return {line.kind: line.verdict for line in found.report.lines}


def a_weighing(shell: Shell, hours: float = 29.0) -> Weighing:
    return Weighing(id=uuid4(), shell_id=shell.id, at=at(hours), mass_kg=2.0)


# Evidence.


def test_evidence_of_a_dry_shell(opened: OpenShop, through: Shell) -> None:
    found = verdicts(evidence(opened, through))
    for fine in ("coats", "intervals", "hold", "air"):
        assert found[fine] is Verdict.FINE
    for unseen in ("drains", "vents", "cup_rim", "reinforcement", "surface", "slurry"):
        assert found[unseen] is Verdict.LOOK


def test_a_swing_of_the_real_room_is_seen(opened: OpenShop) -> None:
    steady_air(opened, 0.45, temp_c=20.0)
    shell = on_rack(opened)
    dip(opened, shell, at(-40.0))
    typed_reading(opened, at(-38.0), 23.5, 0.45)
    line = next(each for each in evidence(opened, shell).report.lines if each.kind == "air")
    assert line.verdict is Verdict.LOOK
    assert "3.5" in line.seen[0]
    assert "0.070–0.140\u00a0%" in line.seen[0]  # 2 to 4e-4 a kelvin


def test_evidence_is_of_its_moment(opened: OpenShop, through: Shell) -> None:
    """The head and the counts are those of the book that was read."""
    report = evidence(opened, through).report
    assert report.head == opened.book.head
    assert report.book_entries == len(opened.ledger.entries)
    # The shell, three coats, and the logger's batch of each room it hung in.
    rooms = {coat.room_id for coat in opened.ledger.coats(through.id)}
    assert report.shell_entries == 4 + len(rooms)


def test_every_coat_is_a_row(opened: OpenShop, through: Shell) -> None:
    rows = evidence(opened, through).report.coats
    assert [row.number for row in rows] == ["1", "2", "3"]
    assert rows[0].waited == ""
    assert rows[1].waited.replace("\u00a0", " ") == "16 h"


def test_a_bare_wax_and_one_between_coats_have_evidence_too(opened: OpenShop) -> None:
    shell = on_rack(opened)
    assert verdicts(evidence(opened, shell))["coats"] is Verdict.STOP
    dip(opened, shell, at(-40.0))
    assert verdicts(evidence(opened, shell))["coats"] is Verdict.STOP


def test_answers_are_signed_by_whoever_is_at_the_book(opened: OpenShop, through: Shell) -> None:
    answer_question(opened, through.id, ReviewQuestion.DRAINS, LookAnswer.NO, EVENING)
    answer_question(opened, through.id, ReviewQuestion.DRAINS, LookAnswer.YES, EVENING + HOUR)
    line = next(each for each in evidence(opened, through).report.lines if each.kind == "drains")
    assert line.verdict is Verdict.FINE
    assert "says Ana" in line.seen[0]
    standing = newest_answers(opened.ledger, through.id)[ReviewQuestion.DRAINS]
    assert line.records == (standing.id,)


def test_the_same_answer_twice_is_kept_once(opened: OpenShop, through: Shell) -> None:
    for _ in range(2):
        answer_question(opened, through.id, ReviewQuestion.VENTS, LookAnswer.YES, EVENING)
        plan_melt(opened, through.id, 0.2, 30.0, EVENING)
    assert len(opened.ledger.review_answers(through.id)) == 1
    assert len(opened.ledger.melt_plans) == 1


def test_a_shop_melts_the_next_shell_as_the_last(opened: OpenShop, through: Shell) -> None:
    other = on_rack(opened, "egret")
    assert usual_melt(opened, other.id) == (0.15, None)
    plan_melt(opened, through.id, 0.3, 25.0, EVENING)
    assert usual_melt(opened, other.id) == (0.3, 25.0)
    plan_melt(opened, other.id, 0.1, 12.0, EVENING)
    assert usual_melt(opened, through.id) == (0.3, 25.0)


def test_a_crack_mended_and_one_taken_back(opened: OpenShop, through: Shell) -> None:
    crack = Defect(id=uuid4(), shell_id=through.id, kind=DefectKind.CRACK, where="neck", at=at(2))
    with pytest.raises(DefectInFutureError, match="neck"):
        log_defect(opened, replace(crack, at=EVENING + HOUR), EVENING)
    log_defect(opened, crack, EVENING)
    assert verdicts(evidence(opened, through))["surface"] is Verdict.STOP
    mend_defect(opened, crack, at(3), EVENING)
    assert verdicts(evidence(opened, through))["surface"] is Verdict.LOOK  # nobody looked all over
    take_back_defect(opened, crack.id, EVENING, "a scratch")
    assert opened.ledger.defects(through.id) == ()


# Signing.


def test_a_signature_keeps_the_evidence_word_by_word(opened: OpenShop, through: Shell) -> None:
    found = evidence(opened, through)
    review = sign_review(opened, found, BURN, EVENING)
    assert (review.name, review.decision, review.note) == ("R. Vale", Decision.BURN_OUT, BURN.note)
    assert (review.head, review.book_entries) == (found.report.head, found.report.book_entries)
    assert thaw(review.findings) == found
    assert opened.ledger.reviews(through.id) == (review,)
    assert review_state(opened, review).standing is Standing.CURRENT


def test_a_signature_survives_the_book_and_a_trip_through_json(
    opened: OpenShop, through: Shell, tmp_path_factory: pytest.TempPathFactory
) -> None:
    found = evidence(opened, through)
    sign_review(opened, found, BURN, EVENING)
    folder = tmp_path_factory.mktemp("trip")
    export_book(opened.book, folder / "book.json")
    import_book(folder / "book.json", folder / "again.shellbook")
    with open_book(folder / "again.shellbook", read_only=True) as book:
        (again,) = book.ledger.reviews(through.id)
        assert thaw(again.findings) == found
        assert review_state(OpenShop(book, who="Ben"), again).standing is Standing.CURRENT


def test_pressed_twice_it_is_signed_once(opened: OpenShop, through: Shell) -> None:
    found = evidence(opened, through)
    first = sign_review(opened, found, BURN, EVENING)
    assert sign_review(opened, found, BURN, EVENING) == first
    assert len(opened.ledger.reviews(through.id)) == 1


@pytest.mark.parametrize("name", ["", "  ", "\t"])
def test_nobody_signs_without_a_name(opened: OpenShop, through: Shell, name: str) -> None:
    with pytest.raises(UnsignedError, match="type your name"):
        sign_review(opened, evidence(opened, through), replace(BURN, name=name), EVENING)
    assert opened.ledger.reviews(through.id) == ()


def test_evidence_older_than_the_book_is_not_signed(opened: OpenShop, through: Shell) -> None:
    found = evidence(opened, through)
    log_check(opened, a_weighing(through), EVENING)
    with pytest.raises(ChangedMeanwhileError, match="a weighing was logged by Ana"):
        sign_review(opened, found, BURN, EVENING)


def test_a_stop_can_be_signed_over(opened: OpenShop) -> None:
    """The program shows evidence, the person decides."""
    shell = on_rack(opened)
    dip(opened, shell, at(-1))
    found = evidence(opened, shell)
    assert Verdict.STOP in verdicts(found).values()
    assert sign_review(opened, found, BURN, EVENING).decision is Decision.BURN_OUT


# Out of date.


def _corrected(opened: OpenShop, shell: Shell) -> None:
    coat = opened.ledger.coats(shell.id)[1]
    correct_coat(opened, replace(coat, dipped_at=coat.dipped_at - HOUR), EVENING, "wrong hour")


def _undone(opened: OpenShop, shell: Shell) -> None:
    undo_coat(opened, opened.ledger.coats(shell.id)[-1].id, EVENING)


def _answered(opened: OpenShop, shell: Shell) -> None:
    answer_question(opened, shell.id, ReviewQuestion.VENTS, LookAnswer.NO, EVENING)


def _cracked(opened: OpenShop, shell: Shell) -> None:
    crack = Defect(id=uuid4(), shell_id=shell.id, kind=DefectKind.CRACK, where="neck", at=at(2))
    log_defect(opened, crack, EVENING)


def _weighed_and_taken_back(opened: OpenShop, shell: Shell) -> None:
    check = log_check(opened, a_weighing(shell), EVENING)
    take_back_check(opened, check.id, EVENING, "another shell")


def _redescribed(opened: OpenShop, shell: Shell) -> None:
    edit_shell(opened, replace(shell, wax_mass_kg=1.4), EVENING)


def _air_logged_late(opened: OpenShop, _shell: Shell) -> None:
    typed_reading(opened, at(-39), 27.0, 0.45)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_corrected, "a coat was corrected by Ana"),
        (_undone, "a coat was taken back by Ana"),
        (_answered, "an answer was logged by Ana"),
        (_cracked, "a defect was logged by Ana"),
        (_weighed_and_taken_back, "a weighing was taken back by Ana"),
        (_redescribed, "what is known of the shell was corrected by Ana"),
        (_air_logged_late, "the air of its drying was logged by Ana"),
    ],
)
def test_what_makes_a_signed_review_out_of_date(
    opened: OpenShop, through: Shell, change: Callable[[OpenShop, Shell], None], said: str
) -> None:
    review = sign_review(opened, evidence(opened, through), BURN, EVENING)
    change(opened, through)
    state = review_state(opened, review)
    assert state.standing is Standing.OUT_OF_DATE
    assert said in state.why[-1]


def _moved(opened: OpenShop, shell: Shell) -> None:
    edit_shell(opened, replace(shell, rack_place="Z9"), EVENING)


def _finished(opened: OpenShop, shell: Shell) -> None:
    set_state(opened, shell.id, ShellState.FINISHED, EVENING)


def _other_shell_dipped(opened: OpenShop, _shell: Shell) -> None:
    dip(opened, on_rack(opened, "egret"), at(29))


def _air_of_today(opened: OpenShop, _shell: Shell) -> None:
    typed_reading(opened, at(29.5), 27.0, 0.45)


def _signed_again(opened: OpenShop, shell: Shell) -> None:
    again = replace(BURN, review_id=uuid4(), decision=Decision.REPAIR)
    sign_review(opened, evidence(opened, shell), again, EVENING)


@pytest.mark.parametrize(
    "change", [_moved, _finished, _other_shell_dipped, _air_of_today, _signed_again]
)
def test_what_leaves_it_current(
    opened: OpenShop, through: Shell, change: Callable[[OpenShop, Shell], None]
) -> None:
    review = sign_review(opened, evidence(opened, through), BURN, EVENING)
    change(opened, through)
    assert review_state(opened, review).standing is Standing.CURRENT


def test_a_clock_set_back_hides_no_change(opened: OpenShop, through: Shell) -> None:
    """What was entered later counts, whatever its time says."""
    review = sign_review(opened, evidence(opened, through), BURN, EVENING)
    log_check(opened, a_weighing(through, -2.0), at(-1))
    assert review_state(opened, review).standing is Standing.OUT_OF_DATE


# Words.


def test_the_text_tells_what_the_data_hold(opened: OpenShop, through: Shell) -> None:
    report = evidence(opened, through).report
    text, data = review_text(report), review_json(report)
    for line in report.lines:
        assert line.title in text
        assert all(each in text for each in line.seen)
    assert report.head in text
    assert report.cautions in text
    assert [line["verdict"] for line in data["lines"]] == [
        line.verdict.value for line in report.lines
    ]


def test_a_summary_names_what_says_stop(opened: OpenShop, through: Shell) -> None:
    answer_question(opened, through.id, ReviewQuestion.DRAINS, LookAnswer.NO, EVENING)
    told = summary_line(evidence(opened, through).report)
    assert told.startswith("W-heron Water bird, heron: 1\u00a0stop")
    assert told.endswith("Drains for the wax")


def test_notes_with_braces_are_a_persons_words(opened: OpenShop, through: Shell) -> None:
    answer_question(
        opened, through.id, ReviewQuestion.DRAINS, LookAnswer.NO, EVENING, note="{at} {0} 100 %"
    )
    report = evidence(opened, through).report
    assert any("{at} {0} 100 %" in each for line in report.lines for each in line.seen)


@pytest.mark.parametrize(
    ("figure", "metric", "us"),
    [
        (Figure(8.1e-3, Measure.THICKNESS_M), "8.1 mm", "0.32 in"),
        (Figure(Band(6e-3, 7e-3, 8e-3), Measure.THICKNESS_M), "6.0–8.0 mm", "0.24–0.31 in"),
        (Figure(12.34, Measure.MASS_KG), "12.3 kg", "27.2 lb"),
        (Figure(0.021, Measure.WATER_KG), "21 g", "0.7 oz"),
        (Figure(1.7, Measure.SWING_K), "1.7 K", "3.1 °F"),
        (Figure(900.0, Measure.TEMPERATURE_C), "900 °C", "1652 °F"),
        (Figure(38.2, Measure.STEAM_L), "38 L", "38 L"),
        (Figure(Band(1.4e6, 2e6, 3.6e6), Measure.STRESS_PA), "1.4 MPa – 3.6 MPa", None),
        (Figure(-0.0021, Measure.RATE_KG_H), "−2.1 g", None),
        (Figure(0.22, Measure.SHARE), "22 %", "22 %"),
        (Figure(0.999, Measure.CHANCE), "over 99 %", "over 99 %"),
    ],
)
def test_figures_in_the_persons_units(
    opened: OpenShop, figure: Figure, metric: str, us: str | None
) -> None:
    for system, wanted in ((UnitSystem.METRIC, metric), (UnitSystem.US, us)):
        writer = FindingWriter(UnitPreferences(system), opened.zone)
        if wanted is not None:
            assert writer.figure(figure).replace("\u00a0", " ") == wanted


def test_sentences_are_translated_before_the_figures_go_in(
    opened: OpenShop, through: Shell
) -> None:
    given = review_input(opened, through, EVENING, translate=_loud)
    report = make_review(opened, given).report
    assert all(line.title.startswith("»") for line in report.lines)
    assert all(each.startswith("»") for line in report.lines for each in line.seen)


def _loud(text: str) -> str:
    return f"»{text}"


def test_every_question_can_be_read_out() -> None:
    texts = [question_text(question) for question in ReviewQuestion]
    assert all(text.endswith("?") for text in texts)
    assert len(set(texts)) == len(texts)


def test_findings_that_cannot_be_read_back_say_so() -> None:
    with pytest.raises(FrozenReviewError, match="cannot be read back"):
        thaw('{"report": 3}')


def test_freezing_is_the_same_twice(opened: OpenShop, through: Shell) -> None:
    found = evidence(opened, through)
    assert freeze(found) == freeze(thaw(freeze(found)))


# Due.


def test_due_are_shells_on_the_rack_with_all_their_coats(opened: OpenShop, through: Shell) -> None:
    bare = on_rack(opened, "egret")
    assert due_for_burnout(opened) == [through]
    set_state(opened, through.id, ShellState.FINISHED, EVENING)
    assert due_for_burnout(opened) == []
    assert bare.sequence == SHORT_WALL
