"""A scanner at the real windows: its keys reach no field, no button, and never twice."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot
from station_hands import Keys

from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.scan_filter import ScanFilter
from shellcoat.desk.station.window import StationWindow
from shellcoat.desk.station.work import Mode
from shellcoat.desk.theme import Theme
from shellcoat.shop import AirReading, Shell
from shellcoat.shop.label_code import code_text

FAST, SLOW = 4, 90


class Listener:
    """What was scanned."""

    def __init__(self, scans: ScanFilter) -> None:
        self.texts: list[str] = []
        scans.scanned.connect(self.texts.append)


@pytest.fixture
def window(qtbot: QtBot, theme: Theme) -> QWidget:
    """A window of another part of the program."""
    window = QWidget()
    qtbot.addWidget(window)
    return window


@pytest.fixture
def field(qtbot: QtBot, window: QWidget) -> QLineEdit:
    """A text field with the focus, two widgets deep in a window."""
    line = QLineEdit(QWidget(window))
    window.show()
    window.activateWindow()
    line.setFocus()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is line)
    return line


@pytest.fixture
def scans(qapp: QApplication, field: QLineEdit) -> Iterator[ScanFilter]:
    """The filter, on the window of the field."""
    made = ScanFilter(qapp, field)
    made.move_to(field.window().windowHandle())
    yield made
    qapp.focusWindowChanged.disconnect(made.move_to)
    made.move_to(None)


@pytest.fixture
def keys(field: QLineEdit) -> Keys:
    return Keys(field.window().windowHandle())


def test_a_scan_is_told_once_and_reaches_no_field(
    scans: ScanFilter, field: QLineEdit, keys: Keys
) -> None:
    heard, entered = Listener(scans), Listener(scans)
    field.returnPressed.connect(lambda: entered.texts.append("Enter"))
    keys.send("BL-02\n", FAST)
    assert heard.texts == ["BL-02"]
    assert entered.texts == ["BL-02"]
    assert field.text() == ""


def test_what_is_typed_arrives_whole_and_in_order(
    qtbot: QtBot, scans: ScanFilter, field: QLineEdit, keys: Keys
) -> None:
    heard = Listener(scans)
    keys.send("heron", SLOW)
    qtbot.waitUntil(lambda: field.text() == "heron")
    with qtbot.waitSignal(field.returnPressed):
        keys.send("\n", SLOW)
    assert heard.texts == []


def test_a_scan_into_a_half_typed_word_leaves_the_word(
    scans: ScanFilter, field: QLineEdit, keys: Keys
) -> None:
    heard = Listener(scans)
    keys.send("thi", SLOW)
    keys.at_ms += 500
    keys.send("014\n", FAST)
    keys.send("\n", SLOW)
    assert (heard.texts, field.text()) == (["014"], "thi")


def test_a_scan_between_signs_reaches_no_field(
    scans: ScanFilter, field: QLineEdit, keys: Keys
) -> None:
    heard = Listener(scans)
    scans.reader.first_sign = "~"
    keys.send("~BL-02\n", SLOW)
    assert (heard.texts, field.text()) == (["BL-02"], "")


def test_the_filter_sits_on_one_window(
    qtbot: QtBot, qapp: QGuiApplication, scans: ScanFilter, field: QLineEdit, keys: Keys
) -> None:
    """On another window the first one is left alone, and is heard again when it comes back."""
    heard = Listener(scans)
    other = QWidget()
    qtbot.addWidget(other)
    other.show()
    scans.move_to(other.windowHandle())
    keys.send("AB\n", FAST)
    assert (heard.texts, field.text()) == ([], "AB")
    scans.move_to(field.window().windowHandle())
    keys.send("CD\n", FAST)
    assert (heard.texts, field.text()) == (["CD"], "AB")


def test_shortcuts_pass(qtbot: QtBot, scans: ScanFilter, field: QLineEdit, keys: Keys) -> None:
    field.setText("all of it")
    qtbot.keyClick(field.window().windowHandle(), Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    assert field.selectedText() == "all of it"


@pytest.fixture
def main(
    qtbot: QtBot,
    session: DeskSession,
    theme: Theme,
    heron: Shell,
    bells: list[Shell],
    read: AirReading,
) -> Iterator[MainWindow]:
    """The main window, listening for the scanner."""
    session.forecast_now()
    window = MainWindow(session, theme, "light")
    window.resize(1366, 768)
    window.show()
    window.activateWindow()
    qtbot.waitExposed(window)
    window.station.start()
    yield window
    window.station.close()
    window.alerts.close()
    window.backups.close()
    window.close()
    window.deleteLater()


def open_station(qtbot: QtBot, main: MainWindow) -> StationWindow:
    main.open_station()
    window = main.station.window
    assert window is not None
    qtbot.waitUntil(window.isVisible)
    window.close_sheet()
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is window.windowHandle())
    return window


def test_a_label_takes_its_shell_up_at_the_station(
    qtbot: QtBot, main: MainWindow, bells: list[Shell]
) -> None:
    window = open_station(qtbot, main)
    keys = Keys(window.windowHandle())
    keys.send(code_text("BL-02") + "\n", FAST)
    assert (window.work.mode, window.work.chosen) == (Mode.CHOSEN, bells[1].id)
    assert window.sheet is None
    keys.at_ms += 1_000
    keys.send("Table bell 1\n".upper(), FAST)
    assert window.work.chosen == bells[0].id
    assert main.session.opened.ledger.coats(bells[0].id) == ()


def test_a_scan_reaches_the_station_from_any_sheet_and_presses_nothing(
    qtbot: QtBot, main: MainWindow, bells: list[Shell], heron: Shell
) -> None:
    window = open_station(qtbot, main)
    window.look_for("")
    Keys(window.windowHandle()).send("BL-02\n", FAST)
    assert window.sheet is None
    assert window.work.chosen == bells[1].id
    assert [len(main.session.opened.ledger.coats(s.id)) for s in (*bells, heron)] == [0, 0, 3]


@pytest.mark.parametrize("foot", ["F13", "Space", "Enter"])
def test_the_space_bar_and_a_foot_on_it_are_no_scan(
    qtbot: QtBot, main: MainWindow, foot: str
) -> None:
    window = open_station(qtbot, main)
    while main.station.settings.foot != foot:
        main.station.settings.next_foot()
    window.buttons["next"].setFocus()
    Keys(window.windowHandle()).send(" ", SLOW)
    qtbot.waitUntil(lambda: window.work.mode is Mode.CHOSEN)
    assert not window.buttons["next"].isDown()


def test_an_unknown_label_is_said(qtbot: QtBot, main: MainWindow) -> None:
    window = open_station(qtbot, main)
    Keys(window.windowHandle()).send("NO-99\n", FAST)
    assert "NO-99" in window.notice.text()
    assert window.work.mode is Mode.EXPECTING


def test_what_is_told_stands_over_the_station_too(qtbot: QtBot, main: MainWindow) -> None:
    main.alerts.alarmed.emit(["Nobody is at the station yet."])
    window = open_station(qtbot, main)
    assert window.notice.text() == ""
    main.alerts.alarmed.emit(["The core will not dry.", "A room is silent.", "One more."])
    assert window.notice.text() == "The core will not dry. … and 2 more"
    main.alerts.told.emit(["Coat 3 is dry."])
    assert window.notice.text() == "Coat 3 is dry."


def test_checked_scans_only_where_they_are_wanted(
    qtbot: QtBot, main: MainWindow, bells: list[Shell]
) -> None:
    window = open_station(qtbot, main)
    main.station.settings.turn_checked()
    keys = Keys(window.windowHandle())
    keys.send("BL-02\n", FAST)
    assert "check character" in window.notice.text()
    keys.at_ms += 1_000
    keys.send(code_text("BL-02") + "\n", FAST)
    assert window.work.chosen == bells[1].id


def test_without_the_station_a_scan_turns_to_the_dip_page(
    qtbot: QtBot, main: MainWindow, bells: list[Shell]
) -> None:
    rack = main.show_page("rack")
    search = rack.findChild(QLineEdit, "rack_search")
    search.setFocus()
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is main.windowHandle())
    Keys(main.windowHandle()).send("BL-02\n", FAST)
    assert search.text() == ""
    page = main.stack.currentWidget()
    assert page.objectName() == "dip_page"
    assert page.chooser.currentData() == bells[1].id


def test_the_station_is_a_key_away_and_ends_with_the_window(qtbot: QtBot, main: MainWindow) -> None:
    buttons = [main.show_page("rack").station_button, main.show_page("dip").station_button]
    for button in buttons:
        assert button.text() == "Dipping station"
    buttons[-1].click()
    window = main.station.window
    assert window is not None
    assert window.isFullScreen()
    main.set_scheme("dark")
    assert window.theme.dark
    main.set_scheme("light")
    main.close()
    assert not window.isVisible()
