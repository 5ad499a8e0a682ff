"""The Cores tab of the Shell page: a card for every core, and what would help each."""

from __future__ import annotations

from uuid import UUID

import shiboken6
from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QPushButton,
    QScrollArea,
    QStackedLayout,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.core_words import what_a_core_is
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.core_card import CoreCard
from shellcoat.desk.shell.core_words import tab_title
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import CoreAction, ShellForecast
from shellcoat.shop import Shell

Actions = dict[UUID, tuple[CoreAction, ...]]


class CoresTab(QWidget):
    """The cores of one shell.

    Signals
    -------
    said : a sentence for the line at the foot of the window
    """

    said = Signal(str)

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("shell_cores")
        self.setAccessibleName(self.tr("Cores of the shell"))
        self.session, self.theme = session, theme
        self.cards: list[CoreCard] = []
        self._shell: Shell | None = None
        self._asked = 0
        self._stale = False
        self._lay_out()

    def _lay_out(self) -> None:
        self.empty = label(self, "cores_none", "empty", wrap=True)
        self.empty.setText(what_a_core_is())
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.add_button = QPushButton(self.tr("Add a core…"), self)
        self.add_button.setObjectName("cores_add")
        self.add_button.clicked.connect(self.edit_cores)
        nothing = QWidget(self)
        column = QVBoxLayout(nothing)
        column.addStretch(1)
        column.addWidget(self.empty)
        column.addWidget(self.add_button, 0, Qt.AlignmentFlag.AlignCenter)
        column.addStretch(1)
        self._list = QWidget(self)
        self._list.setObjectName("cores_list_body")
        self._column = QVBoxLayout(self._list)
        self._column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setObjectName("cores_scroll")
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidgetResizable(True)
        scroll.setWidget(self._list)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(nothing)
        self._stack.addWidget(scroll)

    def show_shell(self, shell: Shell, forecast: ShellForecast) -> None:
        """Show the cores as they stand now; what would help is computed once somebody looks."""
        other = self._shell is None or self._shell.id != shell.id
        self._shell = shell
        self._stack.setCurrentIndex(1 if shell.cores else 0)
        self.add_button.setEnabled(not self.session.opened.book.read_only)
        if other or [card.core.id for card in self.cards] != [core.id for core in shell.cores]:
            self._make_cards(shell)
        now = self.session.now()
        for card, core in zip(self.cards, shell.cores, strict=True):
            card.show_core(shell, core, forecast, now)
        self._tell_title(forecast)
        self._stale = True
        if self.isVisible():
            self._ask()

    def _make_cards(self, shell: Shell) -> None:
        for card in self.cards:
            self._column.removeWidget(card)
            card.hide()
            card.deleteLater()
        self.cards = [
            CoreCard(self.session, self.theme, shell, core, self._list) for core in shell.cores
        ]
        for row, card in enumerate(self.cards):
            self._column.insertWidget(row, card)
            card.say_computing()

    def _tell_title(self, forecast: ShellForecast) -> None:
        """Write the number of cores at risk on the tab."""
        stack = self.parentWidget()
        tabs = stack.parentWidget() if stack is not None else None
        if isinstance(tabs, QTabWidget):
            tabs.setTabText(tabs.indexOf(self), tab_title(forecast))

    def showEvent(self, event: QShowEvent) -> None:
        """Compute what would help, now that somebody looks."""
        super().showEvent(event)
        if self._stale:
            self._ask()

    def _ask(self) -> None:
        self._stale = False
        if self._shell is None or not self._shell.cores:
            return
        self._asked += 1
        number, opened = self._asked, self.session.opened
        given = opened.forecast_input(self.session.now(), [self._shell])

        def take(actions: Actions) -> None:
            if shiboken6.isValid(self) and number == self._asked:
                self._show_actions(actions)

        self.session.runner.run(lambda: opened.core_actions(given), take, self._give_up)

    def _show_actions(self, actions: Actions) -> None:
        for card in self.cards:
            card.show_actions(actions.get(card.core.id, ()))

    def _give_up(self, message: str) -> None:
        if shiboken6.isValid(self):
            self.said.emit(message)

    @Slot()
    def edit_cores(self) -> None:
        """Open the dialog of this shell's cores."""
        from shellcoat.desk.dialogs.cores_dialog import CoresDialog

        if self._shell is not None:
            CoresDialog(self.session, self._shell, self.window()).exec()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.theme = theme
        for card in self.cards:
            card.set_theme(theme)
