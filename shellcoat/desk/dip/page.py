"""The Dip page."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.choices import choose
from shellcoat.desk.dip.due_list import DueList
from shellcoat.desk.dip.form import DipForm
from shellcoat.desk.dip.state_card import StateCard
from shellcoat.desk.page import Page
from shellcoat.desk.rack.model import state_word
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import DipProposal, log_dip, propose_dip, undo_coat
from shellcoat.operations.rack import RackRow, rack_rows
from shellcoat.operations.wording import write_time
from shellcoat.shop import Coat

BETWEEN_PRESSES_MS = 1_500
"""The button rests so long after a dip: a wet finger bounces."""

SIDE_PX = 470
"""Room for the fields without a label cut."""


class DipPage(Page):
    """Choose a shell, see its next coat, log it, undo it."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("dip_page")
        self._shell_id: UUID | None = None
        self._shown: tuple[UUID, int] | None = None
        self._logged: Coat | None = None
        self._resting = False
        self._had_focus = False
        self.chooser = QComboBox(self)
        self.chooser.setObjectName("dip_chooser")
        self.chooser.setAccessibleName(self.tr("Shell to dip"))
        self.chooser.activated.connect(self._on_chosen)
        self.card = StateCard(session, theme, self)
        self.form = DipForm(session, self)
        self.log_button = QPushButton(self)
        self.log_button.setObjectName("dip_log")
        self.log_button.setAccessibleName(self.tr("Log the dip"))
        self.log_button.setProperty("role", "primary")
        self.log_button.setProperty("scale", "large")
        self.log_button.clicked.connect(self.log)
        self.result = QLabel(self)
        self.result.setObjectName("dip_result")
        self.result.setProperty("role", "headline")
        self.result.setWordWrap(True)
        self.undo_button = QPushButton(self.tr("Undo this dip"), self)
        self.undo_button.setObjectName("dip_undo")
        self.undo_button.clicked.connect(self.undo)
        self.station_button = QPushButton(self.tr("Dipping station"), self)
        self.station_button.setObjectName("dip_station")
        self.station_button.setToolTip(self.tr("A full screen for wet hands (F11)"))
        self.station_button.clicked.connect(self.station_requested)
        self.due = DueList(session, self)
        self.due.shell_requested.connect(self.show_shell)
        self.empty = QLabel(
            self.tr("No shell is in work. Put one on the rack first: Rack, “New shell…”."), self
        )
        self.empty.setObjectName("dip_empty")
        self.empty.setProperty("role", "empty")
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        QShortcut(QKeySequence("Ctrl+Return"), self, self.log)
        self._lay_out()
        self._show_result("")

    def _lay_out(self) -> None:
        body = QWidget(self)
        side = QScrollArea(self)
        side.setWidgetResizable(True)
        side.setFrameShape(QScrollArea.Shape.NoFrame)
        side.setWidget(self.form)
        side.setMinimumWidth(SIDE_PX)
        side.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        undo = QHBoxLayout()
        undo.addWidget(self.result, 1)
        undo.addWidget(self.undo_button)
        head = QHBoxLayout()
        head.addWidget(self.chooser, 1)
        head.addWidget(self.station_button)
        left = QVBoxLayout()
        left.addLayout(head)
        left.addWidget(self.card)
        left.addWidget(self.log_button)
        left.addLayout(undo)
        left.addStretch(1)
        left.addWidget(self.due)
        columns = QHBoxLayout(body)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(20)
        columns.addWidget(_scrolled(left, self), 3)
        columns.addWidget(side, 2)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(9, 9, 9, 9)
        self._stack.addWidget(body)
        self._stack.addWidget(self.empty)

    def show_shell(self, shell_id: UUID) -> None:
        """Turn to a shell."""
        self._shell_id = shell_id
        self._shown = None
        self._show_result("")
        self.mark_stale()

    def refresh(self) -> None:
        """Fill the page for the chosen shell; what a person has typed stays."""
        opened, now = self.session.opened, self.session.now()
        rack = rack_rows(opened, self.session.forecasts, now)
        self._stack.setCurrentIndex(0 if rack else 1)
        if not rack:
            return
        self._fill_chooser(rack)
        row = self._chosen_row(rack)
        self.due.show_rows(rack, self._shell_id)
        if row is None:
            self._wait(self.tr("THIS SHELL IS NOT IN WORK"))
        elif row.forecast is None:
            self._wait(self.tr("FORECAST ON ITS WAY"))
        else:
            self._show(propose_dip(opened, row.shell, row.forecast), now)

    def _show(self, proposal: DipProposal, now: datetime) -> None:
        self.card.show_proposal(proposal, now)
        shown = (proposal.shell.id, proposal.coats_ever)
        if self._shown != shown:
            self._shown = shown
            self.form.show_proposal(proposal, now)
        else:
            self.form.refresh_air(proposal.air, now)
        self._show_button(proposal)
        self._show_times()

    def _chosen_row(self, rack: list[RackRow]) -> RackRow | None:
        """The shell that was asked for, the most pressing one if none was; None if it has left."""
        if self._shell_id is None:
            self._shell_id = rack[0].shell.id
        choose(self.chooser, self._shell_id)
        return next((row for row in rack if row.shell.id == self._shell_id), None)

    def _wait(self, text: str) -> None:
        """Nothing can be logged on this shell now, and why."""
        self.log_button.setText(text)
        self.log_button.setEnabled(False)

    def _fill_chooser(self, rows: list[RackRow]) -> None:
        if self.chooser.view().isVisible():
            return
        self.chooser.clear()
        for row in rows:
            shell = row.shell
            text = f"{shell.label}  {shell.name}  ({state_word(row.state)})"
            self.chooser.addItem(text, shell.id)

    def _show_button(self, proposal: DipProposal) -> None:
        text = self.tr("LOG COAT {number}").format(number=proposal.number)
        self.log_button.setText(text)
        self.log_button.setAccessibleName(
            self.tr("Log coat {number} on {name}").format(
                number=proposal.number, name=proposal.shell.name
            )
        )
        self.log_button.setEnabled(not self._resting)
        if self.session.opened.book.read_only:
            self._wait(self.tr("OPENED TO READ ONLY"))

    @Slot(int)
    def _on_chosen(self, _index: int) -> None:
        self.show_shell(self.chooser.currentData())

    @Slot()
    def log(self) -> None:
        """Log the dip; only when it is in the book does the page say so."""
        if not self.log_button.isEnabled():
            return
        order = self.session.attempt(self.form.filled)
        if order is None:
            return
        self._rest()
        opened, now = self.session.opened, self.session.now()
        coat = self.session.attempt(lambda: log_dip(opened, order, now))
        if coat is not None:
            self._logged = coat
            self._shown = None
            self._show_times()

    def _rest(self) -> None:
        self._resting = True
        self._had_focus = self.log_button.hasFocus()
        self.log_button.setEnabled(False)
        QTimer.singleShot(BETWEEN_PRESSES_MS, self, self._wake)

    @Slot()
    def _wake(self) -> None:
        self._resting = False
        self.mark_stale()
        if self._had_focus and self.isVisible():
            self.log_button.setFocus()

    def _show_times(self) -> None:
        """After a dip: which coat is on, and when it will be dry."""
        if self._logged is None:
            return
        opened = self.session.opened
        coats = opened.ledger.coats(self._logged.shell_id)
        number = next((n for n, c in enumerate(coats, 1) if c.id == self._logged.id), 0)
        name = opened.ledger.shell(self._logged.shell_id).name
        said = self.tr("Coat {number} is on {name}.").format(number=number, name=name)
        self._show_result(f"{said} {self._drying_words(number)}" if number else "")

    def _drying_words(self, number: int) -> str:
        forecast = self.session.forecasts.get(self._logged.shell_id) if self._logged else None
        if forecast is None or forecast.coats_on != number:
            return ""
        if forecast.likely_at is None or forecast.safe_at is None:
            return self.tr("It will not be safely dry within a week in this air.")
        zone, now = self.session.opened.zone, self.session.now()
        return self.tr("Likely dry {likely}, safe {safe}.").format(
            likely=write_time(forecast.likely_at, zone, now),
            safe=write_time(forecast.safe_at, zone, now),
        )

    def _show_result(self, text: str) -> None:
        if not text:
            self._logged = None
        self.result.setText(text)
        self.undo_button.setVisible(bool(text))

    @Slot()
    def undo(self) -> None:
        """Take the last dip of this page back; the book keeps both."""
        if self._logged is None:
            return
        coat_id, opened = self._logged.id, self.session.opened

        def take_back() -> bool:
            undo_coat(opened, coat_id, self.session.now(), self.tr("undone on the dip page"))
            return True

        if self.session.attempt(take_back):
            self._shown = None
            self._show_result("")
            self.said.emit(self.tr("The dip is taken back. The book keeps both entries."))
            self.mark_stale()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.card.set_theme(theme)
        super().set_theme(theme)


def _scrolled(layout: QVBoxLayout, parent: QWidget) -> QScrollArea:
    """A column that scrolls where the window is low, rather than squeezing its words."""
    column = QWidget(parent)
    layout.setContentsMargins(0, 0, 0, 0)
    column.setLayout(layout)
    area = QScrollArea(parent)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(column)
    return area
