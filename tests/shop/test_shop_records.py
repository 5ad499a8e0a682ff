"""Records refuse what no shop can have, and say what to do."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import UTC, datetime, timedelta, timezone
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.shop import (
    AirAtDip,
    AirLimits,
    AirReading,
    AlertMark,
    AlertStep,
    Band,
    CaliperReading,
    CareKind,
    Coat,
    CoatKind,
    CoatStep,
    CoreCare,
    Decision,
    Defect,
    DefectKind,
    DipSequence,
    DryCheck,
    DryFinding,
    Entry,
    InfraredReading,
    LookAnswer,
    MeltPlan,
    Outcome,
    Photo,
    PlateTest,
    PourResult,
    ReadingBatch,
    Review,
    ReviewAnswer,
    ReviewQuestion,
    RheologyTest,
    Room,
    Shell,
    Shop,
    StuccoGrain,
    WallPlace,
    Weighing,
    Withdrawal,
)
from shellcoat.shop.air import AirMovement
from shellcoat.shop.band import DisorderedBandError
from shellcoat.shop.checks import MissingTextError, NaiveTimeError
from shellcoat.shop.entry import KINDS
from shellcoat.shop.sequence import EmptySequenceError
from shellcoat.shop.shop import UnknownZoneError

NOON = datetime(2015, 2, 9, 11, 0, tzinfo=UTC)
ONE = UUID(int=1)

STEP = CoatStep(
    kind=CoatKind.BACKUP,
    slurry="fused silica backup",
    stucco="fused silica 16-30 mesh",
    thickness_m=Band(0.8e-3, 1.2e-3, 1.5e-3),
    water_kg_m2=Band(0.20, 0.25, 0.30),
)
WALL = DipSequence(
    id=ONE, name="Wall", steps=(STEP, STEP), target_thickness_m=2e-3, final_hold_s=86400.0
)
SHELL = Shell(id=ONE, name="Heron", label="H1", sequence=WALL, room_id=ONE, started_at=NOON)
COAT = Coat(
    id=ONE,
    shell_id=ONE,
    step=STEP,
    dipped_at=NOON,
    utc_offset_min=60,
    room_id=ONE,
    movement=AirMovement.STILL_ROOM,
)
READING = AirReading(id=ONE, room_id=ONE, read_at=NOON, temp_c=21.0, rh=0.45)
BATCH = ReadingBatch(
    id=ONE,
    room_id=ONE,
    import_id=ONE,
    source_name="log.csv",
    count=3,
    first_at=NOON,
    last_at=NOON,
    digest="0" * 64,
)
MARK = AlertMark(id=ONE, about=ONE, step=AlertStep.TOLD, due_at=NOON, at=NOON)
SHOP = Shop(id=ONE, name="Studio", zone="Europe/Madrid")
ROOM = Room(id=ONE, name="Back room")
LIMITS = AirLimits(temp_low_c=20, temp_high_c=24, rh_low=0.4, rh_high=0.55, swing_k=1.7)
AT_DIP = AirAtDip(temp_c=21.0, rh=0.45, read_at=NOON)
ENTRY = Entry(id=ONE, recorded_at=NOON, who="R. Vale", record=ROOM)


def refused(record, **changes):
    with pytest.raises(MendableError) as told:
        replace(record, **changes)
    return str(told.value)


@pytest.mark.parametrize(
    ("record", "field"),
    [
        (ROOM, "name"),
        (SHELL, "name"),
        (SHELL, "label"),
        (WALL, "name"),
        (STEP, "slurry"),
        (SHOP, "name"),
        (ENTRY, "who"),
    ],
)
@pytest.mark.parametrize("text", ["", " \n", "x" * 201, "lone \ud800 half", "bell \x07"])
def test_a_name_is_neither_empty_nor_endless_nor_unprintable(record, field, text):
    with pytest.raises(MissingTextError):
        replace(record, **{field: text})


@pytest.mark.parametrize("name", ["Grébe huppé", "カイツブリ", "x" * 200, "bust, 3/8 in wall"])
def test_a_name_may_be_in_any_script(name):
    assert replace(SHELL, name=name).name == name


@pytest.mark.parametrize(
    ("record", "field"),
    [
        (ROOM, "note"),
        (READING, "note"),
        (BATCH, "source_name"),
        (STEP, "watch"),
        (STEP, "stucco"),
        (WALL, "description"),
        (SHELL, "note"),
        (SHELL, "metal"),
        (SHELL, "rack_place"),
        (COAT, "note"),
        (COAT, "tank"),
        (COAT, "reason"),
        (ENTRY, "reason"),
        (ENTRY, "station"),
    ],
)
def test_notes_may_be_empty_or_have_lines_but_not_run_on_forever(record, field):
    assert getattr(replace(record, **{field: ""}), field) == ""
    assert getattr(replace(record, **{field: "one\n\ttwo"}), field) == "one\n\ttwo"
    refused(record, **{field: "x" * 4001})
    refused(record, **{field: "\x00"})


@pytest.mark.parametrize(
    ("record", "field"),
    [
        (READING, "read_at"),
        (AT_DIP, "read_at"),
        (BATCH, "first_at"),
        (BATCH, "last_at"),
        (COAT, "dipped_at"),
        (SHELL, "started_at"),
        (ENTRY, "recorded_at"),
        (MARK, "due_at"),
        (MARK, "at"),
    ],
)
def test_a_time_is_kept_in_utc_and_within_a_shops_life(record, field):
    for wrong in (NOON.replace(tzinfo=None), NOON.astimezone(timezone(timedelta(hours=1)))):
        with pytest.raises(NaiveTimeError):
            replace(record, **{field: wrong})
    for far in (datetime(1900, 1, 1, tzinfo=UTC), datetime(2300, 1, 1, tzinfo=UTC)):
        assert "between 1950 and 2200" in refused(record, **{field: far})


@pytest.mark.parametrize(
    ("record", "field", "wrong", "right"),
    [
        (READING, "rh", 45.0, 0.45),  # percent typed where a fraction is kept
        (READING, "rh", -0.01, 0.0),
        (READING, "temp_c", 294.15, 21.0),  # kelvin
        (READING, "temp_c", 71.7, 70.0),
        (AT_DIP, "rh", 45.0, 1.0),
        (AT_DIP, "temp_c", -31.0, -30.0),
        (BATCH, "count", 0, 1),
        (SHELL, "drying_length_m", 450.0, 0.45),  # millimetres
        (SHELL, "drying_length_m", 0.0, 0.005),
        (SHELL, "area_m2", 0.0, 0.03),
        (SHELL, "wax_mass_kg", -1.0, 1.0),
        (STEP, "thickness_m", Band(0.8, 1.2, 1.5), Band(0.8e-3, 1.2e-3, 1.5e-3)),  # millimetres
        (STEP, "water_kg_m2", Band(200, 250, 300), Band(0.2, 0.25, 0.3)),  # grams
        (WALL, "target_thickness_m", 7.5, 7.5e-3),  # millimetres
        (WALL, "final_hold_s", -1.0, 0.0),
        (LIMITS, "rh_high", 55.0, 0.55),
        (LIMITS, "temp_low_c", -21.0, -20.0),
        (LIMITS, "swing_k", -1.7, 1.7),
        (SHOP, "altitude_m", 9000.0, 650.0),
        (SHOP, "dry_share", 10.0, 0.10),  # percent
        (SHOP, "safe_quantile", 90.0, 0.90),  # percent
        (COAT, "utc_offset_min", 3600, 60),  # seconds
    ],
)
def test_a_slip_of_unit_is_refused_and_the_true_figure_is_kept(record, field, wrong, right):
    with pytest.raises(ValueOutOfRangeError, match="not possible here"):
        replace(record, **{field: wrong})
    assert getattr(replace(record, **{field: right}), field) == right


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_none_is_refused(value):
    refused(READING, temp_c=value)
    refused(SHELL, drying_length_m=value)
    refused(LIMITS, swing_k=value)
    with pytest.raises(ValueOutOfRangeError):
        Band(0.0, 1.0, value)


def test_what_may_be_unknown_may_stay_unknown():
    bare = replace(SHELL, area_m2=None, wax_mass_kg=None, metal="", rack_place="")
    assert (bare.area_m2, bare.wax_mass_kg) == (None, None)
    assert AirLimits().swing_k is None
    assert replace(COAT, air=None).air is None


@given(st.lists(st.floats(0.0, 1e9), min_size=3, max_size=3))
def test_a_band_rises_or_is_refused(values):
    if sorted(values) == values:
        low, _, high = values
        assert low <= Band(*values).likely <= high
    else:
        with pytest.raises(DisorderedBandError, match="must rise"):
            Band(*values)


def test_the_relative_spread_is_half_the_width_over_the_middle():
    assert Band(0.8, 1.0, 1.4).relative_spread == pytest.approx(0.3)
    assert Band(0.0, 0.0, 1.0).relative_spread == 0.0


def test_a_sequence_has_a_coat_and_not_hundreds():
    for steps in ((), (STEP,) * 41):
        with pytest.raises(EmptySequenceError, match="1 to 40 coats"):
            replace(WALL, steps=steps)
    assert len(replace(WALL, steps=(STEP,) * 40).steps) == 40


def test_the_next_step_follows_the_coats_on_and_ends_with_the_sequence():
    prime = replace(STEP, kind=CoatKind.PRIME)
    shell = replace(SHELL, sequence=replace(WALL, steps=(prime, STEP)))
    assert [shell.next_step(coats_on) for coats_on in range(4)] == [prime, STEP, None, None]


@pytest.mark.parametrize("zone", ["Madrid", "", "../../etc/passwd", "/etc/localtime", "Mars/Base"])
def test_a_zone_no_clock_knows_is_told_with_an_example(zone):
    with pytest.raises(UnknownZoneError, match="Europe/Madrid"):
        replace(SHOP, zone=zone)


def test_the_shop_clock_is_the_wall_clock_of_its_zone():
    """Madrid keeps UTC+1 in February and UTC+2 in July."""
    july = datetime(2015, 7, 9, 11, 0, tzinfo=UTC)
    assert SHOP.clock == ZoneInfo("Europe/Madrid")
    assert NOON.astimezone(SHOP.clock).hour == 12
    assert july.astimezone(SHOP.clock).hour == 13


def test_the_two_half_past_twos_of_an_autumn_night_stay_apart():
    """In Madrid the clocks went from 3:00 back to 2:00 on 25 October 2015."""
    early = datetime(2015, 10, 25, 0, 30, tzinfo=UTC)
    walls = [
        replace(COAT, dipped_at=moment, utc_offset_min=offset)
        for moment, offset in ((early, 120), (early + timedelta(hours=1), 60))
    ]
    wall_clocks = [
        (coat.dipped_at + timedelta(minutes=coat.utc_offset_min)).time() for coat in walls
    ]
    assert wall_clocks[0] == wall_clocks[1]
    assert walls[0].dipped_at != walls[1].dipped_at
    for coat in walls:
        shown = coat.dipped_at.astimezone(SHOP.clock).utcoffset()
        assert shown == timedelta(minutes=coat.utc_offset_min)


def test_every_kind_of_record_has_its_own_name_in_the_book():
    at_one = {"id": ONE, "shell_id": ONE, "at": NOON}
    found = [
        CoreCare(**at_one, core_id=None, kind=CareKind.TURN),
        DryCheck(**at_one, finding=DryFinding.DRY),
        InfraredReading(**at_one, surface_temp_c=18.5),
        Weighing(**at_one, mass_kg=12.4),
        CaliperReading(**at_one, place=WallPlace.FLAT, thickness_m=5.2e-3),
    ]
    tests = [
        PlateTest(id=ONE, slurry="backup", at=NOON, area_m2=0.02, mass_kg=0.018),
        RheologyTest(id=ONE, slurry="backup", at=NOON, viscosity_pa_s=0.6, density_kg_m3=1700.0),
        StuccoGrain(id=ONE, stucco="16-30", finest_m=0.6e-3, coarsest_m=1.18e-3),
    ]
    looked = {"question": ReviewQuestion.VENTS, "answer": LookAnswer.YES}
    frozen = {"evidence_at": NOON, "head": "0f", "book_entries": 5, "shell_entries": 2}
    reviewed = [
        Defect(**at_one, kind=DefectKind.CRACK, where="left wing"),
        ReviewAnswer(**at_one, **looked, by="R. Vale"),
        MeltPlan(**at_one, extra_share=0.15),
        Review(**at_one, **frozen, decision=Decision.SCRAP, name="R. Vale", findings="{}"),
    ]
    kept = {"width": 1600, "height": 1200, "sha256": "0" * 64, "thumbnail_sha256": "1" * 64}
    poured = [
        Photo(id=ONE, shell_id=ONE, taken_at=NOON, **kept),
        Outcome(id=ONE, shell_id=ONE, poured_at=NOON, result=PourResult.SOUND),
    ]
    before, after = [SHOP, ROOM, WALL, SHELL, COAT], [READING, BATCH, MARK, Withdrawal(id=ONE)]
    records = [*before, *found, *tests, *reviewed, *poured, *after]
    kinds = [replace(ENTRY, id=uuid4(), record=record).kind for record in records]
    assert kinds == list(KINDS)
    assert len(set(kinds)) == len(records)


@pytest.mark.parametrize("record", [SHOP, ROOM, WALL, SHELL, COAT, READING, BATCH, MARK, ENTRY])
def test_a_record_cannot_be_changed_in_place(record):
    with pytest.raises(FrozenInstanceError):
        record.id = uuid4()
