"""Brings a logger's file in: look at it, answer what it leaves open, import, read the report.

The dialog leaves the window usable, so that a dip can be logged while a long file comes in.
"""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QStandardPaths, Qt, Signal, Slot
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.dropping import dropped_file
from shellcoat.desk.air.file_import import FileImport, LookedAt, Order
from shellcoat.desk.air.lettering import label
from shellcoat.desk.air.report_view import ReportView
from shellcoat.desk.air.understood_view import UnderstoodView
from shellcoat.desk.session import DeskSession
from shellcoat.feeds.import_air import ImportReport
from shellcoat.feeds.shape import LoggerShape

_SIZE = (980, 660)


class ImportDialog(QDialog):
    """Three views one after the other: choose a file, see how it is read, see what came of it.

    Signals
    -------
    imported : the report of an import that ended, and the room it went into
    broken_off : an import ended by a fault; what came in before stays
    """

    imported = Signal(object, object)
    broken_off = Signal()

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("import_dialog")
        self.setWindowTitle(self.tr("Import a logger's file"))
        self.setModal(False)
        self.setAcceptDrops(True)
        self.resize(*_SIZE)
        self._session = session
        self._order: Order | None = None
        self._room_id: UUID | None = None
        self.work = FileImport(session, self)
        self.work.looked.connect(self._on_looked)
        self.work.finished.connect(self._on_finished)
        self.work.failed.connect(self._on_failed)
        self._make_views()
        self._make_buttons()
        self.work.progressed.connect(self.report.show_progress, Qt.ConnectionType.QueuedConnection)
        self._show_buttons()

    def _make_views(self) -> None:
        self.file_name = label(self, "import_file_name")
        self.prompt = label(self, "import_prompt", "empty", wrap=True)
        self.prompt.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.understood = UnderstoodView(self._session, self)
        self.understood.choices.changed.connect(self._on_shape)
        self.report = ReportView(self)
        self.views = QStackedWidget(self)
        for view in (self.prompt, self.understood, self.report):
            self.views.addWidget(view)

    def _make_buttons(self) -> None:
        self.choose_button = self._button("import_choose", self.tr("Choose file…"))
        self.choose_button.clicked.connect(self._choose)
        self.import_button = self._button("import_start", self.tr("Import"))
        self.import_button.setProperty("role", "primary")
        self.import_button.clicked.connect(self.start)
        self.stop_button = self._button("import_stop", self.tr("Stop"))
        self.stop_button.clicked.connect(self.stop)
        self.close_button = self._button("import_close", self.tr("Close"))
        self.close_button.clicked.connect(self.reject)
        head = QHBoxLayout()
        head.addWidget(self.file_name, 1)
        head.addWidget(self.choose_button)
        foot = QHBoxLayout()
        foot.addStretch(1)
        for button in (self.stop_button, self.close_button, self.import_button):
            foot.addWidget(button)
        column = QVBoxLayout(self)
        column.setSpacing(12)
        column.addLayout(head)
        column.addWidget(self.views, 1)
        column.addLayout(foot)

    def _button(self, name: str, text: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        return button

    def open_for(self, path: Path | None, room_id: UUID | None) -> None:
        """Open for a file, or ask for one; an import under way is shown instead."""
        self._room_id = room_id
        self.show()
        self.raise_()
        self.activateWindow()
        if self.work.running:
            return
        if path is None:
            self._ask_for_file(self.tr("Drop a logger's file here, or choose one."))
            self.choose_button.setFocus()
        else:
            self.look_at(path)

    def look_at(self, path: Path) -> None:
        """Look at a file in the worker."""
        self._ask_for_file(self.tr("Looking at the file…"))
        self.file_name.setText(path.name)
        self.work.look_at(path)

    def _ask_for_file(self, prompt: str) -> None:
        self._order = None
        self.file_name.clear()
        self.prompt.setText(prompt)
        self.views.setCurrentWidget(self.prompt)
        self._show_buttons()

    @Slot()
    def _choose(self) -> None:
        places = QStandardPaths.standardLocations(QStandardPaths.StandardLocation.DownloadLocation)
        found, _ = QFileDialog.getOpenFileName(
            self,
            self.tr("Choose a logger's file"),
            places[0] if places else "",
            self.tr("Logger files (*.csv *.txt *.tsv *.dat *.log);;All files (*)"),
        )
        if found:
            self.look_at(Path(found))

    @Slot(object)
    def _on_looked(self, looked: LookedAt) -> None:
        self.understood.show_looked(looked, self._room_id)
        self.views.setCurrentWidget(self.understood)
        self._show_buttons()
        self.understood.focus_first(self.import_button)

    @Slot(object)
    def _on_shape(self, shape: LoggerShape) -> None:
        self.import_button.setEnabled(not shape.open_questions)

    @Slot()
    def start(self) -> None:
        """Import the file as it is understood."""
        order = self.understood.choices.order()
        if order is None:
            return
        self._order = order
        self.report.start(order.path.name)
        self.views.setCurrentWidget(self.report)
        self.work.start(order)
        self._show_buttons()
        self.stop_button.setFocus()

    @Slot()
    def stop(self) -> None:
        """End the import before its next part."""
        self.work.stop()
        self.stop_button.setEnabled(False)
        self.report.say_stopping()

    @Slot(object)
    def _on_finished(self, report: ImportReport) -> None:
        self.report.show_report(report)
        self._show_buttons()
        self.close_button.setFocus()
        if self._order is not None:
            self.imported.emit(report, self._order.room_id)

    @Slot(str)
    def _on_failed(self, message: str) -> None:
        if self._order is None:
            name = self.file_name.text()
            self._ask_for_file(message)
            self.file_name.setText(name)
            self.choose_button.setFocus()
        else:
            self.report.show_failure(message)
            self._show_buttons()
            self.broken_off.emit()

    def _show_buttons(self) -> None:
        """Show the buttons that make sense in the view that is shown."""
        running = self.work.running
        understood = self.views.currentWidget() is self.understood
        self.choose_button.setEnabled(not running)
        self.import_button.setVisible(understood and not running)
        self.stop_button.setVisible(running)
        self.stop_button.setEnabled(running)
        self.close_button.setVisible(not running)

    def reject(self) -> None:
        """Close; while an import runs, Escape and the window's cross stop it instead."""
        if self.work.running:
            self.stop()
        else:
            super().reject()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Welcome one file."""
        if dropped_file(event.mimeData()) is not None and not self.work.running:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Look at the file that was dropped."""
        path = dropped_file(event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.look_at(path)
