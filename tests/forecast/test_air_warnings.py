"""Every kind of warning, raised just beyond its limit and silent just within."""

from __future__ import annotations

import pytest
from builders import (
    MINUTE,
    a_case,
    a_forecaster,
    a_log,
    a_shell,
    at,
    backup,
    forecast_one,
    hours_to,
    log_of,
    prime,
)

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import ShellForecast, ShellWarning, WarningKind
from shellcoat.forecast.forecaster import ShellCase
from shellcoat.forecast.starting_values import starting_values
from shellcoat.shop import AirLimits, AirMovement, ShellState

FAN = AirMovement.FAN_ON_SHELL


def of_kind(found: ShellForecast, kind: WarningKind) -> list[ShellWarning]:
    return [warning for warning in found.warnings if warning.kind is kind]


def warned(case: ShellCase, log: AirLog, now_h: float, kind: WarningKind) -> bool:
    return bool(of_kind(forecast_one(case, log, now_h), kind))


def steady(rh: float, temp_c: float = 22.0) -> AirLog:
    return a_log(-24.0, 30.0, temp_c=temp_c, rh=rh)


def test_good_air_raises_nothing():
    assert forecast_one(a_case(a_shell(), [0.0]), steady(0.55), 0.5).warnings == ()


# Dipped early


def test_dipped_early_names_the_coat_and_what_was_left():
    shell = a_shell()
    found = forecast_one(a_case(shell, [0.0, 0.8]), steady(0.55), 1.0)
    (warning,) = of_kind(found, WarningKind.DIPPED_EARLY)
    assert warning.coat_number == 2
    assert warning.seen == pytest.approx(found.coats[1].left_before.likely)


@pytest.mark.parametrize(("minutes", "early"), [(-1.0, True), (1.0, False)])
def test_dipped_early_at_its_limit(minutes, early):
    shell, log = a_shell(), steady(0.55)
    safe = hours_to(forecast_one(a_case(shell, [0.0]), log, 20.0).safe_at, 0.0)
    second = safe + minutes * MINUTE / 3600.0
    case = a_case(shell, [0.0, second])
    assert warned(case, log, second + 0.1, WarningKind.DIPPED_EARLY) is early


def test_only_the_latest_early_coat_is_named():
    found = forecast_one(a_case(a_shell(), [0.0, 0.5, 1.0]), steady(0.55), 1.1)
    assert [one.coat_number for one in of_kind(found, WarningKind.DIPPED_EARLY)] == [3]


# Room swing


def swinging(low_c: float, high_c: float, from_h: float = 0.5, to_h: float = 0.9) -> AirLog:
    """Air that warms up for a while, read every twelve minutes."""
    return a_log(
        -24.0, 30.0, 12.0, lambda hour: high_c if from_h <= hour <= to_h else low_c, rh=0.55
    )


@pytest.mark.parametrize(("swing_k", "raised"), [(1.69, False), (1.71, True)])
def test_room_swing_at_its_limit(swing_k, raised):
    """3 degrees Fahrenheit over a prime coat: Investment Casting Institute, atlas of defects."""
    log, case = swinging(21.0, 21.0 + swing_k), a_case(a_shell(), [0.0])
    assert warned(case, log, 1.1, WarningKind.ROOM_SWING) is raised


def test_room_swing_says_what_was_seen():
    found = forecast_one(a_case(a_shell(), [0.0]), swinging(21.0, 24.0), 1.1)
    (warning,) = of_kind(found, WarningKind.ROOM_SWING)
    assert warning == ShellWarning(WarningKind.ROOM_SWING, 1, pytest.approx(3.0), 1.7)


def test_a_swing_over_an_earlier_prime_coat_is_still_told():
    found = forecast_one(a_case(a_shell(), [0.0, 10.0, 20.0]), swinging(21.0, 24.0), 20.1)
    assert [one.coat_number for one in of_kind(found, WarningKind.ROOM_SWING)] == [1]


