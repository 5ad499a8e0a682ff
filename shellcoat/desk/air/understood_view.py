"""How a logger's file was understood: in sentences, in boxes to change, in its first rows."""

from __future__ import annotations

from html import escape
from uuid import UUID

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QTableView, QVBoxLayout, QWidget

from shellcoat.desk.air.file_import import LookedAt
from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.air.line_models import LineModel, sample_headers, sample_lines
from shellcoat.desk.air.logged_list import plain_table
from shellcoat.desk.air.shape_form import ShapeForm
from shellcoat.desk.session import DeskSession
from shellcoat.feeds.logger_shape import describe
from shellcoat.feeds.shape import LoggerShape

_ROW_HEIGHT = 28
_WIDTHS = (170, 110, 100)
_CHOICES_WIDTH = 440


class UnderstoodView(QWidget):
    """What will happen, before it happens."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("import_understood")
        self._session = session
        self.choices = ShapeForm(session, self)
        self.choices.setFixedWidth(_CHOICES_WIDTH)
        self.choices.changed.connect(self._show_shape)
        self.sentences = label(self, "import_sentences", wrap=True)
        self.sentences.setTextFormat(Qt.TextFormat.RichText)
        self.sentences.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.title = heading(self, "import_choices_title")
        self.sample = LineModel(sample_headers(), self)
        self.table = plain_table(
            QTableView(self), "import_sample", self.tr("First rows as they will be read")
        )
        self.table.setModel(self.sample)
        self.table.verticalHeader().setDefaultSectionSize(_ROW_HEIGHT)
        for column, width in enumerate(_WIDTHS):
            self.table.setColumnWidth(column, width)
        self._lay_out()

    def _lay_out(self) -> None:
        self.choices.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Maximum)
        left, right = QVBoxLayout(), QVBoxLayout()
        for side in (left, right):
            side.setSpacing(10)
        left.addWidget(self.title)
        left.addWidget(self.choices)
        left.addStretch(1)
        right.addWidget(heading(self, "import_sentences_title", self.tr("How it will be read")))
        right.addWidget(self.sentences)
        right.addStretch(1)
        upper = QHBoxLayout()
        upper.setSpacing(24)
        upper.addLayout(left)
        upper.addLayout(right, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addLayout(upper)
        column.addWidget(heading(self, "import_sample_title", self.tr("The first rows")))
        column.addWidget(self.table, 1)

    def show_looked(self, looked: LookedAt, room_id: UUID | None) -> None:
        """Show a file that was looked at."""
        self.choices.show_looked(looked, room_id)

    def focus_first(self, otherwise: QWidget) -> None:
        """Lead the keyboard to the first open question, or where there is none, onwards."""
        shape = self.choices.shape()
        fields = [question.field for question in shape.open_questions] if shape else []
        (self.choices.boxes[fields[0]] if fields else otherwise).setFocus()

    @Slot(object)
    def _show_shape(self, shape: LoggerShape) -> None:
        """Show what the choices made so far come to."""
        lines = "".join(
            f"<li style='margin-bottom: 4px'>{escape(sentence)}</li>"
            for sentence in describe(shape)
        )
        self.sentences.setText(f"<ul style='margin: 0 0 0 -22px'>{lines}</ul>")
        self.sample.set_lines(sample_lines(shape, self._session))
        self.title.setText(
            self.tr("Answer what is still open")
            if shape.open_questions
            else self.tr("Change what is wrong")
        )
