"""The Review page: may this one be burnt out? It shows evidence; a person decides."""

from __future__ import annotations

from string import Template
from uuid import UUID

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QPlainTextEdit,
    QScrollArea,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.choices import choose
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.page import Page
from shellcoat.desk.review.check_rows import CheckRows
from shellcoat.desk.review.gatherer import EvidenceGatherer
from shellcoat.desk.review.paper_bar import PaperBar
from shellcoat.desk.review.side import DecisionCard, DefectCard, MeltCard
from shellcoat.desk.review.words import signature_words, standing_words, translate, unsigned_words
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.cautions import cautions_text
from shellcoat.operations.review import (
    is_through,
    review_state,
)
from shellcoat.operations.review_answers import answer_question, newest_answers
from shellcoat.operations.review_frozen import Evidence, ReportLine, thaw
from shellcoat.operations.review_report import NOTHING_SAYS
from shellcoat.review.finding import Verdict
from shellcoat.shop import (
    Decision,
    LookAnswer,
    Review,
    ReviewQuestion,
    Shell,
    ShellState,
)

SIDE_PX = 364
CAUTIONS_PX = 130

_SHEET = Template("""
QLabel[role="muted"] { color: $muted; }
QFrame#review_row { border: 0; border-bottom: 1px solid $faint; }
QFrame#review_row QPushButton { min-height: 28px; padding: 0 10px; }
QScrollArea#review_rows, QWidget#review_rows_inside { background: $panel; }
QScrollArea#review_side, QWidget#review_side_inside { background: transparent; border: 0; }
QLabel#review_signature { padding: 6px 10px; border: 2px solid $line; border-radius: 4px; }
QListWidget::item { padding: 4px 8px; }
""")


