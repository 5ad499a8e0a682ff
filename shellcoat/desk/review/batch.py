"""Every shell that is due for burnout as a PDF of its own, with one line a shell."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from shellcoat.desk.review.gatherer import desk_input
from shellcoat.desk.review.pdf import PdfNotWrittenError, save_signed, save_unsigned
from shellcoat.desk.review.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review import (
    ReviewInput,
    ReviewState,
    Standing,
    make_review,
    review_state,
)
from shellcoat.operations.review_frozen import thaw
from shellcoat.operations.review_report import summary_line
from shellcoat.operations.review_wording import DECISION_WORDS
from shellcoat.shop import Review, Shell

SUMMARY = "summary.txt"
ODD_IN_NAMES = re.compile(r"[^\w .,()+-]+")
LONGEST_NAME = 80


def pdf_name(shell: Shell) -> str:
    """A file name that every system takes: label and name, and what no file name can hold left."""
    plain = ODD_IN_NAMES.sub("_", f"{shell.label} {shell.name}").strip(" ._")
    return f"{plain[:LONGEST_NAME].strip(' ._')}.pdf"


def standing_review(session: DeskSession, shell_id: UUID) -> tuple[Review, ReviewState] | None:
    """The newest signed review of a shell with its state, if there is one."""
    signed = session.opened.ledger.reviews(shell_id)
    return (signed[-1], review_state(session.opened, signed[-1])) if signed else None


def print_one(
    opened: OpenShop,
    given: ReviewInput,
    signed: tuple[Review, ReviewState] | None,
    path: Path,
) -> str:
    """Print a signed review that still holds as it was signed, else the evidence of now."""
    if signed is not None and signed[1].standing is Standing.CURRENT:
        review, state = signed
        save_signed(path, review, state)
        words = translate(DECISION_WORDS[review.decision])
        return f"{summary_line(thaw(review.findings).report)} – {words}, {review.name}"
    evidence = make_review(opened, given)
    save_unsigned(path, evidence)
    return f"{summary_line(evidence.report)} – {translate('not signed')}"


class BatchPrinter(QObject):
    """Prints one shell after the other; each is read from the book as its turn comes.

    Signals
    -------
    moved : how many are done, of how many
    finished : the summary lines
    failed : why it came to an end
    """

    moved = Signal(int, int)
    finished = Signal(object)
    failed = Signal(str)

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._waiting: list[Shell] = []
        self._lines: list[str] = []
        self._taken: set[str] = set()
        self._count = 0
        self._folder = Path()
        self.running = False

    def start(self, shells: Iterable[Shell], folder: Path) -> None:
        """Print these into a folder."""
        self._waiting, self._lines, self._taken = list(shells), [], set()
        self._count, self._folder, self.running = len(self._waiting), folder, True
        self._next()

    def stop(self) -> None:
        """Print no more after the one under way."""
        self._waiting.clear()

    def _next(self) -> None:
        self.moved.emit(len(self._lines), self._count)
        if not self._waiting:
            self._finish()
            return
        shell = self._waiting.pop(0)
        given = self._session.attempt(lambda: desk_input(self._session, shell))
        if given is None:
            self.running = False
            return
        signed = standing_review(self._session, shell.id)
        path = self._folder / self._free_name(shell)
        opened = self._session.opened
        self._session.runner.run(
            lambda: print_one(opened, given, signed, path), self._take, self._fail
        )

    def _free_name(self, shell: Shell) -> str:
        """Two names that differ only in odd characters must not share a file."""
        name = pdf_name(shell)
        if name in self._taken:
            name = f"{Path(name).stem} {shell.id.hex[:8]}.pdf"
        self._taken.add(name)
        return name

    def _take(self, line: str) -> None:
        if isValid(self):
            self._lines.append(line)
            self._next()

    def _fail(self, message: str) -> None:
        if isValid(self):
            self.running = False
            self.failed.emit(message)

    def _finish(self) -> None:
        self.running = False
        path = self._folder / SUMMARY
        try:
            path.write_text("\n".join(self._lines) + "\n", encoding="utf-8")
        except OSError as error:
            self.failed.emit(str(PdfNotWrittenError(path, error.strerror or str(error))))
            return
        self.finished.emit(tuple(self._lines))
