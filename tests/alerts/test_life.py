"""The life of an alert, from the forecast, the ledger and the marks."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from alert_cases import HOUR, MINUTE, START, Pen, alert, coat, forecast, sequence, shell

from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.folding import fold
from shellcoat.alerts.life import (
    AlertState,
    AlertWhat,
    identity,
    lateness,
    mark_id,
    to_tell,
)
from shellcoat.shop import AlertMark, AlertStep, Ledger, ShellState, Withdrawal

HERON = shell(1)
FIRST, SECOND, THIRD = (coat(n, HERON, START + 8 * n * HOUR) for n in (1, 2, 3))
CALL = identity(FIRST, AlertWhat.NEXT_DIP)
SAFE = {one.id: one.dipped_at + 6 * HOUR for one in (FIRST, SECOND, THIRD)}


def mark(about, step, due_at, at):
    return AlertMark(id=mark_id(about, step), about=about, step=step, due_at=due_at, at=at)


def found(coats, now, *, heron=HERON, safe=SAFE, marks=(), seen_coats=None):
    """The alerts of a book with these coats; the forecast may have seen other coats."""
    ledger = Ledger.of(map(Pen(), [heron, *coats, *marks]))
    answer = forecast(heron, coats if seen_coats is None else seen_coats, safe, now)
    return alerts_of({heron.id: answer}, ledger, now)


def test_an_alert_carries_what_a_page_needs_to_say():
    (call,) = found([FIRST], START)
    assert (call.about, call.coat_id, call.shell_id) == (CALL, FIRST.id, HERON.id)
    assert (call.shell_name, call.rack_place) == ("Heron", "B3")
    assert (call.coat_number, call.coats_planned) == (1, 3)
    assert (call.what, call.due_at) == (AlertWhat.NEXT_DIP, SAFE[FIRST.id])


@pytest.mark.parametrize(
    ("minutes", "state"),
    [(-1, AlertState.PENDING), (0, AlertState.DUE), (600, AlertState.DUE)],
)
def test_a_coat_is_due_from_its_safe_time_on(minutes, state):
    (call,) = found([FIRST], SAFE[FIRST.id] + minutes * MINUTE)
    assert call.state is state


def test_marks_move_the_alert_on_and_seen_outranks_told_in_either_order():
    now = SAFE[FIRST.id] + HOUR
    told, seen = (
        mark(CALL, step, SAFE[FIRST.id], SAFE[FIRST.id] + n * MINUTE)
        for n, step in enumerate((AlertStep.TOLD, AlertStep.SEEN))
    )
    states = [found([FIRST], now, marks=marks)[0].state for marks in ([told], [told, seen])]
    assert states == [AlertState.TOLD, AlertState.SEEN]
    assert found([FIRST], now, marks=[seen, told])[0].state is AlertState.SEEN


@pytest.mark.parametrize("moved", [SAFE[FIRST.id] + 9 * HOUR, SAFE[FIRST.id] - 2 * HOUR, None])
def test_what_was_told_stays_told_wherever_readings_move_the_safe_time(moved):
    now = SAFE[FIRST.id] + HOUR
    told = mark(CALL, AlertStep.TOLD, SAFE[FIRST.id], SAFE[FIRST.id])
    (call,) = found([FIRST], now, safe={FIRST.id: moved}, marks=[told])
    assert (call.state, call.due_at) == (AlertState.TOLD, SAFE[FIRST.id])
    assert to_tell([call], now) == []


def test_what_was_not_told_follows_the_forecast_both_ways():
    now = SAFE[FIRST.id] + HOUR
    later, earlier = SAFE[FIRST.id] + 2 * HOUR, SAFE[FIRST.id] - 2 * HOUR
    assert found([FIRST], now, safe={FIRST.id: later})[0].state is AlertState.PENDING
    assert found([FIRST], now, safe={FIRST.id: earlier})[0].due_at == earlier
    assert found([FIRST], now, safe={FIRST.id: None}) == []


def test_an_alert_is_done_when_the_next_coat_is_on():
    calls = found([FIRST, SECOND], SAFE[SECOND.id] + HOUR)
    assert [(call.coat_number, call.state) for call in calls] == [
        (1, AlertState.DONE),
        (2, AlertState.DUE),
    ]


def test_a_shell_keeps_the_alert_its_last_dip_answered_and_no_older_one():
    calls = found([FIRST, SECOND, THIRD], START)
    assert [call.coat_number for call in calls] == [2, 3]


@pytest.mark.parametrize("state", [s for s in ShellState if s is not ShellState.IN_WORK])
def test_a_shell_that_is_not_in_work_calls_nobody(state):
    now = SAFE[FIRST.id] + HOUR
    (call,) = found([FIRST], now, heron=replace(HERON, state=state))
    assert call.state is AlertState.SUPPRESSED
    assert to_tell([call], now) == []


def test_a_bare_wax_and_a_shell_the_book_does_not_hold_have_no_alert():
    assert found([], START) == []
    grebe = shell(2, "Grebe")
    answer = forecast(grebe, [coat(9, grebe)], {coat(9, grebe).id: START})
    assert alerts_of({grebe.id: answer}, Ledger.of([Pen()(HERON)]), START + HOUR) == []


def test_the_last_coat_calls_for_review_when_the_final_hold_is_over():
    coats = [FIRST, SECOND, THIRD]
    hold_end = THIRD.dipped_at + 24 * HOUR
    *_, before = found(coats, hold_end - MINUTE)
    *_, after = found(coats, hold_end)
    assert (before.what, before.state, before.due_at) == (
        AlertWhat.REVIEW,
        AlertState.PENDING,
        hold_end,
    )
    assert after.state is AlertState.DUE
    assert after.about != THIRD.id
    assert after.coat_id == THIRD.id


def test_the_hold_does_not_end_before_the_last_coat_is_dry():
    slow = SAFE | {THIRD.id: THIRD.dipped_at + 30 * HOUR}
    *_, call = found([FIRST, SECOND, THIRD], START, safe=slow)
    assert call.due_at == slow[THIRD.id]


def test_a_coat_told_for_review_still_calls_for_the_dip_that_was_added_to_the_sequence():
    review = identity(THIRD, AlertWhat.REVIEW)
    now = THIRD.dipped_at + 25 * HOUR
    told = mark(review, AlertStep.TOLD, THIRD.dipped_at + 24 * HOUR, now)
    coats = [FIRST, SECOND, THIRD]
    assert found(coats, now, marks=[told])[-1].state is AlertState.TOLD
    longer = replace(HERON, sequence=sequence(steps=4))
    added = found(coats, now, heron=longer, marks=[told])[-1]
    assert (added.what, added.state) == (AlertWhat.NEXT_DIP, AlertState.DUE)


def test_a_coat_beyond_the_sequence_calls_for_review():
    extra = coat(4, HERON, THIRD.dipped_at + 8 * HOUR)
    safe = SAFE | {extra.id: extra.dipped_at + 6 * HOUR}
    calls = found([FIRST, SECOND, THIRD, extra], START, safe=safe)
    assert [(c.coat_number, c.what) for c in calls if c.state is AlertState.PENDING] == [
        (4, AlertWhat.REVIEW)
    ]


def test_while_the_forecast_is_older_than_the_dip_the_new_coat_waits_and_the_old_one_is_done():
    now = SAFE[FIRST.id] + HOUR
    (call,) = found([FIRST, SECOND], now, seen_coats=[FIRST])
    assert (call.coat_id, call.state) == (FIRST.id, AlertState.DONE)


def test_while_the_forecast_is_newer_than_the_book_no_review_is_called_for_a_withdrawn_coat():
    calls = found([FIRST, SECOND], SAFE[SECOND.id], seen_coats=[FIRST, SECOND, THIRD])
    assert [(c.coat_id, c.state) for c in calls] == [
        (FIRST.id, AlertState.DONE),
        (SECOND.id, AlertState.DUE),
    ]


def test_the_end_of_a_withdrawn_last_coats_hold_is_not_taken_for_the_former_coats():
    short = replace(HERON, sequence=sequence(steps=2))
    calls = found([FIRST, SECOND], START, heron=short, seen_coats=[FIRST, SECOND, THIRD])
    assert [call.coat_id for call in calls] == [FIRST.id]


def test_an_undone_dip_brings_the_former_alert_back_as_it_was():
    pen = Pen()
    told = mark(CALL, AlertStep.TOLD, SAFE[FIRST.id], SAFE[FIRST.id])
    dips = [pen(one) for one in (HERON, FIRST, told, SECOND)]
    undo = pen(Withdrawal(id=SECOND.id), replaces=dips[-1].id)
    ledger = Ledger.of([*dips, undo])
    now = SAFE[SECOND.id]
    (call,) = alerts_of({HERON.id: forecast(HERON, [FIRST], SAFE)}, ledger, now)
    assert (call.about, call.state) == (CALL, AlertState.TOLD)


def test_marks_the_book_could_not_take_count_as_well():
    now = SAFE[FIRST.id] + HOUR
    told = Pen(900)(mark(CALL, AlertStep.TOLD, SAFE[FIRST.id], now))
    told = replace(told, id=told.record.id)
    ledger = Ledger.of(map(Pen(), [HERON, FIRST]))
    answers = {HERON.id: forecast(HERON, [FIRST], SAFE)}
    (call,) = alerts_of(answers, ledger, now, unsaved=[told])
    assert call.state is AlertState.TOLD


def test_alerts_come_oldest_due_first_whatever_the_order_of_the_shells():
    shells = [shell(n, f"Shell {n}") for n in range(1, 6)]
    coats = [coat(n, one) for n, one in enumerate(shells, start=1)]
    hours = [5, 1, 4, 2, 3]
    answers = {
        one.id: forecast(one, [dip], {dip.id: START + late * HOUR})
        for one, dip, late in zip(shells, coats, hours, strict=True)
    }
    calls = alerts_of(answers, Ledger.of(map(Pen(), [*shells, *coats])), START)
    assert [call.due_at for call in calls] == [START + n * HOUR for n in (1, 2, 3, 4, 5)]


def test_what_was_pending_when_looked_up_is_told_once_its_time_has_come():
    pending = alert(state=AlertState.PENDING, due_at=START + HOUR)
    rest = [alert(n, state=s) for n, s in enumerate(AlertState) if s is not AlertState.DUE]
    assert to_tell([pending], START) == []
    assert to_tell([pending], START + HOUR) == [pending]
    late = to_tell(rest, START)
    assert [call.state for call in late] == [AlertState.PENDING, AlertState.PUT_OFF]


def test_nothing_is_late_before_its_time():
    assert lateness(alert(), START - HOUR) == timedelta(0)
    assert lateness(alert(), START + HOUR) == HOUR


# Both changes of 2026 in Europe/Berlin (tz database): 29 March 02:00 to 03:00, and back on
# 25 October 03:00 to 02:00, both at 01:00 UTC.
@pytest.mark.parametrize(
    ("due_at", "now", "line"),
    [
        (
            datetime(2026, 10, 25, 0, 30, tzinfo=UTC),
            datetime(2026, 10, 25, 1, 30, tzinfo=UTC),
            "coat 4 of 9 dry since 02:30 +0200, 1 h ago; next dip",
        ),
        (
            datetime(2026, 10, 25, 1, 30, tzinfo=UTC),
            datetime(2026, 10, 25, 1, 31, tzinfo=UTC),
            "coat 4 of 9 dry since 02:30 +0100; next dip",
        ),
        (
            datetime(2026, 3, 29, 0, 50, tzinfo=UTC),
            datetime(2026, 3, 29, 1, 0, tzinfo=UTC),
            "coat 4 of 9 dry since 01:50 +0100, 10 min ago; next dip",
        ),
    ],
)
def test_a_change_of_the_shop_clock_shifts_no_alert_by_an_hour(due_at, now, line):
    berlin = ZoneInfo("Europe/Berlin")
    call = alert(due_at=due_at, state=AlertState.PENDING)
    assert to_tell([call], due_at - MINUTE) == []
    assert to_tell([call], due_at) == [call]
    (said,) = fold([call], now, lambda moment: f"{moment.astimezone(berlin):%H:%M %z}")
    assert said.text == f"Shell 1 (B3): {line}"


def test_a_coat_whose_time_was_put_right_after_it_was_told_is_told_anew():
    told = mark(CALL, AlertStep.TOLD, SAFE[FIRST.id], SAFE[FIRST.id])
    later = replace(FIRST, dipped_at=FIRST.dipped_at + 5 * HOUR)
    now = SAFE[FIRST.id] + HOUR
    (call,) = found([later], now, safe={FIRST.id: later.dipped_at + 6 * HOUR}, marks=[told])
    assert call.state is AlertState.PENDING
