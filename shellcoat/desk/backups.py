"""Keeps a copy of the book where one is due: after opening, every while, and on closing."""

from __future__ import annotations

import logging

from PySide6.QtCore import QObject, QTimer, Slot

from shellcoat.book.backup import back_up, backup_folder, due_for_backup, prune
from shellcoat.desk.session import DeskSession
from shellcoat.errors import ShellcoatError

log = logging.getLogger(__name__)

LOOK_EVERY_MS = 10 * 60_000


class BackupKeeper(QObject):
    """Looks every ten minutes whether a backup is due, and makes it in the background."""

    def __init__(self, session: DeskSession, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_EVERY_MS)
        self._timer.timeout.connect(self.look)

    def start(self) -> None:
        """Look now and from now on; a book opened to read only is nobody's to copy."""
        if not self._session.opened.book.read_only:
            self._timer.start()
            self.look()

    @Slot()
    def look(self) -> None:
        """Make a backup in the background if one is due."""
        self._session.runner.run(self._keep_if_due, lambda _done: None, self._session.failed.emit)

    def _keep_if_due(self) -> None:
        book, now = self._session.opened.book, self._session.now()
        folder = backup_folder(book.path)
        if due_for_backup(book, folder, now):
            back_up(book, folder, now)
            prune(folder, now)

    def close(self) -> None:
        """A last look before the book is closed."""
        self._timer.stop()
        if self._session.opened.book.read_only:
            return
        try:
            self._keep_if_due()
        except ShellcoatError as error:
            log.warning("the backup on closing failed: %s", error)
