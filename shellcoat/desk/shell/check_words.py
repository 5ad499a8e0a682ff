"""The rows of the table of checks, and what is said once one is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.learned import Lesson
from shellcoat.forecast.wall_answers import WallMove
from shellcoat.operations.check_wording import (
    CheckWriter,
    write_check_kind,
    write_check_result,
    write_shift,
)
from shellcoat.operations.learned_wording import write_stray, write_taught
from shellcoat.operations.wording import write_time
from shellcoat.shop import Coat, Shell, ShellCheck

Row = tuple[str, str, str, str, str, str]


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Checks", text)


def check_writer(session: DeskSession) -> CheckWriter:
    """Writes in the units and with the decimal mark of the person at the desk."""
    return CheckWriter(session.opened.units, session.decimal_mark)


def headings() -> tuple[str, ...]:
    """Over the columns of the table."""
    return (
        translate("Time"),
        translate("Coat"),
        translate("What"),
        translate("Found"),
        translate("What it did"),
        translate("Note"),
    )


def newest_first(checks: Sequence[ShellCheck]) -> list[ShellCheck]:
    """The checks of a shell in the order of the table."""
    return list(reversed(checks))


def coat_number(coats: Sequence[Coat], at: datetime) -> int:
    """The coat that was on at a moment; 0 for bare wax."""
    return sum(coat.dipped_at <= at for coat in coats)


def check_row(
    session: DeskSession,
    shell: Shell,
    check: ShellCheck,
    moves: Mapping[UUID, WallMove],
    lessons: Mapping[UUID, Lesson],
) -> Row:
    """One check as a row of the table."""
    number = coat_number(session.opened.ledger.coats(shell.id), check.at)
    return (
        write_time(check.at, session.opened.zone, session.now()),
        str(number) if number else "–",
        write_check_kind(check, shell),
        write_check_result(check, check_writer(session)),
        effect_words(session, check, moves.get(check.id), lessons.get(check.id)),
        check.note,
    )


def effect_words(
    session: DeskSession, check: ShellCheck, move: WallMove | None, lesson: Lesson | None
) -> str:
    """Why a check is left out, or what it did to the wall and to the drying times."""
    if check.left_out:
        return translate("left out: {reason}").format(reason=check.left_out)
    parts = [write_shift(move, check_writer(session))] if move else []
    if lesson is not None and (move is None or lesson.silence is None):
        parts += [write_taught(lesson, check), write_stray(lesson)]
    return "; ".join(part for part in parts if part)


def detail_words(said: str, row: Row) -> str:
    """The chosen check written out: what was found, what it did, and its note."""
    _time, _coat, _what, _found, effect, note = row
    parts = (said, _sentence(effect), note)
    return " ".join(part for part in parts if part)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def kept_words(session: DeskSession, shell: Shell, check: ShellCheck) -> str:
    """What is said once a check is in the book."""
    at = write_time(check.at, session.opened.zone, session.now())
    return translate("Kept for {shell}: {what}: {result}, {at}.").format(
        shell=shell.label or shell.name,
        what=write_check_kind(check, shell),
        result=write_check_result(check, check_writer(session)),
        at=at,
    )
