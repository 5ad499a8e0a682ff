"""The alerts panel, its banners and its menu: seen, put off, muted, gone to, by keyboard too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, ROOM, SetClock

from shellcoat.alerts.alarms import BackupFault
from shellcoat.alerts.life import AlertKind, AlertState
from shellcoat.book import open_book
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.panel import AlertPanel
from shellcoat.desk.alerts.ways import Played
from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import AirReading, AlertMark, AlertStep, Shell

PROMPT, ALARM = AlertKind.PROMPT, AlertKind.ALARM
LATER = NOW + timedelta(hours=26)
"""By then the heron is dry, and nobody has read the air for more than a day."""


class Heard:
    """A player that only remembers."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, bridge: AlertBridge) -> None:
        self.kinds: list[AlertKind] = []
        monkeypatch.setattr(bridge.sound, "play", self._play)

    def _play(self, kind: AlertKind) -> Played:
        self.kinds.append(kind)
        return Played.SOUND


@pytest.fixture
def bridge(
    session: DeskSession, clock: SetClock, heron: Shell, read: AirReading, theme: Theme
) -> Iterator[AlertBridge]:
    """A bridge that has told what is due."""
    bridge = AlertBridge(session, None, session)
    clock.to(LATER)
    session.forecast_now()
    yield bridge
    bridge.close()


@pytest.fixture
def panel(qtbot: QtBot, session: DeskSession, bridge: AlertBridge) -> AlertPanel:
    return shown(qtbot, AlertPanel(session, bridge))


def texts(panel: AlertPanel, kind: AlertKind) -> list[tuple[str, str]]:
    model = panel.models[kind]
    rows = range(model.rowCount())
    return [tuple(str(model.index(row, column).data()) for column in (0, 1)) for row in rows]


def marks(session: DeskSession) -> list[AlertMark]:
    return session.opened.ledger.marks


def backups_fail(bridge: AlertBridge) -> None:
    bridge.on_backup(BackupFault(why="The disk is full.", last_good_at=NOW))


def test_prompts_and_alarms_stand_in_lists_of_their_own(
    panel: AlertPanel, bridge: AlertBridge
) -> None:
    backups_fail(bridge)
    ((prompt, told),) = texts(panel, PROMPT)
    assert prompt.startswith("Standing heron (A2): coat 3 of 9 dry since ")
    assert told == "told, not seen"
    ((alarm, _),) = texts(panel, ALARM)
    assert alarm.startswith("The book: not backed up; last good copy: ")
    assert alarm.endswith("The disk is full.")


def test_seen_is_kept_with_the_name_and_stays_in_the_list(
    panel: AlertPanel, session: DeskSession
) -> None:
    panel.seen_button.click()
    assert texts(panel, PROMPT)[0][1] == "seen by Ana"
    assert {mark.step for mark in marks(session)} == {AlertStep.TOLD, AlertStep.SEEN}


@pytest.mark.parametrize(
    ("button", "end"),
    [
        (0, LATER + timedelta(minutes=15)),
        (1, LATER + timedelta(hours=1)),
        # 15:00 UTC is 16:00 in Madrid; seven the next morning there is 06:00 UTC.
        (2, datetime(2026, 3, 7, 6, 0, tzinfo=UTC)),
    ],
    ids=["a quarter", "an hour", "tomorrow morning"],
)
def test_putting_off_has_an_end_and_an_owner_and_is_told_again_then(
    panel: AlertPanel,
    bridge: AlertBridge,
    session: DeskSession,
    clock: SetClock,
    button: int,
    end: datetime,
) -> None:
    panel.put_off_buttons[button].click()
    text = texts(panel, PROMPT)[0][1]
    assert text == f"put off until {bridge.say_time(end)} by Ana"
    (mark,) = [mark for mark in marks(session) if mark.step is AlertStep.PUT_OFF]
    assert mark.until == end
    said: list[list[str]] = []
    bridge.told.connect(said.append)
    clock.to(end - timedelta(seconds=1))
    bridge._on_due(None)
    assert said == []
    clock.to(end)
    bridge._on_due(None)
    assert len(said) == 1
    assert bridge.waiting(PROMPT)[0].turn == 1


def test_until_a_time_of_ones_own(panel: AlertPanel, session: DeskSession) -> None:
    panel.put_off_buttons[3].click()
    question = panel.question
    question.until.set_value(LATER - timedelta(hours=1))
    question.put_off_button.click()
    assert question.isVisible()
    assert "lies ahead" in question.until.message
    question.until.set_value(LATER + timedelta(hours=3))
    question.put_off_button.click()
    assert not question.isVisible()
    (mark,) = [mark for mark in marks(session) if mark.step is AlertStep.PUT_OFF]
    assert mark.until == LATER + timedelta(hours=3)