class ReviewPage(Page):
    """The evidence about one shell, what only a person can answer, and the decision."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("review_page")
        self.setAccessibleName(self.tr("Review"))
        self._shell_id: UUID | None = None
        self._signed_id: UUID | None = None
        self._evidence: Evidence | None = None
        self.gatherer = EvidenceGatherer(session, self)
        self.gatherer.gathered.connect(self._take)
        self.gatherer.failed.connect(session.failed)
        self._make_parts(session, theme)
        self._lay_out()
        self.setStyleSheet(_SHEET.substitute(theme.colours))

    def _make_parts(self, session: DeskSession, theme: Theme) -> None:
        self.chooser = self._combo("review_chooser", self.tr("Shell"), 24)
        self.chooser.activated.connect(self._on_chosen)
        self.moment = self._combo("review_moment", self.tr("Evidence of"), 26)
        self.moment.activated.connect(self._on_moment)
        self.paper = PaperBar(session, self)
        self.paper.said.connect(self.said)
        self.paper.printed.connect(self._on_printed)
        self.head = label(self, "review_head", "headline", wrap=True)
        self.nothing_says = label(self, "review_nothing_says", "muted", wrap=True)
        self.nothing_says.setText(translate(NOTHING_SAYS))
        self.signature = label(self, "review_signature", wrap=True)
        for each in (self.head, self.signature):
            each.setTextFormat(Qt.TextFormat.PlainText)
        self.rows = CheckRows(theme, self)
        self.rows.answered.connect(self._on_answered)
        self.rows.records_requested.connect(self._on_records)
        self.decision = DecisionCard(self)
        self.decision.decided.connect(self._on_decided)
        self.melt = MeltCard(session, self)
        self.defects = DefectCard(session, self)
        self.defects.add_requested.connect(self._on_add_defect)
        self.cautions = QPlainTextEdit(cautions_text(), self)
        self.cautions.setObjectName("review_cautions")
        self.cautions.setAccessibleName(self.tr("Cautions"))
        self.cautions.setReadOnly(True)
        self.cautions.setTabChangesFocus(True)
        self.cautions.setMinimumHeight(CAUTIONS_PX)
        self.empty = label(self, "review_empty", "empty", wrap=True)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setText(self.tr("No shell yet. Put one on the rack first: Rack, “New shell…”."))

    def _combo(self, name: str, spoken: str, letters: int) -> QComboBox:
        combo = QComboBox(self)
        combo.setObjectName(name)
        combo.setAccessibleName(spoken)
        combo.setMinimumContentsLength(letters)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        return combo

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.chooser)
        top.addWidget(self.moment)
        top.addStretch(1)
        top.addWidget(self.paper)
        left = QVBoxLayout()
        left.addWidget(self.head)
        left.addWidget(self.nothing_says)
        left.addWidget(self.signature)
        left.addWidget(self.rows, 1)
        across = QHBoxLayout()
        across.addLayout(left, 1)
        across.addWidget(self._side())
        body = QWidget(self)
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(top)
        column.addLayout(across, 1)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(9, 9, 9, 9)
        self._stack.addWidget(body)
        self._stack.addWidget(self.empty)

    def _side(self) -> QScrollArea:
        inside = QWidget(self)
        inside.setObjectName("review_side_inside")
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        for card in (self.decision, self.defects, self.melt):
            column.addWidget(card)
        column.addWidget(heading(self, "review_cautions_title", self.tr("Cautions")))
        column.addWidget(self.cautions, 1)
        side = QScrollArea(self)
        side.setObjectName("review_side")
        side.setWidgetResizable(True)
        side.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        side.setFixedWidth(SIDE_PX)
        side.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        side.setWidget(inside)
        return side

    # What is shown.

    @property
    def shell(self) -> Shell | None:
        """The shell that is shown: the chosen one, else the first that is through."""
        shells = self._shells()
        chosen = [shell for shell in shells if shell.id == self._shell_id]
        return chosen[0] if chosen else next(iter(shells), None)

    def _shells(self) -> list[Shell]:
        """Every shell, those that are due for burnout first."""
        opened = self.session.opened

        def rank(shell: Shell) -> tuple[bool, bool, str]:
            gone = shell.state in (ShellState.FINISHED, ShellState.SCRAPPED)
            return gone, not is_through(opened, shell), shell.label

        return sorted(opened.ledger.shells, key=rank)

    @property
    def _signed(self) -> Review | None:
        """The signed review that is shown; None while today's evidence is."""
        shell = self.shell
        signed = self.session.opened.ledger.reviews(shell.id) if shell else ()
        return next((each for each in signed if each.id == self._signed_id), None)

    def show_shell(self, shell_id: UUID) -> None:
        """Turn to a shell."""
        if shell_id != self._shell_id:
            self._shell_id, self._signed_id, self._evidence = shell_id, None, None
        self.mark_stale()

    def refresh(self) -> None:
        """Show the shell as it stands, and have its evidence put together anew."""
        shell = self.shell
        self._stack.setCurrentIndex(1 if shell is None else 0)
        if shell is None:
            return
        self._shell_id = shell.id
        self._fill_chooser(shell)
        self._fill_moments(shell)
        self.melt.show_shell(shell)
        self.defects.show_shell(shell)
        self.gatherer.ask(shell)
        self._show()

    def _fill_chooser(self, shell: Shell) -> None:
        if self.chooser.view().isVisible():
            return
        self.chooser.clear()
        for other in self._shells():
            self.chooser.addItem(f"{other.label}  {other.name}", other.id)
        choose(self.chooser, shell.id)
        self.chooser.setToolTip(shell.name)

    def _fill_moments(self, shell: Shell) -> None:
        if self.moment.view().isVisible():
            return
        zone = self.session.opened.zone
        self.moment.clear()
        self.moment.addItem(self.tr("As it is now"), None)
        for review in reversed(self.session.opened.ledger.reviews(shell.id)):
            self.moment.addItem(signature_words(review, zone), review.id)
        choose(self.moment, self._signed_id)
        self.moment.setToolTip(self.moment.currentText())

    @Slot(object)
    def _take(self, evidence: Evidence) -> None:
        if evidence.shell.id == self._shell_id:
            self._evidence = evidence
            self._show()

    def _show(self) -> None:
        signed = self._signed
        evidence = thaw(signed.findings) if signed else self._evidence
        writable = not self.session.opened.book.read_only
        self._show_signature(signed)
        for card in (self.melt, self.defects):
            card.setVisible(signed is None)
        self.melt.set_open(to_keep=writable)
        self.defects.set_open(to_log=writable)
        self.decision.set_open(to_decide=writable and signed is None and evidence is not None)
        self.paper.offer(evidence, signed)
        self.rows.setVisible(evidence is not None)
        if evidence is None:
            self.head.setText(self.tr("Putting the evidence together…"))
            return
        self._show_evidence(evidence, open_to_answer=writable and signed is None)

    def _show_evidence(self, evidence: Evidence, *, open_to_answer: bool) -> None:
        self.head.setText(breakable(_head_words(evidence)))
        answers = newest_answers(self.session.opened.ledger, evidence.shell.id)
        self.rows.show_lines(
            evidence.report.lines,
            {question: given.answer for question, given in answers.items()},
            open_to_answer=open_to_answer,
        )

    def _show_signature(self, signed: Review | None) -> None:
        """Who signed what, and whether it still holds; of the newest where today is shown."""
        shell, opened = self.shell, self.session.opened
        reviews = opened.ledger.reviews(shell.id) if shell else ()
        review = signed or (reviews[-1] if reviews else None)
        if review is None:
            self.signature.setText(unsigned_words())
            return
        words = signature_words(review, opened.zone)
        note = f"\n{review.note}" if review.note else ""
        state = review_state(opened, review)
        self.signature.setText(breakable(f"{words}{note}\n{standing_words(state)}"))

    # What a person does.

    @Slot(int)
    def _on_chosen(self, _index: int) -> None:
        self.show_shell(self.chooser.currentData())

    @Slot(int)
    def _on_moment(self, _index: int) -> None:
        self._signed_id = self.moment.currentData()
        self._show()

    @Slot(object, object)
    def _on_answered(self, question: ReviewQuestion, answer: LookAnswer) -> None:
        opened, now, shell = self.session.opened, self.session.now(), self.shell
        if shell is not None:
            self.session.attempt(lambda: answer_question(opened, shell.id, question, answer, now))

    @Slot(object)
    def _on_records(self, line: ReportLine) -> None:
        from shellcoat.desk.review.records_dialog import RecordsDialog

        dialog = RecordsDialog(self.session, line, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.shell_wanted.connect(self._on_shell_wanted)
        dialog.open()

    @Slot()
    def _on_shell_wanted(self) -> None:
        self.shell_requested.emit(self._shell_id)

    @Slot(object)
    def _on_decided(self, decision: Decision) -> None:
        from shellcoat.desk.review.sign_dialog import SignDialog

        if self._evidence is None:
            return
        dialog = SignDialog(self.session, self._evidence, decision, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.signed.connect(self._on_signed)
        dialog.open()

    @Slot(object)
    def _on_signed(self, review: Review) -> None:
        self._signed_id = review.id
        self.refresh()
        self.said.emit(signature_words(review, self.session.opened.zone))

    @Slot()
    def _on_add_defect(self) -> None:
        from shellcoat.desk.review.defect_dialog import DefectDialog

        shell = self.shell
        if shell is not None:
            dialog = DefectDialog(self.session, shell.id, self)
            dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            dialog.open()

    @Slot(object)
    def _on_printed(self, lines: tuple[str, ...]) -> None:
        from shellcoat.desk.review.summary_dialog import SummaryDialog

        dialog = SummaryDialog(lines, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.setStyleSheet(_SHEET.substitute(theme.colours))
        self.rows.set_theme(theme)
        super().set_theme(theme)


def _head_words(evidence: Evidence) -> str:
    """How many checks say what, and by name those that say stop."""
    stops = [line.title for line in evidence.report.lines if line.verdict is Verdict.STOP]
    named = f" – {translate('stop')}: {', '.join(stops)}" if stops else ""
    return f"{evidence.report.tally}{named}"
