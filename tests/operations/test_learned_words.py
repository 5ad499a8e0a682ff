"""What the checks have taught, in words: for the Learned page and the command line."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_cases import NOW, at, dip

from shellcoat.forecast.learned import (
    FactorAnswer,
    FactorKind,
    Learned,
    Lesson,
    Silence,
    UsualCoat,
)
from shellcoat.operations.checks import leave_out, log_check
from shellcoat.operations.learned_wording import (
    factor_lines,
    is_stray,
    most_used,
    name_factor,
    write_bearing,
    write_counted,
    write_expected,
    write_factor,
    write_lesson,
    write_seen,
    write_stray,
    write_taught,
    write_usual,
    write_usual_air,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    Band,
    Core,
    DryCheck,
    DryFinding,
    InfraredReading,
    Opening,
    Shell,
    Weighing,
)
from shellcoat.units import UnitPreferences, UnitSystem

METRIC, US = UnitPreferences(UnitSystem.METRIC), UnitPreferences(UnitSystem.US)
SPACE = "\u00a0"
TABLES = Band(0.7, 1.0, 1.4)
TOUCH = DryCheck(id=uuid4(), shell_id=uuid4(), at=at(-2), finding=DryFinding.DRY)
INFRARED = InfraredReading(id=uuid4(), shell_id=TOUCH.shell_id, at=at(-2), surface_temp_c=20.0)
SCALE = Weighing(id=uuid4(), shell_id=TOUCH.shell_id, at=at(-2), mass_kg=3.4)


def film(low: float, likely: float, high: float, checks: int = 3) -> FactorAnswer:
    now = Band(low, likely, high)
    return FactorAnswer(kind=FactorKind.FILM, before=TABLES, now=now, checks=checks)


def lesson(**taught: object) -> Lesson:
    usual = Lesson(check_id=TOUCH.id, shell_id=TOUCH.shell_id, at=TOUCH.at, coat_number=2)
    return replace(usual, **taught)  # type: ignore[arg-type]


def usual(**times: float) -> UsualCoat:
    before = {"likely_before_s": 15_600.0, "safe_before_s": 26_400.0}
    now = {"likely_s": 14_700.0, "safe_s": 18_600.0}
    return UsualCoat(slurry="zircon prime", stucco="zircon sand", **(before | now | times))


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        ((1.05, 1.2, 1.4), "holds back about 20 % more than the tables say (5 to 40 %)"),
        (
            (0.72, 0.85, 0.98),
            "holds back about 15 % less than the tables say (2 to 28 %)",
        ),
        (
            (0.95, 1.08, 1.25),
            "holds back about 8 % more than the tables say (5 % less to 25 % more)",
        ),
        ((0.9, 1.01, 1.15), "holds back what the tables say (10 % less to 15 % more)"),
        ((1.0, 1.01, 1.15), "holds back what the tables say (no different to 15 % more)"),
        ((1.0, 1.2, 1.4), "holds back about 20 % more than the tables say (0 to 40 %)"),
        (
            (1.6, 2.3, 3.1),
            "holds back about 2.3 times what the tables say (1.6 to 3.1 times)",
        ),
    ],
)
def test_a_factor_is_told_as_more_or_less(factor: tuple[float, float, float], words: str) -> None:
    assert write_factor(film(*factor)) == words


@given(st.lists(st.floats(0.05, 20.0), min_size=3, max_size=3))
def test_any_factor_is_told_the_right_way_round(ends: list[float]) -> None:
    low, likely, high = sorted(ends)
    words = write_factor(film(low, likely, high)).split(" (")[0]
    more, less = "more" in words or "times" in words, "less" in words
    assert not (more and likely < 1.0)
    assert not (less and likely > 1.0)
    # What is told as no difference is less than two per cent.
    assert more or less or 0.98 < likely < 1.02


def test_how_many_checks_bear_on_a_factor() -> None:
    words = [write_bearing(film(1.0, 1.0, 1.0, checks)) for checks in (0, 1, 12)]
    assert words == [
        "no check bears on it yet",
        "1 check bears on it",
        "12 checks bear on it",
    ]


def test_factors_are_named_after_what_they_belong_to(opened: OpenShop, heron: Shell) -> None:
    body = Core(
        id=uuid4(),
        name="Body",
        area_m2=0.03,
        openings=(Opening(width_m=0.012, height_m=0.012),),
    )
    edit_shell(opened, replace(heron, cores=(body,)), NOW, "measured")
    vent = replace(film(1, 1, 1), kind=FactorKind.VENT, shell_id=heron.id, core_id=body.id)
    crust = replace(film(1, 1, 1), kind=FactorKind.CRUST, slurry="zircon", stucco="sand")
    ledger, whose = opened.ledger, f"{heron.label} {heron.name}"
    assert name_factor(film(1, 1, 1), ledger) == "Air at the walls of this shop"
    assert name_factor(crust, ledger) == "Crust of zircon with sand"
    assert name_factor(replace(crust, stucco=""), ledger) == "Crust of zircon without stucco"
    assert name_factor(vent, ledger) == f"Core “Body” of {whose}"
    assert factor_lines(crust, ledger) == ("Crust of zircon", "with sand")
    assert factor_lines(replace(crust, stucco=""), ledger)[1] == "without stucco"
    assert factor_lines(vent, ledger) == ("Openings of the core “Body”", whose)
    gone = replace(vent, shell_id=uuid4())
    assert name_factor(gone, ledger) == "Core “no longer there” of a shell no longer in the book"


def test_a_usual_coat_tells_both_times_before_and_now() -> None:
    words = write_usual(usual()).replace(SPACE, " ")
    assert words == (
        "A coat of zircon prime with zircon sand in usual air is now safely dry after 5 h 10 min, "
        "not 7 h 20 min; the likely time moved from 4 h 20 min to 4 h 5 min."
    )


def test_times_that_did_not_move_are_said_to_have_stayed() -> None:
    same = write_usual(usual(likely_s=15_650.0, safe_s=26_350.0)).replace(SPACE, " ")
    assert same.endswith("after 7 h 20 min, as before; the likely time is 4 h 20 min.")
    likely = write_usual(usual(likely_s=15_600.0)).replace(SPACE, " ")
    assert likely.endswith("5 h 10 min, not 7 h 20 min; the likely time is still 4 h 20 min.")


def test_usual_air_is_told_in_the_shop_s_units() -> None:
    words = write_usual_air(METRIC).replace(SPACE, " ")
    assert words == "Usual air: 22 °C, 50 %, fan in the room; a wall of 5.0 mm."
    # 22 °C are 71.6 °F, 5 mm are 0.197 in.
    assert "72 °F, 50 %, fan in the room; a wall of 0.20 in" in write_usual_air(US).replace(
        SPACE, " "
    )


def test_the_most_used_coats_come_first(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, at(-30))
    (coat,) = opened.ledger.coats(heron.id)
    rare = [replace(usual(), slurry=f"slurry {number}") for number in range(3)]
    own = replace(usual(), slurry=coat.step.slurry, stucco=coat.step.stucco)
    assert most_used([*rare, own], opened.ledger) == [own, *rare[:2]]


@pytest.mark.parametrize(
    ("counting", "silent", "words"),
    [
        (17, 0, "17 checks count."),
        (1, 2, "1 check counts. 2 do not."),
        (0, 1, "No checks count. 1 does not."),
    ],
)
def test_checks_are_counted(counting: int, silent: int, words: str) -> None:
    lessons = [lesson()] * counting + [lesson(silence=Silence.TOO_OLD)] * silent
    assert write_counted(Learned(lessons=tuple(lessons))) == words


@pytest.mark.parametrize(
    ("taught", "words"),
    [
        ({"pace": 0.92}, "safe times 8 % sooner"),
        ({"pace": 1.12}, "safe times 12 % later"),
        ({"pace": 1.004}, "hardly anything"),
        ({"silence": Silence.NO_COAT}, "nothing: no coat was on"),
    ],
)
def test_what_a_check_did(taught: dict[str, object], words: str) -> None:
    assert write_taught(lesson(**taught), TOUCH) == words


@pytest.mark.parametrize("silence", [each for each in Silence if each is not Silence.LEFT_OUT])
def test_every_silence_has_its_reason(silence: Silence) -> None:
    words = write_taught(lesson(silence=silence), TOUCH)
    assert words.startswith("nothing: ")
    assert len(words) > len("nothing: ")


def test_what_was_left_out_or_taken_in_after_the_account_was_made() -> None:
    out = replace(TOUCH, left_out="a drip")
    assert write_taught(lesson(pace=0.8), out) == "left out: a drip"
    again = write_taught(lesson(silence=Silence.LEFT_OUT), TOUCH)
    assert again == "taken in again; what it teaches is being worked out"


def test_a_stray_is_named_from_an_even_chance_on() -> None:
    assert write_stray(lesson(wild=0.92)) == "looks like a stray: 92 %"
    assert write_stray(lesson(wild=0.49)) == ""
    assert not is_stray(lesson(wild=0.92, silence=Silence.TOO_OLD))


def test_what_a_touch_had_been_expected_to_find() -> None:
    assert write_expected(lesson(chance=0.3), TOUCH, METRIC) == "with a chance of 30 %"
    assert write_seen(lesson(chance=0.3), TOUCH, METRIC) == ""
    assert write_expected(lesson(), TOUCH, METRIC) == ""


def test_what_an_instrument_had_been_expected_to_read() -> None:
    read = lesson(expected=Band(0.8, 1.2, 1.6), seen=-0.3)
    assert write_expected(read, INFRARED, METRIC) == f"0.8–1.6{SPACE}K below the air"
    assert write_seen(read, INFRARED, METRIC) == f"it was 0.3{SPACE}K above the air"
    # 0.8 K are 1.44 and 1.6 K are 2.88 degrees Fahrenheit.
    assert write_expected(read, INFRARED, US).startswith("1.4–2.9")
    lost = lesson(expected=Band(0.0204, 0.03, 0.0396), seen=0.0331)
    assert write_expected(lost, SCALE, METRIC, ",") == f"20–40{SPACE}g lost"
    assert write_seen(lost, SCALE, METRIC) == f"it was 33{SPACE}g lost"
    # An ounce is 28.35 g.
    assert write_seen(lost, SCALE, US) == f"it was 1.2{SPACE}oz lost"


def test_a_lesson_in_one_line(opened: OpenShop, heron: Shell) -> None:
    check = log_check(opened, replace(TOUCH, shell_id=heron.id), NOW)
    taught = replace(lesson(chance=0.3, pace=0.92, wild=0.92), shell_id=heron.id)
    line = write_lesson(taught, check, opened, NOW)
    assert line == (
        f"12:00, {heron.label} {heron.name}, coat 2: Touched, face: dry. Expected with a chance "
        "of 30 %; safe times 8 % sooner; looks like a stray: 92 %."
    )
    out = leave_out(opened, check, NOW, "a drip")
    assert write_lesson(replace(taught, coat_number=0), out, opened, NOW).startswith(
        f"12:00, {heron.label} {heron.name}, before any coat: Touched"
    )


def test_a_lesson_on_a_shell_that_was_taken_back(opened: OpenShop) -> None:
    line = write_lesson(lesson(silence=Silence.NO_COAT), TOUCH, opened, NOW)
    assert "a shell no longer in the book, coat 2: Nothing: no coat was on." in line
