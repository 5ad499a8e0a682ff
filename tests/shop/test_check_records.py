"""Checks of shells and slurries: refusals in words, and their place in the ledger."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace
from datetime import UTC, datetime, timedelta
from typing import get_args
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.shop import (
    Band,
    CaliperReading,
    CoatKind,
    CoatStep,
    DipSequence,
    DryCheck,
    DryFinding,
    Entry,
    InfraredReading,
    Ledger,
    PlateTest,
    Record,
    RheologyTest,
    Shell,
    ShellCheck,
    SlurryTest,
    StuccoGrain,
    WallPlace,
    Weighing,
    Withdrawal,
)
from shellcoat.shop.checks import MissingTextError, NaiveTimeError
from shellcoat.shop.entry import KINDS
from shellcoat.shop.ledger import AlreadyReplacedError, NoSuchEntryError, WrongReplacementError
from shellcoat.shop.wall_check import GrainOrderError

NOON = datetime(2015, 2, 9, 11, 0, tzinfo=UTC)
STEP = CoatStep(
    kind=CoatKind.BACKUP,
    slurry="backup",
    thickness_m=Band(0.6e-3, 0.9e-3, 1.2e-3),
    water_kg_m2=Band(0.2, 0.3, 0.4),
)
WALL = DipSequence(
    id=UUID(int=900), name="Wall", steps=(STEP,), target_thickness_m=5e-3, final_hold_s=0.0
)
HERON, GREBE = (
    Shell(
        id=UUID(int=number),
        name=name,
        label=name,
        sequence=WALL,
        room_id=UUID(int=901),
        started_at=NOON,
    )
    for number, name in ((910, "Heron"), (911, "Grebe"))
)
ON_HERON = {"id": UUID(int=1), "shell_id": HERON.id, "at": NOON}
TOUCH = DryCheck(**ON_HERON, finding=DryFinding.STILL_WET)
INFRARED = InfraredReading(**ON_HERON, surface_temp_c=18.5, air_temp_c=21.0)
WEIGHING = Weighing(**ON_HERON, mass_kg=12.4)
CALIPER = CaliperReading(**ON_HERON, place=WallPlace.EDGE, thickness_m=5.2e-3)
SHELL_CHECKS = (TOUCH, INFRARED, WEIGHING, CALIPER)
PLATE = PlateTest(id=UUID(int=2), slurry="backup", at=NOON, area_m2=0.02, mass_kg=0.018)
RHEOLOGY = RheologyTest(
    id=UUID(int=3), slurry="backup", at=NOON, viscosity_pa_s=0.6, density_kg_m3=1700.0
)
GRAIN = StuccoGrain(id=UUID(int=4), stucco="16-30", finest_m=0.6e-3, coarsest_m=1.18e-3)
SLURRY_TESTS = (PLATE, RHEOLOGY, GRAIN)
ALL = (*SHELL_CHECKS, *SLURRY_TESTS)
each = pytest.mark.parametrize("record", ALL, ids=lambda record: type(record).__name__)

LIMITS = [
    (INFRARED, "surface_temp_c", "Surface temperature", -30.0, 70.0),
    (INFRARED, "air_temp_c", "Air temperature", -30.0, 70.0),
    (WEIGHING, "mass_kg", "Mass", 1e-3, 5000.0),
    (CALIPER, "thickness_m", "Wall thickness", 1e-4, 0.1),
    (PLATE, "area_m2", "Area of the plate", 1e-4, 4.0),
    (PLATE, "mass_kg", "Slurry on the plate", 1e-5, 20.0),
    (PLATE, "density_kg_m3", "Slurry density", 1000.0, 5000.0),
    (PLATE, "water_share", "Water in the slurry", 0.02, 0.8),
    (RHEOLOGY, "viscosity_pa_s", "Viscosity", 1e-3, 100.0),
    (RHEOLOGY, "density_kg_m3", "Slurry density", 1000.0, 5000.0),
    (RHEOLOGY, "yield_stress_pa", "Yield stress", 0.0, 500.0),
    (RHEOLOGY, "speed_m_s", "Withdrawal speed", 1e-3, 1.0),
    (RHEOLOGY, "drain_time_s", "Drain time", 1.0, 3600.0),
    (RHEOLOGY, "water_share", "Water in the slurry", 0.02, 0.8),
    (GRAIN, "finest_m", "Finest grain", 1e-5, 1.18e-3),
    (GRAIN, "coarsest_m", "Coarsest grain", 0.6e-3, 0.02),
    (GRAIN, "grain_density_kg_m3", "Grain density", 500.0, 8000.0),
]
each_figure = pytest.mark.parametrize(("record", "name", "words", "low", "high"), LIMITS)
UNKNOWABLE = {"air_temp_c", "water_share", "grain_density_kg_m3"}


def entry(record: Record, replaces: Entry | None = None, who: str = "Ana") -> Entry:
    """A record in its envelope."""
    number = replaces.id if replaces else None
    return Entry(id=uuid4(), recorded_at=NOON, who=who, record=record, replaces=number)


def book_of(*entries: Entry) -> Ledger:
    """A ledger with two waxes and these entries."""
    return Ledger.of([entry(HERON), entry(GREBE), *entries])


# Refusals ----------------------------------------------------------------------------------------


def test_every_figure_of_every_check_has_its_limits_here() -> None:
    figures = {
        (type(record), field.name)
        for record in ALL
        for field in fields(record)
        if str(field.type).startswith("float")
    }
    assert figures == {(type(record), name) for record, name, *_ in LIMITS}


@each_figure
@given(share=st.floats(0.0, 1.0))
def test_a_figure_within_its_limits_is_kept_as_it_is(record, name, words, low, high, share) -> None:
    value = min(max(low + share * (high - low), low), high)
    for kept in (low, value, high):
        assert getattr(replace(record, **{name: kept}), name) == kept


@each_figure
@given(beyond=st.floats(1e-6, 1e6))
def test_a_figure_beyond_its_limits_is_refused(record, name, words, low, high, beyond) -> None:
    for value in (low - beyond, high + beyond):
        with pytest.raises(MendableError):
            replace(record, **{name: value})


@each_figure
@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused_by_the_name_of_its_field(
    record, name, words, low, high, value
) -> None:
    with pytest.raises(ValueOutOfRangeError, match=rf"^{words}: .* is not possible here\. Give a"):
        replace(record, **{name: value})


@each_figure
def test_a_figure_may_be_unknown_only_where_nobody_need_measure_it(
    record, name, words, low, high
) -> None:
    if name in UNKNOWABLE or (record is PLATE and name == "density_kg_m3"):
        assert getattr(replace(record, **{name: None}), name) is None
    else:
        with pytest.raises(TypeError):
            replace(record, **{name: None})


def test_the_refused_figure_is_named_with_what_is_allowed() -> None:
    with pytest.raises(ValueOutOfRangeError, match=r"Wall thickness: 5\.2 .*0\.0001 to 0\.1 m"):
        replace(CALIPER, thickness_m=5.2)
    with pytest.raises(ValueOutOfRangeError, match=r"Surface temperature: 195.*-30 to 70 °C"):
        replace(INFRARED, surface_temp_c=195)


@pytest.mark.parametrize("record", [*SHELL_CHECKS, PLATE, RHEOLOGY], ids=repr)
def test_a_check_says_its_zone_and_lies_within_a_shops_life(record) -> None:
    with pytest.raises(NaiveTimeError, match=r"^Time of the .* carries no UTC zone"):
        replace(record, at=NOON.replace(tzinfo=None))
    for year in (1911, 2300):
        with pytest.raises(ValueOutOfRangeError, match="1950 and 2200"):
            replace(record, at=NOON.replace(year=year))


@each
def test_texts_that_cannot_be_kept_are_refused_by_name(record) -> None:
    names = {"note": "Note", "left_out": "Reason to leave it out", "where": "Where"}
    for name, words in names.items():
        if not hasattr(record, name):
            continue
        for text in ("bell\a", "half \ud800", "x" * 4001):
            with pytest.raises(MissingTextError, match=f"^{words} (has|holds) .*characters"):
                replace(record, **{name: text})
        assert getattr(replace(record, **{name: "an edge\nby the gate"}), name)


@pytest.mark.parametrize(
    ("record", "name", "words"),
    [(PLATE, "slurry", "Slurry"), (RHEOLOGY, "slurry", "Slurry"), (GRAIN, "stucco", "Stucco")],
)
def test_a_test_names_what_was_tested(record, name, words) -> None:
    for text in ("", "  ", "x" * 201):
        with pytest.raises(MissingTextError, match=f"^{words} "):
            replace(record, **{name: text})


@given(st.lists(st.floats(1e-5, 0.02), min_size=2, max_size=2, unique=True).map(sorted))
def test_the_finest_grain_is_the_smaller_one(sizes) -> None:
    small, large = sizes
    assert replace(GRAIN, finest_m=small, coarsest_m=large).coarsest_m == large
    assert replace(GRAIN, finest_m=small, coarsest_m=small).finest_m == small
    with pytest.raises(GrainOrderError, match=r"^16-30: its finest grain .*Change them round"):
        replace(GRAIN, finest_m=large, coarsest_m=small)


@each
def test_a_check_teaches_until_it_is_left_out_and_cannot_be_changed_in_place(record) -> None:
    assert record.left_out == ""
    with pytest.raises(FrozenInstanceError):
        record.note = "smudged"


def test_the_two_families_hold_every_check_once_and_each_is_a_kind_of_the_book() -> None:
    shell, slurry = set(get_args(ShellCheck)), set(get_args(SlurryTest))
    assert {type(record) for record in SHELL_CHECKS} == shell
    assert {type(record) for record in SLURRY_TESTS} == slurry
    assert not shell & slurry
    assert shell | slurry <= set(KINDS.values())
    assert set(get_args(Record)) == set(KINDS.values())


# In the ledger -----------------------------------------------------------------------------------


@given(
    st.lists(
        st.tuples(st.integers(0, 600), st.booleans(), st.sampled_from(SHELL_CHECKS)), max_size=12
    ),
    st.randoms(use_true_random=False),
)
def test_checks_stand_by_shell_and_time_however_they_were_entered(rows, random) -> None:
    checks = [
        replace(
            kind,
            id=UUID(int=number),
            at=NOON + timedelta(minutes=minute),
            shell_id=(HERON if heron else GREBE).id,
        )
        for number, (minute, heron, kind) in enumerate(rows, start=1)
    ]
    found = book_of(*map(entry, checks)).checks()
    assert {check for own in found.values() for check in own} == set(checks)
    for shell_id, own in found.items():
        assert {check.shell_id for check in own} == {shell_id}
        assert [check.at for check in own] == sorted(check.at for check in own)
    random.shuffle(checks)
    assert book_of(*map(entry, checks)).checks() == found


@given(st.permutations(SLURRY_TESTS))
def test_tests_of_slurries_stand_apart_and_in_the_order_they_were_entered(tests) -> None:
    ledger = book_of(*map(entry, tests), entry(TOUCH))
    assert ledger.slurry_tests == list(tests)
    assert ledger.checks() == {HERON.id: (TOUCH,)}


def standing(ledger: Ledger) -> list[Record]:
    """Everything found out that stands."""
    return [*(check for own in ledger.checks().values() for check in own), *ledger.slurry_tests]


@each
def test_what_is_left_out_stays_in_with_its_reason(record) -> None:
    first = entry(record)
    out = replace(record, left_out="the gun was cold")
    ledger = book_of(first, entry(out, replaces=first))
    assert standing(ledger) == [out]
    assert [line.record.left_out for line in ledger.history(record.id)] == ["", "the gun was cold"]


@each
def test_a_correction_takes_the_place_of_what_it_corrects(record) -> None:
    first = entry(record)
    second = entry(replace(record, note="measured twice"), replaces=first)
    third = entry(replace(record, note="measured thrice"), replaces=second)
    ledger = book_of(first, second, third)
    assert standing(ledger) == [third.record]
    assert ledger.history(record.id) == [first, second, third]


def test_a_check_corrected_to_another_time_or_shell_stands_there() -> None:
    early, late = entry(TOUCH), entry(replace(WEIGHING, id=uuid4(), at=NOON + timedelta(hours=1)))
    moved = replace(TOUCH, at=NOON + timedelta(hours=2))
    ledger = book_of(early, late, entry(moved, replaces=early))
    assert ledger.checks() == {HERON.id: (late.record, moved)}
    ledger.apply(entry(replace(late.record, shell_id=GREBE.id), replaces=late))
    assert [check.id for check in ledger.checks()[GREBE.id]] == [late.record.id]
    assert ledger.checks()[HERON.id] == (moved,)


@each
def test_what_is_taken_back_is_gone_and_stays_in_the_history(record) -> None:
    first = entry(record)
    undo = entry(Withdrawal(id=record.id), replaces=first)
    ledger = book_of(first, undo)
    assert standing(ledger) == []
    assert ledger.history(record.id) == [first, undo]


@pytest.mark.parametrize("record", SHELL_CHECKS, ids=lambda record: type(record).__name__)
def test_a_check_of_an_unknown_shell_is_refused_in_words(record) -> None:
    ledger = book_of()
    stray = entry(replace(record, shell_id=UUID(int=999)))
    with pytest.raises(NoSuchEntryError, match=r"^The check belongs to a shell that is not in"):
        ledger.apply(stray)
    assert stray.id not in ledger.entries
    assert ledger.checks() == {}


def test_a_check_cannot_be_moved_to_an_unknown_shell_either() -> None:
    first = entry(TOUCH)
    ledger = book_of(first)
    with pytest.raises(NoSuchEntryError, match="not in this book"):
        ledger.apply(entry(replace(TOUCH, shell_id=GREBE.sequence.id), replaces=first))
    assert ledger.checks() == {HERON.id: (TOUCH,)}


@each
def test_a_check_is_corrected_once_and_only_by_its_own_kind(record) -> None:
    first = entry(record)
    ledger = book_of(first)
    other = PLATE if record is not PLATE else TOUCH
    for wrong in (replace(other, id=record.id), replace(record, id=uuid4())):
        with pytest.raises(WrongReplacementError, match="same record"):
            ledger.apply(entry(wrong, replaces=first))
    with pytest.raises(WrongReplacementError, match="already"):
        ledger.apply(entry(record))
    ledger.apply(entry(replace(record, note="better"), replaces=first, who="Ben"))
    with pytest.raises(AlreadyReplacedError, match="Ben has already changed"):
        ledger.apply(entry(replace(record, note="worse"), replaces=first))
