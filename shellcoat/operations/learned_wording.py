"""What the shop's checks have taught, in a person's words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from shellcoat.forecast.learned import FactorAnswer, FactorKind, Learned, Lesson, Silence, UsualCoat
from shellcoat.operations.check_wording import STRAY, CheckWriter, write_check
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.wording import write_chance, write_time
from shellcoat.shop import InfraredReading, Ledger, Shell, ShellCheck, Weighing
from shellcoat.units import (
    Quantity,
    UnitPreferences,
    write_band,
    write_duration,
)

MUCH_SLOWER = 2.0
"""A factor from which "times as slowly" reads better than per cent."""

NO_DIFFERENCE_PERCENT = 2
"""Below this a factor is told as what the tables say: nobody times a coat closer than that."""

LIKE_TIMES_S = 300.0
"""Times of a usual coat are written to five minutes."""

_SILENCES = {
    Silence.NO_COAT: "no coat was on",
    Silence.LEFT_OUT: "it is left out",
    Silence.TOO_OLD: "it is older than half a year",
    Silence.NO_AREA: "the area of the shell is not known",
    Silence.NO_PAIR: "there is no second weighing under the same coat",
    Silence.NO_CORE: "its core is no longer among those of the shell",
    Silence.NOT_DRYING: "it says how thick the wall is, not how it dries",
}


# What they changed altogether.


def write_counted(learned: Learned) -> str:
    """How many checks the forecast leans on, and how many it does not."""
    counting = sum(lesson.silence is None for lesson in learned.lessons)
    silent = len(learned.lessons) - counting
    words = f"{_counted(counting, 'check counts', 'checks count')}."
    return words if not silent else f"{words} {_counted(silent, 'does not', 'do not')}."


def _counted(count: int, one: str, more: str) -> str:
    return f"{count or 'No'} {one if count == 1 else more}"


def write_usual(usual: UsualCoat) -> str:
    """What has become of the times of a coat in usual air."""
    safe, safe_before = _rounded(usual.safe_s), _rounded(usual.safe_before_s)
    likely, likely_before = _rounded(usual.likely_s), _rounded(usual.likely_before_s)
    now = f"A coat of {coat_name(usual.slurry, usual.stucco)} in usual air is now safely dry after"
    if (safe, likely) == (safe_before, likely_before):
        return f"{now} {safe}, as before; the likely time is {likely}."
    safely = f"{now} {safe}" + (", as before" if safe == safe_before else f", not {safe_before}")
    if likely == likely_before:
        return f"{safely}; the likely time is still {likely}."
    return f"{safely}; the likely time moved from {likely_before} to {likely}."


def _rounded(span_s: float) -> str:
    return write_duration(round(span_s / LIKE_TIMES_S) * LIKE_TIMES_S)


def write_usual_air(units: UnitPreferences, decimal_mark: str = ".") -> str:
    """What air, and what wall, a usual coat dries in."""
    # Loaded here: it brings numpy, which those who only name a factor need not wait for.
    from shellcoat.forecast.usual_coat import USUAL_MOVEMENT, USUAL_RH, USUAL_TEMP_C, USUAL_WALL_M

    writer = CheckWriter(units, decimal_mark)
    temperature = writer.write(USUAL_TEMP_C, Quantity.TEMPERATURE, 0)
    humidity = writer.write(USUAL_RH, Quantity.HUMIDITY)
    wall = writer.wall(USUAL_WALL_M)
    return f"Usual air: {temperature}, {humidity}, {USUAL_MOVEMENT.value}; a wall of {wall}."


def coat_name(slurry: str, stucco: str) -> str:
    """Slurry and stucco of a coat, such as "zircon prime with zircon sand"."""
    return f"{slurry} with {stucco}" if stucco else f"{slurry} without stucco"


def most_used(usual: Sequence[UsualCoat], ledger: Ledger, most: int = 3) -> list[UsualCoat]:
    """The kinds of coat that went on most often in this shop, the most used first."""
    used = Counter(
        (coat.step.slurry, coat.step.stucco)
        for shell in ledger.shells
        for coat in ledger.coats(shell.id)
    )
    return sorted(usual, key=lambda each: -used[each.slurry, each.stucco])[:most]


# Factors.


def name_factor(factor: FactorAnswer, ledger: Ledger) -> str:
    """What a factor belongs to, as a sentence begins with it."""
    if factor.kind is FactorKind.FILM:
        return "Air at the walls of this shop"
    if factor.kind is FactorKind.CRUST:
        return f"Crust of {coat_name(factor.slurry, factor.stucco)}"
    shell = write_shell(find_shell(factor.shell_id, ledger))
    return f"Core “{_core_name(factor, ledger)}” of {shell}"


def factor_lines(factor: FactorAnswer, ledger: Ledger) -> tuple[str, str]:
    """The same over two lines, with what it stands for."""
    if factor.kind is FactorKind.FILM:
        return name_factor(factor, ledger), "how fast it carries the water off"
    if factor.kind is FactorKind.CRUST:
        stucco = f"with {factor.stucco}" if factor.stucco else "without stucco"
        return f"Crust of {factor.slurry}", stucco
    shell = write_shell(find_shell(factor.shell_id, ledger))
    return f"Openings of the core “{_core_name(factor, ledger)}”", shell


def _core_name(factor: FactorAnswer, ledger: Ledger) -> str:
    shell = find_shell(factor.shell_id, ledger)
    names = (core.name for core in shell.cores if core.id == factor.core_id) if shell else ()
    return next(iter(names), "no longer there")


def write_factor(factor: FactorAnswer) -> str:
    """How much more or less than in the tables it holds water back, with the spread left."""
    return f"{write_factor_likely(factor)} ({write_factor_spread(factor)})"


def write_factor_likely(factor: FactorAnswer) -> str:
    """How much more or less than in the tables it holds water back."""
    if factor.now.likely >= MUCH_SLOWER:
        return f"holds back about {factor.now.likely:.1f} times what the tables say"
    likely = _percent(factor.now.likely)
    if abs(likely) < NO_DIFFERENCE_PERCENT:
        return "holds back what the tables say"
    return f"holds back about {abs(likely)} % {_way(likely)} than the tables say"


def write_factor_spread(factor: FactorAnswer) -> str:
    """Between which ends it most likely is; the way is told where they lie on both sides."""
    band = factor.now
    if band.likely >= MUCH_SLOWER:
        return f"{band.low:.1f} to {band.high:.1f} times"
    low, high, likely = (_percent(each) for each in (band.low, band.high, band.likely))
    if low * high < 0 or abs(likely) < NO_DIFFERENCE_PERCENT:
        return _from_to(low, high)
    near, far = sorted((abs(low), abs(high)))
    return f"{near} to {far} %"


def write_bearing(factor: FactorAnswer) -> str:
    """How many checks bear on a factor."""
    if not factor.checks:
        return "no check bears on it yet"
    return _counted(factor.checks, "check bears on it", "checks bear on it")


def _percent(factor: float) -> int:
    """How much more [%] than in the tables; below nought where it is less."""
    return round(100.0 * (factor - 1.0))


def _way(percent: int) -> str:
    return "more" if percent > 0 else "less"


def _from_to(low: int, high: int) -> str:
    ends = (f"{abs(end)} % {_way(end)}" if end else "no different" for end in (low, high))
    return " to ".join(ends)


# Lessons.


def write_expected(
    lesson: Lesson, check: ShellCheck, units: UnitPreferences, decimal_mark: str = "."
) -> str:
    """What the other checks had led one to expect, as it follows "expected"."""
    if lesson.chance is not None:
        return f"with a chance of {write_chance(lesson.chance)}"
    kind = _measured(check)
    if lesson.expected is None or kind is None:
        return ""
    quantity, less, _more = kind
    band = write_band(
        lesson.expected.low,
        lesson.expected.high,
        quantity,
        units,
        decimals=_decimals(quantity, units),
        decimal_mark=decimal_mark,
    )
    return f"{band} {less}"


def write_seen(
    lesson: Lesson, check: ShellCheck, units: UnitPreferences, decimal_mark: str = "."
) -> str:
    """What was measured, in the words of what had been expected; empty for a touch."""
    kind = _measured(check)
    if lesson.seen is None or kind is None:
        return ""
    quantity, less, more = kind
    writer = CheckWriter(units, decimal_mark)
    size = writer.write(abs(lesson.seen), quantity, _decimals(quantity, units))
    return f"it was {size} {less if lesson.seen >= 0 else more}"


def _measured(check: ShellCheck) -> tuple[Quantity, str, str] | None:
    """The quantity of what a check measures, and the words for less and for more of it."""
    if isinstance(check, InfraredReading):
        return Quantity.TEMPERATURE_DIFFERENCE, "below the air", "above the air"
    if isinstance(check, Weighing):
        return Quantity.SMALL_MASS, "lost", "gained"
    return None


def _decimals(quantity: Quantity, units: UnitPreferences) -> int:
    """No scale that takes a shell tells tenths of a gram."""
    return 0 if units.unit_for(quantity) == "g" else 1


def write_taught(lesson: Lesson, check: ShellCheck) -> str:
    """What a check did to the safe time of a coat of its kind, or why it does nothing."""
    if check.left_out:
        return f"left out: {check.left_out}"
    if lesson.silence is Silence.LEFT_OUT:
        return "taken in again; what it teaches is being worked out"
    if lesson.silence is not None:
        return f"nothing: {_SILENCES[lesson.silence]}"
    moved = _percent(lesson.pace)
    if not moved:
        return "hardly anything"
    return f"safe times {abs(moved)} % {'later' if moved > 0 else 'sooner'}"


def is_stray(lesson: Lesson) -> bool:
    """Whether the program takes the check for one that went wrong."""
    return lesson.silence is None and lesson.wild >= STRAY


def write_stray(lesson: Lesson) -> str:
    """That it looks like a stray, and how much so; empty where it does not."""
    return f"looks like a stray: {write_chance(lesson.wild)}" if is_stray(lesson) else ""


def find_shell(shell_id: UUID | None, ledger: Ledger) -> Shell | None:
    """The shell of that id, or None once it was taken back."""
    entry = ledger.live.get(shell_id) if shell_id else None
    return entry.record if entry and isinstance(entry.record, Shell) else None


def write_shell(shell: Shell | None) -> str:
    """Label and name of a shell."""
    return f"{shell.label} {shell.name}" if shell else "a shell no longer in the book"


def write_lesson(lesson: Lesson, check: ShellCheck, opened: OpenShop, now: datetime) -> str:
    """One check in a line: when, on what, what was found, what was expected, what it did."""
    units, shell = opened.units, find_shell(lesson.shell_id, opened.ledger)
    at = write_time(lesson.at, opened.zone, now)
    on = f"coat {lesson.coat_number}" if lesson.coat_number else "before any coat"
    found = write_check(check, shell, CheckWriter(units)) if shell else ""
    expected = write_expected(lesson, check, units)
    parts = (
        expected and f"expected {expected}",
        write_seen(lesson, check, units),
        write_taught(lesson, check),
        write_stray(lesson),
    )
    said = _sentence("; ".join(part for part in parts if part))
    return f"{at}, {write_shell(shell)}, {on}: {found} {said}".replace("  ", " ")


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