def test_an_alarm_of_the_book_leads_to_no_shell_and_a_prompt_to_its_own(
    qtbot: QtBot, panel: AlertPanel, bridge: AlertBridge, heron: Shell
) -> None:
    backups_fail(bridge)
    panel.tables[ALARM].selectRow(0)
    assert panel.chosen()[0].kind is ALARM
    assert not panel.go_button.isEnabled()
    panel.tables[PROMPT].selectRow(0)
    assert [one.kind for one in panel.chosen()] == [PROMPT]
    with qtbot.waitSignal(panel.shell_requested) as asked:
        panel.go_button.click()
    assert asked.args == [heron.id]
    assert not panel.isVisible()


def test_it_is_worked_by_keyboard_alone(
    qtbot: QtBot, panel: AlertPanel, bridge: AlertBridge, heron: Shell
) -> None:
    table = panel.tables[PROMPT]
    qtbot.waitUntil(lambda: QApplication.focusWidget() is table)
    qtbot.keyClick(table, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is panel.seen_button
    qtbot.keyClick(panel.seen_button, Qt.Key.Key_Space)
    assert texts(panel, PROMPT)[0][1] == "seen by Ana"
    asked: list[UUID] = []
    panel.shell_requested.connect(asked.append)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert asked == [heron.id]


def test_a_room_that_nobody_reads_is_an_alarm_that_ends_with_a_reading(
    session: DeskSession, clock: SetClock, bridge: AlertBridge, read: AirReading, heron: Shell
) -> None:
    """The heron is wet again, and the last reading more than a day old."""
    from uuid import uuid4

    coats = session.opened.ledger.coats(heron.id)
    fresh = replace(coats[-1], id=uuid4(), dipped_at=LATER, step=heron.sequence.steps[3])
    session.opened.record(fresh, LATER)
    session.forecast_now()
    (alarm,) = [one for one in bridge.open_alerts(ALARM) if one.subject == "Dipping room"]
    assert alarm.since == read.read_at
    again = AirReading(id=uuid4(), room_id=ROOM, read_at=LATER, temp_c=21.0, rh=0.5)
    session.opened.record(again, LATER)
    session.forecast_now()
    assert [one for one in bridge.open_alerts(ALARM) if one.subject == "Dipping room"] == []


def test_the_sound_comes_again_until_it_is_seen_and_an_alarm_sounds_otherwise(
    monkeypatch: pytest.MonkeyPatch, bridge: AlertBridge, clock: SetClock
) -> None:
    heard = Heard(monkeypatch, bridge)
    bridge._on_due(None)  # what is told already sounds in its turn only
    for _ in range(11):
        clock.forward(minutes=1)
        bridge.look_at_sound()
    assert heard.kinds == [PROMPT, PROMPT]
    backups_fail(bridge)
    assert heard.kinds[-1] is ALARM
    bridge.mark_all_seen(ALARM)
    bridge.mark_all_seen(PROMPT)
    clock.forward(minutes=30)
    bridge.look_at_sound()
    assert len(heard.kinds) == 3


def test_muting_is_said_in_the_panel(panel: AlertPanel, bridge: AlertBridge) -> None:
    assert panel.held.isHidden()
    until = LATER + timedelta(hours=1)
    bridge.mute(until)
    assert panel.held.text() == f"The sound is muted until {bridge.say_time(until)}."
    bridge.mute(None)
    assert panel.held.isHidden()


def test_nothing_open_says_so(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    panel = shown(qtbot, AlertPanel(session, AlertBridge(session, None, session)))
    assert panel.empty[ALARM].isVisible()
    assert panel.empty[PROMPT].isVisible()
    assert not panel.seen_button.isEnabled()


@pytest.fixture
def window(
    qtbot: QtBot,
    session: DeskSession,
    theme: Theme,
    heron: Shell,
    read: AirReading,
    clock: SetClock,
    tmp_path,
) -> Iterator[MainWindow]:
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    clock.to(LATER)
    session.forecast_now()
    window = MainWindow(session, theme, "light")
    window.show()
    qtbot.waitExposed(window)
    yield window
    window.close()
    window.deleteLater()


def test_prompts_and_alarms_have_banners_of_their_own(
    qtbot: QtBot, window: MainWindow, session: DeskSession
) -> None:
    window.alerts.start()
    qtbot.waitUntil(window.alert_banner.isVisible)
    assert not window.alarm_banner.isVisible()
    backups_fail(window.alerts)
    assert "not backed up" in window.alarm_banner.text.text()
    assert "not backed up" not in window.alert_banner.text.text()
    window.alarm_banner.button.click()
    assert window.alerts.waiting(ALARM) == []
    assert len(window.alerts.waiting(PROMPT)) == 1
    assert window.alert_banner.isVisible()


def test_a_banner_goes_with_what_it_was_about(
    qtbot: QtBot, window: MainWindow, session: DeskSession, heron: Shell
) -> None:
    """A prompt with the dip, an alarm once it is seen or put off, and not by itself."""
    from uuid import uuid4

    window.alerts.start()
    qtbot.waitUntil(window.alert_banner.isVisible)
    backups_fail(window.alerts)
    coats = session.opened.ledger.coats(heron.id)
    session.opened.record(
        replace(coats[-1], id=uuid4(), dipped_at=LATER, step=heron.sequence.steps[3]), LATER
    )
    session.forecast_now()
    assert not window.alert_banner.isVisible()
    window.alerts.on_backup(None)
    assert window.alarm_banner.isVisible()
    backups_fail(window.alerts)
    window.alerts.put_off(window.alerts.waiting(ALARM), LATER + timedelta(hours=1))
    assert not window.alarm_banner.isVisible()


def test_seeing_a_prompt_does_not_take_an_unseen_alarm_down(
    qtbot: QtBot, window: MainWindow
) -> None:
    """The alarm is over by then, but nobody has seen that it was there."""
    window.alerts.start()
    qtbot.waitUntil(window.alert_banner.isVisible)
    backups_fail(window.alerts)
    window.alerts.on_backup(None)
    window.alert_banner.button.click()
    assert not window.alert_banner.isVisible()
    assert window.alarm_banner.isVisible()


@pytest.fixture
def office(
    session: DeskSession, clock: SetClock, heron: Shell, read: AirReading, theme: Theme
) -> Iterator[DeskSession]:
    """The same book, open at another station."""
    with open_book(session.opened.book.path) as book:
        office = DeskSession(OpenShop(book, who="Bea", station="office"), now=clock)
        yield office
        office.close()


def test_what_one_station_tells_the_other_shows_and_sounds_until_either_has_seen_it(
    session: DeskSession, office: DeskSession, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    bridges = [AlertBridge(one, None, one) for one in (session, office)]
    heard = [Heard(monkeypatch, bridge) for bridge in bridges]
    said: list[list[str]] = []
    answered: list[AlertKind] = []
    bridges[1].told.connect(said.append)
    bridges[1].answered.connect(answered.append)
    for one, bridge in zip((session, office), bridges, strict=True):
        one.forecast_now()
        bridge._started = True  # without the clock's thread, whose turn nobody knows
    clock.to(LATER)
    session.forecast_now()
    bridges[0]._on_due(None)
    assert said == []
    office.look_for_news()
    office.forecast_now()
    bridges[1]._on_due(None)
    assert [lines[0].split(":")[0] for lines in said] == ["Standing heron (A2)"]
    assert [one.kinds for one in heard] == [[PROMPT], [PROMPT]]
    assert len([mark for mark in marks(office) if mark.step is AlertStep.TOLD]) == 1
    bridges[0].mark_all_seen(PROMPT)
    office.look_for_news()
    assert answered == [PROMPT]
    clock.forward(minutes=30)
    bridges[1].look_at_sound()
    assert heard[1].kinds == [PROMPT]


def test_an_alarm_nobody_has_seen_stands_in_its_banner_again_after_a_restart(
    session: DeskSession, bridge: AlertBridge, theme: Theme
) -> None:
    backups_fail(bridge)
    again = AlertBridge(session, None, session)
    again._backup = bridge._backup
    alarmed: list[list[str]] = []
    again.alarmed.connect(alarmed.append)
    session.forecast_now()
    assert [lines[0].split(":")[0] for lines in alarmed] == ["The book"]
    assert len([mark for mark in marks(session) if mark.step is AlertStep.TOLD]) == 2


def test_a_backup_that_cannot_be_made_is_told_once(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    from shellcoat.book.faults import NotSavedError

    def fail(*_given: object) -> None:
        raise NotSavedError(window.session.opened.book.path, "the disk is full")

    monkeypatch.setattr("shellcoat.desk.backups.back_up", fail)
    window.alerts.start()
    said: list[list[str]] = []
    window.alerts.alarmed.connect(said.append)
    for _ in range(2):
        with qtbot.waitSignal(window.backups.looked):
            window.backups.look()
    assert len(said) == 1
    assert "last good copy: never" in said[0][0]
    monkeypatch.undo()
    with qtbot.waitSignal(window.backups.looked):
        window.backups.look()
    assert window.alerts.open_alerts(ALARM) == []


def test_the_menu_mutes_until_a_time_and_lets_it_sound_again(window: MainWindow) -> None:
    names = {action.objectName(): action for action in window.findChildren(QAction)}
    names["alerts_mute_60"].trigger()
    assert window.alerts.sounding.muted_until == LATER + timedelta(hours=1)
    assert "muted until" in window.statusBar().currentMessage()
    names["alerts_mute_off"].trigger()
    assert window.alerts.sounding.muted_until is None


def test_a_put_off_alert_survives_a_restart_of_the_program(
    session: DeskSession, bridge: AlertBridge, clock: SetClock
) -> None:
    bridge.put_off(bridge.waiting(PROMPT), LATER + timedelta(hours=2))
    again = AlertBridge(session, None, session)
    clock.forward(hours=1)
    session.forecast_now()
    (one,) = again.open_alerts(PROMPT)
    assert one.state is AlertState.PUT_OFF
    assert again.who(one) == "Ana"
