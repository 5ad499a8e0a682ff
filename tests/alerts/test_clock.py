"""The alert clock: on time, through sleep and clock changes, with few wake-ups and a clean end."""

from __future__ import annotations

import logging
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta
from threading import Event

import pytest
from alert_cases import HOUR, MINUTE, START, alert
from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.background import BackgroundScheduler

from shellcoat.alerts.clock import HEARTBEAT_S, AlertClock, utc_now
from shellcoat.alerts.life import AlertState
from shellcoat.alerts.timers import Timers

PATIENCE_S = 20.0
QUIET_S = 1.0
SECOND = timedelta(seconds=1)


class Hands:
    """A wall clock and a steady one, moved by the test."""

    def __init__(self):
        self.wall = START
        self.steady = 5000.0
        self.due, self.steps = [], []
        self.clock = AlertClock(
            self.due.append,
            self.steps.append,
            now=lambda: self.wall,
            monotonic=lambda: self.steady,
        )

    def pass_time(self, span, step=timedelta(0)):
        """Let time pass for both clocks, and set the wall clock on by `step`."""
        self.wall += span + step
        self.steady += span.total_seconds()
        self.clock.beat()


@pytest.fixture
def hands():
    return Hands()


def pending(number=1, due_at=START + HOUR):
    return alert(number, due_at=due_at, state=AlertState.PENDING)


def test_nothing_is_called_before_its_time_and_everything_at_it(hands):
    hands.clock.arm([pending()])
    hands.pass_time(HOUR - SECOND)
    assert hands.due == []
    hands.pass_time(SECOND)
    assert hands.due == [START + HOUR]


def test_only_untold_alerts_are_watched(hands):
    hands.clock.arm([alert(n, state=state) for n, state in enumerate(AlertState)])
    hands.clock.beat()
    assert hands.due == [START]
    told = (AlertState.TOLD, AlertState.SEEN, AlertState.DONE)
    hands.clock.arm([alert(n, state=state) for n, state in enumerate(told)])
    hands.clock.beat()
    assert hands.due == [START]


def test_an_alert_that_vanished_is_not_called(hands):
    hands.clock.arm([pending(1), pending(2)])
    hands.clock.arm([pending(2, START + 2 * HOUR)])
    hands.pass_time(HOUR)
    assert hands.due == []


def test_what_stays_armed_is_called_again_at_each_heartbeat_but_not_at_each_wake_up(hands):
    hands.clock.arm([pending()])
    hands.pass_time(HOUR)
    hands.clock.beat(again=False)
    assert len(hands.due) == 1
    hands.clock.beat()
    assert len(hands.due) == 2
    hands.clock.arm([pending(), pending(2, START)])
    hands.clock.beat(again=False)
    assert len(hands.due) == 3


def test_what_moved_back_into_the_future_is_called_when_it_falls_due_once_more(hands):
    hands.clock.arm([pending()])
    hands.pass_time(HOUR)
    hands.clock.arm([pending(due_at=START + 2 * HOUR)])
    hands.clock.beat(again=False)
    hands.wall += HOUR
    hands.steady += 3600
    hands.clock.beat(again=False)
    assert hands.due == [START + HOUR, START + 2 * HOUR]


@pytest.mark.parametrize("set_by", [HOUR, -HOUR, timedelta(days=3650), 121 * SECOND])
def test_a_wall_clock_that_was_set_is_noticed_in_one_heartbeat(hands, set_by):
    hands.pass_time(15 * SECOND, set_by)
    hands.pass_time(15 * SECOND)
    assert hands.steps == [set_by]


@pytest.mark.parametrize("drift", [119 * SECOND, -119 * SECOND, timedelta(0)])
def test_small_corrections_and_sleep_are_no_steps(hands, drift):
    hands.pass_time(8 * HOUR, drift)
    assert hands.steps == []


def test_what_fell_due_in_sleep_or_over_a_step_shows_within_one_heartbeat(hands):
    hands.clock.arm([pending(due_at=START + 4 * HOUR)])
    hands.pass_time(8 * HOUR)
    assert hands.due == [START + 8 * HOUR]
    hands.clock.arm([pending(2, START + 8 * HOUR + 30 * MINUTE)])
    hands.pass_time(15 * SECOND, HOUR)
    assert len(hands.due) == 2


