"""What must hold for every shell: damper or thicker is never sooner, and steps do not matter."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import (
    ROOM,
    a_case,
    a_forecaster,
    a_log,
    a_shell,
    at,
    backup,
    forecast_one,
    log_of,
    prime,
    seconds_at,
)
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shellcoat.forecast import air_track, air_watch, drying, history
from shellcoat.forecast.answers import ShellForecast
from shellcoat.shop import AirMovement, Band

BY_EXAMPLES = settings(deadline=None, max_examples=30)
GAPS = st.lists(st.floats(0.3, 14.0), min_size=0, max_size=5)
MOVEMENTS = st.sampled_from(list(AirMovement))
# Times are told to the second; what lies between two runs is rounding.
A_SECOND = 1.0


def dips_of(gaps: list[float]) -> list[float]:
    dips = [0.0]
    for gap in gaps:
        dips.append(dips[-1] + gap)
    return dips


def times(found: ShellForecast) -> list[float]:
    """Likely and safe times of all coats as seconds; infinite where out of sight."""
    return [
        moment.timestamp() if moment else math.inf
        for coat in found.coats
        for moment in (coat.likely_at, coat.safe_at)
    ]


def never_sooner(later: ShellForecast, sooner: ShellForecast) -> bool:
    return all(
        slow >= fast - A_SECOND for slow, fast in zip(times(later), times(sooner), strict=True)
    )


READINGS = st.lists(
    st.tuples(st.floats(-20.0, 80.0), st.floats(15.0, 28.0), st.floats(0.2, 0.7)),
    min_size=1,
    max_size=12,
)


@BY_EXAMPLES
@example([2.25], AirMovement.STRONG_DRAUGHT, [(0.0, 23.0, 0.203125)], 1.25)
@given(GAPS, MOVEMENTS, READINGS, st.floats(1.0, 1.4))
def test_a_damper_log_never_dries_sooner(gaps, movement, readings, factor):
    dips = dips_of(gaps)
    case = a_case(a_shell(), dips, movement=movement)
    damp = [(hour, temp, rh * factor) for hour, temp, rh in readings]
    dry, wet = (forecast_one(case, log_of(rows), dips[-1] + 0.1) for rows in (readings, damp))
    assert never_sooner(wet, dry)


@BY_EXAMPLES
@example([], AirMovement.STILL_ROOM, 0.2, 1.5)
@example([1.0], AirMovement.FAN_ON_SHELL, 0.75, 1.015625)
@given(GAPS, MOVEMENTS, st.floats(0.2, 0.9), st.floats(1.0, 2.5))
def test_thicker_coats_never_dry_sooner(gaps, movement, rh, factor):
    dips = dips_of(gaps)
    log = a_log(-24.0, dips[-1], rh=rh)
    found = []
    for stretch in (1.0, factor):
        bands = [step.thickness_m for step in (prime(), backup())]
        first, rest = (
            Band(band.low * stretch, band.likely * stretch, band.high * stretch) for band in bands
        )
        steps = [prime(thickness_m=first), *[backup(thickness_m=rest)] * 5]
        case = a_case(a_shell(steps=steps), dips, movement=movement)
        found.append(forecast_one(case, log, dips[-1] + 0.1))
    assert never_sooner(found[1], found[0])


@BY_EXAMPLES
@example([], AirMovement.STILL_ROOM, 0.7279500171967306, 1.0008561423232796)
@given(GAPS, MOVEMENTS, st.floats(0.2, 0.9), st.floats(1.0, 2.0))
def test_coats_with_more_water_never_dry_sooner(gaps, movement, rh, factor):
    dips = dips_of(gaps)
    log = a_log(-24.0, dips[-1], rh=rh)
    found = []
    for more in (1.0, factor):
        steps = [backup(water_kg_m2=Band(0.1 * more, 0.2 * more, 0.3 * more))] * 6
        case = a_case(a_shell(steps=steps), dips, movement=movement)
        found.append(forecast_one(case, log, dips[-1] + 0.1))
    assert never_sooner(found[1], found[0])


@BY_EXAMPLES
@given(GAPS, READINGS, st.floats(0.0, 80.0))
def test_shares_and_chances_stay_within_their_bounds(gaps, readings, wait):
    dips = dips_of(gaps)
    found = forecast_one(a_case(a_shell(), dips), log_of(readings), dips[-1] + wait)
    assert 0.0 <= found.water_left.low <= found.water_left.high <= 1.0
    assert 0.0 <= found.chance_dry <= 1.0
    for coat in found.coats:
        assert 0.0 <= coat.left_before.low <= coat.left_before.high <= 1.0
        assert coat.water_kg_m2 >= coat.left_before.likely * 0.1
        assert coat.wetted_depth_m > 0.0
        if coat.safe_at is not None:
            assert coat.likely_at is not None
            assert coat.likely_at <= coat.safe_at
    assert found.thickness_m.likely <= found.thickness_at_end_m.likely


# The length of a step


def hours_with_step(monkeypatch: pytest.MonkeyPatch, step_s: float) -> dict[str, list[float]]:
    """Hours from dip to likely and safe of the present coat of six shells, by kind of air."""
    for module in (air_track, air_watch, drying, history):
        monkeypatch.setattr(module, "STEP_S", step_s)
    swings = a_log(
        -48.0,
        60.0,
        every_min=20.0,
        temp_c=lambda hour: 21.0 + 2.0 * math.sin(hour / 3.8),
        rh=lambda hour: 0.5 + 0.15 * math.sin(hour / 3.8 + 1.0),
    )
    dips = [0.0, 4.0, 9.0, 15.3, 24.1, 34.7]
    cases = [a_case(a_shell(count), dips[:count]) for count in range(1, 7)]
    airs = {"steady": (a_log(-48.0, 60.0, every_min=20.0), 60.0), "changing": (swings, 60.0)}
    airs["ahead"] = (swings.until(seconds_at(0.0)), 35.0)
    found = {}
    for name, (log, now_h) in airs.items():
        answers = a_forecaster().forecast(cases, {ROOM: log}, at(now_h))
        found[name] = [
            (moment - case.coats[-1].dipped_at).total_seconds() / 3600.0
            for case in cases
            for moment in (answers[case.shell.id].likely_at, answers[case.shell.id].safe_at)
        ]
    return found


@pytest.mark.parametrize("step_s", [300.0, 1200.0])
def test_half_or_twice_the_step_changes_dry_times_by_less_than_2_percent(monkeypatch, step_s):
    usual = hours_with_step(monkeypatch, air_track.STEP_S)
    other = hours_with_step(monkeypatch, step_s)
    for air, hours in usual.items():
        assert other[air] == pytest.approx(hours, rel=0.02)


def test_a_longer_piece_never_dries_sooner():
    """The air film thickens along the wall."""
    log, shell = a_log(-24.0, 0.0), a_shell()
    likely = [
        forecast_one(a_case(replace(shell, drying_length_m=length), [0.0]), log, 0.1).likely_at
        for length in (0.05, 0.2, 0.8)
    ]
    assert likely == sorted(likely)
