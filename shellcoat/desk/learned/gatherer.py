"""Has the worker find out what the checks have taught, one run at a time."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.learned import Learned


class LearnedGatherer(QObject):
    """Asked while a run is under way it runs once more at the end; the same book is run once.

    Signals
    -------
    learned : what the checks of the book as it stands now have taught
    failed : it could not be worked out; the session has told why
    """

    learned = Signal(object)
    failed = Signal()

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._entries_asked = -1
        self.running = False

    def learn(self) -> None:
        """Ask what has been learned, unless nothing was written since it was last asked."""
        entries = len(self._session.opened.ledger.entries)
        if self.running or entries == self._entries_asked:
            return
        self._entries_asked = entries
        opened, now = self._session.opened, self._session.now()
        given = self._session.attempt(lambda: opened.forecast_input(now))
        if given is None:
            self.failed.emit()
            return
        self.running = True
        self._session.runner.run(lambda: opened.learned(given), self._take, self._give_up)

    def _take(self, learned: Learned) -> None:
        if not isValid(self):
            return  # its page has gone
        self.running = False
        self.learned.emit(learned)
        self.learn()

    def _give_up(self, message: str) -> None:
        if not isValid(self):
            return
        self.running = False
        self._session.failed.emit(message)
        self.failed.emit()
        self.learn()
