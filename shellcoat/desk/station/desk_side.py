"""What the main window holds of the station: its window once opened, its timers, the scanner."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.scan_filter import ScanFilter
from shellcoat.desk.station.settings import FIRST_SIGNS, StationSettings
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.theme import Theme
from shellcoat.operations.scans import shell_scanned
from shellcoat.operations.station_timers import RunningTimer
from shellcoat.operations.wording import write_time

if TYPE_CHECKING:
    from shellcoat.desk.station.window import StationWindow


class StationSide(QObject):
    """Opens the station, and brings scans and timers to whatever window is in front.

    Signals
    -------
    said : a sentence for the line at the foot of the main window
    timer_told : lines for its banner, when a timer runs out while the station is closed
    shell_scanned : the id of a shell that was scanned while the station is closed
    """

    said = Signal(str)
    timer_told = Signal(object)
    shell_scanned = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._parent = session, parent
        self.settings = StationSettings(session.opened.shop.id)
        self.keeper = TimerKeeper(session, self)
        self.keeper.ended.connect(self._on_ended)
        self.window: StationWindow | None = None
        self._scans: ScanFilter | None = None

    def start(self) -> None:
        """Let the timers go on, and listen for the scanner."""
        self.keeper.begin()
        app = QApplication.instance()
        if self._scans is None and isinstance(app, QGuiApplication):
            self._scans = ScanFilter(app, self)
            self._scans.scanned.connect(self.take_scan)
            self._set_scanner()

    def open(self, theme: Theme) -> None:
        """Fill the screen with the station."""
        self.start()
        if self.window is None:
            # Loaded when it is first wanted, as pages are.
            from shellcoat.desk.station.window import StationWindow

            self.window = StationWindow(self._session, self.keeper, theme, self._parent)
            self.window.settings_sheet.scanner_changed.connect(self._set_scanner)
            self.window.left.connect(self._on_left)
        self.window.open()

    @property
    def is_open(self) -> bool:
        """Whether the station is in front."""
        return self.window is not None and self.window.isVisible()

    @Slot()
    def _on_left(self) -> None:
        self._parent.activateWindow()

    @Slot()
    def _set_scanner(self) -> None:
        if self._scans is not None:
            self._scans.reader.first_sign = FIRST_SIGNS[self.settings.first_sign]

    @Slot(str)
    def take_scan(self, text: str) -> None:
        """Take a scanned shell to the station, or to its Dip page while the station is closed."""
        if self.window is not None and self.is_open:
            self.window.take_scan(text)
            return
        opened, checked = self._session.opened, self.settings.checked
        shell = self._session.attempt(lambda: shell_scanned(opened, text, checked=checked))
        if shell is None:
            return
        if QApplication.activeModalWidget() is not None:
            self.said.emit(
                self.tr("{name} was scanned. Close the open dialog first.").format(name=shell.name)
            )
        else:
            self.shell_scanned.emit(shell.id)

    @Slot(object)
    def _on_ended(self, over: tuple[RunningTimer, ...]) -> None:
        if not self.is_open:
            self.timer_told.emit([self._words(timer, self._session.now()) for timer in over])

    @Slot(object)
    def say_alerts(self, lines: list[str]) -> None:
        """Say at the station what was told, since its banners lie underneath."""
        if self.window is None or not self.is_open or not lines:
            return
        more = self.tr("and {count} more").format(count=len(lines) - 1)
        self.window.say(f"{lines[0]} … {more}" if len(lines) > 1 else lines[0])

    def _words(self, timer: RunningTimer, now: datetime) -> str:
        return self.tr("Timer: {kind} is over since {time}. {about}").format(
            kind=self.tr(timer.kind.value),
            time=write_time(timer.ends_at, self._session.opened.zone, now),
            about=timer.about,
        )

    def set_theme(self, theme: Theme) -> None:
        """Paint the station in other colours."""
        if self.window is not None:
            self.window.set_theme(theme)

    def close(self) -> None:
        """Close the station; running timers are kept."""
        self.keeper.close()
        if self.window is not None:
            self.window.close()
