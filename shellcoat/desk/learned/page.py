"""The Learned page."""

from __future__ import annotations

from functools import partial
from string import Template
from uuid import UUID

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedLayout, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.learned import words
from shellcoat.desk.learned.factor_bar import BandLegend
from shellcoat.desk.learned.factor_table import FactorTable
from shellcoat.desk.learned.gatherer import LearnedGatherer
from shellcoat.desk.learned.lesson_list import LessonList
from shellcoat.desk.learned.lesson_model import LessonRow, lesson_rows
from shellcoat.desk.page import Page
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.forecast.learned import Learned
from shellcoat.operations.checks import leave_out, take_in
from shellcoat.operations.learned_wording import most_used, write_counted
from shellcoat.operations.wording import write_time
from shellcoat.shop import ShellCheck

_SHEET = Template("""
QLabel[role="muted"] { color: $muted; }
QHeaderView::section { padding: 0 11px; }
QLabel#learned_empty { padding: 0 160px; }
QTableView { outline: 0; }
QTableView::item:selected { background: $selection; color: $text; }
""")


def learned_sheet(theme: Theme) -> str:
    """The style sheet of the page."""
    return _SHEET.substitute(theme.colours)


class LearnedPage(Page):
    """What the checks changed altogether, what of it is whose, and check by check."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("learned_page")
        self._learned: Learned | None = None
        self.gatherer = LearnedGatherer(session, self)
        self.gatherer.learned.connect(self.show_learned)
        self.gatherer.failed.connect(self._show)
        self._make_parts(session, theme)
        self._lay_out()
        self.setAccessibleName(self.tr("Learned"))
        self.setStyleSheet(learned_sheet(theme))

    def _make_parts(self, session: DeskSession, theme: Theme) -> None:
        self.counted = heading(self, "learned_counted")
        self.usual = label(self, "learned_usual", wrap=True)
        self.usual_air = label(self, "learned_usual_air", "muted", wrap=True)
        self.usual_air.setText(words.usual_air_words(session))
        self.state = label(self, "learned_state", "muted")
        self.locked = label(self, "learned_locked", "fault", wrap=True)
        self.locked.setText(
            self.tr("This book was opened to read only: no check can be left out or taken in.")
        )
        self.factors = FactorTable(session, theme, self)
        self.legend = BandLegend(theme, self)
        self.lessons = LessonList(session, theme, self)
        self.lessons.leave_out_requested.connect(self._ask_to_leave_out)
        self.lessons.take_in_requested.connect(self._take_in)
        self.lessons.shell_requested.connect(self.shell_requested)
        self.empty = QLabel(self)
        self.empty.setObjectName("learned_empty")
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setWordWrap(True)
        self.empty.setProperty("role", "empty")
        for each in (self.usual, self.counted):
            each.setTextFormat(Qt.TextFormat.PlainText)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.counted, 1)
        head.addWidget(self.state)
        titles = QHBoxLayout()
        title = self.tr("What holds water back in this shop, against the tables")
        titles.addWidget(heading(self, "learned_factors_title", title), 1)
        titles.addWidget(self.legend)
        self._told = QWidget(self)
        column = QVBoxLayout(self._told)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(head)
        column.addWidget(self.usual)
        column.addWidget(self.usual_air)
        column.addWidget(self.locked)
        column.addLayout(titles)
        column.addWidget(self.factors, 2)
        column.addWidget(self.lessons, 3)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self._told)
        self._stack.addWidget(self.empty)

    def refresh(self) -> None:
        """Show what is known with the checks as they stand, and have it worked out anew."""
        self.locked.setVisible(self.session.opened.book.read_only)
        if self._anything():
            self.gatherer.learn()
        self._show()

    def _anything(self) -> bool:
        return bool(self.session.opened.ledger.checks())

    @Slot(object)
    def show_learned(self, learned: Learned) -> None:
        """Show what the checks have taught."""
        self._learned = learned
        self._show()

    @Slot()
    def _show(self) -> None:
        ledger, learned = self.session.opened.ledger, self._learned
        rows = lesson_rows(learned, ledger) if learned else ()
        self.lessons.show_lessons(rows)
        self._say_state(anything=bool(rows))
        if learned is None:
            return
        self.counted.setText(words.translate(write_counted(learned)))
        usual = most_used(learned.usual_coats, ledger)
        self.usual.setText("\n".join(words.usual_words(each) for each in usual))
        for each in (self.usual, self.usual_air):
            each.setVisible(bool(usual))
        self.factors.show_factors(learned.factors)

    def _say_state(self, *, anything: bool) -> None:
        """Show the page, or in its place what to do first or to wait for."""
        working = words.working_words() if self.gatherer.running else ""
        self.state.setText(working)
        first = words.empty_words() if not self._anything() else words.failed_words()
        self.empty.setText(working or first)
        self.setAccessibleDescription("" if anything else self.empty.text())
        self._stack.setCurrentWidget(self._told if anything else self.empty)
        self._pass_focus_on()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Hand the keyboard to the list of checks, once there is one."""
        super().focusInEvent(event)
        self._pass_focus_on()

    def _pass_focus_on(self) -> None:
        if self.hasFocus() and self._stack.currentWidget() is self._told:
            self.lessons.setFocus()

    # Leaving out and taking in.

    @Slot(object)
    def _ask_to_leave_out(self, row: LessonRow) -> None:
        session = self.session
        at = write_time(row.lesson.at, session.opened.zone, session.now())
        shell = shortened(" ".join(words.shell_lines(row.shell)))
        found, _note = words.found_lines(row.check, row.shell, session)
        dialog = ReasonDialog(
            self.tr("Leave a check out"),
            self.tr(
                "{time}, {shell}: {found} It stays in the book and in this list; "
                "nothing is learned from it."
            ).format(time=at, shell=shell, found=found),
            self.tr("Leave out"),
            self.tr("for example: touched a drip, not the wall"),
            self,
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.confirmed.connect(partial(self._leave_out, row.check))
        dialog.open()

    def _leave_out(self, check: ShellCheck, reason: str) -> None:
        opened, now = self.session.opened, self.session.now()
        self.session.attempt(lambda: leave_out(opened, check, now, reason))

    @Slot(object)
    def _take_in(self, row: LessonRow) -> None:
        opened, now = self.session.opened, self.session.now()
        self.session.attempt(lambda: take_in(opened, row.check, now))

    def show_shell(self, shell_id: UUID) -> None:
        """Choose the newest check of a shell."""
        self.lessons.choose_shell(shell_id)

    def set_theme(self, theme: Theme) -> None:
        """Take on new colours."""
        self.setStyleSheet(learned_sheet(theme))
        self.factors.set_theme(theme)
        self.legend.set_theme(theme)
        self.lessons.set_theme(theme)
        super().set_theme(theme)
