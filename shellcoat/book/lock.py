"""The lock that lets one process at a time write to a book.

SQLite has locks of its own, but up to 3.51.2 two connections that write or checkpoint at the
same moment can damage a write-ahead log. So every write also holds a lock of the operating
system on a file beside the book, which is let go even when the process dies.
"""

from __future__ import annotations

import json
import os
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event

from shellcoat.book.faults import BookBusyError, ReadOnlyBookError

PATIENCE_S = 5.0
PAUSE_S = 0.005
HOLDER_BYTES = 400
BINARY: int = getattr(os, "O_BINARY", 0)  # only Windows has it

if sys.platform == "win32":
    import msvcrt

    # A locked stretch cannot be read by others there, so it lies behind the holder's name.
    LOCKED_AT = 1 << 20

    def _try(handle: int) -> None:
        os.lseek(handle, LOCKED_AT, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

    def _let_go(handle: int) -> None:
        os.lseek(handle, LOCKED_AT, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _try(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def _let_go(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)


def lock_path(book: Path) -> Path:
    """Name the lock file of a book."""
    return book.with_name(book.name + ".lock")


class WriteLock:
    """The lock of one book, held by one owner at a time; it may be taken again while held.

    Not for sharing between threads: the book guards it with a lock of its own.
    """

    def __init__(self, book: Path, patience_s: float | None = None) -> None:
        self.book = book
        self.patience_s = PATIENCE_S if patience_s is None else patience_s
        self._depth = 0
        try:
            handle = os.open(lock_path(book), os.O_RDWR | os.O_CREAT | BINARY, 0o666)
        except OSError as cause:
            raise ReadOnlyBookError(book, f"its folder is write-protected ({cause})") from cause
        self._file = os.fdopen(handle, "r+b", buffering=0)

    @contextmanager
    def held(self) -> Iterator[None]:
        """Hold the lock for a while, waiting for it if need be."""
        if not self._depth:
            self._take()
        self._depth += 1
        try:
            yield
        finally:
            self._depth -= 1
            if not self._depth:
                _let_go(self._file.fileno())

    def close(self) -> None:
        """Close the lock file; the file itself stays, for removing it would race with others."""
        self._file.close()

    def holder(self) -> str:
        """Say who took the lock last."""
        self._file.seek(0)
        try:
            told = json.loads(self._file.read(HOLDER_BYTES))
            return f"process {told['process']} on {told['computer']}"
        except (ValueError, KeyError, TypeError):
            return "another program"

    def _take(self) -> None:
        patient_until = time.monotonic() + self.patience_s
        while not self._taken():
            if time.monotonic() >= patient_until:
                raise BookBusyError(self.book, self.holder())
            Event().wait(PAUSE_S)
        self._sign()

    def _taken(self) -> bool:
        try:
            _try(self._file.fileno())
        except OSError:
            return False
        return True

    def _sign(self) -> None:
        name = json.dumps({"process": os.getpid(), "computer": socket.gethostname()})
        self._file.seek(0)
        self._file.write(name.ljust(HOLDER_BYTES).encode())