@pytest.mark.parametrize(
    ("why", "log", "steps"),
    [
        ("after it was dry", swinging(21.0, 25.0, 6.0, 7.0), None),
        ("over a backup coat", swinging(21.0, 25.0), [backup()]),
        ("where no limit is named", swinging(21.0, 25.0), [prime(air=AirLimits())]),
        ("before the dip", swinging(21.0, 25.0, -3.0, -1.0), None),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_no_room_swing(why, log, steps):
    shell = a_shell(steps=steps) if steps else a_shell()
    assert not warned(a_case(shell, [0.0]), log, 9.0, WarningKind.ROOM_SWING)


def test_expected_air_does_not_swing():
    """Only what was measured counts, not the straight line or the air ahead."""
    log = log_of([(-1.0, 16.0, 0.55), (0.3, 22.0, 0.55)])
    assert not warned(a_case(a_shell(), [0.0]), log, 1.0, WarningKind.ROOM_SWING)


# Too dry, too humid


@pytest.mark.parametrize(
    ("movement", "rh", "raised"),
    [
        (FAN, 0.505, False),
        (FAN, 0.495, True),
        (AirMovement.STRONG_DRAUGHT, 0.495, True),
        (AirMovement.FAN_IN_ROOM, 0.495, False),
        (AirMovement.STILL_ROOM, 0.355, False),
        (AirMovement.STILL_ROOM, 0.345, True),
    ],
)
def test_too_dry_at_its_limits(movement, rh, raised):
    """Fast air warns below the band of 50 to 65 %, slow air 15 % below it."""
    case = a_case(a_shell(), [0.0], movement=movement)
    assert warned(case, steady(rh), 0.3, WarningKind.AIR_TOO_DRY) is raised


@pytest.mark.parametrize("rh", [0.50, 0.55, 0.45])
def test_air_exactly_at_the_limit_of_the_band_is_not_too_dry(rh):
    shell = a_shell(steps=[prime(air=AirLimits(rh_low=rh))])
    assert not warned(a_case(shell, [0.0]), steady(rh), 0.3, WarningKind.AIR_TOO_DRY)


def test_a_backup_coat_may_dry_fast():
    shell = a_shell(steps=[backup()])
    assert not warned(a_case(shell, [0.0]), steady(0.2), 0.3, WarningKind.AIR_TOO_DRY)


@pytest.mark.parametrize(
    ("steps", "rh", "raised"),
    [
        ([prime()], 0.745, False),
        ([prime()], 0.755, True),
        ([backup()], 0.645, False),
        ([backup()], 0.655, True),
        ([backup(air=AirLimits())], 0.95, False),
    ],
)
def test_too_humid_at_its_limit(steps, rh, raised):
    case = a_case(a_shell(steps=steps), [0.0])
    assert warned(case, steady(rh), 0.3, WarningKind.AIR_TOO_HUMID) is raised


def test_humidity_warnings_say_what_was_seen():
    found = forecast_one(a_case(a_shell(steps=[backup()]), [0.0]), steady(0.8), 0.3)
    (warning,) = of_kind(found, WarningKind.AIR_TOO_HUMID)
    assert warning.seen == pytest.approx(0.8, abs=1e-6)
    assert (warning.coat_number, warning.limit) == (1, 0.55)


def test_once_it_is_dry_the_air_is_its_own_affair():
    case = a_case(a_shell(), [0.0])
    for rh, kind in ((0.3, WarningKind.AIR_TOO_DRY), (0.8, WarningKind.AIR_TOO_HUMID)):
        assert warned(case, steady(rh), 0.3, kind)
        assert not warned(case, steady(rh), 25.0, kind)


# Readings


def test_no_reading_at_all():
    found = forecast_one(a_case(a_shell(), [0.0]), AirLog.empty(), 0.3)
    assert of_kind(found, WarningKind.NO_READING)
    assert not of_kind(found, WarningKind.NO_RECENT_READING)


@pytest.mark.parametrize(("age_min", "raised"), [(0.0, False), (360.0, False), (361.0, True)])
def test_no_recent_reading_at_its_limit(age_min, raised):
    """Six hours: air read at the start, the middle and the end of the day."""
    log = log_of([(0.0 - age_min / 60.0, 22.0, 0.55)])
    found = forecast_one(a_case(a_shell(), [-0.5]), log, 0.0)
    warnings = of_kind(found, WarningKind.NO_RECENT_READING)
    assert bool(warnings) is raised
    for warning in warnings:
        assert warning.seen == pytest.approx(age_min * MINUTE)
        assert warning.limit == starting_values().reading_age_s
    assert not of_kind(found, WarningKind.NO_READING)


def test_a_dry_shell_needs_no_reading():
    found = forecast_one(a_case(a_shell(), [0.0]), log_of([(0.0, 22.0, 0.55)]), 40.0)
    assert found.warnings == ()


# Not drying


@pytest.mark.parametrize(("rh", "raised"), [(0.80, False), (1.0, True)])
def test_not_drying(rh, raised):
    case = a_case(a_shell(steps=[backup(), backup()]), [0.0])
    log = a_log(-24.0, 0.3, rh=rh)
    assert warned(case, log, 0.3, WarningKind.NOT_DRYING) is raised


# Who is told


@pytest.mark.parametrize("state", ShellState)
def test_only_shells_in_work_warn(state):
    case = a_case(a_shell(state=state), [0.0, 0.5])
    found = forecast_one(case, steady(0.9), 0.6)
    assert bool(found.warnings) is (state is ShellState.IN_WORK)


def test_a_bare_wax_warns_of_nothing():
    found = a_forecaster().forecast([ShellCase(a_shell(), ())], {}, at(0.0))
    assert next(iter(found.values())).warnings == ()
