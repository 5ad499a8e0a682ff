"""The words of the Learned page that are its own; the rest stand in the operations."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.check_words import check_writer
from shellcoat.forecast.learned import UsualCoat
from shellcoat.operations.check_wording import write_check
from shellcoat.operations.learned_wording import write_usual, write_usual_air
from shellcoat.shop import Shell, ShellCheck, ShellState

LONGEST_MATERIAL = 40


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Learned", text)


def usual_words(usual: UsualCoat) -> str:
    """What has become of a usual coat, with materials short enough for one line."""
    slurry, stucco = (shortened(name, LONGEST_MATERIAL) for name in (usual.slurry, usual.stucco))
    return breakable(translate(write_usual(replace(usual, slurry=slurry, stucco=stucco))))


def usual_air_words(session: DeskSession) -> str:
    """What usual air is, in the shop's units."""
    return translate(write_usual_air(session.opened.units, session.decimal_mark))


def shell_lines(shell: Shell | None) -> tuple[str, str]:
    """A shell's label over its name, and whether it has left the rack."""
    if shell is None:
        return translate("gone"), translate("a shell no longer in the book")
    gone = shell.state in (ShellState.FINISHED, ShellState.SCRAPPED)
    label = f"{shell.label} ({translate(shell.state.value)})" if gone else shell.label
    return label, shell.name


def coat_words(number: int) -> str:
    """The coat a check was made on."""
    return str(number) if number else translate("before any")


def found_lines(check: ShellCheck, shell: Shell | None, session: DeskSession) -> tuple[str, str]:
    """What was found, and what was noted with it."""
    if shell is None:
        return "", check.note
    return translate(write_check(check, shell, check_writer(session))), check.note


def empty_words() -> str:
    """What to do first."""
    return translate(
        "No wall has been checked yet.\n\nWhen you touch one, open its shell on the Shell page "
        "and press “It is dry” or “Still wet” under Checks. After a few checks the times of the "
        "forecast are those of your shop, and this page shows what each check did."
    )


def working_words() -> str:
    """That the answer is on its way."""
    return translate("Working out what the checks have taught…")


def failed_words() -> str:
    """That there are checks, and no answer about them."""
    return translate(
        "What the checks have taught could not be worked out. The checks are safe in the book; "
        "it is tried again with the next entry."
    )
