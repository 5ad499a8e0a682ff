"""What goes out of the house: the calendar file, and messages to the shop's broker."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, Signal

from shellcoat.alerts.folding import TellingLine
from shellcoat.alerts.life import Alert
from shellcoat.alerts.passwords import Passwords
from shellcoat.desk.session import DeskSession
from shellcoat.errors import ShellcoatError
from shellcoat.shop import Broker

if TYPE_CHECKING:
    from shellcoat.alerts.broker import BrokerWay

FOLDER_KEY = "calendar_folder"

PASSWORDS = Passwords()
"""One for the whole program: another book opened in the same session asks for nothing anew."""


class CalendarOutlet(QObject):
    """Keeps a calendar file up to date in a folder that this machine's person chose.

    The folder is a setting of the machine and not of the shop: another station has other disks.
    """

    failed = Signal(str)

    def __init__(self, session: DeskSession, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._written: object = None
        self._said = ""

    @property
    def folder(self) -> Path | None:
        """Where the file goes; None where nobody wants one."""
        kept = str(QSettings().value(FOLDER_KEY, ""))
        return Path(kept) if kept else None

    @property
    def path(self) -> Path | None:
        """The file itself, named after the book."""
        folder, book = self.folder, self._session.opened.book.path
        return folder / f"shellcoat {book.stem}.ics" if folder else None

    def choose(self, folder: Path | None) -> None:
        """Put it into another folder, or nowhere any more."""
        QSettings().setValue(FOLDER_KEY, str(folder) if folder else "")
        self._written, self._said = None, ""

    def update(self, alerts: Iterable[Alert]) -> None:
        """Write what changed, in a worker; a fault is told once and tried again."""
        path = self.path
        if path is None:
            return
        # Loaded here: most shops write no calendar.
        from shellcoat.alerts.calendar_file import planned, write_calendar

        wanted = (path, planned(alerts))
        if wanted != self._written:
            name, now = self._session.opened.shop.name, self._session.now()
            self._session.runner.run(
                partial(write_calendar, path, name, wanted[1], now),
                partial(self._on_written, wanted),
                self._on_failed,
            )

    def _on_written(self, wanted: object, _anything_new: bool) -> None:
        self._written, self._said = wanted, ""

    def _on_failed(self, message: str) -> None:
        if message != self._said:
            self._said = message
            self.failed.emit(message)


class BrokerOutlet(QObject):
    """Sends what is told to the broker the shop has chosen, if it has chosen one."""

    name = "message to the broker"
    failed = Signal(str)
    linked = Signal()

    def __init__(self, session: DeskSession, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._chosen: Broker | None = None
        self._way: BrokerWay | None = None
        self.wants_password = False

    def follow(self) -> None:
        """Take in which broker the shop has chosen now.

        A book open to read only sends nothing: the station that writes it does.
        """
        opened = self._session.opened
        chosen = None if opened.book.read_only else opened.shop.alerts.broker
        if chosen != self._chosen:
            self.close()
            self._chosen = chosen
            self.connect_anew()

    def connect_anew(self) -> None:
        """Connect, with the password that is known by now; a keyring may take its time."""
        broker = self._chosen
        if broker is None:
            return
        recall = partial(PASSWORDS.recall, broker) if broker.user else str
        self._session.runner.run(recall, partial(self._link, broker), self.failed.emit)

    def _link(self, broker: Broker, password: str | None) -> None:
        if broker != self._chosen:
            return
        self._leave()
        self.wants_password = password is None
        if password is None:
            self.failed.emit(
                self.tr(
                    "Messages to the broker {host} wait for its password. Give it under Alerts, "
                    "Ways of telling."
                ).format(host=broker.host)
            )
            return
        from shellcoat.alerts.broker import BrokerWay

        try:
            self._way = BrokerWay(broker, password)
        except ShellcoatError as error:
            self.failed.emit(str(error))
        self.linked.emit()

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Send one message a line."""
        if self._way is not None:
            self._way.tell(lines)

    @property
    def way(self) -> BrokerWay | None:
        """The connection, once there is one."""
        return self._way

    def _leave(self) -> None:
        if self._way is not None:
            self._way.close()
            self._way = None

    def close(self) -> None:
        """Leave the broker."""
        self._leave()
        self._chosen, self.wants_password = None, False
