"""Runs long work off the window's thread and brings the result, or the error, back to it."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, TypeVar

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, Slot

from shellcoat.errors import ShellcoatError

log = logging.getLogger(__name__)

Result = TypeVar("Result")
Done = Callable[[Any], None]
Failed = Callable[[str], None]


class _Work(QRunnable):
    def __init__(self, token: int, work: Callable[[], object], finished: Any) -> None:
        super().__init__()
        self._token, self._work, self._finished = token, work, finished

    def run(self) -> None:
        """Do the work; this is one of the program's doors, where any error is caught."""
        result: object = None
        fault = ""
        try:
            result = self._work()
        except ShellcoatError as error:
            fault = str(error)
        except Exception as error:
            log.exception("work in the background failed")
            fault = f"Something went wrong inside the program: {error}. The log has the details."
        self._finished.emit(self._token, result, fault)


class OperationRunner(QObject):
    """Owns the worker threads; results come back on the thread that owns the runner."""

    _finished = Signal(int, object, str)
    busy_changed = Signal(bool)

    def __init__(self, threads: int = 1, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(threads)
        self._open: dict[int, tuple[Done, Failed]] = {}
        self._next = 0
        self._finished.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether any work is under way."""
        return bool(self._open)

    def run(
        self, work: Callable[[], Result], done: Callable[[Result], None], failed: Failed
    ) -> None:
        """Do `work` in a worker; then call `done` with its result, or `failed` with a message."""
        token, self._next = self._next, self._next + 1
        self._open[token] = (done, failed)
        if len(self._open) == 1:
            self.busy_changed.emit(True)
        self._pool.start(_Work(token, work, self._finished))

    @Slot(int, object, str)
    def _deliver(self, token: int, result: object, fault: str) -> None:
        callbacks = self._open.pop(token, None)
        if not self._open:
            self.busy_changed.emit(False)
        if callbacks is None:
            return
        done, failed = callbacks
        if fault:
            failed(fault)
        else:
            done(result)

    def close(self) -> None:
        """Wait for work under way; what it brings is dropped."""
        self._open.clear()
        self._pool.clear()
        self._pool.waitForDone()
