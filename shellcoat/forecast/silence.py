"""Which checks teach nothing about drying, and why."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shellcoat.forecast.learned import Lesson, Silence
from shellcoat.forecast.times import seconds
from shellcoat.shop import CaliperReading, Coat, DryCheck, Shell, ShellCheck, Weighing


def silence_of(
    check: ShellCheck,
    shell: Shell,
    coats: Sequence[Coat],
    others: Sequence[ShellCheck],
    now: datetime,
    age_s: float,
) -> Silence | None:
    """Why a check says nothing about drying; None where it does. `others`: all of the shell's."""
    if check.left_out:
        return Silence.LEFT_OUT
    if isinstance(check, CaliperReading):
        return Silence.NOT_DRYING
    if seconds(now) - seconds(check.at) > age_s:
        return Silence.TOO_OLD
    if coat_number(check, coats) == 0:
        return Silence.NO_COAT
    if isinstance(check, DryCheck) and check.core_id not in (None, *(c.id for c in shell.cores)):
        return Silence.NO_CORE
    return _of_weighing(check, shell, coats, others) if isinstance(check, Weighing) else None


def _of_weighing(
    check: Weighing, shell: Shell, coats: Sequence[Coat], others: Sequence[ShellCheck]
) -> Silence | None:
    if shell.area_m2 is None:
        return Silence.NO_AREA
    number = coat_number(check, coats)
    pairs = [
        other
        for other in others
        if isinstance(other, Weighing)
        and not other.left_out
        and coat_number(other, coats) == number
        and (other.at, other.id) < (check.at, check.id)
    ]
    return None if pairs else Silence.NO_PAIR


def coat_number(check: ShellCheck, coats: Sequence[Coat]) -> int:
    """The coat a check was made on, counted from 1; 0 before any."""
    return sum(coat.dipped_at <= check.at for coat in coats)


def silent_lesson(check: ShellCheck, coats: Sequence[Coat], silence: Silence) -> Lesson:
    """The lesson that a silent check does not teach."""
    return Lesson(
        check_id=check.id,
        shell_id=check.shell_id,
        at=check.at,
        coat_number=coat_number(check, coats),
        silence=silence,
    )
