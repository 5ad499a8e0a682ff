"""The main window: pages, banners, alerts on its own thread, and closing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from shellcoat.book import Book, open_book
from shellcoat.desk.main_window import PAGES, MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.shop import AirReading, AlertMark, Shell


@pytest.fixture
def later() -> float:
    """Hours after the shop's present at which the window opens; a test may set others."""
    return 0.0


@pytest.fixture
def window(
    qtbot: QtBot,
    session: DeskSession,
    theme: Theme,
    heron: Shell,
    read: AirReading,
    clock,
    later: float,
    tmp_path,
) -> Iterator[MainWindow]:
    """A window on the small shop."""
    clock.forward(hours=later)
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    session.forecast_now()
    window = MainWindow(session, theme, "light")
    window.resize(1366, 768)
    window.show()
    qtbot.waitExposed(window)
    yield window
    window.alerts.close()
    window.backups.close()
    window.close()
    window.deleteLater()


def test_title_names_the_shop(window: MainWindow) -> None:
    assert window.windowTitle().startswith("Heron Yard")


@pytest.mark.parametrize("name", PAGES)
def test_every_page_opens(window: MainWindow, name: str) -> None:
    page = window.show_page(name)
    assert page.isVisible()
    assert window.stack.currentWidget() is page


@pytest.mark.parametrize("name", PAGES)
def test_every_control_has_a_spoken_name(window: MainWindow, name: str) -> None:
    """A screen reader finds a name for each control that takes the focus."""
    window.show_page(name)
    unnamed = []
    for widget in window.findChildren(QWidget):
        takes = isinstance(widget, QAbstractButton | QComboBox | QLineEdit)
        if not takes or not widget.isVisible() or widget.parent() is None:
            continue
        if isinstance(widget.parent(), QComboBox) or widget.objectName().startswith("qt_"):
            continue
        interface = QAccessible.queryAccessibleInterface(widget)
        if not interface.text(QAccessible.Text.Name):
            unnamed.append(f"{type(widget).__name__} {widget.objectName()}")
    assert unnamed == []


@pytest.mark.parametrize("later", [20.0])
def test_what_fell_due_while_closed_is_told_at_the_start(qtbot: QtBot, window: MainWindow) -> None:
    window.alerts.start()
    qtbot.waitUntil(window.alert_banner.isVisible)
    assert "While the program was closed" in window.alert_banner.text.text()


def test_a_coat_that_dries_is_told_once_and_marked(
    qtbot: QtBot, window: MainWindow, clock, session: DeskSession, heron: Shell
) -> None:
    window.alerts.start()
    safe = session.forecasts[heron.id].safe_at
    assert safe is not None
    clock.to(safe)
    session.forecast_now()
    with qtbot.waitSignal(window.alerts.told, timeout=20_000) as told:
        session.forecasts_changed.emit()
    assert "Standing heron" in told.args[0][0]
    assert len(_marks(session.opened.book)) == 1
    session.forecast_now()
    assert len(_marks(session.opened.book)) == 1


def _marks(book: Book) -> list[AlertMark]:
    return book.ledger.marks


@pytest.mark.parametrize("later", [20.0])
def test_seen_is_kept(qtbot: QtBot, window: MainWindow, session: DeskSession) -> None:
    window.alerts.start()
    qtbot.waitUntil(window.alert_banner.isVisible)
    window.alert_banner.button.click()
    assert {mark.step.value for mark in _marks(session.opened.book)} == {"told", "seen"}


def test_a_clock_that_was_set_is_told(qtbot: QtBot, window: MainWindow, clock) -> None:
    window.alerts.start()
    clock.forward(minutes=-90)
    window.alerts._clock.beat()
    qtbot.waitUntil(window.note_banner.isVisible)
    assert "set back by about 90 min" in window.note_banner.text.text()


def test_faults_stand_in_a_banner_until_seen(window: MainWindow) -> None:
    window.session.failed.emit("Air temperature: no such thing.")
    assert window.fault_banner.isVisible()
    window.fault_banner.button.click()
    assert not window.fault_banner.isVisible()


def test_another_program_s_entries_arrive(
    qtbot: QtBot, window: MainWindow, session: DeskSession, read: AirReading
) -> None:
    """A reading logged through the same file by a second program shows up by itself."""
    from dataclasses import replace
    from uuid import uuid4

    from shellcoat.operations.open_shop import OpenShop

    with open_book(session.opened.book.path) as other:
        OpenShop(other, who="Bea").record(
            replace(read, id=uuid4(), temp_c=25.0), read.read_at.replace(minute=30)
        )
    with qtbot.waitSignal(session.changed):
        session.look_for_news()


def test_dark_and_light_change_while_open(window: MainWindow) -> None:
    window.set_scheme("dark")
    assert window.theme.dark
    window.set_scheme("light")
    assert not window.theme.dark


def test_closing_leaves_a_backup_and_a_closed_book(
    window: MainWindow, session: DeskSession
) -> None:
    from shellcoat.book.backup import backup_folder, backups

    path = session.opened.book.path
    window.close()
    assert len(backups(backup_folder(path))) == 1
    with open_book(path) as again:
        assert again.ledger.shells
