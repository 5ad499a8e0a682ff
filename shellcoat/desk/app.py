"""The application: one window on one book, and another when another is asked for."""

from __future__ import annotations

import logging
import platform
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QObject, QSettings, QTimer
from PySide6.QtWidgets import QApplication, QMessageBox

from shellcoat.book import open_book
from shellcoat.book.faults import ReadOnlyBookError
from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.session import DeskSession, system_now
from shellcoat.desk.theme import Scheme, apply_theme
from shellcoat.errors import ShellcoatError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.person import person
from shellcoat.places import user_log_dir

log = logging.getLogger(__name__)

AFTER_FIRST_PAINT_MS = 400
"""Alerts, backups and writing load what they need only once the rack stands there."""

SCHEMES: Sequence[Scheme] = ("system", "light", "dark")


class Desk(QObject):
    """Opens books in windows, one at a time, and says why where it cannot."""

    def __init__(self, app: QApplication, *, now: Callable[[], datetime] = system_now) -> None:
        super().__init__(app)
        self._app, self._now = app, now
        self.window: MainWindow | None = None
        self.changing = False
        kept = str(QSettings().value("scheme", "system"))
        self._scheme: Scheme = next((one for one in SCHEMES if one == kept), "system")
        self._theme = apply_theme(app, self._scheme)

    def open(self, path: Path, *, read_only: bool = False) -> bool:
        """Open a book in a window; the one before it closes once the new one stands."""
        try:
            book = open_book(path, read_only=read_only)
        except ReadOnlyBookError as error:
            return self._offer_to_read(path, error)
        except ShellcoatError as error:
            self._say(str(error))
            return False
        session = DeskSession(OpenShop(book, who=person(), station=platform.node()), now=self._now)
        try:
            window = MainWindow(session, self._theme, self._scheme)
        except ShellcoatError as error:
            session.close()
            self._say(str(error))
            return False
        window.book_requested.connect(self._change_book)
        window.reopen_after.connect(self._reopen_after)
        window.restore_place()
        window.show()
        if self.window is not None:
            self._scheme, self._theme = self.window.scheme, self.window.theme
            self._close_window()
        self.window = window
        QSettings().setValue("last_book", str(book.path))
        window.first_painted.connect(session.begin)
        QTimer.singleShot(AFTER_FIRST_PAINT_MS, window, window.start)
        return True

    def _close_window(self) -> None:
        if self.window is not None:
            self.window.close()
            # Left to the garbage collector they might go in a worker thread, timers and all.
            self.window.session.deleteLater()
            self.window.deleteLater()
            self.window = None

    def _offer_to_read(self, path: Path, error: ReadOnlyBookError) -> bool:
        asked = QMessageBox.question(self.window, "shellcoat", str(error))
        if asked is QMessageBox.StandardButton.Yes:
            return self.open(path, read_only=True)
        return False

    def _change_book(self, path: Path) -> None:
        if self.window is not None and path == self.window.session.opened.book.path:
            self._reopen_after(lambda _path: None)
        else:
            self.open(path)

    def _reopen_after(self, act: Callable[[Path], object]) -> None:
        """Close the book, do something to its file, and open it again; the program goes on."""
        if self.window is None:
            return
        path = self.window.session.opened.book.path
        self.changing = True
        try:
            self._close_window()
            act(path)
        except ShellcoatError as error:
            self._say(str(error))
        finally:
            self.changing = False
        if not self.open(path):
            self._app.quit()

    def _say(self, text: str) -> None:
        QMessageBox.warning(self.window, "shellcoat", text)


def keep_log() -> None:
    """Write what goes wrong into a file of the person's own, which stays small."""
    # Loaded late: it brings half the network library along.
    from logging.handlers import RotatingFileHandler

    folder = user_log_dir()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(
            folder / "shellcoat.log", maxBytes=1_000_000, backupCount=3, encoding="utf-8"
        )
    except OSError as error:
        log.warning("no log is kept: %s", error)
        return
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger("shellcoat").addHandler(handler)


def make_application(arguments: Sequence[str] = ()) -> QApplication:
    """The Qt application with its names set, which decide where settings are kept."""
    refuse_bad_pair()
    app = QApplication([sys.argv[0], *arguments])
    app.setOrganizationName("shellcoat")
    app.setApplicationName("shellcoat")
    app.setApplicationDisplayName("")
    app.setQuitOnLastWindowClosed(False)
    return app


def refuse_bad_pair() -> None:
    """Refuse the one pair of Qt and Python that aborts while it runs.

    PySide6 6.12.0 drops references to None on Python below 3.12, and the process dies after some
    thousand calls.
    """
    import PySide6

    if sys.version_info < (3, 12) and PySide6.__version__ == "6.12.0":
        raise ShellcoatError(
            "PySide6 6.12.0 aborts on Python below 3.12. Install PySide6 6.11.3, or use "
            "Python 3.12 or newer."
        )


def run_window(path: Path | None, *, read_only: bool = False) -> int:
    """Open the window on a book, the last one used, or a new shop; returns the exit code."""
    app = make_application()
    QTimer.singleShot(AFTER_FIRST_PAINT_MS, app, keep_log)
    desk = Desk(app)
    app.lastWindowClosed.connect(lambda: _quit_if_closed(app, desk))
    opened = desk.open(path, read_only=read_only) if path else _open_last_or_new(desk)
    if not opened:
        return 1
    return app.exec()


def may_quit(desk: Desk) -> bool:
    """Whether the last window that closed was the last one wanted."""
    return not desk.changing and (desk.window is None or not desk.window.isVisible())


def _quit_if_closed(app: QApplication, desk: Desk) -> None:
    if may_quit(desk):
        app.quit()


def _open_last_or_new(desk: Desk) -> bool:
    last = str(QSettings().value("last_book", ""))
    if last and Path(last).is_file() and desk.open(Path(last)):
        return True
    from shellcoat.desk.dialogs.new_book_dialog import NewBookDialog
    from shellcoat.operations.new_shop import create_shop

    dialog = NewBookDialog(None)
    new = dialog.new_shop if dialog.exec() else None
    return desk.open(create_shop(new, datetime.now(UTC))) if new else False
