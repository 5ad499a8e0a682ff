"""The checks of the review as rows: mark and word, what was seen, what would change it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.marks import mark_pixmap
from shellcoat.desk.review.words import MARKS, translate
from shellcoat.desk.theme import Theme
from shellcoat.operations.review_frozen import ReportLine
from shellcoat.operations.review_wording import ANSWER_WORDS
from shellcoat.review.finding import Verdict
from shellcoat.review.person_checks import ASKED
from shellcoat.shop import LookAnswer, ReviewQuestion

MARK_SIDE = 22
SAID_PX, TITLE_PX = 48, 158
QUESTIONS = {asked.kind.name.casefold(): question for question, asked in ASKED.items()}
"""The question that belongs to a kind of check."""

Answers = Mapping[ReviewQuestion, LookAnswer]


class AnswerButtons(QWidget):
    """Yes, no, not looked.

    Signals
    -------
    answered : the answer that was pressed
    """

    answered = Signal(object)

    def __init__(self, question: ReviewQuestion, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._group = QButtonGroup(self)
        self.buttons: dict[LookAnswer, QPushButton] = {}
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 2, 0, 2)
        across.setSpacing(6)
        for answer, words in ANSWER_WORDS.items():
            button = QPushButton(translate(words), self)
            button.setObjectName(f"review_{question.name.casefold()}_{answer.name.casefold()}")
            spoken = translate("{answer}: {question}")
            asked = translate(ASKED[question].text)
            button.setAccessibleName(spoken.format(answer=translate(words), question=asked))
            button.setCheckable(True)
            button.setAutoDefault(False)
            button.clicked.connect(partial(self._on_pressed, answer))
            self._group.addButton(button)
            self.buttons[answer] = button
            across.addWidget(button)
        across.addStretch(1)

    def _on_pressed(self, answer: LookAnswer, _checked: bool = True) -> None:
        self.answered.emit(answer)

    def show_answer(self, answer: LookAnswer | None) -> None:
        """Press in what was answered; nothing where nobody was asked yet."""
        self._group.setExclusive(False)
        for each, button in self.buttons.items():
            button.setChecked(each is answer)
        self._group.setExclusive(True)


class CheckRow(QFrame):
    """One check.

    Signals
    -------
    answered : the question and the answer
    records_requested : the line whose records are wanted
    """

    answered = Signal(object, object)
    records_requested = Signal(object)

    def __init__(self, line: ReportLine, theme: Theme, place: int) -> None:
        super().__init__()
        self.setObjectName("review_row")
        self.line = line
        self.mark = QLabel(self)
        self.mark.setFixedSize(MARK_SIDE, MARK_SIDE)
        self.said = label(self, "review_said", "headline")
        self.said.setFixedWidth(SAID_PX)
        self.title = label(self, "review_title", "headline", wrap=True)
        self.title.setFixedWidth(TITLE_PX)
        self.seen = label(self, "review_seen", wrap=True)
        self.change = label(self, "review_change", "muted", wrap=True)
        for each in (self.title, self.seen, self.change):
            each.setTextFormat(Qt.TextFormat.PlainText)
            each.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.records = QPushButton(translate("Records…"), self)
        self.records.setObjectName(f"review_records_{place}")
        self.records.setAutoDefault(False)
        self.records.clicked.connect(lambda: self.records_requested.emit(self.line))
        question = QUESTIONS.get(line.kind)
        self.answers = AnswerButtons(question, self) if question else None
        if self.answers is not None:
            self.answers.answered.connect(lambda answer: self.answered.emit(question, answer))
        self._lay_out()
        self.show_line(line, theme)

    def _lay_out(self) -> None:
        texts = QVBoxLayout()
        texts.setSpacing(2)
        texts.addWidget(self.seen)
        texts.addWidget(self.change)
        if self.answers is not None:
            texts.addWidget(self.answers)
        across = QHBoxLayout(self)
        across.setContentsMargins(6, 5, 6, 5)
        across.setSpacing(10)
        top = Qt.AlignmentFlag.AlignTop
        across.addWidget(self.mark, 0, top)
        across.addWidget(self.said, 0, top)
        across.addWidget(self.title, 0, top)
        across.addLayout(texts, 1)
        across.addWidget(self.records, 0, top)

    def show_line(self, line: ReportLine, theme: Theme) -> None:
        """Show what the check says now."""
        self.line = line
        self.said.setText(line.said)
        self.title.setText(breakable(line.title))
        self.seen.setText(breakable("\n".join(line.seen)))
        self.change.setText(breakable("→ " + " ".join(line.would_change)))
        self.change.setVisible(line.verdict is not Verdict.FINE)
        name = translate("Records behind {title}").format(title=line.title)
        self.records.setAccessibleName(name)
        self.setAccessibleName(f"{line.said}: {line.title}")
        self.setAccessibleDescription(" ".join((*line.seen, *line.would_change)))
        self.set_theme(theme)

    def show_answer(self, answers: Answers, *, open_to_answer: bool) -> None:
        """Show what was answered; a signed or read-only review takes no answer."""
        if self.answers is None:
            return
        self.answers.show_answer(answers.get(QUESTIONS[self.line.kind]))
        self.answers.setVisible(open_to_answer)

    def set_theme(self, theme: Theme) -> None:
        """Paint the mark in other colours."""
        pixmap = mark_pixmap(MARKS[self.line.verdict], theme, MARK_SIDE, self.devicePixelRatioF())
        self.mark.setPixmap(pixmap)


class CheckRows(QScrollArea):
    """Every check, in the order of the report; rows stay where they are while answers change.

    Signals
    -------
    answered : a question and its answer
    records_requested : the line whose records are wanted
    """

    answered = Signal(object, object)
    records_requested = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("review_rows")
        self.setAccessibleName(translate("Evidence, check by check"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._theme = theme
        self.rows: list[CheckRow] = []
        inside = QWidget(self)
        inside.setObjectName("review_rows_inside")
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(0, 0, 6, 0)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.setWidget(inside)

    def show_lines(
        self, lines: Sequence[ReportLine], answers: Answers, *, open_to_answer: bool
    ) -> None:
        """Show the checks; rows are built anew only where other checks are made."""
        if [row.line.kind for row in self.rows] != [line.kind for line in lines]:
            self._build(lines)
        for row, line in zip(self.rows, lines, strict=True):
            row.show_line(line, self._theme)
            row.show_answer(answers, open_to_answer=open_to_answer)

    def _build(self, lines: Sequence[ReportLine]) -> None:
        for row in self.rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = [CheckRow(line, self._theme, place) for place, line in enumerate(lines)]
        for place, row in enumerate(self.rows):
            row.answered.connect(self.answered)
            row.records_requested.connect(self.records_requested)
            self._column.insertWidget(place, row)
            row.show()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        for row in self.rows:
            row.set_theme(theme)
