"""The air ahead on a real log and on made ones of known kind, scored by rolling origin.

The log is that of L. M. Candanedo and V. Feldheim, Energy and Buildings 112 (2016) 28-39: an
office in February. What is tuned is tuned at each origin, on the hours before it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from rolling_origin import (
    COATS,
    DAY,
    HOUR,
    LEADS_H,
    STEP_S,
    VALUES,
    Outcome,
    a_track,
    air_errors,
    dry_time_errors,
    expected_air,
    office_log,
    origins,
    rms,
    roll,
    scores_of,
    share_inside,
)
from scipy.signal import lfilter

from shellcoat.forecast.air_track import AirLog, build_track
from shellcoat.physics import moist_air

RULES = ("persistence", "yesterday")


@pytest.fixture(scope="module")
def office() -> AirLog:
    return office_log()


@pytest.fixture(scope="module")
def outcome(office) -> Outcome:
    return roll(office, origins(office))


# Against the two rules that need no model


@pytest.mark.parametrize("coat", COATS, ids=lambda coat: f"{coat.hours} h")
def test_dry_times_beat_both_rules(outcome, coat):
    errors = {}
    for rule in ("model", *RULES):
        said, true = dry_time_errors(outcome, rule, coat)
        assert true.size > 80
        assert true.mean() == pytest.approx(coat.hours, rel=0.1)
        errors[rule] = rms(np.log(said / true))
    assert errors["model"] < min(errors[rule] for rule in RULES)
    if coat.hours > 3:
        assert errors["model"] < 0.9 * min(errors[rule] for rule in RULES)


@pytest.mark.parametrize("lead_h", LEADS_H)
@pytest.mark.parametrize("quantity", [0, 1], ids=["temperature", "vapour"])
def test_temperature_and_vapour_beat_both_rules(outcome, lead_h, quantity):
    model, *rules = (rms(air_errors(outcome, rule, lead_h)[quantity]) for rule in ("model", *RULES))
    assert model < min(rules)


def test_readings_three_times_a_day_serve_as_well(office):
    """Read at 8, 12 and 17 h: the mean drive of the next hours against that of the last reading."""
    typed = read_at(office, (8.0, 12.0, 17.0))
    errors: dict[str, list[list[float]]] = {"model": [], "persistence": []}
    for stop in range(4, typed.at_s.size):
        past = typed.until(typed.at_s[stop - 1])
        now = float(past.at_s[-1])
        same = AirLog.of([now, now + 9 * DAY], [past.temp_c[-1]] * 2, [past.rh[-1]] * 2)
        came = mean_drives(office, now)
        for rule, log in (("model", past), ("persistence", same)):
            errors[rule].append(list(np.log(mean_drives(log, now) / came)))
    scores = {rule: np.sqrt(np.mean(np.square(rows), axis=0)) for rule, rows in errors.items()}
    assert np.all(scores["model"] < scores["persistence"])


def read_at(log: AirLog, hours: tuple[float, ...]) -> AirLog:
    """The log as a person would have kept it who looked at these hours of the day."""
    days = np.arange(log.at_s[0] // DAY, log.at_s[-1] // DAY + 1)[:, None] * DAY
    when = (days + HOUR * np.array(hours)).ravel()
    when = when[(when >= log.at_s[0]) & (when <= log.at_s[-1])]
    found = np.searchsorted(log.at_s, when)
    return AirLog.of(log.at_s[found], log.temp_c[found], log.rh[found])


def mean_drives(log: AirLog, now: float) -> np.ndarray:
    """Mean drive over the next 3, 6 and 12 hours."""
    drive = a_track(log, now).deficit(0.0)
    return np.array([drive[: round(hours * HOUR / STEP_S)].mean() for hours in (3, 6, 12)])


# Spread: eight in ten errors lie within 1.28 standard deviations


def test_the_spread_of_the_real_log_is_honest(office):
    for scores in scores_of(office, origins(office)).values():
        assert 0.7 <= share_inside(scores) <= 0.9
        for lead in range(len(LEADS_H)):
            assert 0.65 <= share_inside(scores[:, lead]) <= 0.95


def test_the_spread_between_typed_readings_is_honest(office):
    typed = read_at(office, (8.0, 12.0, 17.0))
    first, last = float(typed.at_s[0]), float(typed.at_s[-1])
    guessed, came = (
        build_track(log, first, last, 0.0, VALUES.ahead, 101_325.0) for log in (typed, office)
    )
    unread = ~guessed.measured & came.measured & (guessed.spread > 0.0)
    errors = (came.deficit(0.0) - guessed.deficit(0.0))[unread] / guessed.spread[unread]
    assert errors.size > 400
    assert 0.7 <= share_inside(errors) <= 0.95


def made_log(memory_h: float, swing_k: float, seed: int, days: int = 21) -> AirLog:
    """Hourly air: a first-order process with a daily round, for temperature and for ln vapour."""
    rng = np.random.default_rng(seed)
    at_s = 1.4e9 + HOUR * np.arange(24 * days)
    kept = math.exp(-1.0 / memory_h)
    noise = rng.standard_normal((2, at_s.size))
    wander = lfilter([math.sqrt(1.0 - kept * kept)], [1.0, -kept], noise)
    day = np.sin(2.0 * math.pi * at_s / DAY)
    temp = 21.0 + swing_k * day + 0.7 * wander[0]
    vapour = 8.0e-3 * np.exp(0.04 * day + 0.12 * wander[1])
    rh = vapour / np.asarray(moist_air.saturation_density(temp))
    return AirLog.of(at_s, temp, np.clip(rh, 0.05, 0.98))


@pytest.mark.parametrize("memory_h", [6.0, 24.0, 72.0])
@pytest.mark.parametrize("swing_k", [0.0, 1.5])
def test_the_spread_of_made_logs_is_honest(memory_h, swing_k):
    tables = [made_scores(made_log(memory_h, swing_k, seed)) for seed in range(6)]
    for quantity in ("temperature", "vapour", "drive"):
        scores = np.concatenate([table[quantity] for table in tables])
        assert 0.7 <= share_inside(scores) <= 0.9


def made_scores(log: AirLog) -> dict[str, np.ndarray]:
    return scores_of(log, log.at_s[0] + HOUR * np.arange(4 * 24, 20 * 24, 31))


@pytest.mark.parametrize("memory_h", [6.0, 24.0, 72.0])
def test_little_is_lost_against_knowing_the_truth(memory_h):
    """Two weeks of log against the best forecast there is, which knows how the log was made."""
    pairs = [pair for seed in range(6) for pair in errors_beside_the_best(memory_h, seed)]
    ours, best = np.sqrt(np.mean(np.square(pairs), axis=0))
    assert np.all(ours < 1.3 * best)
    assert ours[0] < 1.15 * best[0]


def errors_beside_the_best(memory_h: float, seed: int) -> list[tuple[np.ndarray, np.ndarray]]:
    """Errors of temperature at all leads, from every seventh hour of the third week."""
    log, leads = made_log(memory_h, 1.5, seed), np.array(LEADS_H)
    usual = 21.0 + 1.5 * np.sin(2.0 * math.pi * log.at_s / DAY)
    left = np.exp(-leads / memory_h)
    pairs = []
    for last in range(14 * 24, log.at_s.size - LEADS_H[-1], 7):
        came = log.temp_c[last + leads]
        best = usual[last + leads] + left * (log.temp_c[last] - usual[last])
        pairs.append((expected_air(log.until(log.at_s[last]), leads).temp_c - came, best - came))
    return pairs
