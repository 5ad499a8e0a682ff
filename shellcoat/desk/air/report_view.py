"""How an import goes and what came of it, with every line that was left out."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QProgressBar,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import card, heading, label
from shellcoat.desk.air.line_models import LineModel, left_out_headers, left_out_lines
from shellcoat.desk.air.logged_list import plain_table
from shellcoat.desk.air.words import count_words
from shellcoat.feeds.import_air import ImportProgress, ImportReport

_STEPS = 1000


class ReportView(QWidget):
    """A bar while the import runs, sentences and a table when it has ended."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("import_report")
        self.title = heading(self, "import_report_title")
        self.bar = QProgressBar(self)
        self.bar.setObjectName("import_progress")
        self.bar.setAccessibleName(self.tr("Progress of the import"))
        self.bar.setRange(0, _STEPS)
        self.count = label(self, "import_count", "muted")
        self.summary = label(self, "import_summary", wrap=True)
        self.left_out_title = heading(self, "import_left_out_title")
        self.left_out = LineModel(left_out_headers(), self)
        self.table = plain_table(
            QTableView(self), "import_left_out", self.tr("Lines that were left out")
        )
        self.table.setModel(self.left_out)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Interactive)
        header.resizeSection(1, 330)
        self.copy_button = QPushButton(self.tr("Copy report"), self)
        self.copy_button.setObjectName("import_copy")
        self.copy_button.clicked.connect(self.copy)
        self._lay_out()

    def _lay_out(self) -> None:
        frame, column = card(self, "import_report_card")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(frame)
        column.setSpacing(10)
        for part in (self.title, self.bar, self.count, self.summary, self.left_out_title):
            column.addWidget(part)
        column.addWidget(self.table, 1)
        column.addStretch(0)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.copy_button)
        column.addLayout(foot)

    def start(self, name: str) -> None:
        """Begin with an import."""
        self.title.setText(self.tr("Importing {name}").format(name=name))
        self.bar.setValue(0)
        self.count.setText("")
        self.summary.setText("")
        self._show_end(ended=False, left_out=False)

    def show_progress(self, progress: ImportProgress) -> None:
        """Show how far it has come."""
        self.bar.setValue(round(progress.fraction * _STEPS))
        self.count.setText(
            self.tr("{count} taken in so far").format(count=count_words(progress.imported))
        )

    def say_stopping(self) -> None:
        """Say that the stop was heard."""
        self.count.setText(self.tr("Stopping after this part of the file…"))

    def show_report(self, report: ImportReport) -> None:
        """Show what came of it."""
        title = self.tr("Stopped: {name}") if report.stopped else self.tr("Imported: {name}")
        self.title.setText(title.format(name=report.source_name))
        self.summary.setText("\n".join(report.summary()))
        self.left_out.set_lines(left_out_lines([*report.bad, *report.aside]))
        shown, all_of_them = len(self.left_out.lines), report.bad_count + report.aside_count
        words = self.tr("Lines left out: {count}")
        if shown < all_of_them:
            words = self.tr("Lines left out: {count}, the first of them shown")
        self.left_out_title.setText(
            words.format(count=all_of_them)
            if all_of_them
            else self.tr("No line was left out for a fault.")
        )
        self._show_end(ended=True, left_out=bool(shown))

    def show_failure(self, message: str) -> None:
        """Show what ended the import; what came in before it stays in."""
        self.title.setText(self.tr("The import ended before the file did"))
        self.summary.setText(
            message + "\n" + self.tr("What was taken in before that stays in the book.")
        )
        self._show_end(ended=True, left_out=False)

    def _show_end(self, *, ended: bool, left_out: bool) -> None:
        self.bar.setVisible(not ended)
        self.count.setVisible(not ended)
        self.summary.setVisible(ended)
        self.copy_button.setVisible(ended)
        self.left_out_title.setVisible(ended)
        self.table.setVisible(left_out)

    def text(self) -> str:
        """The whole report as plain text, lines with tabs between their parts."""
        lines = ["\t".join(line) for line in self.left_out.lines]
        headers = ["\t".join(left_out_headers())] if lines else []
        return "\n".join([self.title.text(), self.summary.text(), *headers, *lines])

    @Slot()
    def copy(self) -> None:
        """Put the report on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())
