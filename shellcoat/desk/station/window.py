"""The dipping station's window: the board, the sheets over it, and every way of pressing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtGui import QCloseEvent, QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.board_view import BoardView
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.card_sheet import CardSheet
from shellcoat.desk.station.find_sheet import FindSheet
from shellcoat.desk.station.notice import HEIGHT_MM, Notice
from shellcoat.desk.station.pick_sheets import BatchSheet, ReasonSheet, SettingsSheet
from shellcoat.desk.station.presses import board_of, extra_lines, presses, write_clock
from shellcoat.desk.station.ruler import Ruler, is_measured, keep_measure, ruler_for, said_by
from shellcoat.desk.station.sheets import Sheet
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.station.timers_sheet import TimersSheet
from shellcoat.desk.station.work import Mode, StationWork
from shellcoat.desk.theme import Theme
from shellcoat.operations.station_timers import NEXT_WORDS, RunningTimer
from shellcoat.operations.wording import write_time

CLOCK_MS = 1_000
SHORT_PRESS_S = 1.0
"""A foot that rests on the switch for longer than this has not pressed it."""


class StationWindow(QWidget):
    """A full screen that two presses take from an idle shell to a logged dip.

    Signals
    -------
    left : the station was closed
    """

    left = Signal()

    def __init__(
        self,
        session: DeskSession,
        keeper: TimerKeeper,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setObjectName("station_window")
        self.setWindowTitle(self.tr("Dipping station"))
        self.session, self.keeper, self.theme = session, keeper, theme
        self.ruler = Ruler(96 / 25.4)
        self.work = StationWork(session, keeper, self)
        self._shown_as: object = None
        self._foot_since: datetime | None = None
        self._make_buttons()
        self.board = BoardView(theme, self.buttons, self)
        for button in self.buttons.values():
            button.setParent(self.board)
        self._make_sheets()
        self.notice = Notice(theme, self)
        self._connect()

    def _make_buttons(self) -> None:
        acts: dict[str, Callable[[], object]] = {
            "next": self.work.next_step,
            "undo": self.work.undo,
            "back": self.work.back,
            "other": lambda: self.look_for(""),
            "skip": self.work.skip,
            "why": lambda: self.open_sheet(self.reason_sheet),
            "batch": lambda: self.open_sheet(self.batch_sheet),
            "timers": lambda: self.open_sheet(self.timers_sheet),
            "settings": lambda: self.open_sheet(self.settings_sheet),
            "leave": self.close,
        }
        self.buttons: dict[str, StationButton] = {}
        for name, act in acts.items():
            button = StationButton(name, self.theme, self, primary=name == "next")
            button.clicked.connect(lambda _checked, act=act: act())
            button.hide()
            self.buttons[name] = button

    def _make_sheets(self) -> None:
        self.find_sheet = FindSheet(self.work, self.theme, self)
        self.batch_sheet = BatchSheet(self.work, self.theme, self)
        self.reason_sheet = ReasonSheet(self.work, self.theme, self)
        self.timers_sheet = TimersSheet(self.work, self.keeper, self.theme, self)
        self.settings_sheet = SettingsSheet(self.keeper.settings, self.theme, self)
        self.card_sheet = CardSheet(self.theme, self)
        self.sheets: tuple[Sheet, ...] = (
            self.find_sheet, self.batch_sheet, self.reason_sheet, self.timers_sheet,
            self.settings_sheet, self.card_sheet,
        )  # fmt: skip
        for sheet in self.sheets:
            sheet.hide()
            sheet.closed.connect(self.close_sheet)

    def _connect(self) -> None:
        self.find_sheet.chosen.connect(self._take)
        self.settings_sheet.card_requested.connect(self.measure)
        self.card_sheet.measured.connect(self._on_measured)
        self.work.changed.connect(self.show_all)
        self.work.said.connect(self.say)
        self.session.failed.connect(self.say)
        self.keeper.ended.connect(self._on_ended)
        self.keeper.ticked.connect(self.show_times)
        for button in self.findChildren(StationButton):
            button.pressed.connect(self.notice.clear)
            button.passes = self.keeper.settings.is_foot
        self._clock = QTimer(self)
        self._clock.setInterval(CLOCK_MS)
        self._clock.timeout.connect(self.show_times)

    # --- coming and going

    def open(self) -> None:
        """Fill the screen; the first time on this screen it is measured."""
        self.showFullScreen()
        self.activateWindow()
        self.begin()

    def begin(self) -> None:
        """Come up to date and take the measure of the screen."""
        self.set_ruler(ruler_for(self.screen()))
        self._clock.start()
        self.close_sheet()
        if not is_measured(self.screen()):
            self.measure()

    def closeEvent(self, event: QCloseEvent) -> None:
        """The clock rests; timers go on with their keeper."""
        self._clock.stop()
        super().closeEvent(event)
        self.left.emit()

    def set_ruler(self, ruler: Ruler) -> None:
        """Show everything by another measure."""
        self.ruler = ruler
        self.board.ruler = self.notice.ruler = ruler
        for sheet in self.sheets:
            sheet.ruler = ruler
        self._place()
        self.show_all()

    def set_theme(self, theme: Theme) -> None:
        """Paint in other colours."""
        self.theme = self.notice.theme = theme
        for button in self.buttons.values():
            button.theme = theme
        self.board.set_theme(theme)
        for sheet in self.sheets:
            sheet.set_theme(theme)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Every part fills the screen."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        for part in (self.board, *self.sheets):
            part.setGeometry(self.rect())
        self.notice.setGeometry(0, 0, self.width(), self.ruler.px(HEIGHT_MM))
        self.board.arrange()
        for sheet in self.sheets:
            sheet.arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """One plain ground under everything."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self.theme.window))
        painter.end()

    # --- what is shown

    @property
    def sheet(self) -> Sheet | None:
        """The sheet over the board, if one is open."""
        return next((sheet for sheet in self.sheets if not sheet.isHidden()), None)

    @Slot()
    def show_all(self) -> None:
        """Show the board as things stand; the next press has the focus."""
        shown = (self.work.mode, self.work.shown(), self.work.batch)
        self._show_board()
        if self.sheet is None and shown != self._shown_as and self.isVisible():
            self.buttons["next"].setFocus()
        self._shown_as = shown

    @Slot()
    def show_times(self) -> None:
        """Show the clock and the timers anew."""
        if self.isVisible() and self.sheet is None:
            self._show_board()

    def _show_board(self) -> None:
        self.buttons["next"].resting = self.work.resting
        self.board.show_board(
            board_of(self.work),
            extra_lines(self.keeper.left()),
            write_clock(self.session.opened, self.session.now(), self.keeper.left()),
            presses(self.work),
        )

    @Slot(str)
    def say(self, text: str) -> None:
        """A sentence that stands until the next press."""
        self.notice.say(text)

    @Slot(object)
    def _on_ended(self, over: tuple[RunningTimer, ...]) -> None:
        now, zone = self.session.now(), self.session.opened.zone
        words = [
            f"{NEXT_WORDS[timer.kind]}: {timer.about} ({write_time(timer.ends_at, zone, now)})"
            for timer in over
        ]
        self.notice.say("  ".join(words), flash=True)

    # --- sheets

    def open_sheet(self, sheet: Sheet) -> None:
        """Lay a sheet over the board."""
        for other in self.sheets:
            other.setVisible(other is sheet)
        self.board.hide()
        sheet.begin()
        sheet.focus_first()

    @Slot()
    def close_sheet(self) -> None:
        """Back to the board."""
        for sheet in self.sheets:
            sheet.hide()
        self.board.show()
        self._shown_as = None
        self.show_all()
        self.notice.raise_()

    def look_for(self, typed: str) -> None:
        """Look for a shell by what is typed."""
        self.open_sheet(self.find_sheet)
        self.find_sheet.type_on(typed)

    @Slot(object)
    def _take(self, shell_id: object) -> None:
        self.close_sheet()
        self.work.choose(shell_id)  # type: ignore[arg-type]

    @Slot()
    def measure(self) -> None:
        """Take the measure of the screen with a card."""
        self.open_sheet(self.card_sheet)
        self.card_sheet.start_from(ruler_for(self.screen()), said_by(self.screen()))

    @Slot(object)
    def _on_measured(self, ruler: Ruler) -> None:
        keep_measure(self.screen(), ruler)
        self.close_sheet()
        self.set_ruler(ruler)

    # --- keys

    @Slot(str)
    def take_scan(self, text: str) -> None:
        """A scanner read something: take that shell up, whatever is shown."""
        self.notice.clear()
        if self.sheet is not None:
            self.close_sheet()
        self.work.scanned(text)

    def next_step(self) -> None:
        """What the foot switch and Enter do here."""
        self.notice.clear()
        if self.sheet is not None:
            self.sheet.press_first()
        else:
            self.work.next_step()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys that no button took: foot, Escape, letters and numbers."""
        if self.keeper.settings.is_foot(event.key()):
            if not event.isAutoRepeat():
                self._foot_since = self.session.now()
            return
        key = event.key()
        if key in (Qt.Key.Key_Escape, Qt.Key.Key_F11):
            self.close_sheet() if self.sheet is not None else self.close()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.isAutoRepeat():
            self.next_step()
        elif key == Qt.Key.Key_Backspace:
            self._on_backspace()
        elif event.text().isprintable() and event.text().strip():
            self._on_letters(event.text())

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """The foot switch counts when it is let go soon."""
        if not self.keeper.settings.is_foot(event.key()) or event.isAutoRepeat():
            return
        since, self._foot_since = self._foot_since, None
        if since is not None and (self.session.now() - since).total_seconds() <= SHORT_PRESS_S:
            self.next_step()

    def _on_backspace(self) -> None:
        if self.sheet is self.find_sheet:
            self.find_sheet.rub_out()
        elif self.sheet is not None:
            self.close_sheet()
        elif self.work.mode is Mode.CHOSEN:
            self.work.back()

    def _on_letters(self, text: str) -> None:
        if self.sheet is self.find_sheet:
            self.find_sheet.type_on(text)
        elif self.sheet is None:
            self.look_for(text)
