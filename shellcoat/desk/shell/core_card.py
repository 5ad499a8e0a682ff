"""The card of one core: how dry it is, how its opening closes, what helps, what was done."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import CARD_MARGIN, label
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.fields import QuantityField
from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.core_drawing import CoreDrawing
from shellcoat.desk.shell.core_picture import core_picture
from shellcoat.desk.shell.core_words import (
    care_words,
    core_mark,
    no_help_words,
    openings_words,
    without_name,
)
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import ActionKind, CoreAction, CoreAnswer, ShellForecast
from shellcoat.operations.cores import (
    blowing_now,
    log_care,
    stop_blowing,
    write_action,
    write_closing,
    write_core,
)
from shellcoat.shop import CareKind, Core, Shell
from shellcoat.units import Quantity

MARK_SIDE_PX = 22
LEAST_NAME_PX = 120
USUAL_FLOW_M3_S = 10.0 / 60_000.0
"""What is offered to begin with [m3/s]: 10 L/min, a small air pump; common practice."""

LEAST_FLOW_M3_S, MOST_FLOW_M3_S = 1e-6, 1.0
LONGEST_NAME = 32
MOST_ACTIONS = 5
SHORTEST_WAIT_S = 600.0


class CoreCard(QFrame):
    """One core; keeps what is typed in it while the forecast is made anew."""

    def __init__(
        self, session: DeskSession, theme: Theme, shell: Shell, core: Core, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setObjectName("core_card")
        self.setProperty("role", "card")
        self.session, self.theme, self.shell, self.core = session, theme, shell, core
        self._mark: tuple[MarkState, str] | None = None
        self._no_help = ""
        self._make_words()
        self._make_buttons()
        self.drawing = CoreDrawing(session, theme, self)
        self._lay_out()

    def _make_words(self) -> None:
        self.name = label(self, "core_title", "headline")
        self.name.setMinimumWidth(LEAST_NAME_PX)
        self.name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.mark = label(self, "core_mark")
        self.word = label(self, "core_mark_word", "headline")
        self.state = label(self, "core_state", wrap=True)
        self.closing = label(self, "core_closing", wrap=True)
        self.measured = label(self, "core_measured", wrap=True)
        self.care = label(self, "core_care", wrap=True)
        self.helps = label(self, "core_helps", "headline")
        self.helps.setText(self.tr("What would help now"))
        self.advice = label(self, "core_actions", wrap=True)
        for words in (self.state, self.closing, self.measured, self.care, self.advice, self.name):
            words.setTextFormat(Qt.TextFormat.PlainText)

    def _make_buttons(self) -> None:
        self.flow = QuantityField(
            self.session,
            self.tr("Air flow"),
            Quantity.FLOW,
            low=LEAST_FLOW_M3_S,
            high=MOST_FLOW_M3_S,
            parent=self,
        )
        self.flow.setObjectName("core_flow")
        self.flow.set_value(USUAL_FLOW_M3_S)
        self.flow.line.setFixedWidth(120)
        self.blow_button = self._button(self.tr("Blow air in"), "core_blow", self._on_blow)
        self.stop_button = self._button(self.tr("Stop blowing"), "core_stop", self._on_stop)
        self.turn_button = self._button(self.tr("Turned over"), "core_turn", self._on_turn)
        self.plug_button = self._button(self.tr("Plugged"), "core_plug", self._on_plug)
        self.open_button = self._button(self.tr("Opened"), "core_open", self._on_open)

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAccessibleName(f"{text}: {shortened(self.core.name)}")
        button.clicked.connect(slot)
        return button

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.name, 1)
        head.addWidget(self.mark)
        head.addWidget(self.word)
        words = QVBoxLayout()
        words.setSpacing(GAP)
        for each in (self.state, self.closing, self.measured, self.care):
            words.addWidget(each)
        words.addStretch(1)
        across = QHBoxLayout()
        across.setSpacing(CARD_MARGIN)
        across.addWidget(self.drawing, 0, Qt.AlignmentFlag.AlignTop)
        across.addLayout(words, 1)
        deeds = QHBoxLayout()
        top = Qt.AlignmentFlag.AlignTop
        for widget in (self.flow, self.blow_button, self.stop_button, self.turn_button):
            deeds.addWidget(widget, 0, top)
        deeds.addWidget(self.plug_button, 0, top)
        deeds.addWidget(self.open_button, 0, top)
        deeds.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(CARD_MARGIN, CARD_MARGIN, CARD_MARGIN, CARD_MARGIN)
        column.addLayout(head)
        column.addLayout(across)
        column.addWidget(self.helps)
        column.addWidget(self.advice)
        column.addLayout(deeds)

    def show_core(self, shell: Shell, core: Core, forecast: ShellForecast, now: datetime) -> None:
        """Show the core as it stands now."""
        self.shell, self.core = shell, core
        answer = next((each for each in forecast.cores if each.core_id == core.id), None)
        self.name.setText(shortened(core.name, LONGEST_NAME))
        self.name.setToolTip(core.name)
        self._mark = core_mark(answer, now)
        self._show_mark()
        self._show_sentences(answer, now)
        self.drawing.show_picture(core_picture(core, answer, shell, forecast))
        self._show_buttons(answer, now)

    def _show_mark(self) -> None:
        if self._mark is None:
            return
        state, word = self._mark
        ratio = self.devicePixelRatioF()
        self.mark.setPixmap(mark_pixmap(state, self.theme, MARK_SIDE_PX, ratio))
        self.word.setText(word)

    def _show_sentences(self, answer: CoreAnswer | None, now: datetime) -> None:
        opened = self.session.opened
        acts = opened.ledger.care().get(self.shell.id, ())
        texts = {
            self.state: without_name(write_core(answer, opened, now), self.core) if answer else "",
            self.closing: write_closing(answer) if answer and not answer.closed else "",
            self.measured: openings_words(self.session, self.core),
            self.care: care_words(self.session, acts, self.core.id, now),
        }
        for words, text in texts.items():
            words.setText(breakable(text))
            words.setVisible(bool(text))
        self._no_help = no_help_words(answer, now)
        self.helps.setVisible(answer is not None)
        self.advice.setVisible(answer is not None)

    def _show_buttons(self, answer: CoreAnswer | None, now: datetime) -> None:
        writable = not self.session.opened.book.read_only
        plugged = answer is not None and answer.plugged
        shut = plugged or (answer is not None and answer.closed)
        blowing = blowing_now(self.session.opened, self.core.id, now) is not None
        for widget in (self.flow, self.blow_button):
            widget.setVisible(not blowing)
            widget.setEnabled(writable and not shut)
        self.stop_button.setVisible(blowing)
        self.stop_button.setEnabled(writable)
        self.turn_button.setEnabled(writable)
        self.plug_button.setEnabled(writable and not plugged)
        self.open_button.setEnabled(writable and plugged)

    def say_computing(self) -> None:
        """Say that the actions are on their way."""
        self.advice.setText(self.tr("Computing what would help…"))

    def show_actions(self, actions: tuple[CoreAction, ...]) -> None:
        """List what could be done, what gains most first."""
        units = self.session.opened.units
        some = [each for each in actions if not _is_over(each)]
        lines = [write_action(action, units) for action in some[:MOST_ACTIONS]]
        numbered = [f"{number}.  {line}" for number, line in enumerate(lines, start=1)]
        self.advice.setText("\n".join(numbered) or self._no_help)

    def _log(self, kind: CareKind, *, flow_m3_s: float | None = None) -> None:
        session, now = self.session, self.session.now()
        core_id = None if kind is CareKind.TURN else self.core.id
        session.attempt(
            lambda: log_care(
                session.opened, self.shell.id, core_id, kind, now, now, flow_m3_s=flow_m3_s
            )
        )

    @Slot()
    def _on_blow(self) -> None:
        flow = self.session.attempt(self.flow.required)
        if flow is not None:
            self._log(CareKind.BLOW, flow_m3_s=flow)

    @Slot()
    def _on_stop(self) -> None:
        opened, now = self.session.opened, self.session.now()
        blowing = blowing_now(opened, self.core.id, now)
        if blowing is not None:
            self.session.attempt(lambda: stop_blowing(opened, blowing, now))

    @Slot()
    def _on_turn(self) -> None:
        self._log(CareKind.TURN)

    @Slot()
    def _on_plug(self) -> None:
        self._log(CareKind.PLUG)

    @Slot()
    def _on_open(self) -> None:
        self._log(CareKind.OPEN)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.theme = theme
        self.drawing.set_theme(theme)
        self._show_mark()


def _is_over(action: CoreAction) -> bool:
    """Whether there is nothing left to wait for."""
    return action.kind is ActionKind.WAIT and (action.amount or 0.0) < SHORTEST_WAIT_S
