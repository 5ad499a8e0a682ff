"""Has the wall of the shown shell, and what its checks taught, worked out in the background."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

import shiboken6
from PySide6.QtCore import QObject, Signal

from shellcoat.desk.session import DeskSession
from shellcoat.forecast.learned import Learned, Lesson
from shellcoat.forecast.wall_answers import WallAnswer, WallMove
from shellcoat.operations.open_shop import ForecastInput
from shellcoat.shop import Shell


class ShellGatherer(QObject):
    """Works one thing out about the shown shell, once somebody looks; tabs can share it.

    Signals
    -------
    answered : what was asked for last
    failed : a message where it could not be worked out
    """

    answered = Signal(object)
    failed = Signal(str)

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shell: Shell | None = None
        self._stale = False
        self._asked = 0
        self.found: object | None = None

    def work(self, given: ForecastInput) -> object:
        """What is worked out, in a worker; each kind has its own."""
        raise NotImplementedError

    def turn_to(self, shell: Shell) -> None:
        """Note that what is known is out of date, or is of another shell."""
        if self._shell is None or self._shell.id != shell.id:
            self.found = None
            self._asked += 1  # whatever is under way is about another shell
        self._shell, self._stale = shell, True

    def ask(self) -> None:
        """Work it out, unless that has been done or is under way since the last change."""
        if self._shell is None or not self._stale:
            return
        self._stale = False
        self._asked += 1
        number = self._asked
        given = self._session.opened.forecast_input(self._session.now(), [self._shell])

        def take(found: object) -> None:
            if shiboken6.isValid(self) and number == self._asked:
                self.found = found
                self.answered.emit(found)

        def give_up(message: str) -> None:
            if shiboken6.isValid(self) and number == self._asked:
                self.failed.emit(message)

        self._session.runner.run(lambda: self.work(given), take, give_up)


class WallGatherer(ShellGatherer):
    """The wall of one shell."""

    def work(self, given: ForecastInput) -> object:
        """Work the wall out, in a worker."""
        return self._session.opened.wall(given)

    @property
    def answer(self) -> WallAnswer | None:
        """The wall as it was last worked out."""
        return self.found if isinstance(self.found, WallAnswer) else None

    def moves(self) -> Mapping[UUID, WallMove]:
        """What each check did to the wall, as far as is known."""
        moves = self.answer.moves if self.answer else ()
        return {move.check_id: move for move in moves if move.check_id is not None}


class LessonGatherer(ShellGatherer):
    """What the checks of the shop have taught about drying."""

    def work(self, given: ForecastInput) -> object:
        """Work out what was learned, in a worker."""
        return self._session.opened.learned(given)

    def lessons(self) -> Mapping[UUID, Lesson]:
        """What each check taught, as far as is known."""
        lessons = self.found.lessons if isinstance(self.found, Learned) else ()
        return {lesson.check_id: lesson for lesson in lessons}
