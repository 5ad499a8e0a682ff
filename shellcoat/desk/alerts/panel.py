"""The list of what is open: prompts and alarms apart, to be seen, put off, or gone to."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

from PySide6.QtCore import QEvent, QSize, Signal, Slot
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.alerts.life import Alert, AlertKind
from shellcoat.alerts.putting_off import HOUR, QUARTER, tomorrow_morning
from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.list_model import AlertListModel
from shellcoat.desk.alerts.until_dialog import UntilDialog
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.dialogs.lettering import worn_theme
from shellcoat.desk.dialogs.text_table import text_table
from shellcoat.desk.marks import MarkState, mark_icon, mark_pixmap
from shellcoat.desk.session import DeskSession

SIZE = QSize(1100, 560)
STATE_PX = 300
LEAST_TABLE_PX = 120
ICON_PX = 22
MARKS = {AlertKind.ALARM: MarkState.WARNING, AlertKind.PROMPT: MarkState.DIP_DUE}


class AlertPanel(SessionDialog):
    """Everything that waits for a person.

    Signals
    -------
    shell_requested : the shell to go to
    """

    shell_requested = Signal(object)

    def __init__(
        self, session: DeskSession, bridge: AlertBridge, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, "alerts_dialog", "", parent)
        self.setWindowTitle(self.tr("Alerts"))
        self._bridge = bridge
        self.models = {kind: AlertListModel(self.body) for kind in AlertKind}
        self.tables = {
            AlertKind.ALARM: self._table(AlertKind.ALARM, "alerts_alarms", self.tr("Alarms")),
            AlertKind.PROMPT: self._table(AlertKind.PROMPT, "alerts_prompts", self.tr("Prompts")),
        }
        self.empty = {
            kind: label(self.body, f"alerts_none_{kind.value}", "muted") for kind in AlertKind
        }
        self.empty[AlertKind.ALARM].setText(self.tr("No alarm is open."))
        self.empty[AlertKind.PROMPT].setText(self.tr("Nothing waits for the next step."))
        self.held = label(self.body, "alerts_held", wrap=True)
        self._make_buttons()
        self._lay_out()
        self.close_button = self.add_primary(self.tr("Close"), "alerts_close", self.accept)
        self._show_marks()
        bridge.changed.connect(self.fill)
        self.fill()
        self._choose_first()

    def _table(self, kind: AlertKind, name: str, spoken: str) -> QTableView:
        table = text_table(self.models[kind], name, spoken, (), self.body)
        table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setIconSize(QSize(ICON_PX, ICON_PX))
        table.setMinimumHeight(LEAST_TABLE_PX)
        table.setWordWrap(False)
        across = table.horizontalHeader()
        across.setStretchLastSection(False)
        across.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        across.resizeSection(1, STATE_PX)
        table.activated.connect(self._go)
        table.selectionModel().selectionChanged.connect(partial(self._on_chosen, kind))
        return table

    def _make_buttons(self) -> None:
        self.seen_button = self._button(self.tr("&Seen"), "alerts_seen", self._seen)
        self.go_button = self._button(self.tr("&Go to shell"), "alerts_go", self._go)
        self.put_off_buttons = [
            self._button(self.tr("&15 min"), "alerts_15", lambda: self._put_off(_quarter)),
            self._button(self.tr("1 &h"), "alerts_60", lambda: self._put_off(_hour)),
            self._button(
                self.tr("&Tomorrow morning"), "alerts_morning", lambda: self._put_off(self._morning)
            ),
            self._button(self.tr("&Until…"), "alerts_until", self._ask_until),
        ]
        names = (
            self.tr("Put off for 15 minutes"),
            self.tr("Put off for an hour"),
            self.tr("Put off until tomorrow morning"),
            self.tr("Put off until a time…"),
        )
        for button, name in zip(self.put_off_buttons, names, strict=True):
            button.setAccessibleName(name)

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self.body)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(lambda _checked: slot())
        return button

    def _lay_out(self) -> None:
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        titles = {AlertKind.ALARM: self.tr("Alarms"), AlertKind.PROMPT: self.tr("Prompts")}
        for kind, table in self.tables.items():
            column.addWidget(heading(self.body, f"alerts_title_{kind.value}", titles[kind]))
            column.addWidget(self.empty[kind])
            column.addWidget(table, 1)
        column.addWidget(self.held)
        acts = QHBoxLayout()
        acts.addWidget(self.seen_button)
        acts.addSpacing(2 * GAP)
        words = QLabel(self.tr("Put off:"), self.body)
        words.setBuddy(self.put_off_buttons[0])
        acts.addWidget(words)
        for button in self.put_off_buttons:
            acts.addWidget(button)
        acts.addStretch(1)
        acts.addWidget(self.go_button)
        column.addLayout(acts)

    def sizeHint(self) -> QSize:
        """Wide enough for a whole line."""
        return super().sizeHint().expandedTo(SIZE)

    @Slot()
    def fill(self) -> None:
        """Show what is open now; what was chosen stays chosen while it is."""
        chosen = {alert.about for alert in self.chosen()}
        now = self.session.now()
        for kind, model in self.models.items():
            alerts = self._bridge.open_alerts(kind)
            model.show_alerts(alerts, self._bridge, now)
            self.tables[kind].setVisible(bool(alerts))
            self.empty[kind].setVisible(not alerts)
            for row, alert in enumerate(alerts):
                if alert.about in chosen:
                    self.tables[kind].selectRow(row)
        self._say_held(now)
        self._allow()

    def _say_held(self, now: datetime) -> None:
        """Say why nothing is to be heard, where that is so."""
        sounding, shop = self._bridge.sounding, self.session.opened.shop
        self.held.setVisible(sounding.is_held(shop, now))
        muted = sounding.muted_until
        if muted is not None and now < muted:
            text = self.tr("The sound is muted until {time}.")
            self.held.setText(text.format(time=self._bridge.say_time(muted)))
        elif not shop.sound:
            self.held.setText(self.tr("The sound is switched off in the settings of the shop."))
        else:
            self.held.setText(self.tr("These are quiet hours: no sound until they end."))

    def _choose_first(self) -> None:
        for table in self.tables.values():
            if table.model().rowCount():
                table.selectRow(0)
                table.setFocus()
                return

    def chosen(self) -> list[Alert]:
        """The alerts that are chosen, all of one kind."""
        return [
            self.models[kind].alerts[index.row()]
            for kind, table in self.tables.items()
            for index in table.selectionModel().selectedRows()
        ]

    def _on_chosen(self, kind: AlertKind, *_changes: object) -> None:
        """One list at a time: what is chosen in the other is let go."""
        if self.tables[kind].selectionModel().hasSelection():
            for other, table in self.tables.items():
                if other is not kind:
                    table.clearSelection()
        self._allow()

    def _allow(self) -> None:
        chosen = self.chosen()
        for button in (self.seen_button, *self.put_off_buttons):
            button.setEnabled(bool(chosen))
        self.go_button.setEnabled(len(chosen) == 1 and chosen[0].shell_id is not None)

    def _seen(self) -> None:
        self._bridge.mark_seen(self.chosen())

    def _put_off(self, until: Callable[[datetime], datetime]) -> None:
        self._bridge.put_off(self.chosen(), until(self.session.now()))

    def _morning(self, now: datetime) -> datetime:
        return tomorrow_morning(now, self.session.opened.zone)

    def _ask_until(self) -> None:
        self.question = UntilDialog(self.session, self)
        self.question.chosen.connect(lambda until: self._put_off(lambda _now: until))
        self.question.open()

    @Slot()
    def _go(self) -> None:
        chosen = self.chosen()
        if len(chosen) == 1 and chosen[0].shell_id is not None:
            self.accept()
            self.shell_requested.emit(chosen[0].shell_id)

    def changeEvent(self, event: QEvent) -> None:
        """Take on new colours with the program."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "held"):
            self._show_marks()

    def _show_marks(self) -> None:
        theme, ratio = worn_theme(), self.devicePixelRatioF()
        for kind, model in self.models.items():
            model.icon = mark_icon(MARKS[kind], theme, ICON_PX)
            # A mark keeps its fill where its line is chosen; Qt would fade it.
            chosen = mark_pixmap(MARKS[kind], theme, ICON_PX, ratio)
            model.icon.addPixmap(chosen, QIcon.Mode.Selected)


def _quarter(now: datetime) -> datetime:
    return now + QUARTER


def _hour(now: datetime) -> datetime:
    return now + HOUR
