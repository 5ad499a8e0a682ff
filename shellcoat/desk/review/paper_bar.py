"""Puts reviews on paper: the one that is shown, or all that are due for burnout."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QProgressBar, QPushButton, QWidget

from shellcoat.desk.review.batch import BatchPrinter, pdf_name
from shellcoat.desk.review.pdf import save_signed, save_unsigned
from shellcoat.desk.session import DeskSession
from shellcoat.operations.review import due_for_burnout, review_state
from shellcoat.operations.review_frozen import Evidence
from shellcoat.shop import Review, Shell


class PaperBar(QWidget):
    """Two buttons, and how far a batch has come.

    Signals
    -------
    said : a sentence for the line at the foot
    printed : the summary lines of a batch
    """

    said = Signal(str)
    printed = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._evidence: Evidence | None = None
        self._signed: Review | None = None
        self.batch = BatchPrinter(session, self)
        self.batch.moved.connect(self._on_moved)
        self.batch.finished.connect(self._on_finished)
        self.batch.failed.connect(self._on_failed)
        self.progress = QProgressBar(self)
        self.progress.setObjectName("review_progress")
        self.progress.setAccessibleName(self.tr("PDFs written"))
        self.stop_button = self._button(self.tr("Stop"), "review_stop")
        self.stop_button.clicked.connect(self.batch.stop)
        self.batch_button = self._button(self.tr("A&ll due for burnout…"), "review_batch")
        self.batch_button.clicked.connect(self._on_batch)
        self.pdf_button = self._button(self.tr("Save &PDF…"), "review_pdf")
        self.pdf_button.clicked.connect(self._on_save)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        for widget in (self.progress, self.stop_button, self.batch_button, self.pdf_button):
            across.addWidget(widget)
        self._show_running(running=False)

    def _button(self, text: str, name: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        return button

    def _show_running(self, *, running: bool) -> None:
        self.progress.setVisible(running)
        self.stop_button.setVisible(running)
        self.batch_button.setEnabled(not running)

    def offer(self, evidence: Evidence | None, signed: Review | None) -> None:
        """What "Save PDF…" would save: a signed review as it was signed, or today's evidence."""
        self._evidence, self._signed = evidence, signed
        self.pdf_button.setEnabled(evidence is not None)

    @Slot()
    def _on_save(self) -> None:
        if self._evidence is None:
            return
        start = self._session.opened.book.path.with_name(pdf_name(self._evidence.shell))
        path, _ = QFileDialog.getSaveFileName(
            self, self.tr("Save the review"), str(start), self.tr("PDF (*.pdf)")
        )
        if path:
            self.save(Path(path).with_suffix(".pdf"))

    def save(self, path: Path) -> None:
        """Write what is offered as a PDF."""
        signed, evidence = self._signed, self._evidence
        told = self.tr("Saved as {path}.").format(path=path)
        run, failed = self._session.runner.run, self._session.failed.emit
        if signed is not None:
            state = review_state(self._session.opened, signed)
            run(lambda: save_signed(path, signed, state), lambda _: self.said.emit(told), failed)
        elif evidence is not None:
            run(lambda: save_unsigned(path, evidence), lambda _: self.said.emit(told), failed)

    @Slot()
    def _on_batch(self) -> None:
        due = due_for_burnout(self._session.opened)
        if not due:
            self.said.emit(self.tr("No shell on the rack has all its coats on yet."))
            return
        title = self.tr("Where to write a PDF for each of {count} shells").format(count=len(due))
        start = str(self._session.opened.book.path.parent)
        folder = QFileDialog.getExistingDirectory(self, title, start)
        if folder:
            self.print_all(due, Path(folder))

    def print_all(self, shells: list[Shell], folder: Path) -> None:
        """Write a PDF of each into a folder."""
        self._show_running(running=True)
        self.batch.start(shells, folder)

    @Slot(int, int)
    def _on_moved(self, done: int, count: int) -> None:
        self.progress.setRange(0, count)
        self.progress.setValue(done)

    @Slot(object)
    def _on_finished(self, lines: tuple[str, ...]) -> None:
        self._show_running(running=False)
        self.printed.emit(lines)

    @Slot(str)
    def _on_failed(self, message: str) -> None:
        self._show_running(running=False)
        self._session.failed.emit(message)
