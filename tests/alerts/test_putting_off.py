"""Putting off: until when, by whom, told again once and as often as it is put off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

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
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.life import Alert, AlertState, Marks
from shellcoat.alerts.putting_off import tomorrow_morning
from shellcoat.alerts.telling import PutOffTooLongError, Teller
from shellcoat.book import create_book, open_book
from shellcoat.errors import MendableError, WorldError
from shellcoat.shop import AlertMark, AlertStep
from shellcoat.shop.entry import EndlessPutOffError

HERON = shell(1)
FIRST = coat(1, HERON)
DUE = START + 6 * HOUR
WHO = "R. Vale"


@pytest.fixture
def book():
    pen = Pen()
    return DisklessBook([pen(ROOM), pen(HERON), pen(FIRST)])


@pytest.fixture
def bell():
    return Bell()


@pytest.fixture
def teller(book, bell):
    return Teller(book, "bench 1", [bell], clock_words)


def call(book, now, unsaved=()) -> Alert:
    answer = forecast(HERON, [FIRST], {FIRST.id: DUE}, now)
    (one,) = alerts_of({HERON.id: answer}, book.ledger, now, unsaved)
    return one


def test_what_was_put_off_keeps_silent_until_its_end_and_is_then_told_once(book, teller, bell):
    teller.tell([call(book, DUE)], DUE, WHO)
    until = DUE + 15 * MINUTE
    teller.put_off([call(book, DUE)], until, DUE, WHO)
    for minutes, state in ((1, AlertState.PUT_OFF), (14, AlertState.PUT_OFF), (15, AlertState.DUE)):
        assert call(book, DUE + minutes * MINUTE).state is state
    for minutes in (1, 14, 15, 16, 300):
        now = DUE + minutes * MINUTE
        teller.tell([call(book, now)], now, WHO)
    assert bell.told == [call(book, until).about] * 2
    assert [len(told) for told in bell.tellings] == [1, 1]


def test_it_can_be_put_off_again_and_again_from_any_open_state(book, teller, bell):
    now = DUE
    for turn in range(1, 6):
        teller.put_off([call(book, now)], now + HOUR, now, WHO)
        assert call(book, now).turn == turn
        now += HOUR
        if turn % 2:
            teller.tell([call(book, now)], now, WHO)
        if turn == 3:
            teller.mark_seen([call(book, now)], now, WHO)
    assert len(bell.told) == 3
    assert call(book, now).until == now


def test_it_stays_put_off_over_a_restart_and_says_by_whom(tmp_path):
    path = tmp_path / "studio.shellbook"
    pen = Pen()
    create_book(path, [pen(ROOM), pen(HERON), pen(FIRST)], now=START).close()
    with open_book(path) as book:
        teller = Teller(book, "bench 1", [], clock_words)
        teller.put_off([call(book, DUE)], DUE + HOUR, DUE, "J. Marsh")
    with open_book(path) as book:
        one = call(book, DUE + MINUTE)
        assert (one.state, one.until) == (AlertState.PUT_OFF, DUE + HOUR)
        assert Marks(book.ledger, {}).who(one) == "J. Marsh"
        assert call(book, DUE + HOUR).state is AlertState.DUE


def test_a_clock_set_back_does_not_tell_what_was_told_after_putting_off(book, teller, bell):
    teller.put_off([call(book, DUE)], DUE + HOUR, DUE, WHO)
    teller.tell([call(book, DUE + HOUR)], DUE + HOUR, WHO)
    back = DUE - 5 * HOUR
    teller.tell([call(book, back)], back, WHO)
    teller.tell([call(book, DUE + 2 * HOUR)], DUE + 2 * HOUR, WHO)
    assert len(bell.told) == 1


def test_two_programs_that_put_off_leave_the_first_end(book, teller):
    other = Teller(DisklessBook(book.entries), "office", [], clock_words)
    both = call(book, DUE)
    teller.put_off([both], DUE + HOUR, DUE, WHO)
    other.put_off([both], DUE + 3 * HOUR, DUE, "J. Marsh")
    assert call(book, DUE).until == DUE + HOUR


def test_what_has_not_come_due_and_what_is_over_is_not_put_off(book, teller):
    rest = (AlertState.PENDING, AlertState.DONE, AlertState.SUPPRESSED)
    teller.put_off([alert(state=state) for state in rest], DUE + HOUR, DUE, WHO)
    assert book.ledger.marks == []


@pytest.mark.parametrize("until", [DUE, DUE - HOUR, DUE + timedelta(days=15)])
def test_it_has_an_end_that_lies_ahead_and_not_too_far(book, teller, until):
    with pytest.raises(PutOffTooLongError, match="by 14 days at most"):
        teller.put_off([call(book, DUE)], until, DUE, WHO)
    assert book.ledger.marks == []


def test_the_person_hears_when_the_book_cannot_take_it(book, teller):
    book.fault = disk_full()
    with pytest.raises(WorldError, match="the disk is full"):
        teller.put_off([call(book, DUE)], DUE + HOUR, DUE, WHO)
    assert call(book, DUE, teller.unsaved).state is AlertState.DUE


def test_the_record_itself_refuses_an_end_that_is_missing_or_over():
    plain = {"id": FIRST.id, "about": FIRST.id, "due_at": DUE, "at": DUE}
    for step, until in (
        (AlertStep.PUT_OFF, None),
        (AlertStep.PUT_OFF, DUE),
        (AlertStep.SEEN, DUE + HOUR),
    ):
        with pytest.raises(EndlessPutOffError):
            AlertMark(**plain, step=step, until=until)
    with pytest.raises(MendableError):
        AlertMark(**plain, step=AlertStep.PUT_OFF, until=datetime(2016, 3, 15))  # noqa: DTZ001


def test_a_mark_of_an_older_book_has_no_end():
    from shellcoat.book.codec import decode

    body = (
        '{"about":"00000000-0000-0000-0000-000000000001","at":"2016-03-14T08:00:00Z",'
        '"due_at":"2016-03-14T08:00:00Z","id":"00000000-0000-0000-0000-000000000002","step":"told"}'
    )
    mark = decode("alert_mark", body)
    assert isinstance(mark, AlertMark)
    assert (mark.step, mark.until) == (AlertStep.TOLD, None)


# Europe/Berlin (tz database): UTC+1 in winter, UTC+2 from 29 March to 25 October 2026.
@pytest.mark.parametrize(
    ("now", "morning"),
    [
        (datetime(2026, 3, 28, 20, 0, tzinfo=UTC), datetime(2026, 3, 29, 5, 0, tzinfo=UTC)),
        (datetime(2026, 10, 24, 20, 0, tzinfo=UTC), datetime(2026, 10, 25, 6, 0, tzinfo=UTC)),
        (datetime(2026, 6, 10, 23, 30, tzinfo=UTC), datetime(2026, 6, 11, 5, 0, tzinfo=UTC)),
        (datetime(2026, 6, 10, 5, 30, tzinfo=UTC), datetime(2026, 6, 11, 5, 0, tzinfo=UTC)),
    ],
    ids=["clocks go forward", "clocks go back", "after midnight", "in the morning"],
)
def test_tomorrow_morning_is_seven_on_the_shops_clock(now, morning):
    assert tomorrow_morning(now, ZoneInfo("Europe/Berlin")) == morning


@given(
    st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
    st.sampled_from(["America/Denver", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Kathmandu"]),
)
def test_tomorrow_morning_lies_ahead_by_a_few_hours_to_a_day_and_a_bit(now, zone):
    ahead = tomorrow_morning(now, ZoneInfo(zone)) - now
    assert 2 * HOUR <= ahead <= 28 * HOUR
