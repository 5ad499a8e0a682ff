"""A thorough check of the book, with its report in words."""

from __future__ import annotations

from PySide6.QtCore import QLocale, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPlainTextEdit, QProgressBar, QVBoxLayout, QWidget

from shellcoat.book.check import CheckReport, check_book
from shellcoat.desk.air.lettering import heading
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_time

WIDTH_PX, REPORT_PX = 640, 280


class CheckDialog(SessionDialog):
    """Begins to check as it opens; the report can be copied."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "check_dialog", "", parent)
        self.setWindowTitle(self.tr("Check of the book"))
        self.headline = heading(self.body, "check_headline", self.tr("Checking the book…"))
        self.progress = QProgressBar(self.body)
        self.progress.setObjectName("check_progress")
        self.progress.setAccessibleName(self.tr("Checking"))
        self.progress.setRange(0, 0)
        self.report = QPlainTextEdit(self.body)
        self.report.setObjectName("check_report")
        self.report.setAccessibleName(self.tr("Report of the check"))
        self.report.setReadOnly(True)
        self.report.setTabChangesFocus(True)
        self.report.setMinimumHeight(REPORT_PX)
        down = QVBoxLayout(self.body)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(GAP)
        for widget in (self.headline, self.progress, self.report):
            down.addWidget(widget)
        self.body.setMinimumWidth(WIDTH_PX)
        self.copy_button = self.add_primary(self.tr("Copy report"), "check_copy", self.copy)
        self.copy_button.setEnabled(False)
        self.close_button = self.add_cancel(self.tr("Close"), "check_close")
        path = session.opened.book.path
        self.in_background(lambda: check_book(path), self._show)

    def _show(self, report: CheckReport) -> None:
        count = len(report.problems)
        self._finish(
            self.tr("The book is sound.")
            if report.sound
            else self.tr("Problems found: {count}").format(count=count)
        )
        self.report.setPlainText(self._words(report))
        self.copy_button.setEnabled(True)

    def on_background_fault(self, message: str) -> None:
        """Say why the check could not be made."""
        self._finish(self.tr("The book could not be checked."))
        super().on_background_fault(message)

    def _finish(self, headline: str) -> None:
        self.headline.setText(headline)
        self.progress.hide()

    def _words(self, report: CheckReport) -> str:
        locale, now = QLocale(), self.session.now()
        parts = [
            self.tr("{path}, checked {time}.").format(
                path=report.path, time=write_time(now, self.session.opened.zone, now)
            ),
            self.tr(
                "It holds {entries} entries and {readings} logger readings. Photos: {photos}."
            ).format(
                entries=locale.toString(report.entries),
                readings=locale.toString(report.readings),
                photos=locale.toString(report.photos),
            ),
            self._findings(report),
            self.tr(
                "Looked at: the pages of the file, its references and guards, the chain that ties "
                "every entry to the one before, whether all entries fit together, the logger "
                "readings against their batches, and the photos against their records."
            ),
            self.tr("Seal of the last entry: {head}\nSQLite {version}").format(
                head=report.head, version=report.sqlite_version
            ),
        ]
        return "\n\n".join(parts)

    def _findings(self, report: CheckReport) -> str:
        if report.sound:
            return self.tr("Nothing is wrong with it.")
        advice = self.tr(
            "Go on with a backup from before this: Book, Backups…, Restore…. Keep this file; what "
            "can still be read in it can be exported."
        )
        return "\n".join([*(f"– {problem}" for problem in report.problems), "", advice])

    @Slot()
    def copy(self) -> None:
        """Put the report on the clipboard."""
        QGuiApplication.clipboard().setText(
            f"{self.headline.text()}\n\n{self.report.toPlainText()}"
        )
        self.say(self.tr("Copied."))
