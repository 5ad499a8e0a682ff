"""The records behind one check."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QListWidget, QVBoxLayout, QWidget

from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.session import DeskSession
from shellcoat.operations.record_wording import record_lines
from shellcoat.operations.review_frozen import ReportLine

SIZE_PX = (620, 260)


class RecordsDialog(FormDialog):
    """Lists the records; leads to the Shell page, where they can be put right.

    Signals
    -------
    shell_wanted : show the shell itself
    """

    shell_wanted = Signal()

    def __init__(
        self, session: DeskSession, line: ReportLine, parent: QWidget | None = None
    ) -> None:
        super().__init__("review_records_dialog", shortened(line.title), parent)
        self.list = QListWidget(self.body)
        self.list.setObjectName("review_records_list")
        self.list.setAccessibleName(self.tr("Records behind {title}").format(title=line.title))
        self.list.setWordWrap(True)
        self.list.setMinimumSize(*SIZE_PX)
        self.list.addItems([breakable(each) for each in record_lines(session.opened, line.records)])
        self.list.setCurrentRow(0)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.list)
        self.open_button = self.add_primary(
            self.tr("&Show on the Shell page"), "review_records_open", self.open_shell
        )
        self.close_button = self.add_cancel(self.tr("Close"), "review_records_close")
        self.list.setFocus()

    @Slot()
    def open_shell(self) -> None:
        """Leave for the Shell page."""
        self.accept()
        self.shell_wanted.emit()
