"""What can be done with a check or a test that stands: leave out, take in, correct, take back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import UUID

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from shellcoat.desk.dialogs.check_form import Kept
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.session import DeskSession
from shellcoat.operations.checks import leave_out, take_back_check, take_in

UNDO_FOR = timedelta(minutes=10)
"""So long a check just kept is taken back without being asked why."""


class CheckDeeds(QWidget):
    """A line of buttons about the chosen check; `name` begins the names of its buttons.

    Signals
    -------
    correct_requested : the chosen check is to be put right
    taken_back : a check was taken back
    """

    correct_requested = Signal()
    taken_back = Signal()

    def __init__(self, session: DeskSession, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._check: Kept | None = None
        self._said = ""
        self._fresh: tuple[UUID, datetime] | None = None
        self.dialog: ReasonDialog | None = None
        self.leave_out_button = self._button(
            self.tr("&Leave out…"), f"{name}_leave_out", self._on_leave_out
        )
        self.take_in_button = self._button(
            self.tr("Take i&n again"), f"{name}_take_in", self._on_take_in
        )
        self.correct_button = self._button(
            self.tr("C&orrect…"), f"{name}_correct", self.correct_requested.emit
        )
        self.take_back_button = self._button(
            self.tr("T&ake back…"), f"{name}_take_back", self._on_take_back
        )
        self._lay_out()

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(slot)
        return button

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """All of them, in their order."""
        return (
            self.leave_out_button,
            self.take_in_button,
            self.correct_button,
            self.take_back_button,
        )

    def _lay_out(self) -> None:
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(GAP)
        for button in self.buttons:
            line.addWidget(button)
        line.addStretch(1)

    def show_check(self, check: Kept | None, said: str) -> None:
        """Turn to a check, or to none; `said` is the check in a sentence."""
        self._check, self._said = check, said
        writable = check is not None and not self._session.opened.book.read_only
        out = check is not None and bool(check.left_out)
        self.leave_out_button.setEnabled(writable and not out)
        self.take_in_button.setEnabled(writable and out)
        self.correct_button.setEnabled(writable)
        self.take_back_button.setEnabled(writable)
        undo = check is not None and self._is_fresh(check)
        self.take_back_button.setText(self.tr("T&ake back") if undo else self.tr("T&ake back…"))

    def note_kept(self, check_id: UUID) -> None:
        """Note that a check was kept this moment: taking it back is an undo."""
        self._fresh = check_id, self._session.now()

    def forget_kept(self) -> None:
        """Ask for the reason of whatever is taken back from now on."""
        self._fresh = None

    def _is_fresh(self, check: Kept) -> bool:
        fresh, now = self._fresh, self._session.now()
        return fresh is not None and fresh[0] == check.id and abs(now - fresh[1]) < UNDO_FOR

    @Slot()
    def _on_leave_out(self) -> None:
        check, session = self._check, self._session
        if check is None:
            return
        words = self.tr(
            "{check} It stays in the book and in this list; nothing is learned from it."
        )
        dialog = ReasonDialog(
            self.tr("Leave out"),
            words.format(check=self._said),
            self.tr("Leave out"),
            self.tr("for example: touched in the sun"),
            self.window(),
        )
        dialog.confirmed.connect(
            lambda reason: session.attempt(
                lambda: leave_out(session.opened, check, session.now(), reason)
            )
        )
        self._open(dialog)

    @Slot()
    def _on_take_in(self) -> None:
        check, session = self._check, self._session
        if check is not None:
            session.attempt(lambda: take_in(session.opened, check, session.now()))

    @Slot()
    def _on_take_back(self) -> None:
        check = self._check
        if check is None:
            return
        if self._is_fresh(check):
            self._take_back(check, self.tr("pressed by mistake"))
            return
        words = self.tr("{check} Taken back it was never made; the book keeps what was written.")
        dialog = ReasonDialog(
            self.tr("Take back"),
            words.format(check=self._said),
            self.tr("Take back"),
            self.tr("for example: it was another one"),
            self.window(),
        )
        dialog.confirmed.connect(lambda reason: self._take_back(check, reason))
        self._open(dialog)

    def _take_back(self, check: Kept, reason: str) -> None:
        session, now = self._session, self._session.now()
        session.attempt(lambda: take_back_check(session.opened, check.id, now, reason))
        self.forget_kept()
        self.taken_back.emit()

    def _open(self, dialog: ReasonDialog) -> None:
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()
