"""Has the evidence about the shown shell put together in the background."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from shellcoat.desk.review.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.operations.review import ReviewInput, make_review, review_input
from shellcoat.operations.review_frozen import Evidence
from shellcoat.shop import Shell


def desk_input(session: DeskSession, shell: Shell) -> ReviewInput:
    """What stands in the book now, to be written in the person's language."""
    return review_input(
        session.opened,
        shell,
        session.now(),
        decimal_mark=session.decimal_mark,
        translate=translate,
    )


class EvidenceGatherer(QObject):
    """Works for one shell at a time; only what was asked for last is given.

    Signals
    -------
    gathered : the evidence
    failed : it could not be put together; the message says why
    """

    gathered = Signal(object)
    failed = Signal(str)

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._running = False
        self._waiting: Shell | None = None

    @property
    def busy(self) -> bool:
        """Whether evidence is on its way."""
        return self._running

    def ask(self, shell: Shell) -> None:
        """Put the evidence about a shell together; asked meanwhile, it starts again at the end."""
        if self._running:
            self._waiting = shell
            return
        given = self._session.attempt(lambda: desk_input(self._session, shell))
        if given is None:
            return
        self._running = True
        opened = self._session.opened
        self._session.runner.run(lambda: make_review(opened, given), self._take, self._give_up)

    def _take(self, evidence: Evidence) -> None:
        if isValid(self) and not self._start_again():
            self.gathered.emit(evidence)

    def _give_up(self, message: str) -> None:
        if isValid(self) and not self._start_again():
            self.failed.emit(message)

    def _start_again(self) -> bool:
        self._running = False
        shell, self._waiting = self._waiting, None
        if shell is None:
            return False
        self.ask(shell)
        return True
