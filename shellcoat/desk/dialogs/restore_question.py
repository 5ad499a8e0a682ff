"""Says exactly what going back to a copy does, before it is done."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.book.backup import Backup
from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.form import ButtonRole, FormDialog
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_ago, write_time

WIDTH_PX = 560


class RestoreQuestion(FormDialog):
    """Enter leaves the book as it is; restoring has to be pressed."""

    def __init__(self, session: DeskSession, backup: Backup, parent: QWidget) -> None:
        super().__init__("restore_question", "", parent)
        self.setWindowTitle(self.tr("Restore"))
        self.backup = backup
        self.what = label(self.body, "restore_what", wrap=True)
        self.what.setText(breakable(self._words(session)))
        down = QVBoxLayout(self.body)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(12)
        title = self.tr("Go back to this copy?")
        down.addWidget(heading(self.body, "restore_heading", title))
        down.addWidget(self.what)
        down.addStretch(1)
        self.body.setMinimumWidth(WIDTH_PX)
        self.restore_button = self.add_button(
            self.tr("Restore this copy"), "restore_confirm", ButtonRole.AcceptRole, self.accept
        )
        self.leave_button = self.add_cancel(self.tr("Leave the book as it is"), "restore_leave")
        self.leave_button.setDefault(True)
        self.leave_button.setFocus()

    def _words(self, session: DeskSession) -> str:
        book, now, copy = session.opened.book, session.now(), self.backup
        steps = (
            self.tr("The copy was made {time} ({ago}) and holds {copied} entries.").format(
                time=write_time(copy.made_at, session.opened.zone, now),
                ago=write_ago(copy.made_at, now),
                copied=copy.entries,
            ),
            self._loss(len(book.ledger.entries) - copy.entries),
            self.tr("1. The book is closed in this window."),
            self.tr(
                "2. What it holds now is kept beside it, under a name that begins with "
                "“{stem} before restoring”."
            ).format(stem=book.path.stem),
            self.tr("3. The copy takes its place as {file}, and the book is opened again.").format(
                file=book.path.name
            ),
            self.tr("Nothing is deleted. Close the book on other stations first."),
        )
        return "\n\n".join(step for step in steps if step)

    def _loss(self, missing: int) -> str:
        if missing <= 0:
            return ""
        return self.tr(
            "Entries logged since then: {missing}. They will not be in the book any longer."
        ).format(missing=missing)
