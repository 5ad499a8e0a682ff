"""Keeps a copy of the book where one is due: after opening, every while, and on closing."""

from __future__ import annotations

import logging
from datetime import datetime

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from shellcoat.alerts.alarms import BackupFault
from shellcoat.book.backup import back_up, backup_folder, backups, due_for_backup, prune
from shellcoat.desk.session import DeskSession
from shellcoat.errors import ShellcoatError

log = logging.getLogger(__name__)

LOOK_EVERY_MS = 10 * 60_000


class BackupKeeper(QObject):
    """Looks every ten minutes whether a backup is due, and makes it in the background.

    Signals
    -------
    looked : what is wrong with the backups, or None where nothing is
    """

    looked = Signal(object)

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
        self._session.runner.run(self._try_to_keep, self.looked.emit, self._session.failed.emit)

    def _try_to_keep(self) -> BackupFault | None:
        try:
            self._keep_if_due()
        except ShellcoatError as error:
            log.warning("the backup failed: %s", error)
            return BackupFault(why=str(error), last_good_at=self._last_good_at())
        return None

    def _last_good_at(self) -> datetime | None:
        path = self._session.opened.book.path
        try:
            found = backups(backup_folder(path))
        except (ShellcoatError, OSError):
            return None  # the folder itself cannot be read
        return max((one.made_at for one in found if one.book_name == path.stem), default=None)

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
