"""The air ahead on a real log, against the two rules that need no model; see rolling_origin."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from shellcoat.forecast.air_ahead import expect_air
from shellcoat.physics import moist_air
from tests.bench.machine import Figure, alternating, median, milliseconds, seconds_of
from tests.forecast.rolling_origin import (
    COATS,
    DAY,
    LEADS_H,
    RULES,
    VALUES,
    Floats,
    Outcome,
    air_errors,
    dry_time_errors,
    office_log,
    origins,
    rms,
    roll,
    scores_of,
    share_inside,
)

MARGIN = 1.0
QUICK_S = 0.010
WEEKS, ROUNDS = 4, 15


def run(_folder: Path) -> Iterator[Figure]:
    """Score dry times and spread, and time the learning."""
    log = office_log()
    when = origins(log)
    outcome = roll(log, when)
    for coat in COATS:
        model, *rules = dry_scores(outcome)[COATS.index(coat)]
        yield Figure(
            f"dry time of {coat.hours} h / better rule",
            f"{model / min(rules):.2f}",
            f"< {MARGIN:g}",
            model < MARGIN * min(rules),
            f"{model:.1f} % against {rules[0]:.1f} (stays) and {rules[1]:.1f} (yesterday), "
            f"{when.size} hourly origins",
        )
    inside = share_inside(scores_of(log, when)["drive"])
    yield Figure(
        "errors of the drive within 1.28 sd",
        f"{100 * inside:.0f} %",
        "70 to 90 %",
        0.7 <= inside <= 0.9,
        "80 % if the spread is honest",
    )
    yield quickness()


def quickness() -> Figure:
    """Learning four weeks of a reading a minute and telling a week, against one formula on it."""
    at_s = 1.4e9 + 60.0 * np.arange(WEEKS * 7 * 24 * 60)
    temp, rh = 21.0 + np.sin(at_s / DAY), 0.5 + 0.05 * np.sin(at_s / 2e5)
    ahead = at_s[-1] + 600.0 * np.arange(7 * 24 * 6)
    ours, anchor = alternating(
        lambda: seconds_of(lambda: expect_air(at_s, temp, rh, ahead, VALUES.ahead)),
        lambda: seconds_of(lambda: moist_air.vapour_density(temp, rh)),
        ROUNDS,
    )
    return Figure(
        "air of a room, learned and told",
        milliseconds(median(ours)),
        f"≤ {milliseconds(QUICK_S)}",
        median(ours) <= QUICK_S,
        f"{WEEKS} weeks of minutes; the vapour density of every reading takes "
        f"{milliseconds(median(anchor))}",
    )


def dry_scores(outcome: Outcome) -> list[list[float]]:
    """RMS of the ln of predicted over true dry time [%], for each coat and rule."""
    return [[_percent(*dry_time_errors(outcome, rule, coat)) for rule in RULES] for coat in COATS]


def _percent(said: Floats, true: Floats) -> float:
    return 100.0 * rms(np.log(said / true))


def main() -> None:
    """Print the scores as a table."""
    log = office_log()
    when = origins(log)
    outcome = roll(log, when)
    heads = [f"{lead} h" for lead in LEADS_H]
    print(f"| {when.size} hourly origins | rule | {' | '.join(heads)} |")
    print(f"| --- | --- |{' ---: |' * len(heads)}")
    for index, quantity in enumerate(("temperature [K]", "vapour [g/m³]")):
        for rule in RULES:
            errors = [rms(air_errors(outcome, rule, lead)[index]) for lead in LEADS_H]
            _row(quantity, rule, [f"{error:.2f}" for error in errors])
    by_coat = dry_scores(outcome)
    for place, rule in enumerate(RULES):
        _row("dry time [%]", rule, [f"{scores[place]:.1f}" for scores in by_coat])
    for rule in RULES:
        pairs = [dry_time_errors(outcome, rule, coat) for coat in COATS]
        minutes = [60.0 * rms(said - true) for said, true in pairs]
        _row("dry time [min]", rule, [f"{minute:.1f}" for minute in minutes])
    for quantity, scores in scores_of(log, when).items():
        shares = [share_inside(scores[:, lead]) for lead in range(len(LEADS_H))]
        _row(f"{quantity} within ±1.28 sd [%]", "model", [f"{100 * share:.0f}" for share in shares])


def _row(quantity: str, rule: str, cells: list[str]) -> None:
    print(f"| {quantity} | {rule} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()
