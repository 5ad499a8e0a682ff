"""Looks at a logger's file and imports it, both in the worker."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo, available_timezones

from PySide6.QtCore import QObject, Signal

from shellcoat.desk.session import DeskSession
from shellcoat.feeds.import_air import ImportReport, import_air
from shellcoat.feeds.logger_shape import inspect_file
from shellcoat.feeds.shape import LoggerShape


@dataclass(frozen=True, slots=True)
class LookedAt:
    """A file and the shape it was found to have, with the zones a person may choose from."""

    path: Path
    shape: LoggerShape
    zones: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be imported, as the person has it."""

    path: Path
    shape: LoggerShape
    room_id: UUID
    zone: ZoneInfo


class FileImport(QObject):
    """One file at a time; results come back on the window's thread.

    Signals
    -------
    looked : a `LookedAt`
    progressed : an `ImportProgress`
    finished : an `ImportReport`
    failed : a message a person should read
    """

    looked = Signal(object)
    progressed = Signal(object)
    finished = Signal(object)
    failed = Signal(str)

    def __init__(self, session: DeskSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = threading.Event()
        self.running = False

    def look_at(self, path: Path) -> None:
        """Find out how a file is to be read."""
        self._session.runner.run(lambda: _look(path), self.looked.emit, self.failed.emit)

    def start(self, order: Order) -> None:
        """Import; chunk by chunk, so that dips can be logged in between."""
        self._stop.clear()
        self.running = True
        session = self._session
        book, who, now = session.opened.book, session.opened.who, session.now()

        def work() -> ImportReport:
            return import_air(
                book,
                order.path,
                order.shape,
                order.room_id,
                zone=order.zone,
                who=who,
                now=now,
                progress=self.progressed.emit,
                stop=self._is_stopped,
            )

        session.runner.run(work, self._finish, self._fail)

    def stop(self) -> None:
        """End the import before its next chunk; what is in stays."""
        self._stop.set()

    def _is_stopped(self) -> bool:
        # A runner that is being closed drops its work; the window must not wait for the rest.
        return self._stop.is_set() or not self._session.runner.busy

    def _finish(self, report: ImportReport) -> None:
        self.running = False
        self.finished.emit(report)

    def _fail(self, message: str) -> None:
        self.running = False
        self.failed.emit(message)


def _look(path: Path) -> LookedAt:
    return LookedAt(path, inspect_file(path), tuple(sorted(available_timezones())))