def test_a_step_is_reported_before_the_alerts_it_makes_due(hands):
    order = []
    clock = AlertClock(
        lambda _: order.append("due"),
        lambda _: order.append("step"),
        now=lambda: hands.wall,
        monotonic=lambda: hands.steady,
    )
    clock.arm([pending()])
    hands.wall += 2 * HOUR
    clock.beat()
    assert order == ["step", "due"]


# From here on with real threads; every wait ends with the event it waits for.


@pytest.fixture
def rounds(monkeypatch):
    """Counts the rounds of APScheduler's loop."""
    seen = Rounds()
    real = BackgroundScheduler._process_jobs

    def counted(scheduler):
        seen.count += 1
        seen.another.set()
        return real(scheduler)

    monkeypatch.setattr(BackgroundScheduler, "_process_jobs", counted)
    return seen


class Rounds:
    def __init__(self):
        self.count = 0
        self.another = Event()


class CountedClock(AlertClock):
    beats = 0

    def beat(self, *, again=True):
        self.beats += 1
        super().beat(again=again)


def test_a_due_time_rings_without_waiting_for_the_heartbeat():
    rung = Event()
    with AlertClock(lambda _: rung.set(), heartbeat_s=600.0) as clock:
        clock.arm([pending(due_at=utc_now() + 0.2 * SECOND)])
        assert rung.wait(PATIENCE_S)


def test_what_is_due_at_the_start_is_called_at_once_in_the_clocks_own_thread():
    threads, rung = [], Event()

    def on_due(_):
        threads.append(threading.current_thread().name)
        rung.set()

    clock = AlertClock(on_due, heartbeat_s=600.0)
    clock.arm([alert(due_at=utc_now() - HOUR)])
    with clock:
        assert rung.wait(PATIENCE_S)
    assert threads == ["alert clock"]


def test_the_heartbeat_finds_what_a_set_clock_made_due():
    offset, rung, first_look = [timedelta(0)], Event(), Event()

    def now():
        first_look.set()
        return utc_now() + offset[0]

    clock = AlertClock(lambda _: rung.set(), now=now, heartbeat_s=0.05)
    with clock:
        clock.arm([pending(due_at=utc_now() + HOUR)])
        assert first_look.wait(PATIENCE_S)
        assert not rung.is_set()
        offset[0] = 2 * HOUR
        assert rung.wait(PATIENCE_S)


def test_the_heartbeat_goes_on_after_the_clock_was_set_back():
    # An interval job of the scheduler would not beat for an hour now.
    offset, rung, beats = [timedelta(0)], Event(), []
    clock = AlertClock(
        lambda _: rung.set(),
        beats.append,
        now=lambda: utc_now() + offset[0],
        heartbeat_s=0.05,
    )
    with clock:
        offset[0] = -HOUR
        clock.arm([pending(due_at=utc_now() - HOUR + 0.3 * SECOND)])
        assert rung.wait(PATIENCE_S)
    assert [round(step.total_seconds()) for step in beats] == [-3600]


def test_fifty_alerts_wake_nobody_before_their_time_and_none_after_the_end(rounds):
    before = set(threading.enumerate())
    clock = CountedClock(lambda _: None)
    clock.start()
    clock.arm([pending(n, utc_now() + HOUR + n * MINUTE) for n in range(50)])
    assert rounds.another.wait(PATIENCE_S)
    rounds.another.clear()
    rounds.another.wait(QUIET_S)
    assert rounds.count <= 2
    settled = rounds.count, clock.beats
    rounds.another.clear()
    assert not rounds.another.wait(QUIET_S)
    assert (rounds.count, clock.beats) == settled
    clock.close()
    assert set(threading.enumerate()) <= before
    ended = rounds.count
    rounds.another.clear()
    assert not rounds.another.wait(QUIET_S)
    assert rounds.count == ended


def test_idle_wake_ups_are_the_heartbeats_alone_however_many_alerts_wait(rounds):
    beat = Event()
    clock = CountedClock(lambda _: None, now=lambda: beat.set() or utc_now(), heartbeat_s=0.2)
    with clock:
        clock.arm([pending(n, utc_now() + HOUR) for n in range(50)])
        assert rounds.another.wait(PATIENCE_S)
        rounds.another.clear()
        first, begun = clock.beats, datetime.now(UTC)
        rounds.another.wait(QUIET_S)
        seconds = (datetime.now(UTC) - begun) / SECOND
        assert clock.beats - first <= seconds / 0.2 + 1
    assert rounds.count <= 2
    assert 60.0 / HEARTBEAT_S <= 6


