"""What a forecaster remembers never shows: asked again it says what a new one would say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta

import pytest
from builders import (
    ROOM,
    a_case,
    a_coat,
    a_forecaster,
    a_log,
    a_shell,
    at,
    forecast_one,
    log_of,
    seconds_at,
)
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.forecaster import Forecaster, ShellCase
from shellcoat.shop import Coat, Shell

Reading = tuple[float, float, float]


def present(found: ShellForecast) -> ShellForecast:
    """A forecast without what would have become of the coats before the present one."""
    coats = tuple(
        replace(coat, likely_at=None, safe_at=None, dipped_early=False) for coat in found.coats[:-1]
    )
    return replace(found, coats=(*coats, replace(found.coats[-1], dipped_early=False)), warnings=())


@dataclass
class Day:
    """A day in a shop: one shell, its dips and readings, and a clock that only goes forward."""

    now_h: float = 0.0
    shell: Shell = field(default_factory=a_shell)
    coats: list[Coat] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=lambda: [(-20.0, 21.0, 0.5), (-1.0, 21.0, 0.5)])

    def dip(self, wait_h: float) -> None:
        self.now_h += wait_h
        if len(self.coats) < 9:
            self.coats.append(a_coat(self.shell, len(self.coats) + 1, self.now_h - 0.02))

    def correct_dip(self, share: float) -> None:
        """Move one dip towards the one before it."""
        if not self.coats:
            return
        number = int(share * len(self.coats)) % len(self.coats)
        first = self.coats[number - 1].dipped_at if number else at(-6.0)
        span = self.coats[number].dipped_at - first
        moved = self.coats[number].dipped_at - min(0.5 * span, timedelta(hours=share))
        self.coats[number] = replace(self.coats[number], dipped_at=moved)

    def undo(self, _: float) -> None:
        if self.coats:
            self.coats.pop()

    def read(self, wait_h: float, rh: float) -> None:
        """Read the air on the full ten minutes, as a logger does."""
        self.now_h += wait_h
        self.readings.append((int(self.now_h * 6.0) / 6.0, 18.0 + 6.0 * rh, rh))

    def late_reading(self, share: float, rh: float) -> None:
        """A reading from before comes in from a logger."""
        self.readings.append((int(share * self.now_h * 6.0) / 6.0, 20.0 + 3.0 * rh, rh))

    def correct_reading(self, rh: float) -> None:
        hours, temp, _ = self.readings[-1]
        self.readings[-1] = (hours, temp, rh)

    def edit_shell(self, length_m: float) -> None:
        self.shell = replace(self.shell, drying_length_m=length_m)

    @property
    def case(self) -> ShellCase:
        return ShellCase(self.shell, tuple(self.coats))

    @property
    def log(self) -> AirLog:
        return log_of(self.readings)

    def forecast(self, forecaster: Forecaster) -> ShellForecast:
        return forecast_one(self.case, self.log, self.now_h, forecaster)


HOURS = st.floats(0.1, 9.0)
RH = st.integers(30, 90).map(lambda percent: percent / 100.0)
SHARE = st.floats(0.0, 0.99)
ACTS = st.lists(
    st.one_of(
        st.tuples(st.just(Day.dip), HOURS),
        st.tuples(st.just(Day.dip), HOURS),
        st.tuples(st.just(Day.correct_dip), SHARE),
        st.tuples(st.just(Day.undo), SHARE),
        st.tuples(st.just(Day.read), HOURS, RH),
        st.tuples(st.just(Day.late_reading), SHARE, RH),
        st.tuples(st.just(Day.correct_reading), RH),
        st.tuples(st.just(Day.edit_shell), st.floats(0.05, 1.0)),
    ),
    min_size=3,
    max_size=12,
)


def tellings(acts: list[tuple]) -> Iterator[tuple[ShellForecast, ShellForecast]]:
    """After every act what the old forecaster says, and what a new one says."""
    day, warm = Day(), a_forecaster()
    day.dip(0.5)
    for act, *arguments in acts:
        act(day, *arguments)
        if day.coats:
            yield day.forecast(warm), day.forecast(a_forecaster())


@settings(deadline=None, max_examples=25)
@given(ACTS)
def test_the_present_coat_is_told_as_by_a_new_forecaster(acts):
    for old, new in tellings(acts):
        assert present(old) == present(new)


@settings(deadline=None, max_examples=25)
@example([(Day.dip, 0.5), (Day.read, 0.2, 0.5), (Day.read, 3.0, 0.9)])
@given(ACTS)
def test_everything_is_told_as_by_a_new_forecaster(acts):
    for old, new in tellings(acts):
        assert old == new


def test_a_day_without_news_is_told_as_by_a_new_forecaster():
    case, log, warm = a_case(a_shell(), [0.0, 5.0, 10.0]), a_log(-24.0, 10.0), a_forecaster()
    for now_h in (10.0, 10.1, 12.0, 18.0, 40.0):
        assert forecast_one(case, log, now_h, warm) == forecast_one(case, log, now_h)


def test_coats_dipped_over_too_are_told_as_by_a_new_forecaster():
    case, warm = a_case(a_shell(), [0.0, 1.0, 2.0]), a_forecaster()
    log = a_log(-24.0, 20.0, rh=lambda hour: 0.5 if hour < 2.4 else 0.9)
    for now_h in (2.1, 6.0):
        found = forecast_one(case, log, now_h, warm)
    assert found == forecast_one(case, log, 6.0)


READINGS = [(-1.0, 22.0, 0.5), (1.0, 20.0, 0.4), (3.0, 22.0, 0.6), (6.0, 22.0, 0.5)]


@pytest.mark.parametrize(
    "corrected",
    [
        pytest.param((1.0, 20.0, 0.7), id="value"),
        pytest.param((1.7, 20.0, 0.4), id="time"),
        # A degree less and a thousandth of humidity more leave the sum as it was.
        pytest.param((1.0, 10.0, 0.41), id="value and value"),
    ],
)
def test_a_corrected_reading_is_seen(corrected):
    case, warm = a_case(a_shell(), [0.0, 5.0]), a_forecaster()
    forecast_one(case, log_of(READINGS), 6.1, warm)
    new = log_of([READINGS[0], corrected, *READINGS[2:]])
    assert forecast_one(case, new, 6.1, warm) == forecast_one(case, new, 6.1)


def test_two_readings_entered_the_wrong_way_round_are_seen():
    case, warm = a_case(a_shell(), [0.0, 5.0]), a_forecaster()
    forecast_one(case, log_of(READINGS), 6.1, warm)
    one, two = READINGS[1], READINGS[2]
    swapped = log_of([READINGS[0], (one[0], *two[1:]), (two[0], *one[1:]), READINGS[3]])
    assert forecast_one(case, swapped, 6.1, warm) == forecast_one(case, swapped, 6.1)


def test_a_withdrawn_reading_is_seen():
    case, warm = a_case(a_shell(), [0.0, 5.0]), a_forecaster()
    forecast_one(case, log_of(READINGS), 6.1, warm)
    fewer = log_of([READINGS[0], *READINGS[2:]])
    assert forecast_one(case, fewer, 6.1, warm) == forecast_one(case, fewer, 6.1)


def test_readings_of_the_ten_minutes_of_the_last_dip_are_seen():
    case, warm = a_case(a_shell(), [4.5, 5.03]), a_forecaster()
    log = a_log(
        -24.0,
        6.0,
        every_min=1.0,
        temp_c=lambda hour: 22.0 if hour < 5.06 else 40.0,
        rh=lambda hour: 0.5 if hour < 5.06 else 0.1,
    )
    for now_h in (5.06, 6.0):
        found = forecast_one(case, log, now_h, warm)
    assert present(found) == present(forecast_one(case, log, 6.0))


def test_a_reading_of_a_clock_that_ran_ahead_is_seen_once_its_time_has_come():
    case, warm = a_case(a_shell(), [4.5, 5.0]), a_forecaster()
    log = log_of([(-1.0, 22.0, 0.5), (1.0, 22.0, 0.5), (5.2, 22.0, 0.95)])
    for now_h in (5.1, 5.4):
        found = forecast_one(case, log, now_h, warm)
    assert present(found) == present(forecast_one(case, log, 5.4))


def test_a_clock_set_back_and_forth():
    case, log, warm = a_case(a_shell(), [0.0, 5.0]), a_log(-24.0, 20.0), a_forecaster()
    for now_h in (12.0, 6.0, 12.0):
        found = present(forecast_one(case, log, now_h, warm))
        assert found == present(forecast_one(case, log, now_h))


def test_other_shells_leave_no_trace():
    log, warm = a_log(-24.0, 20.0), a_forecaster()
    one, two = a_case(a_shell("one"), [0.0, 5.0]), a_case(a_shell("two"), [-20.0, -12.0, 1.0, 4.0])
    warm.forecast([one], {ROOM: log}, at(6.0))
    warm.forecast([two, one], {ROOM: log}, at(6.2))
    found = warm.forecast([one, two], {ROOM: log}, at(6.5))
    for case in (one, two):
        assert found[case.shell.id] == forecast_one(case, log, 6.5)


def test_a_curve_in_between_leaves_no_trace():
    case, log, warm = a_case(a_shell(), [0.0, 5.0]), a_log(-24.0, 20.0), a_forecaster()
    before = forecast_one(case, log, 6.0, warm)
    warm.curve(case, {ROOM: log}, at(6.0))
    assert forecast_one(case, log, 6.0, warm) == before


def test_the_mark_of_a_stretch_of_air():
    log = a_log(0.0, 10.0, every_min=60.0)
    more = a_log(0.0, 20.0, every_min=60.0)
    assert log.fingerprint(seconds_at(5.5)) == more.fingerprint(seconds_at(5.5))
    # The reading after the last dip counts: the air before it leans on it.
    assert log.fingerprint(seconds_at(10.5)) != more.fingerprint(seconds_at(10.5))
    assert AirLog.empty().fingerprint(seconds_at(5.5)) != log.fingerprint(seconds_at(5.5))
