"""What the checks have taught, and the wall of one shell, as plain text and as data."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import chain
from typing import Any
from uuid import UUID

from shellcoat.forecast.learned import FactorAnswer, Learned
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.operations.check_wording import (
    CheckWriter,
    write_move,
    write_place,
    write_weight,
)
from shellcoat.operations.learned_wording import (
    name_factor,
    write_bearing,
    write_counted,
    write_factor,
    write_lesson,
    write_usual,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.plain_data import plain
from shellcoat.shop import Shell, ShellCheck
from shellcoat.shop.entry import NAMES

NOTHING_YET = (
    "No check has been logged yet. Touch a shell and log what you found: "
    "shellcoat check BOOK SHELL dry."
)


def learned_text(opened: OpenShop, learned: Learned, now: datetime) -> str:
    """Usual coats, factors and every check, as the window has them."""
    if not learned.lessons:
        return NOTHING_YET
    checks = _checks(opened)
    lines = chain(
        [write_counted(learned)],
        _part("Coats in usual air", map(write_usual, learned.usual_coats)),
        _part("Against the tables", (_factor(opened, one) for one in learned.factors)),
        _part(
            "Checks, newest first",
            (write_lesson(one, checks[one.check_id], opened, now) for one in learned.lessons),
        ),
    )
    return "\n".join(lines)


def _checks(opened: OpenShop) -> dict[UUID, ShellCheck]:
    return {check.id: check for own in opened.ledger.checks().values() for check in own}


def _part(heading: str, lines: Iterator[str]) -> Iterator[str]:
    """A heading with its lines; nothing where there are none."""
    found = list(lines)
    return chain(["", f"{heading}:"], found) if found else iter(())


def _factor(opened: OpenShop, factor: FactorAnswer) -> str:
    return f"{name_factor(factor, opened.ledger)} {write_factor(factor)}; {write_bearing(factor)}."


def learned_json(opened: OpenShop, learned: Learned, now: datetime) -> dict[str, Any]:
    """The same as plain data; each lesson carries its check as the book has it."""
    checks = _checks(opened)
    told: dict[str, Any] = {"shop": opened.shop.name, "made_at": now.isoformat()} | plain(learned)
    lessons = [
        plain(lesson) | {"check": _plain_check(checks[lesson.check_id])}
        for lesson in learned.lessons
    ]
    return told | {"lessons": lessons}


def _plain_check(check: ShellCheck) -> dict[str, Any]:
    told: dict[str, Any] = {"kind": NAMES[type(check)]} | plain(check)
    return told


def wall_text(opened: OpenShop, shell: Shell, answer: WallAnswer, now: datetime) -> str:
    """The wall by place against its target, the weight, and what moved the estimate."""
    writer = CheckWriter(opened.units)
    lines = chain(
        [_coats(opened, shell)],
        (write_place(place, writer) for place in answer.places),
        [write_weight(answer, writer, opened.zone, now)],
        _part("What it rests on", (write_move(move, writer) for move in answer.moves)),
    )
    return "\n".join(lines)


def _coats(opened: OpenShop, shell: Shell) -> str:
    coats_on = len(opened.ledger.coats(shell.id))
    return f"{shell.label} {shell.name}: {coats_on} of {len(shell.sequence.steps)} coats on."


def wall_json(opened: OpenShop, shell: Shell, answer: WallAnswer, now: datetime) -> dict[str, Any]:
    """The same as plain data."""
    head: dict[str, Any] = {
        "shop": opened.shop.name,
        "made_at": now.isoformat(),
        "label": shell.label,
        "name": shell.name,
    }
    head |= plain(answer)
    return head
