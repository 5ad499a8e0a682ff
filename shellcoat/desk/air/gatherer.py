"""Takes looks at a room's air in the worker, one at a time, the last one asked for in the end."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from shellcoat.desk.air.air_plot import load_plots
from shellcoat.desk.air.look import AirLook, Span, look_at_air
from shellcoat.desk.session import DeskSession


class AirGatherer(QObject):
    """Asked several times while one look is under way, it looks once more at the end.

    Signals
    -------
    looked : a look at the room and span that were asked for last
    """

    looked = Signal(object)

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._wanted: tuple[UUID, Span] | None = None
        self._under_way: tuple[UUID, Span] | None = None
        self._again = False

    def look(self, room_id: UUID, span: Span) -> None:
        """Ask for a look at a room."""
        self._wanted = room_id, span
        if self._under_way is not None:
            self._again = True
            return
        self._start(room_id, span)

    def _start(self, room_id: UUID, span: Span) -> None:
        self._under_way, self._again = (room_id, span), False
        opened, now = self._session.opened, self._session.now()

        def gather() -> AirLook:
            load_plots()
            return look_at_air(opened, room_id, span, now)

        self._session.runner.run(gather, self._take, self._give_up)

    def _take(self, look: AirLook) -> None:
        if not isValid(self):
            return  # its page has gone
        under_way = self._end()
        if under_way == self._wanted:
            self.looked.emit(look)

    def _give_up(self, message: str) -> None:
        if not isValid(self):
            return
        self._end()
        self._session.failed.emit(message)

    def _end(self) -> tuple[UUID, Span] | None:
        """Close the look under way, and start the one that was asked for meanwhile."""
        ended, self._under_way = self._under_way, None
        if self._again and self._wanted is not None:
            self._start(*self._wanted)
        return ended
