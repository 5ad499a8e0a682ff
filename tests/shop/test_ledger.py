"""The ledger: corrections replace, withdrawals take back, nothing is lost or counted twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import MendableError
from shellcoat.shop import (
    AirMovement,
    AirReading,
    AlertMark,
    AlertStep,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    DipSequence,
    Entry,
    Ledger,
    ReadingBatch,
    Room,
    Shell,
    Shop,
    Withdrawal,
)
from shellcoat.shop.ledger import AlreadyReplacedError, NoSuchEntryError, WrongReplacementError

START = datetime(2015, 2, 9, 7, 0, tzinfo=UTC)
STEP = CoatStep(
    kind=CoatKind.PRIME,
    slurry="prime",
    thickness_m=Band(0.3e-3, 0.45e-3, 0.6e-3),
    water_kg_m2=Band(0.12, 0.15, 0.18),
)
WALL = DipSequence(
    id=UUID(int=900), name="Wall", steps=(STEP,), target_thickness_m=5e-3, final_hold_s=86400.0
)
ROOM = Room(id=UUID(int=901), name="Back room")
HERON, GREBE = (
    Shell(
        id=UUID(int=number),
        name=name,
        label=name,
        sequence=WALL,
        room_id=ROOM.id,
        started_at=START,
    )
    for number, name in ((910, "Heron"), (911, "Grebe"))
)


def coat(number, minute, shell=HERON):
    return Coat(
        id=UUID(int=number),
        shell_id=shell.id,
        step=STEP,
        dipped_at=START + timedelta(minutes=minute),
        utc_offset_min=60,
        room_id=ROOM.id,
        movement=AirMovement.STILL_ROOM,
    )


class Pen:
    """Writes entries, one a minute."""

    def __init__(self):
        self.numbers = count(1000)

    def __call__(self, record, replaces=None, who="R. Vale", reason=""):
        number = next(self.numbers)
        return Entry(
            id=UUID(int=number),
            recorded_at=START + timedelta(minutes=number),
            who=who,
            record=record,
            replaces=replaces.id if replaces else None,
            reason=reason,
        )


@pytest.fixture
def pen():
    return Pen()


@pytest.fixture
def ledger(pen):
    return Ledger.of([pen(ROOM), pen(HERON), pen(GREBE)])


def test_coats_stand_by_time_of_the_dip_however_late_they_are_logged(ledger, pen):
    for record in (coat(1, 600), coat(2, 60), coat(3, 300)):
        ledger.apply(pen(record))
    assert [one.id.int for one in ledger.coats(HERON.id)] == [2, 3, 1]
    assert ledger.coats(GREBE.id) == ()


def test_two_coats_of_one_moment_keep_one_order_whatever_came_first(pen):
    records = [coat(2, 60), coat(1, 60)]
    folds = [
        Ledger.of([pen(HERON), *map(pen, order)]).coats(HERON.id)
        for order in (records, records[::-1])
    ]
    assert folds[0] == folds[1]


def test_a_correction_replaces_the_coat_and_keeps_the_history(ledger, pen):
    first = pen(coat(1, 60))
    second = pen(coat(1, 240), replaces=first, who="J. Marsh", reason="wrong hour")
    ledger.apply(pen(coat(2, 120)))
    ledger.apply(first)
    ledger.apply(second)
    assert [one.id.int for one in ledger.coats(HERON.id)] == [2, 1]
    assert ledger.history(UUID(int=1)) == [first, second]
    assert ledger.coats_ever[HERON.id] == 2


def test_a_correction_may_move_a_coat_to_the_shell_it_went_on(ledger, pen):
    first = pen(coat(1, 60))
    ledger.apply(first)
    ledger.apply(pen(coat(1, 60, GREBE), replaces=first))
    assert ledger.coats(HERON.id) == ()
    assert [one.id.int for one in ledger.coats(GREBE.id)] == [1]


def test_a_correction_may_follow_a_correction(ledger, pen):
    first = pen(coat(1, 60))
    second = pen(coat(1, 61), replaces=first)
    third = pen(coat(1, 62), replaces=second)
    for entry in (first, second, third):
        ledger.apply(entry)
    assert [one.dipped_at for one in ledger.coats(HERON.id)] == [START + timedelta(minutes=62)]


def test_a_withdrawn_coat_is_gone_from_the_wall_but_not_from_the_book(ledger, pen):
    first = pen(coat(1, 60))
    ledger.apply(first)
    undo = pen(Withdrawal(id=UUID(int=1)), replaces=first, reason="wrong shell")
    ledger.apply(undo)
    assert ledger.coats(HERON.id) == ()
    assert UUID(int=1) not in ledger.live
    assert ledger.history(UUID(int=1)) == [first, undo]
    assert ledger.coats_ever[HERON.id] == 1


def test_the_second_correction_of_an_entry_is_refused_and_names_the_first(ledger, pen):
    first = pen(coat(1, 60))
    ledger.apply(first)
    ledger.apply(pen(coat(1, 61), replaces=first, who="J. Marsh"))
    before = ledger.coats(HERON.id)
    for late in (pen(coat(1, 62), replaces=first), pen(Withdrawal(id=first.record.id), first)):
        with pytest.raises(AlreadyReplacedError, match=r"J\. Marsh has already changed"):
            ledger.apply(late)
        assert late.id not in ledger.entries
    assert ledger.coats(HERON.id) == before


def test_what_does_not_fit_is_refused_with_a_mendable_error(ledger, pen):
    known, withdrawn = pen(coat(1, 60)), pen(coat(2, 70))
    gone = pen(Withdrawal(id=UUID(int=2)), replaces=withdrawn)
    for entry in (known, withdrawn, gone):
        ledger.apply(entry)
    stranger = replace(HERON, id=UUID(int=999))
    wrong = [
        (pen(coat(3, 80), replaces=pen(coat(3, 80))), NoSuchEntryError),
        (pen(coat(3, 80), replaces=known), WrongReplacementError),
        (pen(coat(2, 80), replaces=gone), WrongReplacementError),
        (pen(coat(1, 80)), WrongReplacementError),
        (pen(coat(4, 80, stranger)), NoSuchEntryError),
        (pen(Withdrawal(id=UUID(int=1))), NoSuchEntryError),
    ]
    for entry, error in wrong:
        with pytest.raises(error) as told:
            ledger.apply(entry)
        assert isinstance(told.value, MendableError)
        assert entry.id not in ledger.entries


def test_each_kind_of_record_is_found_under_its_name(pen):
    shop = Shop(id=UUID(int=902), name="Studio")
    reading = AirReading(id=UUID(int=903), room_id=ROOM.id, read_at=START, temp_c=21.0, rh=0.4)
    batch = ReadingBatch(
        id=UUID(int=904),
        room_id=ROOM.id,
        import_id=UUID(int=905),
        source_name="log.csv",
        count=1,
        first_at=START,
        last_at=START,
        digest="0" * 64,
    )
    mark = AlertMark(id=UUID(int=906), about=HERON.id, step=AlertStep.TOLD, due_at=START, at=START)
    ledger = Ledger.of(map(pen, [ROOM, shop, WALL, HERON, reading, batch, mark, GREBE]))
    assert ledger.shop == shop
    assert (ledger.rooms, ledger.sequences, ledger.shells) == ([ROOM], [WALL], [HERON, GREBE])
    assert (ledger.typed_readings, ledger.batches, ledger.marks) == ([reading], [batch], [mark])
    assert (ledger.shell(GREBE.id), ledger.room(ROOM.id)) == (GREBE, ROOM)


def test_an_empty_book_has_no_shop_and_a_corrected_one_keeps_its_place(pen):
    assert Ledger().shop is None
    room, other = pen(ROOM), pen(replace(ROOM, id=UUID(int=907), name="Kiln room"))
    renamed = pen(replace(ROOM, name="Drying room"), replaces=room)
    ledger = Ledger.of([room, other, renamed])
    assert [one.name for one in ledger.rooms] == ["Drying room", "Kiln room"]


# What a shop does to its coats: log one, correct one, take one back.
_acts = st.lists(
    st.tuples(
        st.sampled_from(["log", "correct", "withdraw"]),
        st.integers(0, 30),
        st.integers(0, 600),
        st.sampled_from([HERON, GREBE]),
    ),
    max_size=40,
)


def written(acts):
    """Entries of a book in which only standing coats are corrected or taken back."""
    pen, numbers, standing = Pen(), count(1), []
    entries = [pen(HERON), pen(GREBE)]
    for act, which, minute, shell in acts:
        if act == "log":
            entries.append(pen(coat(next(numbers), minute, shell)))
            standing.append(entries[-1])
        elif standing:
            old = standing.pop(which % len(standing))
            new = (
                coat(old.record.id.int, minute, shell)
                if act == "correct"
                else Withdrawal(id=old.record.id)
            )
            entries.append(pen(new, replaces=old))
            standing += [entries[-1]] * (act == "correct")
    return entries, standing


@given(_acts)
def test_coats_that_stand_are_those_logged_less_those_taken_back(acts):
    entries, standing = written(acts)
    ledger = Ledger.of(entries)
    logged = {entry.record.id for entry in entries if isinstance(entry.record, Coat)}
    taken = {entry.record.id for entry in entries if isinstance(entry.record, Withdrawal)}
    on_walls = [one for shell in (HERON, GREBE) for one in ledger.coats(shell.id)]
    assert len(on_walls) == len(logged) - len(taken)
    assert {one.id for one in on_walls} == logged - taken
    assert sorted(on_walls, key=lambda one: one.id) == sorted(
        (entry.record for entry in standing), key=lambda one: one.id
    )


@given(_acts)
def test_each_wall_is_in_order_of_time_and_counts_every_coat_ever_logged(acts):
    entries, _ = written(acts)
    ledger = Ledger.of(entries)
    for shell in (HERON, GREBE):
        times = [one.dipped_at for one in ledger.coats(shell.id)]
        assert times == sorted(times)
    first_logged = [e for e in entries if isinstance(e.record, Coat) and e.replaces is None]
    assert sum(ledger.coats_ever.values()) == len(first_logged)


@given(_acts, st.integers(0, 42))
def test_folding_all_at_once_equals_folding_on_from_any_point(acts, cut):
    entries, _ = written(acts)
    ledger = Ledger.of(entries[:cut])
    for entry in entries[cut:]:
        ledger.apply(entry)
    assert ledger == Ledger.of(entries)
    assert list(ledger.entries.values()) == entries


@given(_acts)
def test_every_entry_but_the_standing_one_of_a_record_is_replaced_once(acts):
    entries, _ = written(acts)
    ledger = Ledger.of(entries)
    for record_id in {entry.record.id for entry in entries}:
        *old, last = ledger.history(record_id)
        assert [ledger.replaced_by[entry.id] for entry in old] == [
            entry.id for entry in [*old, last][1:]
        ]
        assert last.id not in ledger.replaced_by
