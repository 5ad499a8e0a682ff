"""Ways of telling: the dialog that sets them up, what goes out, and the walk through all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time, timedelta
from pathlib import Path
from typing import ClassVar

import pytest
from icalendar import Calendar
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, SetClock

from shellcoat.alerts.broker import BrokerError, Link
from shellcoat.alerts.life import AlertKind
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts import outlets, trial_dialog
from shellcoat.desk.alerts.trial_dialog import TrialDialog
from shellcoat.desk.alerts.trials import Outcome
from shellcoat.desk.alerts.ways import Played
from shellcoat.desk.alerts.ways_dialog import AlertWaysDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import undo_coat
from shellcoat.shop import AirReading, AlertHabits, Broker, Shell

BARN = Broker(host="barn.local", port=8883, topic="yard/alerts", user="bench", encrypted=True)


class StandIn:
    """A connection that remembers what it was given; a test says how it stands."""

    made: ClassVar[list[StandIn]] = []

    def __init__(self, broker: Broker, password: str) -> None:
        self.broker, self.password = broker, password
        self.state, self.waiting = (Link.CONNECTING, "no answer at this host and port"), 0
        self.texts: list[str] = []
        self.closed = False
        self.made.append(self)

    def tell(self, lines) -> None:
        self.texts += [line.text for line in lines]

    def send_trial(self) -> None:
        self.waiting += 1

    def close(self) -> None:
        self.closed = True


@pytest.fixture(autouse=True)
def away_from_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No settings, keyring or network of this machine."""
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    QSettings().setValue(outlets.FOLDER_KEY, "")
    monkeypatch.setattr("shellcoat.alerts.passwords._keyring", lambda: None)
    monkeypatch.setattr("shellcoat.alerts.broker.BrokerWay", StandIn)
    monkeypatch.setattr(outlets.PASSWORDS, "_session", {})
    StandIn.made = []


@pytest.fixture
def bridge(
    session: DeskSession, heron: Shell, read: AirReading, theme: Theme
) -> Iterator[AlertBridge]:
    bridge = AlertBridge(session, None, session)
    session.forecast_now()
    bridge.start()
    yield bridge
    bridge.close()


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, bridge: AlertBridge) -> AlertWaysDialog:
    return shown(qtbot, AlertWaysDialog(session, bridge))


def settle(qtbot: QtBot, session: DeskSession) -> None:
    qtbot.waitUntil(lambda: not session.runner.busy)


def choose_broker(qtbot: QtBot, session: DeskSession, broker: Broker | None) -> None:
    shop = session.opened.shop
    session.opened.amend(replace(shop, alerts=AlertHabits(broker=broker)), NOW)
    settle(qtbot, session)


def test_everything_is_kept_and_shown_again(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge, dialog: AlertWaysDialog, tmp_path: Path
) -> None:
    dialog.repeat.set_value(12)
    dialog.quiet.setChecked(True)
    dialog.quiet_from.set_value(time(21, 30))
    dialog.quiet_until.set_value(time(6, 15))
    dialog.limit.set_value(8)
    dialog.folder.set_value(tmp_path)
    dialog.use_broker.setChecked(True)
    dialog.host.set_value(BARN.host)
    dialog.port.set_value(BARN.port)
    dialog.topic.set_value(BARN.topic)
    dialog.user.set_value(BARN.user)
    dialog.password.set_value("kiln")
    dialog.encrypted.setChecked(True)
    dialog.save_button.click()
    settle(qtbot, session)
    assert session.opened.shop.alerts == AlertHabits(
        repeat_min=12,
        quiet_from=time(21, 30),
        quiet_until=time(6, 15),
        reading_limit_s=8 * 3600.0,
        broker=BARN,
    )
    assert bridge.calendar.folder == tmp_path
    assert StandIn.made[-1].password == "kiln"  # noqa: S105 - a made-up one
    again = shown(qtbot, AlertWaysDialog(session, bridge))
    assert again._filled() == session.opened.shop.alerts
    assert again.password.line.text() == ""


def test_the_password_is_nowhere_in_the_book(
    qtbot: QtBot, session: DeskSession, dialog: AlertWaysDialog
) -> None:
    dialog.use_broker.setChecked(True)
    dialog.user.set_value("bench")
    dialog.password.set_value("furnace-door-9417")
    dialog.save_button.click()
    settle(qtbot, session)
    folder = session.opened.book.path.parent
    kept = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    assert b"bench" in kept
    assert b"furnace-door-9417" not in kept


