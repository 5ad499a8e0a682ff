"""The rules of the station's timers, without a window."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.operations.station_timers import (
    LONGEST_S,
    MOST_TIMERS,
    SHORTEST_S,
    STEP_ALLOWED,
    USUAL_S,
    TimerKind,
    Timers,
    read_timers,
    stepped,
    write_left,
)
from shellcoat.shop import CoatKind

NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)


def after(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def running(*seconds: float) -> Timers:
    timers = Timers().settle(NOW, None)
    for length in seconds:
        timers = timers.start(TimerKind.DRAIN, f"for {length:g}", length, NOW)
    return timers


def test_the_one_that_ends_first_stands_on_top_and_each_ends_once() -> None:
    timers = running(60, 30, 90)
    assert [timer.about for timer in timers.running] == ["for 30", "for 60", "for 90"]
    over, rest = timers.ended(after(60))
    assert [timer.about for timer in over] == ["for 30", "for 60"]
    assert rest.ended(after(61)) == ((), rest)


@given(
    st.lists(st.floats(5, 1e5), min_size=1, max_size=MOST_TIMERS),
    st.lists(st.tuples(st.floats(0, 5_000), st.floats(-1e6, 1e6)), max_size=12),
)
def test_whatever_is_done_to_the_clock_a_timer_runs_its_time(
    lengths: list[float], story: list[tuple[float, float]]
) -> None:
    """Against a steady clock: what is left never differs by more than the steps not noticed."""
    timers, wall, passed, unnoticed = running(*lengths), NOW, 0.0, 0.0
    for seconds, step in story:
        wall += timedelta(seconds=seconds + step)
        passed += seconds
        timers = timers.settle(wall, seconds)
        unnoticed += abs(step) if abs(step) <= STEP_ALLOWED.total_seconds() + 1e-3 else 0.0
    for timer, length in zip(timers.running, sorted(lengths), strict=True):
        expected = max(length - passed, 0.0)
        assert timer.left_s(wall) == pytest.approx(expected, abs=unnoticed + 0.01)


def test_back_is_a_set_clock_and_forward_is_time_where_nobody_watched() -> None:
    timers = running(600)
    back = timers.settle(after(-3_600), None)
    assert [timer.left_s(after(-3_600)) for timer in back.running] == [600]
    forward = timers.settle(after(3_600), None)
    assert forward.ended(after(3_600))[0] == timers.running


def test_they_are_kept_as_text_and_read_again() -> None:
    timers = running(60, 30)
    assert read_timers(timers.written()) == timers
    assert read_timers(Timers().written()) == Timers()


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"seen_at": 3, "running": [{}]}', "no"])
def test_what_is_not_ours_is_no_timer(text: str) -> None:
    assert read_timers(text) == Timers()


def test_too_many_leave_the_longest_out() -> None:
    timers = running(*range(10, 10 + MOST_TIMERS))
    more = timers.start(TimerKind.DRAIN, "one more", 5, NOW)
    assert len(more.running) == MOST_TIMERS
    assert more.running[0].about == "one more"
    assert f"for {9 + MOST_TIMERS}" not in {timer.about for timer in more.running}


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "0:00"), (0.2, "0:01"), (24, "0:24"), (60, "1:00"), (725, "12:05"), (10_800, "3:00:00")],
)
def test_what_is_left_reads_like_a_kitchen_timer(seconds: float, text: str) -> None:
    assert write_left(seconds) == text


@given(st.integers(SHORTEST_S, LONGEST_S), st.sampled_from([-1, 1]))
def test_a_press_always_changes_a_setting_within_its_bounds(seconds: int, way: int) -> None:
    changed = stepped(seconds, way)
    assert SHORTEST_S <= changed <= LONGEST_S
    at_bound = seconds == (LONGEST_S if way > 0 else SHORTEST_S)
    assert (changed == seconds) if at_bound else (changed - seconds) * way > 0


@pytest.mark.parametrize("seconds", [60, 120, 600, 3_600, 10_800])
def test_longer_and_shorter_undo_each_other(seconds: int) -> None:
    assert stepped(stepped(seconds, 1), -1) == seconds


def test_every_timer_has_a_usual_length_for_every_coat() -> None:
    assert set(USUAL_S) == {(timer, coat) for timer in TimerKind for coat in CoatKind}
