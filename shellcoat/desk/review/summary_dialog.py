"""One line a shell, after a batch of reviews was printed."""

from __future__ import annotations

from PySide6.QtWidgets import QListWidget, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.dialogs.lettering import breakable

SIZE_PX = (680, 300)


class SummaryDialog(FormDialog):
    """The lines that stand in the folder's summary too."""

    def __init__(self, lines: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__("review_summary_dialog", self.tr("Due for burnout"), parent)
        head = label(self.body, "review_summary_head", wrap=True)
        head.setText(
            self.tr("A PDF was written for each; these lines stand in summary.txt beside them.")
        )
        self.list = QListWidget(self.body)
        self.list.setObjectName("review_summary_list")
        self.list.setAccessibleName(self.tr("One line a shell"))
        self.list.setWordWrap(True)
        self.list.setMinimumSize(*SIZE_PX)
        self.list.addItems([breakable(line) for line in lines])
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(head)
        column.addWidget(self.list)
        self.close_button = self.add_cancel(self.tr("Close"), "review_summary_close")
        self.list.setFocus()
