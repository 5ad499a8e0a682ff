"""Telling: marked first, told once, and never lost to a way or a book that fails."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from alert_cases import (
    HOUR,
    MINUTE,
    ROOM,
    START,
    Bell,
    DisklessBook,
    Pen,
    alert,
    clock_words,
    coat,
    disk_full,
    forecast,
    shell,
)

from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.life import AlertState, AlertWhat, identity
from shellcoat.alerts.telling import Teller
from shellcoat.book import create_book, open_book
from shellcoat.book.faults import BookBusyError
from shellcoat.errors import MendableError, WorldError
from shellcoat.shop import AlertStep

HERON = shell(1)
FIRST, SECOND = coat(1, HERON), coat(2, HERON, START + 8 * HOUR)
CALL = identity(FIRST, AlertWhat.NEXT_DIP)
SAFE = {FIRST.id: START + 6 * HOUR, SECOND.id: START + 14 * HOUR}
NOW = START + 7 * HOUR
WHO = "R. Vale"


def first_entries():
    pen = Pen()
    return [pen(ROOM), pen(HERON), pen(FIRST)]


@pytest.fixture
def book():
    return DisklessBook(first_entries())


@pytest.fixture
def bell():
    return Bell()


@pytest.fixture
def teller(book, bell):
    return Teller(book, "bench 1", [bell], clock_words)


def calls(book, now=NOW, unsaved=()):
    coats = book.ledger.coats(HERON.id)
    return alerts_of({HERON.id: forecast(HERON, coats, SAFE)}, book.ledger, now, unsaved)


def test_what_is_due_is_marked_in_the_book_and_told(book, teller, bell):
    told = teller.tell(calls(book), NOW, WHO)
    (mark,) = book.ledger.marks
    assert (mark.about, mark.step) == (CALL, AlertStep.TOLD)
    assert (mark.due_at, mark.at) == (SAFE[FIRST.id], NOW)
    entry = book.ledger.live[mark.id]
    assert (entry.who, entry.station, entry.recorded_at) == (WHO, "bench 1", NOW)
    assert bell.told == [call.about for call in told.alerts] == [CALL]
    assert told.lines[0].text == "Heron (B3): coat 1 of 3 dry since 14:00, 1 h ago; next dip"
    assert told.faults == ()


def test_the_mark_is_in_the_book_before_anybody_hears(book):
    class Witness(Bell):
        def tell(self, lines):
            super().tell([mark.about for mark in book.ledger.marks])

    witness = Witness()
    Teller(book, "", [witness], clock_words).tell(calls(book), NOW, WHO)
    assert witness.tellings == [[CALL]]


def test_nothing_due_writes_nothing_and_calls_nobody(book, teller, bell):
    told = teller.tell(calls(book, START), START, WHO)
    assert (told.lines, told.faults, bell.tellings) == ((), (), [])
    assert book.ledger.marks == []


def test_telling_again_tells_nothing_new(book, teller, bell):
    stale = calls(book)
    teller.tell(stale, NOW, WHO)
    teller.tell(stale, NOW + HOUR, WHO)
    teller.tell(calls(book), NOW + HOUR, WHO)
    Teller(book, "bench 1", [bell], clock_words).tell(calls(book), NOW + HOUR, WHO)
    assert bell.told == [CALL]


def test_of_two_programs_the_one_whose_mark_stands_tells(book, bell):
    other, other_bell = DisklessBook(book.entries), Bell()
    both_see_it_due = calls(book), calls(other)
    Teller(book, "bench 1", [bell], clock_words).tell(both_see_it_due[0], NOW, WHO)
    told = Teller(other, "office", [other_bell], clock_words).tell(both_see_it_due[1], NOW, "J. M.")
    assert (bell.told, other_bell.tellings, told.faults) == ([CALL], [], ())
    assert [entry.station for entry in other.entries[3:]] == ["bench 1"]


def test_a_telling_that_is_partly_another_programs_tells_the_rest(book):
    other = DisklessBook(book.entries)
    first, second = alert(1), alert(2, shell_name="Grebe")
    bells = Bell(), Bell()
    Teller(book, "bench 1", [bells[0]], clock_words).tell([first], NOW, WHO)
    Teller(other, "office", [bells[1]], clock_words).tell([first, second], NOW + HOUR, WHO)
    assert [bell.told for bell in bells] == [[first.about], [second.about]]


class Broken(Bell):
    name = "desktop notification"

    def __init__(self, fault):
        super().__init__()
        self.fault = fault

    def tell(self, lines):
        raise self.fault


@pytest.mark.parametrize("fault", [OSError("no bus"), WorldError("no tray here")])
def test_a_way_that_fails_is_named_and_the_others_are_used(book, bell, fault):
    ways = [Broken(fault), bell]
    told = Teller(book, "", ways, clock_words).tell(calls(book), NOW, WHO)
    assert told.faults == (f"Telling by desktop notification failed: {fault}",)
    assert bell.told == [CALL]
    assert [call.about for call in told.alerts] == [CALL]


def test_a_bug_in_a_way_keeps_no_other_way_from_telling(book, bell):
    ways = [Bell(), Broken(ZeroDivisionError("a bug")), bell]
    with pytest.raises(ZeroDivisionError):
        Teller(book, "", ways, clock_words).tell(calls(book), NOW, WHO)
    assert ways[0].told == bell.told == [CALL]


def test_a_listener_of_the_book_that_raises_silences_nobody(book, teller, bell):
    def listener(_):
        raise ZeroDivisionError("a bug")

    book.listeners.append(listener)
    with pytest.raises(ZeroDivisionError):
        teller.tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]
    assert len(book.ledger.marks) == 1


def test_a_listener_of_the_book_may_tell_in_turn(book, teller, bell):
    book.listeners.append(lambda _: teller.tell(calls(book), NOW, WHO))
    teller.tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]


@pytest.mark.parametrize(
    "fault", [disk_full(), BookBusyError(Path("studio.shellbook"), "another program")]
)
def test_where_the_book_cannot_take_the_mark_it_is_told_once_all_the_same(
    book, teller, bell, fault
):
    book.fault = fault
    told = teller.tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]
    assert told.faults[0].startswith("Told, but not marked in the book")
    assert str(fault) in told.faults[0]
    (call,) = calls(book, unsaved=teller.unsaved)
    assert call.state is AlertState.TOLD
    teller.tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]


def test_a_mark_the_book_could_not_take_goes_in_with_the_next(book, teller, bell):
    book.fault = disk_full()
    teller.tell([alert(1)], NOW, WHO)
    book.fault = None
    told = teller.tell([alert(1), alert(2)], NOW + HOUR, WHO)
    assert told.faults == ()
    assert {mark.about for mark in book.ledger.marks} == set(bell.told)
    assert len(bell.told) == 2
    assert teller.unsaved == ()


def test_a_book_that_is_only_read_is_told_from_without_marks(book, bell):
    reading = DisklessBook(book.entries, read_only=True)
    teller = Teller(reading, "", [bell], clock_words)
    told = teller.tell(calls(reading), NOW, WHO)
    assert (bell.told, told.faults, reading.ledger.marks) == ([CALL], (), [])
    (call,) = calls(reading, unsaved=teller.unsaved)
    assert call.state is AlertState.TOLD
    teller.mark_seen([call], NOW, WHO)
    (call,) = calls(reading, unsaved=teller.unsaved)
    assert call.state is AlertState.SEEN


def test_an_alert_is_seen_once_and_not_told_any_more(book, teller, bell):
    due = calls(book)
    teller.mark_seen(due, NOW, "J. Marsh")
    (call,) = calls(book)
    assert call.state is AlertState.SEEN
    teller.mark_seen([call], NOW + HOUR, WHO)
    teller.mark_seen([replace(call, state=AlertState.TOLD)], NOW + HOUR, WHO)
    teller.tell(calls(book), NOW, WHO)
    assert [(mark.step, mark.at) for mark in book.ledger.marks] == [(AlertStep.SEEN, NOW)]
    assert bell.tellings == []


def test_a_person_who_marks_as_seen_hears_when_the_book_cannot_take_it(book, teller):
    book.fault = disk_full()
    with pytest.raises(WorldError, match="the disk is full"):
        teller.mark_seen(calls(book), NOW, WHO)
    assert calls(book, unsaved=teller.unsaved)[0].state is AlertState.DUE


def test_a_nameless_person_is_refused_and_the_alert_stays_to_be_told(book, teller, bell):
    with pytest.raises(MendableError):
        teller.tell(calls(book), NOW, " ")
    teller.tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]


# The same with real files.


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "studio.shellbook"
    create_book(path, first_entries(), now=START).close()
    return path


def test_a_told_alert_is_told_after_a_restart_and_done_with_the_next_coat(path, bell):
    with open_book(path) as book:
        Teller(book, "bench 1", [bell], clock_words).tell(calls(book), NOW, WHO)
    with open_book(path) as book:
        teller = Teller(book, "bench 1", [bell], clock_words)
        assert [call.state for call in calls(book)] == [AlertState.TOLD]
        teller.tell(calls(book), NOW + HOUR, WHO)
        teller.mark_seen(calls(book), NOW + HOUR, WHO)
        assert [call.state for call in calls(book)] == [AlertState.SEEN]
        book.append([Pen(20_000)(SECOND)])
        assert [call.state for call in calls(book)] == [AlertState.DONE, AlertState.PENDING]
    assert bell.told == [CALL]


def test_two_programs_on_one_file_tell_once(path):
    bells = Bell(), Bell()
    with open_book(path) as bench, open_book(path) as office:
        both_see_it_due = calls(bench), calls(office)
        Teller(bench, "bench 1", [bells[0]], clock_words).tell(both_see_it_due[0], NOW, WHO)
        told = Teller(office, "office", [bells[1]], clock_words).tell(
            both_see_it_due[1], NOW + HOUR, "J. Marsh"
        )
        assert told.lines == told.faults == ()
        assert [call.state for call in calls(office)] == [AlertState.TOLD]
    assert [bell.told for bell in bells] == [[CALL], []]


def test_a_file_opened_to_read_only_is_told_from_and_left_alone(path, bell):
    before = path.read_bytes()
    with open_book(path, read_only=True) as book:
        Teller(book, "", [bell], clock_words).tell(calls(book), NOW, WHO)
    assert bell.told == [CALL]
    assert path.read_bytes() == before


def test_a_book_that_was_closed_meanwhile_does_not_silence_the_alert(path, bell):
    book = open_book(path)
    due = calls(book)
    book.close()
    told = Teller(book, "", [bell], clock_words).tell(due, NOW, WHO)
    assert bell.told == [CALL]
    assert len(told.faults) == 1


def test_more_than_ten_in_ten_minutes_fold_also_where_they_come_one_by_one(book, bell):
    teller = Teller(book, "", [bell], clock_words)
    for n in range(10):
        teller.tell([alert(n)], NOW, WHO)
    at = NOW + 9 * MINUTE
    teller.tell([alert(20), alert(21), alert(22)], at, WHO)
    assert [line.text for line in bell.tellings[-1]] == ["3 shells dry on rack B"]
    at = NOW + 30 * MINUTE
    teller.tell([alert(30), alert(31)], at, WHO)
    assert len(bell.tellings[-1]) == 2


def test_a_flood_of_alarms_is_folded_apart_from_the_prompts(teller, bell):
    swings = [alert(n, what=AlertWhat.ROOM_SWING) for n in range(8)]
    dry = [alert(n) for n in range(10, 14)]
    teller.tell([*swings, *dry], NOW, WHO)
    assert [(line.kind.value, line.text) for line in bell.lines] == [
        ("alarm", "8 shells whose prime coat saw a room swing on rack B"),
        ("prompt", "4 shells dry on rack B"),
    ]
