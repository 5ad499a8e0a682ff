"""The Checks tab of the Shell page: what was found out about a shell, and logging more of it."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID, uuid4

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.check_deeds import CheckDeeds
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.dialogs.shell_check_dialog import ShellCheckDialog
from shellcoat.desk.dialogs.shell_check_forms import CheckKind
from shellcoat.desk.dialogs.text_table import TextTableModel, text_table
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.check_buttons import CheckButtons
from shellcoat.desk.shell.check_words import (
    Row,
    check_row,
    check_writer,
    detail_words,
    headings,
    kept_words,
    newest_first,
)
from shellcoat.desk.shell.wall_gatherer import LessonGatherer, WallGatherer
from shellcoat.operations.check_wording import write_check
from shellcoat.operations.checks import log_check
from shellcoat.shop import DryCheck, DryFinding, Shell, ShellCheck

WIDTHS = (128, 50, 118, 140)
WIDTHS_WITH_NOTES = (136, 52, 136, 220)
EFFECT_COLUMN, NOTE_COLUMN = 4, 5
NOTE_PX = 136
ROOM_FOR_NOTES_PX = 760
"""A narrower table shows no notes; the chosen check is written out below it in any case."""

MARGIN = 10
SECOND_PRESS = timedelta(seconds=10)
"""The same finding within this time is a button pressed twice; a wall is not touched anew."""


class ChecksTab(QWidget):
    """The checks of one shell.

    Signals
    -------
    said : a sentence for the line at the foot of the window
    """

    said = Signal(str)

    def __init__(
        self, session: DeskSession, gatherer: WallGatherer, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("shell_checks")
        self.setAccessibleName(self.tr("Checks of the shell"))
        self.session, self._gatherer = session, gatherer
        self._lessons = LessonGatherer(session, self)
        self.dialog: ShellCheckDialog | None = None
        self._shell: Shell | None = None
        self._checks: list[ShellCheck] = []
        self._rows: list[Row] = []
        self._pressed: tuple[object, datetime] | None = None
        self.buttons = CheckButtons(self)
        self.buttons.touched.connect(self._on_touched)
        self.buttons.asked.connect(self._open_check)
        self._make_table()
        self.deeds = CheckDeeds(session, "checks", self)
        self.deeds.correct_requested.connect(self._on_correct)
        self.deeds.taken_back.connect(self._on_taken_back)
        self._lay_out()
        for source in (gatherer, self._lessons):
            source.answered.connect(self._on_answered)
            source.failed.connect(self.said)

    def _make_table(self) -> None:
        self.model = TextTableModel(headings(), self)
        self.table = text_table(
            self.model, "checks_table", self.tr("Checks of this shell"), WIDTHS, self
        )
        self.table.setWordWrap(False)
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        across = self.table.horizontalHeader()
        across.setStretchLastSection(False)
        across.resizeSection(NOTE_COLUMN, NOTE_PX)
        across.setSectionResizeMode(EFFECT_COLUMN, QHeaderView.ResizeMode.Stretch)
        self.table.activated.connect(self._on_activated)
        self.table.selectionModel().currentChanged.connect(self._on_chosen)
        self.detail = label(self, "checks_detail", wrap=True)
        self.detail.setTextFormat(Qt.TextFormat.PlainText)
        self.empty = label(self, "checks_empty", "empty", wrap=True)
        self.empty.setText(
            self.tr("No check yet. Touch the shell and press what you found; it is kept at once.")
        )
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        column.addWidget(self.buttons)
        column.addWidget(self.table, 1)
        column.addWidget(self.empty, 1)
        column.addWidget(self.detail)
        column.addWidget(self.deeds)

    def show_shell(self, shell: Shell) -> None:
        """Show the checks of a shell as they stand now."""
        if self._shell is None or self._shell.id != shell.id:
            self.deeds.forget_kept()
            self._pressed = None
        self._shell = shell
        self.buttons.offer(shell)
        self.buttons.setEnabled(not self.session.opened.book.read_only)
        self._fill()
        self._lessons.turn_to(shell)
        if self.isVisible():
            self._ask()

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what the checks did, now that somebody looks."""
        super().showEvent(event)
        self._ask()

    def _ask(self) -> None:
        self._gatherer.ask()
        self._lessons.ask()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show the notes where there is room for them."""
        super().resizeEvent(event)
        roomy = self.width() >= ROOM_FOR_NOTES_PX
        self.table.setColumnHidden(NOTE_COLUMN, not roomy)
        for column, width in enumerate(WIDTHS_WITH_NOTES if roomy else WIDTHS):
            self.table.setColumnWidth(column, width)

    def _fill(self) -> None:
        """Fill the table; the chosen check stays chosen wherever it has gone."""
        shell = self._shell
        if shell is None:
            return
        chosen, row = self.chosen, self.table.currentIndex().row()
        self._checks = newest_first(self.session.opened.ledger.checks().get(shell.id, ()))
        moves, lessons = self._gatherer.moves(), self._lessons.lessons()
        rows = [check_row(self.session, shell, one, moves, lessons) for one in self._checks]
        if rows != self._rows:
            self._rows = rows
            self.model.set_rows(rows)
        for widget in (self.table, self.detail):
            widget.setVisible(bool(rows))
        self.empty.setVisible(not rows)
        self._choose(self._row_of(chosen.id if chosen else None, max(row, 0)))

    def _row_of(self, check_id: UUID | None, otherwise: int) -> int:
        ids = [check.id for check in self._checks]
        return ids.index(check_id) if check_id in ids else min(otherwise, len(ids) - 1)

    def _choose(self, row: int) -> None:
        if row != self.table.currentIndex().row():
            self.table.selectRow(row)
        self._show_chosen()

    @property
    def chosen(self) -> ShellCheck | None:
        """The check that is chosen in the table."""
        row = self.table.currentIndex().row()
        return self._checks[row] if 0 <= row < len(self._checks) else None

    @Slot(QModelIndex, QModelIndex)
    def _on_chosen(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self._show_chosen()

    def _show_chosen(self) -> None:
        """Write the chosen check out, and say what can be done with it."""
        chosen, shell = self.chosen, self._shell
        if chosen is None or shell is None:
            self.detail.clear()
            self.deeds.show_check(None, "")
            return
        said = write_check(chosen, shell, check_writer(self.session))
        row = self._rows[self.table.currentIndex().row()]
        self.detail.setText(breakable(detail_words(said, row)))
        self.deeds.show_check(chosen, said)

    @Slot(object)
    def _on_answered(self, _answer: object) -> None:
        self._fill()

    @Slot(object, object)
    def _on_touched(self, finding: DryFinding, core_id: UUID | None) -> None:
        """Keep a touch at once; the same one pressed again is no second touch."""
        shell, now = self._shell, self.session.now()
        if shell is None:
            return
        pressed = (shell.id, core_id, finding)
        if self._is_second(pressed, now):
            self.said.emit(self.tr("Kept already: it was pressed twice."))
            return
        check = DryCheck(id=uuid4(), shell_id=shell.id, at=now, finding=finding, core_id=core_id)
        kept = self.session.attempt(lambda: log_check(self.session.opened, check, now))
        if kept is not None:
            self._pressed = pressed, now
            self._tell_kept(kept)

    def _is_second(self, what: object, now: datetime) -> bool:
        pressed = self._pressed
        return pressed is not None and pressed[0] == what and abs(now - pressed[1]) < SECOND_PRESS

    def _tell_kept(self, check: ShellCheck) -> None:
        """Choose the check just kept, so that one press takes it back again."""
        if self._shell is None:
            return
        self.deeds.note_kept(check.id)
        self._fill()
        self._choose(self._row_of(check.id, 0))
        self.said.emit(kept_words(self.session, self._shell, check))

    @Slot(object)
    def _open_check(self, what: CheckKind | ShellCheck) -> None:
        shell = self._shell
        if shell is None:
            return
        dialog = ShellCheckDialog(self.session, shell, what, self.window())
        new = isinstance(what, type)

        def take() -> None:
            if new and isinstance(dialog.kept, ShellCheck):
                self._tell_kept(dialog.kept)

        dialog.accepted.connect(take)
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    @Slot(QModelIndex)
    def _on_activated(self, _index: QModelIndex) -> None:
        if self.deeds.correct_button.isEnabled():
            self._on_correct()

    @Slot()
    def _on_correct(self) -> None:
        if self.chosen is not None:
            self._open_check(self.chosen)

    @Slot()
    def _on_taken_back(self) -> None:
        self._pressed = None
        self._fill()
        self.said.emit(self.tr("Taken back."))