def test_nothing_is_written_without_a_change(session: DeskSession, dialog: AlertWaysDialog) -> None:
    before = len(session.opened.ledger.entries)
    dialog.save_button.click()
    assert not dialog.isVisible()
    assert len(session.opened.ledger.entries) == before


def test_faults_are_told_and_nothing_is_lost(
    session: DeskSession, dialog: AlertWaysDialog, tmp_path: Path
) -> None:
    before = session.opened.shop
    dialog.folder.set_value(tmp_path / "gone")
    dialog.save_button.click()
    assert "is not there" in dialog.folder.message
    dialog.folder.set_value(None)
    dialog.use_broker.setChecked(True)
    dialog.topic.set_value("yard/#")
    dialog.save_button.click()
    assert "pattern to listen with" in dialog.fault.text().replace("\u200b", "")
    dialog.topic.set_value("yard")
    dialog.quiet.setChecked(True)
    dialog.quiet_until.set_value(dialog.quiet_from.value())
    dialog.save_button.click()
    assert "same time" in dialog.fault.text()
    assert dialog.isVisible()
    assert session.opened.shop == before


def test_the_calendar_follows_what_happens(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge, heron: Shell, tmp_path: Path
) -> None:
    bridge.calendar.choose(tmp_path)
    session.forecast_now()
    settle(qtbot, session)
    path = tmp_path / "shellcoat heron-yard.ics"
    (event,) = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    assert str(event["SUMMARY"]) == "Standing heron: coat 3 of 9 safely dry, next dip"
    safe_at = session.forecasts[heron.id].safe_at
    assert safe_at is not None
    assert abs(event["DTSTART"].dt - safe_at) < timedelta(minutes=1)
    undo_coat(session.opened, session.opened.ledger.coats(heron.id)[-1].id, NOW)
    session.forecast_now()
    settle(qtbot, session)
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    standing = {str(one["SUMMARY"]): str(one["STATUS"]) for one in events}
    assert standing["Standing heron: coat 3 of 9 safely dry, next dip"] == "CANCELLED"
    assert standing["Standing heron: coat 2 of 9 safely dry, next dip"] == "CONFIRMED"


def test_a_calendar_that_cannot_be_written_is_told_once_and_tried_again(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge, tmp_path: Path
) -> None:
    said: list[str] = []
    bridge.failed.connect(said.append)
    bridge.calendar.choose(tmp_path / "gone")
    for _ in range(3):
        session.forecast_now()
        settle(qtbot, session)
    assert len(said) == 1
    assert "Choose a folder" in said[0]
    (tmp_path / "gone").mkdir()
    session.forecast_now()
    settle(qtbot, session)
    assert len(list((tmp_path / "gone").iterdir())) == 1


def test_what_is_told_goes_to_the_broker_the_shop_has_chosen(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge, clock: SetClock, heron: Shell
) -> None:
    choose_broker(qtbot, session, Broker(host="barn.local"))
    (way,) = StandIn.made
    safe_at = session.forecasts[heron.id].safe_at
    assert safe_at is not None
    clock.to(safe_at)
    session.forecast_now()
    bridge._on_due(None)
    assert [text.split(":")[0] for text in way.texts] == ["Standing heron (A2)"]
    choose_broker(qtbot, session, replace(way.broker, topic="elsewhere"))
    assert way.closed
    choose_broker(qtbot, session, None)
    assert [one.closed for one in StandIn.made] == [True, True]


def test_a_password_that_is_not_known_is_asked_for_and_then_used(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge
) -> None:
    said: list[str] = []
    bridge.failed.connect(said.append)
    choose_broker(qtbot, session, BARN)
    assert StandIn.made == []
    assert "wait for its password" in said[0]
    outlets.PASSWORDS.keep(BARN, "kiln")
    bridge.broker.connect_anew()
    settle(qtbot, session)
    assert [way.password for way in StandIn.made] == ["kiln"]


