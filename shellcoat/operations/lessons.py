"""Which of the shop's checks the forecast learns from, and which teach nothing and why."""

from __future__ import annotations

from datetime import datetime

from shellcoat.forecast.check_looks import TaughtCase
from shellcoat.forecast.learned import Lesson, Silence
from shellcoat.forecast.silence import silence_of, silent_lesson
from shellcoat.forecast.starting_values import starting_values
from shellcoat.shop import CaliperReading, Coat, Ledger, Shell, ShellCheck

STARTS_A_PAIR = (None, Silence.NO_PAIR)
"""A first weighing teaches nothing by itself, but the next one is read against it."""

Judged = list[tuple[ShellCheck, Silence | None]]


def sort_checks(ledger: Ledger, now: datetime) -> tuple[tuple[TaughtCase, ...], tuple[Lesson, ...]]:
    """The shells, whatever their state, whose checks teach how walls dry; and the silent checks."""
    cases: list[TaughtCase] = []
    silent: list[Lesson] = []
    care = ledger.care()
    for shell_id, checks in ledger.checks().items():
        if shell_id not in ledger.live:
            continue
        shell, coats = ledger.shell(shell_id), ledger.coats(shell_id)
        judged = _judged(shell, coats, checks, now)
        silent += [silent_lesson(check, coats, why) for check, why in judged if why is not None]
        teaching = tuple(
            check
            for check, why in judged
            if why in STARTS_A_PAIR and not isinstance(check, CaliperReading)
        )
        if teaching:
            acts = tuple(act for act in care.get(shell_id, ()) if act.at <= now)
            cases.append(TaughtCase(shell, coats, acts, teaching))
    return tuple(cases), tuple(silent)


def _judged(
    shell: Shell, coats: tuple[Coat, ...], checks: tuple[ShellCheck, ...], now: datetime
) -> Judged:
    """Each check up to now, with why it teaches nothing."""
    age_s = starting_values().checks.age_s
    # A clock that was set back leaves checks in the book that have not been made yet.
    made = [check for check in checks if check.at <= now]
    return [(check, silence_of(check, shell, coats, made, now, age_s)) for check in made]
