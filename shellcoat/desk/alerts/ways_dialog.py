"""How the shop is called: how often it sounds, quiet hours, the calendar file, the broker."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.fields import ClockField, FolderField, NumberField
from shellcoat.desk.alerts.outlets import PASSWORDS
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP, FieldGrid
from shellcoat.desk.dialogs.fields import TextField
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.shop import AlertHabits, Broker
from shellcoat.shop.alert_habits import MOST_READING_LIMIT_S, MOST_REPEAT_MIN

HOUR_S = 3600.0
USUAL_NIGHT = (time(22, 0), time(6, 0))
COLUMN_PX = 460


class AlertWaysDialog(SessionDialog):
    """The shop's habits, and the folder of this machine's calendar file."""

    def __init__(
        self, session: DeskSession, bridge: AlertBridge, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, "ways_dialog", "", parent)
        self.setWindowTitle(self.tr("Ways of telling"))
        self._bridge = bridge
        self._original = session.opened.shop
        self._standing = Standing(session.opened, self._original.id)
        self._make_call_fields()
        self._make_calendar_fields()
        self._make_broker_fields()
        self._lay_out()
        self._fill()
        self.save_button = self.add_primary(self.tr("Save"), "ways_save", self.save)
        self.add_cancel(self.tr("Cancel"), "ways_cancel")
        self.guard_saving(self.save_button)

    def _make_call_fields(self) -> None:
        body, hours = self.body, round(MOST_READING_LIMIT_S / HOUR_S)
        self.repeat = NumberField(
            self.tr("Sound again every"), 0, MOST_REPEAT_MIN, "min", body, self.tr("only once")
        )
        self.repeat.setObjectName("ways_repeat")
        self.quiet = QCheckBox(self.tr("&Quiet hours: no sound, but nothing is lost"), body)
        self.quiet.setObjectName("ways_quiet")
        self.quiet_from = ClockField(self.tr("Quiet from"), body)
        self.quiet_from.setObjectName("ways_quiet_from")
        self.quiet_until = ClockField(self.tr("Quiet until"), body)
        self.quiet_until.setObjectName("ways_quiet_until")
        for field in (self.quiet_from, self.quiet_until):
            self.quiet.toggled.connect(field.setEnabled)
        self.limit = NumberField(
            self.tr("Longest time without an air reading"), 1, hours, "h", body
        )
        self.limit.setObjectName("ways_limit")

    def _make_calendar_fields(self) -> None:
        self.folder = FolderField(self.tr("Folder of the calendar file"), self.body)
        self.folder.setObjectName("ways_folder")
        self.folder_words = self._words(
            "ways_folder_words",
            self.tr(
                "A folder that your phone reads as well. Empty: no file. Each computer has its own."
            ),
        )

    def _make_broker_fields(self) -> None:
        body = self.body
        self.use_broker = QCheckBox(self.tr("Send &messages to a broker (MQTT)"), body)
        self.use_broker.setObjectName("ways_broker")
        self.host = TextField(self.tr("Host"), body)
        self.host.setObjectName("ways_host")
        self.port = NumberField(self.tr("Port"), 1, 65535, "", body)
        self.port.setObjectName("ways_port")
        self.topic = TextField(self.tr("Topic"), body)
        self.topic.setObjectName("ways_topic")
        self.user = TextField(self.tr("User"), body)
        self.user.setObjectName("ways_user")
        self.password = TextField(self.tr("Password"), body)
        self.password.setObjectName("ways_password")
        self.password.line.setEchoMode(QLineEdit.EchoMode.Password)
        self.password.line.setPlaceholderText(self.tr("as it is"))
        self.encrypted = QCheckBox(self.tr("&Encrypted (TLS)"), body)
        self.encrypted.setObjectName("ways_encrypted")
        self.password_words = self._words(
            "ways_password_words",
            self.tr(
                "The password goes into this computer's keyring if it has one, else it is asked "
                "for once a session. It never goes into the book."
            ),
        )
        for field in self._broker_fields:
            self.use_broker.toggled.connect(field.setEnabled)

    def _words(self, name: str, text: str) -> QWidget:
        words = label(self.body, name, "muted", wrap=True)
        words.setText(text)
        return words

    @property
    def _broker_fields(self) -> tuple[QWidget, ...]:
        text = (self.host, self.port, self.topic, self.user, self.password)
        return (*text, self.encrypted)

    def _lay_out(self) -> None:
        body = self.body
        left, right = FieldGrid(), FieldGrid()
        left.add_heading(body, "ways_sound_heading", self.tr("Sound"))
        left.add(body, self.tr("&Again every"), self.repeat)
        left.add_below(
            self._words(
                "ways_repeat_words",
                self.tr(
                    "Until somebody has seen it. The sound itself is switched on and off in the "
                    "settings of the shop."
                ),
            )
        )
        left.add_wide(self.quiet)
        left.add(body, self.tr("&From"), self.quiet_from)
        left.add(body, self.tr("&Until"), self.quiet_until)
        left.add_heading(body, "ways_air_heading", self.tr("Alarm"))
        left.add(body, self.tr("Air not &read for"), self.limit)
        left.add_heading(body, "ways_calendar_heading", self.tr("Calendar file"))
        left.add(body, self.tr("Fo&lder"), self.folder)
        left.add_below(self.folder_words)
        right.add_heading(body, "ways_broker_heading", self.tr("Broker"))
        right.add_wide(self.use_broker)
        right.add(body, self.tr("&Host"), self.host)
        right.add(body, self.tr("&Port"), self.port)
        right.add(body, self.tr("&Topic"), self.topic)
        right.add(body, self.tr("U&ser"), self.user)
        right.add(body, self.tr("Pass&word"), self.password)
        right.add_below(self.password_words)
        right.add_wide(self.encrypted)
        across = QHBoxLayout(body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(COLUMN_GAP)
        for grid in (left, right):
            column = QVBoxLayout()
            column.setSpacing(GAP)
            column.addLayout(grid)
            column.addStretch(1)
            across.addLayout(column, 1)
        body.setMinimumWidth(2 * COLUMN_PX)

    def _fill(self) -> None:
        habits = self._original.alerts
        self.repeat.set_value(habits.repeat_min)
        self.quiet.setChecked(habits.quiet_from is not None)
        self.quiet_from.set_value(habits.quiet_from or USUAL_NIGHT[0])
        self.quiet_until.set_value(habits.quiet_until or USUAL_NIGHT[1])
        self.limit.set_value(round(habits.reading_limit_s / HOUR_S))
        self.folder.set_value(self._bridge.calendar.folder)
        broker = habits.broker or Broker(host="localhost")
        self.use_broker.setChecked(habits.broker is not None)
        self.host.set_value(broker.host)
        self.port.set_value(broker.port)
        self.topic.set_value(broker.topic)
        self.user.set_value(broker.user)
        self.encrypted.setChecked(broker.encrypted)
        self.quiet.toggled.emit(self.quiet.isChecked())
        self.use_broker.toggled.emit(self.use_broker.isChecked())

    @Slot()
    def save(self) -> None:
        """Keep what was chosen; what cannot be kept stays as it was typed."""
        if not self.all_right((self.host, self.topic, self.user, self.password)):
            return
        try:
            habits = self._filled()
        except MendableError as error:
            self.say_fault(str(error))
            return
        folder = self.folder.value()
        if folder is not None and not folder.is_dir():
            self.folder.show_message(
                self.tr("{folder} is not there. Choose a folder that is.").format(folder=folder)
            )
            self.point_at(self.folder)
            return
        broker, password = habits.broker, self.password.line.text()
        if broker is not None and password:
            PASSWORDS.hold(broker, password)
        if self.session.attempt(lambda: self._keep(habits)):
            self._bridge.calendar.choose(folder)
            self._bridge.calendar.update(self._bridge.alerts)
            if broker is not None and password:
                self._keep_password(broker, password)
            self.accept()

    def _filled(self) -> AlertHabits:
        quiet = self.quiet.isChecked()
        return AlertHabits(
            repeat_min=self.repeat.value(),
            quiet_from=self.quiet_from.value() if quiet else None,
            quiet_until=self.quiet_until.value() if quiet else None,
            reading_limit_s=self.limit.value() * HOUR_S,
            broker=self._filled_broker() if self.use_broker.isChecked() else None,
        )

    def _filled_broker(self) -> Broker:
        return Broker(
            host=self.host.value(),
            port=self.port.value(),
            topic=self.topic.value(),
            user=self.user.value(),
            encrypted=self.encrypted.isChecked(),
        )

    def _keep(self, habits: AlertHabits) -> bool:
        now, shop = self.session.now(), replace(self._original, alerts=habits)
        self._standing.check(now)
        if shop != self._original:
            self.session.opened.amend(shop, now)
        return True

    def _keep_password(self, broker: Broker, password: str) -> None:
        """A keyring may ask its person first, so it is not waited for here."""
        bridge = self._bridge
        self.session.runner.run(
            lambda: PASSWORDS.keep(broker, password),
            lambda _lasts: bridge.broker.connect_anew(),
            self.session.failed.emit,
        )
