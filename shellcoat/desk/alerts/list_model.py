"""The lists of the alerts panel: what is open, of one kind, oldest first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from PySide6.QtCore import QCoreApplication, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QWidget

from shellcoat.alerts import words
from shellcoat.alerts.life import Alert, AlertState
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.dialogs.text_table import TextTableModel

Index = QModelIndex | QPersistentModelIndex


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("AlertList", text)


class AlertListModel(TextTableModel):
    """One line an alert: what it is, and how far it has come; the mark of its kind before it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__((translate("What"), translate("State")), parent)
        self.alerts: list[Alert] = []
        self.icon = QIcon()

    def show_alerts(self, alerts: Sequence[Alert], bridge: AlertBridge, now: datetime) -> None:
        """Show other alerts."""
        self.alerts = list(alerts)
        self.set_rows(
            [
                (words.one(one, now, bridge.say_time), write_state(one, bridge))
                for one in self.alerts
            ]
        )

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The texts, and the mark before the first of them."""
        if role == Qt.ItemDataRole.DecorationRole and index.column() == 0:
            return self.icon
        return super().data(index, role)


def write_state(alert: Alert, bridge: AlertBridge) -> str:
    """How far an alert has come, and by whom."""
    who = bridge.who(alert)
    if alert.state is AlertState.SEEN:
        return translate("seen by {who}").format(who=who)
    if alert.state is AlertState.PUT_OFF and alert.until is not None:
        text = translate("put off until {time} by {who}")
        return text.format(time=bridge.say_time(alert.until), who=who)
    return translate("told, not seen") if alert.state is AlertState.TOLD else translate("due")
