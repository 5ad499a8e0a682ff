"""The main window: rail, banners, pages, and the menu of the book."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QSettings, QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QPaintEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QSystemTrayIcon,
    QVBoxLayout,
    QWidget,
)

from shellcoat.alerts.life import AlertKind
from shellcoat.desk.banner import Banner, BannerKind
from shellcoat.desk.icons import page_icon, program_icon
from shellcoat.desk.navigation import NavigationRail
from shellcoat.desk.page import Page
from shellcoat.desk.rack.page import RackPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Scheme, Theme, apply_theme
from shellcoat.shop import Coat

if TYPE_CHECKING:
    from shellcoat.desk.alert_bridge import AlertBridge
    from shellcoat.desk.backups import BackupKeeper
    from shellcoat.desk.station.desk_side import StationSide

PAGES = ("rack", "dip", "shell", "air", "learned", "review")
LEAST_SIZE = (1024, 640)
USUAL_SIZE = (1366, 768)
TITLE_BAR_PX = 60


class MainWindow(QMainWindow):
    """One open book.

    Signals
    -------
    book_requested : the path of another book to open in place of this one
    reopen_after : what to do with the book's file while it is closed, before it is opened again
    first_painted : once, when the rack stands there and what takes longer may begin
    """

    book_requested = Signal(object)
    reopen_after = Signal(object)
    first_painted = Signal()

    def __init__(self, session: DeskSession, theme: Theme, scheme: Scheme = "system") -> None:
        super().__init__()
        self.session, self.theme, self.scheme = session, theme, scheme
        self._pages: dict[str, Page] = {}
        self._built_for = self._habits()
        self._painted = False
        self.setObjectName("main_window")
        self.setMinimumSize(*LEAST_SIZE)
        self.setWindowIcon(program_icon())
        self.setWindowTitle(self._title())
        self.rail = NavigationRail(self)
        self.rail.page_requested.connect(self.show_page)
        names = {"rack": self.tr("Rack"), "dip": self.tr("Dip")}
        names |= {"shell": self.tr("Shell"), "air": self.tr("Air"), "learned": self.tr("Learned")}
        names |= {"review": self.tr("Review")}
        for name in PAGES:
            self.rail.add(name, names[name], page_icon(name, theme))
        self.alert_banner = Banner(BannerKind.ALERT, theme, self)
        self.alarm_banner = Banner(BannerKind.ALARM, theme, self)
        self.fault_banner = Banner(BannerKind.FAULT, theme, self)
        self.note_banner = Banner(BannerKind.NOTE, theme, self)
        self.stack = QStackedWidget(self)
        self._lay_out()
        self.tray = self._tray_icon()
        session.failed.connect(self.say_fault)
        session.changed.connect(self._on_changed)
        self._build_menus()
        QApplication.styleHints().colorSchemeChanged.connect(self._on_system_scheme)
        self.show_page("rack")

    def _title(self) -> str:
        book = self.session.opened.book
        mark = self.tr(" (read only)") if book.read_only else ""
        return f"{self.session.opened.shop.name}{mark} – shellcoat"

    def _lay_out(self) -> None:
        centre = QWidget(self)
        right = QVBoxLayout()
        right.setContentsMargins(0, 8, 0, 0)
        for banner in self._banners:
            right.addWidget(banner)
        right.addWidget(self.stack, 1)
        across = QHBoxLayout(centre)
        across.setContentsMargins(0, 0, 8, 0)
        across.addWidget(self.rail)
        across.addLayout(right, 1)
        self.setCentralWidget(centre)
        self.statusBar().setObjectName("status_bar")

    @property
    def _banners(self) -> tuple[Banner, ...]:
        return self.fault_banner, self.note_banner, self.alarm_banner, self.alert_banner

    def _tray_icon(self) -> QSystemTrayIcon | None:
        if not QSystemTrayIcon.isSystemTrayAvailable():
            return None
        tray = QSystemTrayIcon(program_icon(), self)
        tray.setToolTip("shellcoat")
        tray.activated.connect(self._raise)
        tray.show()
        return tray

    @cached_property
    def alerts(self) -> AlertBridge:
        """What tells of coats that fall due; loaded with the window's start, not before it."""
        from shellcoat.desk.alert_bridge import AlertBridge

        alerts = AlertBridge(self.session, self.tray, self)
        alerts.told.connect(self.alert_banner.say)
        alerts.alarmed.connect(self.alarm_banner.say)
        alerts.came_due_while_away.connect(self._say_away)
        alerts.failed.connect(self.say_fault)
        alerts.clock_stepped.connect(self._say_step)
        alerts.changed.connect(self._drop_answered)
        alerts.answered.connect(self._on_answered)
        self.alert_banner.seen.connect(partial(alerts.mark_all_seen, AlertKind.PROMPT))
        self.alarm_banner.seen.connect(partial(alerts.mark_all_seen, AlertKind.ALARM))
        self.backups.looked.connect(alerts.on_backup)
        return alerts

    @cached_property
    def backups(self) -> BackupKeeper:
        """What copies the book where a copy is due; loaded like the alerts."""
        from shellcoat.desk.backups import BackupKeeper

        return BackupKeeper(self.session, self)

    @cached_property
    def station(self) -> StationSide:
        """The dipping station, its timers and the scanner; loaded like the alerts."""
        from shellcoat.desk.station.desk_side import StationSide

        side = StationSide(self.session, self)
        side.said.connect(self.say)
        side.timer_told.connect(self.note_banner.say)
        side.shell_scanned.connect(self.open_dip)
        self.alerts.told.connect(side.say_alerts)
        self.alerts.alarmed.connect(side.say_alerts)
        return side

    @Slot()
    def open_station(self) -> None:
        """Fill the screen with the dipping station."""
        self.station.open(self.theme)

    @Slot()
    def _raise(self) -> None:
        self.showNormal() if self.isMinimized() else self.show()
        self.raise_()
        self.activateWindow()

    def _build_menus(self) -> None:
        from shellcoat.desk.menus import build_menus

        build_menus(self)

    def action(
        self, text: str, name: str, slot: Callable[[], object], keys: QKeySequence | None = None
    ) -> QAction:
        """A menu entry of this window."""
        action = QAction(text, self)
        action.setObjectName(name)
        action.triggered.connect(lambda _checked: slot())
        if keys is not None:
            action.setShortcut(keys)
        return action

    @Slot(str)
    def show_page(self, name: str) -> Page:
        """Turn to a page; it is built when it is first wanted."""
        page = self._pages.get(name)
        if page is None:
            page = self._build(name)
            self._pages[name] = page
            self.stack.addWidget(page)
        self.rail.choose(name)
        self.stack.setCurrentWidget(page)
        page.setFocus()
        return page

    def _build(self, name: str) -> Page:
        page = _page_class(name)(self.session, self.theme, self)
        page.shell_requested.connect(self.open_shell)
        page.dip_requested.connect(self.open_dip)
        page.station_requested.connect(self.open_station)
        page.said.connect(self.say)
        if isinstance(page, RackPage):
            page.new_shell_requested.connect(self.new_shell)
        if name == "shell":
            page.edit_requested.connect(self.edit_shell)  # type: ignore[attr-defined]
            page.correct_requested.connect(self.correct_coat)  # type: ignore[attr-defined]
        return page

    @Slot(object)
    def open_shell(self, shell_id: UUID) -> None:
        """Show one shell."""
        self.show_page("shell").show_shell(shell_id)

    @Slot(object)
    def open_dip(self, shell_id: UUID) -> None:
        """Show the dip page for one shell."""
        self.show_page("dip").show_shell(shell_id)

    @Slot()
    def new_shell(self) -> None:
        """Put a new shell on the rack."""
        from shellcoat.desk.dialogs.shell_dialog import ShellDialog

        dialog = ShellDialog(self.session, None, self)
        if dialog.exec() and dialog.shell is not None:
            self.show_page("rack").show_shell(dialog.shell.id)

    @Slot(object)
    def edit_shell(self, shell_id: UUID) -> None:
        """Change what is known of a shell."""
        from shellcoat.desk.dialogs.shell_dialog import ShellDialog

        ShellDialog(self.session, self.session.opened.ledger.shell(shell_id), self).exec()

    @Slot(object)
    def correct_coat(self, coat: Coat) -> None:
        """Put a coat right, or take it back."""
        from shellcoat.desk.dialogs.coat_dialog import CoatDialog

        CoatDialog(self.session, coat, self).exec()

    @Slot(str)
    def say(self, text: str) -> None:
        """A sentence on the line at the foot."""
        self.statusBar().showMessage(text, 15_000)

    @Slot(str)
    def say_fault(self, text: str) -> None:
        """Something a person should read and put right."""
        self.fault_banner.say([text])

    @Slot(object)
    def _say_away(self, lines: list[str]) -> None:
        self.alert_banner.clear()
        self.alert_banner.say(lines)

    @Slot()
    def _drop_answered(self) -> None:
        """A prompt is answered by the dip itself; an alarm stands until somebody has seen it."""
        if not self.alerts.waiting(AlertKind.PROMPT):
            self.alert_banner.clear()

    @Slot(object)
    def _on_answered(self, kind: AlertKind) -> None:
        (self.alarm_banner if kind is AlertKind.ALARM else self.alert_banner).clear()

    @Slot(float)
    def _say_step(self, seconds: float) -> None:
        minutes = round(abs(seconds) / 60)
        way = self.tr("forward") if seconds > 0 else self.tr("back")
        self.note_banner.say(
            [
                self.tr(
                    "The computer's clock was set {way} by about {minutes} min. "
                    "Check the times of the last dips."
                ).format(way=way, minutes=minutes)
            ]
        )

    @Slot(object)
    def _on_changed(self, _entries: object) -> None:
        self.setWindowTitle(self._title())
        if self._habits() != self._built_for:
            self._build_anew()

    def _habits(self) -> tuple[str, dict[str, str]]:
        """What pages take on when they are built: the shop's zone and units."""
        shop = self.session.opened.shop
        return shop.zone, shop.units

    def _build_anew(self) -> None:
        """Pages with another zone or other units are other pages."""
        self._built_for = self._habits()
        shown = next(n for n, page in self._pages.items() if page is self.stack.currentWidget())
        for page in self._pages.values():
            self.stack.removeWidget(page)
            page.deleteLater()
        self._pages.clear()
        self.show_page(shown)

    @Slot()
    def _on_system_scheme(self) -> None:
        if self.scheme == "system":
            self.set_scheme("system")

    def set_scheme(self, scheme: Scheme) -> None:
        """Light, dark, or as the system has it."""
        app = QApplication.instance()
        if not isinstance(app, QApplication):
            return
        self.scheme = scheme
        self.theme = apply_theme(app, scheme)
        QSettings().setValue("scheme", scheme)
        for name in PAGES:
            self.rail.set_icon(name, page_icon(name, self.theme))
        for banner in self._banners:
            banner.set_theme(self.theme)
        for page in self._pages.values():
            page.set_theme(self.theme)
        self.station.set_theme(self.theme)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell of the first time, once everything in the window has been painted with it."""
        super().paintEvent(event)
        if not self._painted:
            self._painted = True
            QTimer.singleShot(0, self, self.first_painted.emit)

    def start(self) -> None:
        """After the first paint: load what was left for later, and let the alerts run."""
        self.session.begin()  # in case the window opened out of sight and was never painted
        self.session.runner.run(
            self.session.opened.book.warm_up, lambda _done: None, self.say_fault
        )
        self.alerts.start()
        self.backups.start()
        self.station.start()

    def restore_place(self) -> None:
        """Open where the window stood last."""
        geometry = QSettings().value("geometry")
        if geometry is None or not self.restoreGeometry(geometry):
            room = self.screen().availableSize()
            usual = QSize(*USUAL_SIZE)
            # A window as large as the screen has no room for its title bar.
            if usual.width() < room.width() and usual.height() < room.height() - TITLE_BAR_PX:
                self.resize(usual)
            else:
                self.setWindowState(Qt.WindowState.WindowMaximized)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop clocks and workers, keep a backup where one is due, close the book."""
        QSettings().setValue("geometry", self.saveGeometry())
        try:
            self.alerts.close()
            self.backups.close()
            self.station.close()
            if self.tray is not None:
                self.tray.hide()
        finally:
            self.session.close()
        super().closeEvent(event)

    def reopen(self, path: Path) -> None:
        """Ask for another book in place of this one."""
        self.book_requested.emit(path)

    def close_then(self, act: Callable[[Path], object]) -> None:
        """Ask for the book to be closed, something done to its file, and opened again."""
        self.reopen_after.emit(act)


def _page_class(name: str) -> type[Page]:
    """Pages load when first wanted: plots cost a third of a second."""
    if name == "dip":
        from shellcoat.desk.dip.page import DipPage

        return DipPage
    if name == "shell":
        from shellcoat.desk.shell.page import ShellPage

        return ShellPage
    if name == "air":
        from shellcoat.desk.air.page import AirPage

        return AirPage
    if name == "learned":
        from shellcoat.desk.learned.page import LearnedPage

        return LearnedPage
    if name == "review":
        from shellcoat.desk.review.page import ReviewPage

        return ReviewPage
    return RackPage
