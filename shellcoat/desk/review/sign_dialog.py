"""Signing a decision: a person's name is typed, and the program decides nothing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid
from shellcoat.desk.dialogs.fields import NoteField, TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.review.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.operations.review import Signature, sign_review
from shellcoat.operations.review_frozen import Evidence
from shellcoat.operations.review_report import NOTHING_SAYS
from shellcoat.review.finding import Verdict
from shellcoat.shop import Decision
from shellcoat.shop.checks import check_name

LEAST_WIDTH_PX = 540
MOST_NAMED = 6

TITLES = {
    Decision.BURN_OUT: "Burn out",
    Decision.WAIT_UNTIL: "Wait until",
    Decision.REPAIR: "Repair",
    Decision.SCRAP: "Scrap",
}


class SignDialog(SessionDialog):
    """Shows what says stop and look, and takes name, note and, to wait, a time.

    Signals
    -------
    signed : the review as it was kept
    """

    signed = Signal(object)

    def __init__(
        self,
        session: DeskSession,
        evidence: Evidence,
        decision: Decision,
        parent: QWidget | None = None,
    ) -> None:
        shell = shortened(f"{evidence.report.label} {evidence.report.name}")
        title = f"{translate(TITLES[decision])}: {shell}"
        super().__init__(session, "review_sign_dialog", title, parent)
        self._evidence, self._decision = evidence, decision
        # One id for this dialog, so that two presses are one signature.
        self._review_id = Signature(decision=decision, name="").review_id
        self.seen = label(self.body, "review_sign_seen", wrap=True)
        self.seen.setText(breakable(self._words()))
        self.name = TextField(self.tr("Name"), self.body, check=check_name)
        self.name.setObjectName("review_sign_name")
        self.note = NoteField(self.tr("Note"), self.body)
        self.note.setObjectName("review_sign_note")
        self.until = TimeField(self.tr("Wait until"), session.opened.zone, session.now, self.body)
        self.until.setObjectName("review_sign_until")
        self.until.set_value(self._proposed())
        self._lay_out()
        self.sign_button = self.add_primary(self.tr("Sign"), "review_sign_save", self.sign)
        self.cancel_button = self.add_cancel(self.tr("Cancel"), "review_sign_cancel")
        self.guard_saving(self.sign_button)
        self.name.setFocus()

    def _proposed(self) -> datetime:
        """When waiting is likely over: the end of the hold where it lies ahead, else tomorrow."""
        now, due = self.session.now(), self._evidence.forecast.due_at
        return due if due is not None and due > now else now + timedelta(days=1)

    def _words(self) -> str:
        report = self._evidence.report
        parts = [f"{report.tally}. {translate(NOTHING_SAYS)}"]
        for verdict in (Verdict.STOP, Verdict.LOOK):
            lines = [line for line in report.lines if line.verdict is verdict]
            if lines:
                named = ", ".join(line.title for line in lines[:MOST_NAMED])
                more = len(lines) - MOST_NAMED
                more_words = translate(" and {more} more").format(more=more) if more > 0 else ""
                parts.append(f"{lines[0].said.upper()}: {named}{more_words}.")
        return "\n".join(parts)

    def _lay_out(self) -> None:
        grid = FieldGrid()
        if self._decision is Decision.WAIT_UNTIL:
            grid.add(self.body, self.tr("&Wait until"), self.until)
        self.until.setVisible(self._decision is Decision.WAIT_UNTIL)
        grid.add(self.body, self.tr("Your &name"), self.name)
        grid.add(self.body, self.tr("N&ote"), self.note)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * GAP)
        column.addWidget(self.seen)
        column.addLayout(grid)
        column.addStretch(1)
        self.body.setMinimumWidth(LEAST_WIDTH_PX)

    def _fields(self) -> Iterator[AnyField]:
        yield from (self.name, self.note)

    @Slot()
    def sign(self) -> None:
        """Keep the decision, if a name is typed."""
        if not self.all_right(list(self._fields())):
            return
        waits = self._decision is Decision.WAIT_UNTIL
        signature = Signature(
            decision=self._decision,
            name=self.name.value(),
            note=self.note.value(),
            wait_until=self.until.value() if waits else None,
            review_id=self._review_id,
        )
        opened, now = self.session.opened, self.session.now()
        review = self.session.attempt(lambda: sign_review(opened, self._evidence, signature, now))
        if review is not None:
            self.accept()
            self.signed.emit(review)