def test_a_broker_that_refuses_is_told_with_the_alert(
    qtbot: QtBot,
    session: DeskSession,
    bridge: AlertBridge,
    clock: SetClock,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(_way: StandIn, _lines: object) -> None:
        raise BrokerError("the broker barn.local refused the connection")

    monkeypatch.setattr(StandIn, "tell", refuse)
    choose_broker(qtbot, session, Broker(host="barn.local"))
    said: list[str] = []
    bridge.failed.connect(said.append)
    clock.forward(hours=20)
    session.forecast_now()
    bridge._on_due(None)
    assert said == [
        "Telling by message to the broker failed: the broker barn.local refused the connection"
    ]
    assert len(bridge.waiting(AlertKind.PROMPT)) == 1


@pytest.fixture
def trial(qtbot: QtBot, session: DeskSession, bridge: AlertBridge) -> TrialDialog:
    return shown(qtbot, TrialDialog(session, bridge))


def test_a_sound_is_played_and_the_person_says_whether_it_was_heard(
    trial: TrialDialog, bridge: AlertBridge, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[AlertKind] = []

    def play(kind: AlertKind) -> Played:
        heard.append(kind)
        return Played.SOUND if kind is AlertKind.ALARM else Played.BEEP

    monkeypatch.setattr(bridge.sound, "play", play)
    prompt, alarm = trial.rows["prompt"], trial.rows["alarm"]
    assert not prompt.yes.isEnabled()
    prompt.button.click()
    alarm.button.click()
    assert heard == [AlertKind.PROMPT, AlertKind.ALARM]
    assert "beeped" in prompt.words.text()
    assert trial.summary.text() == "0 worked, 0 did not, 2 wait for your answer."
    prompt.yes.click()
    alarm.no.click()
    assert (prompt.outcome, alarm.outcome) == (Outcome.WORKED, Outcome.FAILED)
    assert "loudspeaker" in alarm.words.text()
    assert trial.summary.text() == "1 worked, 1 did not, 0 wait for your answer."


def test_what_is_not_set_up_says_where_to(trial: TrialDialog) -> None:
    for name in ("calendar", "broker"):
        trial.rows[name].button.click()
        assert trial.rows[name].outcome is Outcome.NOT_SET_UP
        assert "Ways of telling" in trial.rows[name].words.text()


def test_a_desktop_without_notifications_says_so(trial: TrialDialog) -> None:
    trial.rows["notification"].button.click()
    assert trial.rows["notification"].outcome is Outcome.FAILED
    assert "takes no notifications" in trial.rows["notification"].words.text()


def test_the_calendar_is_written_and_the_person_looks_at_the_phone(
    qtbot: QtBot, session: DeskSession, trial: TrialDialog, bridge: AlertBridge, tmp_path: Path
) -> None:
    bridge.calendar.choose(tmp_path)
    row = trial.rows["calendar"]
    row.button.click()
    settle(qtbot, session)
    assert row.outcome is Outcome.ASK, row.words.text()
    assert "Due times in it: 1." in row.words.text().replace("\u200b", "")
    bridge.calendar.choose(tmp_path / "gone")
    row.button.click()
    settle(qtbot, session)
    assert row.outcome is Outcome.FAILED


def test_the_broker_confirms_by_itself_or_says_why_not(
    qtbot: QtBot,
    session: DeskSession,
    trial: TrialDialog,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(trial_dialog, "LOOKS", 2)
    choose_broker(qtbot, session, Broker(host="barn.local"))
    (way,), row = StandIn.made, trial.rows["broker"]
    row.button.click()
    assert row.outcome is Outcome.WAITING
    qtbot.waitUntil(lambda: row.outcome is Outcome.FAILED)
    assert "no answer at this host" in row.words.text()
    row.button.click()
    way.state, way.waiting = (Link.CONNECTED, ""), 0
    qtbot.waitUntil(lambda: row.outcome is Outcome.WORKED)


def test_a_real_alert_that_would_be_silent_just_now_is_said_beforehand(
    qtbot: QtBot, session: DeskSession, bridge: AlertBridge
) -> None:
    bridge.mute(NOW + timedelta(hours=1))
    trial = shown(qtbot, TrialDialog(session, bridge))
    assert "held back just now" in trial.notice.text()


def test_a_trial_marks_nothing_in_the_book(
    qtbot: QtBot, session: DeskSession, trial: TrialDialog
) -> None:
    before = len(session.opened.ledger.entries)
    for row in trial.rows.values():
        row.button.click()
    settle(qtbot, session)
    assert len(session.opened.ledger.entries) == before
