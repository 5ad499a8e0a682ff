"""How the pours of the shop went: counts, small multiples, and every pour in a table."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure
from PySide6.QtCore import QModelIndex, QSize, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import worn_theme
from shellcoat.desk.dialogs.text_table import TextTableModel, text_table
from shellcoat.desk.outcomes.words import result_words
from shellcoat.desk.plots.outcomes import draw_outcomes
from shellcoat.desk.plots.panel import PlotPanel
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.forecast.pour_odds import PouredShell
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.operations.outcome_reports import newest_first
from shellcoat.operations.outcome_wording import (
    CAUTION,
    all_splits,
    write_counts,
    write_split,
    write_temps,
)
from shellcoat.operations.pour_evidence import poured_shells
from shellcoat.operations.wording import write_time
from shellcoat.shop import Outcome

SIZE = QSize(1240, 660)
PLOT_SIZE = QSize(540, 300)
WORDS_PX = 340
WIDTHS = (130, 80, 200, 80, 190, 260)


class OutcomesDialog(SessionDialog):
    """Every pour, and what its result goes with.

    Signals
    -------
    shell_requested : the id of a shell whose page is wanted
    """

    shell_requested = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "outcomes_dialog", "", parent)
        self.setWindowTitle(self.tr("Outcomes"))
        self._outcomes: list[Outcome] = newest_first(session.opened)
        self.counts = heading(self.body, "outcomes_counts", write_counts(self._outcomes))
        self.counts.setWordWrap(True)
        self.plot = PlotPanel(
            self.tr("Shares of shells that were not sound"), worn_theme(), self.body
        )
        self.plot.setObjectName("outcomes_plot")
        self.plot.setMinimumSize(PLOT_SIZE)
        # The canvas wants the size of a printed figure, far more than a low screen has.
        self.plot.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self._make_words()
        self._make_table()
        self._lay_out()
        self.shell_button = self.add_button(
            self.tr("Show &shell"), "outcomes_shell", ButtonRole.ResetRole, self.show_shell
        )
        self.close_button = self.add_primary(self.tr("Close"), "outcomes_close", self.accept)
        self._show_rows()
        self._ask()

    def _make_words(self) -> None:
        self.words = QPlainTextEdit(self.body)
        self.words.setObjectName("outcomes_words")
        self.words.setAccessibleName(self.tr("What the results go with"))
        self.words.setReadOnly(True)
        self.words.setTabChangesFocus(True)
        self.words.setMinimumWidth(WORDS_PX)

    def _make_table(self) -> None:
        headings = (
            self.tr("Poured"),
            self.tr("Label"),
            self.tr("Shell"),
            self.tr("Result"),
            self.tr("Where"),
            self.tr("Measured"),
            self.tr("Note"),
        )
        self.model = TextTableModel(headings, self)
        self.table = text_table(
            self.model, "outcomes_table", self.tr("Pours, the latest first"), WIDTHS, self.body
        )
        self.table.setWordWrap(False)
        self.table.activated.connect(self._on_activated)

    def _lay_out(self) -> None:
        self.caution: QLabel = label(self.body, "outcomes_caution", "muted", wrap=True)
        self.caution.setText(CAUTION)
        self.upper = QWidget(self.body)
        across = QHBoxLayout(self.upper)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(2 * GAP)
        across.addWidget(self.plot, 3)
        across.addWidget(self.words, 2)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addWidget(self.counts)
        column.addWidget(self.upper, 3)
        column.addWidget(self.caution)
        column.addWidget(self.table, 1)
        self.table.setMinimumHeight(150)

    def sizeHint(self) -> QSize:
        """Room for the plots beside the words."""
        return super().sizeHint().expandedTo(SIZE if self._outcomes else QSize())

    def _show_rows(self) -> None:
        self.model.set_rows([self._row(outcome) for outcome in self._outcomes])
        some = bool(self._outcomes)
        for widget in (self.upper, self.caution, self.table):
            widget.setVisible(some)
        self.shell_button.setEnabled(some)
        if some:
            self.table.selectRow(0)

    def _row(self, outcome: Outcome) -> tuple[str, ...]:
        opened = self.session.opened
        shell = opened.ledger.shell(outcome.shell_id)
        return (
            write_time(outcome.poured_at, opened.zone, self.session.now()),
            shell.label,
            shell.name,
            result_words(outcome.result),
            outcome.where,
            write_temps(outcome, CheckWriter(opened.units, self.session.decimal_mark)),
            outcome.note,
        )

    def _ask(self) -> None:
        """Look at every shell in a worker; a forecast of each takes a moment."""
        if not self._outcomes:
            return
        self.words.setPlainText(self.tr("Looking at every shell that was poured…"))
        opened, now = self.session.opened, self.session.now()
        self.in_background(lambda: poured_shells(opened, now), self._show)

    def _show(self, shells: Sequence[PouredShell]) -> None:
        splits = all_splits(shells)
        said = [write_split(split) for split in splits]
        self.words.setPlainText("\n\n".join(said))

        def draw(figure: Figure, theme: Theme) -> None:
            draw_outcomes(figure, splits, theme=theme)

        self.plot.show_plot(draw, " ".join(said))

    def on_background_fault(self, message: str) -> None:
        """Say what went wrong in the worker."""
        self.words.setPlainText("")
        super().on_background_fault(message)

    def _dress(self) -> None:
        super()._dress()
        if hasattr(self, "plot"):
            self.plot.set_theme(worn_theme())

    @Slot(QModelIndex)
    def _on_activated(self, _index: QModelIndex) -> None:
        self.show_shell()

    @Slot()
    def show_shell(self) -> None:
        """Ask for the page of the shell in the chosen row."""
        row = self.table.currentIndex().row()
        if 0 <= row < len(self._outcomes):
            self.shell_requested.emit(self._outcomes[row].shell_id)
            self.accept()