def test_arming_the_same_alerts_again_wakes_nobody(rounds):
    calls = [pending(n, utc_now() + HOUR) for n in range(50)]
    clock = CountedClock(lambda _: None)
    with clock:
        clock.arm(calls)
        assert rounds.another.wait(PATIENCE_S)
        rounds.another.clear()
        rounds.another.wait(0.2)
        settled = rounds.count, clock.beats
        for _ in range(20):
            clock.arm(calls)
        assert not rounds.another.wait(0.2)
        assert (rounds.count, clock.beats) == settled


def test_fifty_alerts_due_at_one_moment_are_called_together():
    moments, rung = [], Event()

    def on_due(now):
        moments.append(now)
        rung.set()

    due_at = utc_now() + 0.5 * SECOND
    with AlertClock(on_due, heartbeat_s=600.0) as clock:
        clock.arm([pending(n, due_at) for n in range(50)])
        assert rung.wait(PATIENCE_S)
    assert len(moments) == 1
    assert moments[0] >= due_at


def test_a_fault_of_the_one_who_is_called_is_logged_and_tried_again(caplog):
    calls, second = [], Event()

    def on_due(now):
        calls.append(now)
        if len(calls) == 1:
            raise RuntimeError("the banner broke")
        second.set()

    clock = AlertClock(on_due, heartbeat_s=0.05)
    clock.arm([alert(due_at=utc_now() - HOUR)])
    with caplog.at_level(logging.ERROR), clock:
        assert second.wait(PATIENCE_S)
    assert "the banner broke" in caplog.text


def test_closing_from_a_callback_ends_the_threads_too():
    before = set(threading.enumerate())
    done, clock = Event(), None

    def on_due(_):
        clock.close()
        done.set()

    clock = AlertClock(on_due, heartbeat_s=600.0)
    clock.arm([alert(due_at=utc_now() - HOUR)])
    clock.start()
    assert done.wait(PATIENCE_S)
    clock.close()
    assert set(threading.enumerate()) <= before


def test_a_clock_may_be_closed_unstarted_twice_and_armed_afterwards():
    clock = AlertClock(lambda _: None)
    clock.close()
    with clock:
        pass
    clock.close()
    clock.arm([pending()])


def test_timers_follow_what_is_armed(rounds):
    ring = Event()
    timers = Timers(ring.set)
    try:
        soon, later = utc_now() + 0.2 * SECOND, utc_now() + HOUR
        one, two = alert(1).about, alert(2).about
        timers.set_to({one: soon, two: later})
        assert ring.wait(PATIENCE_S)
        ring.clear()
        timers.set_to({two: utc_now() + 0.2 * SECOND})
        assert ring.wait(PATIENCE_S)
        ring.clear()
        timers.set_to({one: utc_now() + 0.3 * SECOND})
        timers.set_to({})
        assert not ring.wait(0.6)
    finally:
        timers.close()


def test_a_timer_that_could_not_ring_in_time_rings_late():
    ring = Event()
    timers = Timers(ring.set)
    try:
        timers.set_to({alert().about: utc_now() - HOUR})
        assert ring.wait(PATIENCE_S)
    finally:
        timers.close()


def test_moving_fifty_timers_wakes_the_scheduler_once(monkeypatch):
    wakes = []
    monkeypatch.setattr(BackgroundScheduler, "wakeup", lambda _: wakes.append(1))
    timers = Timers(lambda: None)
    calls = [alert(n).about for n in range(50)]
    for hours in (1, 2, 3):
        timers.set_to(dict.fromkeys(calls[hours:], utc_now() + hours * HOUR))
        assert len(wakes) == hours
    timers.close()


def test_closing_in_the_middle_of_a_round_leaves_no_fault_behind(monkeypatch):
    # An unhandled error in any thread fails a test here.
    in_round, look = Event(), MemoryJobStore.get_due_jobs

    def slow_look(store, now):
        due = look(store, now)
        in_round.set()
        Event().wait(0.2)
        return due

    monkeypatch.setattr(MemoryJobStore, "get_due_jobs", slow_look)
    timers = Timers(lambda: None)
    timers.set_to({alert().about: utc_now() - HOUR})
    assert in_round.wait(PATIENCE_S)
    timers.close()


def test_loading_the_clock_loads_neither_the_scheduler_nor_a_window():
    look = (
        "import sys, shellcoat.alerts.clock, shellcoat.alerts.telling\n"
        "print([m for m in ('apscheduler', 'PySide6') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
