"""Test my alerts: each way tried in turn, what worked, and what the person has to confirm."""

from __future__ import annotations

import shiboken6
from PySide6.QtCore import QTimer, Slot
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.trials import Outcome, Result, Trial, look_at_broker, trials
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, worn_theme
from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.session import DeskSession

WIDTH_PX = 860
WORDS_PX = 380
MARK_PX = 24
LOOK_MS, LOOKS = 250, 40
"""How often the broker is looked at, and for how many times: ten seconds."""

MARKS = {
    Outcome.WORKED: MarkState.FINISHED,
    Outcome.FAILED: MarkState.WILL_NOT_DRY,
    Outcome.ASK: MarkState.READY_FOR_REVIEW,
    Outcome.WAITING: MarkState.HOLDING,
    Outcome.NOT_SET_UP: MarkState.BARE,
}


class TrialRow:
    """One way: its button, its result, and the two answers a person can give."""

    def __init__(self, dialog: TrialDialog, trial: Trial, grid: QGridLayout, row: int) -> None:
        self.trial, self._dialog = trial, dialog
        body = dialog.body
        self.outcome: Outcome | None = None
        self.mark = QLabel(body)
        self.mark.setFixedSize(MARK_PX, MARK_PX)
        self.words = label(body, f"trial_{trial.name}_words", wrap=True)
        self.words.setMinimumWidth(WORDS_PX)
        self.words.setText(dialog.tr("Not tried yet."))
        self.button = self._button(dialog.tr("Try"), "try", trial.title, self.start)
        self.yes = self._button(dialog.tr("Yes"), "yes", dialog.tr("It worked"), self.confirm)
        self.no = self._button(dialog.tr("No"), "no", dialog.tr("It did not work"), self.deny)
        grid.addWidget(self.mark, row, 0)
        grid.addWidget(QLabel(trial.title, body), row, 1)
        grid.addWidget(self.button, row, 2)
        grid.addWidget(self.words, row, 3)
        answers = QHBoxLayout()
        answers.setSpacing(GAP)
        answers.addWidget(self.yes)
        answers.addWidget(self.no)
        grid.addLayout(answers, row, 4)
        self._ask(wanted=False)

    def _button(self, text: str, name: str, spoken: str, slot: object) -> QPushButton:
        button = QPushButton(text, self._dialog.body)
        button.setObjectName(f"trial_{self.trial.name}_{name}")
        spoken = f"{text}: {self.trial.title}" if name == "try" else f"{self.trial.title}: {spoken}"
        button.setAccessibleName(spoken)
        button.setAutoDefault(False)
        button.clicked.connect(slot)
        return button

    @Slot()
    def start(self) -> None:
        """Try it."""
        self.trial.act(self.show_result)

    def show_result(self, result: Result) -> None:
        """Show how it came out; a dialog that has gone shows nothing."""
        if not shiboken6.isValid(self._dialog):
            return
        self.outcome = result.outcome
        self.words.setText(breakable(result.text))
        ratio = self._dialog.devicePixelRatioF()
        mark = mark_pixmap(MARKS[result.outcome], worn_theme(), MARK_PX, ratio)
        self.mark.setPixmap(mark)
        self._ask(wanted=result.outcome is Outcome.ASK)
        self._dialog.on_result(self)

    def _ask(self, *, wanted: bool) -> None:
        for button in (self.yes, self.no):
            button.setEnabled(wanted)

    @Slot()
    def confirm(self) -> None:
        """A person says that it reached them."""
        self.show_result(Result(Outcome.WORKED, self._dialog.tr("You confirmed it.")))

    @Slot()
    def deny(self) -> None:
        """A person says that it did not."""
        text = self._dialog.tr("It did not reach you.")
        self.show_result(Result(Outcome.FAILED, f"{text} {self.trial.hint}".strip()))


class TrialDialog(SessionDialog):
    """Walks through each way of telling."""

    def __init__(
        self, session: DeskSession, bridge: AlertBridge, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, "trial_dialog", "", parent)
        self.setWindowTitle(self.tr("Test my alerts"))
        self._bridge = bridge
        self._looks = 0
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self._look_at_broker)
        self.rows: dict[str, TrialRow] = {}
        self._lay_out()
        self.all_button = self.add_button(
            self.tr("Try all"), "trial_all", ButtonRole.ResetRole, self.try_all
        )
        self.close_button = self.add_primary(self.tr("Close"), "trial_close", self.accept)
        if bridge.sounding.is_held(session.opened.shop, session.now()):
            self.say(
                self.tr(
                    "The sound is held back just now (muted, quiet hours, or switched off): a "
                    "trial is heard, a real alert would not be."
                )
            )

    def _lay_out(self) -> None:
        body = self.body
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2 * GAP)
        grid.setVerticalSpacing(GAP)
        grid.setColumnStretch(3, 1)
        for number, trial in enumerate(trials(self.session, self._bridge)):
            self.rows[trial.name] = TrialRow(self, trial, grid, number)
        self.summary = label(body, "trial_summary", wrap=True)
        sleep = label(body, "trial_sleep", "muted", wrap=True)
        sleep.setText(
            self.tr(
                "While the computer sleeps nothing sounds: what comes due then is told on waking. "
                "Keep it awake at the rack, or let the calendar file reach your phone. Systems "
                "that put programs to rest in the background may be up to a minute late."
            )
        )
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        title = self.tr("Try each way, and say whether it reached you")
        column.addWidget(heading(body, "trial_heading", title))
        column.addLayout(grid)
        column.addWidget(self.summary)
        column.addWidget(sleep)
        column.addStretch(1)
        body.setMinimumWidth(WIDTH_PX)
        self._sum_up()

    @Slot()
    def try_all(self) -> None:
        """Try everything; the second sound waits until the first is over."""
        for number, row in enumerate(self.rows.values()):
            wait = 2_000 if row.trial.name == "alarm" else 0
            QTimer.singleShot(wait + number, self, row.start)

    def on_result(self, row: TrialRow) -> None:
        """Take in how one came out."""
        if row.trial.name == "broker" and row.outcome is Outcome.WAITING:
            self._looks = 0
            self._timer.start()
        self._sum_up()
        self.fit()

    def _sum_up(self) -> None:
        """Say how far the trials have come."""
        worked = sum(row.outcome is Outcome.WORKED for row in self.rows.values())
        failed = sum(row.outcome is Outcome.FAILED for row in self.rows.values())
        asked = sum(row.outcome is Outcome.ASK for row in self.rows.values())
        self.summary.setText(
            self.tr("{worked} worked, {failed} did not, {asked} wait for your answer.").format(
                worked=worked, failed=failed, asked=asked
            )
        )

    @Slot()
    def _look_at_broker(self) -> None:
        self._looks += 1
        result = look_at_broker(self._bridge, patience_over=self._looks >= LOOKS)
        if result is not None:
            self._timer.stop()
            self.rows["broker"].show_result(result)

    def done(self, answer: int) -> None:
        """Stop looking when it closes."""
        self._timer.stop()
        super().done(answer)
