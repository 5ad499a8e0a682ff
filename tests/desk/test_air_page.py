"""The Air page: reading, logging, taking back, rooms, without an import."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl, qVersion
from PySide6.QtGui import QAccessible, QDragEnterEvent, QDropEvent
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDateTimeEdit,
    QLineEdit,
    QProgressBar,
    QWidget,
)
from pytestqt.qtbot import QtBot
from small_shop import NOW, ROOM, SetClock

from shellcoat.book import open_book
from shellcoat.desk.air.logged_model import LoggedColumn, LoggedModel
from shellcoat.desk.air.look import Span, look_at_air
from shellcoat.desk.air.page import AirPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import DARK, Theme
from shellcoat.operations.air import log_reading
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import AirMovement, AirReading, Shell

CONTROLS = (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDateTimeEdit,
    QLineEdit,
    QProgressBar,
)


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme) -> AirPage:
    """The page on screen."""
    return shown(qtbot, AirPage(session, theme))


def shown(qtbot: QtBot, page: AirPage) -> AirPage:
    qtbot.addWidget(page)
    page.resize(1270, 720)
    page.show()
    qtbot.waitExposed(page)
    settle(qtbot, page)
    return page


def settle(qtbot: QtBot, page: AirPage) -> None:
    """Wait until what was asked for is shown."""
    qtbot.waitUntil(lambda: not page.session.runner.busy, timeout=20_000)


def choose_span(qtbot: QtBot, page: AirPage, span: Span) -> None:
    qtbot.mouseClick(page.head.spans.button(list(Span).index(span)), Qt.MouseButton.LeftButton)
    settle(qtbot, page)


def lines(page: AirPage, column: LoggedColumn) -> list[str]:
    model = page.logged.model
    return [str(model.index(row, column).data()) for row in range(model.rowCount())]


def kept(session: DeskSession) -> list[AirReading]:
    return session.opened.ledger.typed_readings


def test_a_room_never_read_says_what_to_do_first(page: AirPage) -> None:
    assert page.plot.sentence.isVisible()
    assert "Dipping room was never read" in page.plot.sentence.text()
    assert "import" in page.plot.sentence.text()
    assert not page.plot.all_button.isVisible()
    assert page.logged.isHidden()
    assert not page.latest.temperature.isVisible()


def test_a_shop_without_a_room_says_to_add_one(
    qtbot: QtBot, opened: OpenShop, session: DeskSession, theme: Theme
) -> None:
    opened.withdraw(ROOM, NOW, "never built")
    page = shown(qtbot, AirPage(session, theme))
    assert "Rooms…" in page.plot.sentence.text()
    assert not page.head.import_button.isEnabled()
    assert not page.form.log_button.isEnabled()
    page.head.rooms_button.click()
    qtbot.keyClicks(page.rooms_dialog.name, "Shed")
    qtbot.keyClick(page.rooms_dialog.name, Qt.Key.Key_Return)
    settle(qtbot, page)
    assert page.head.room_box.currentText() == "Shed"
    assert page.form.log_button.isEnabled()


def test_a_reading_is_logged_by_keyboard_alone(
    qtbot: QtBot, page: AirPage, session: DeskSession
) -> None:
    form = page.form
    form.temperature.line.setFocus()
    with qtbot.waitSignal(form.kept):
        qtbot.keyClicks(form.temperature.line, "72 F")
        qtbot.keyClick(form.temperature.line, Qt.Key.Key_Return)
        assert form.humidity.line.hasFocus()
        qtbot.keyClicks(form.humidity.line, "55")
        qtbot.keyClick(form.humidity.line, Qt.Key.Key_Return)
    (reading,) = kept(session)
    assert reading.temp_c == pytest.approx((72 - 32) / 1.8)
    assert (reading.rh, reading.room_id, reading.read_at) == (0.55, ROOM, NOW)
    assert "22.2" in form.said.text()
    assert "14:00" in form.said.text()
    assert form.temperature.line.text() == form.humidity.line.text() == ""
    assert form.temperature.line.hasFocus()


def test_what_was_logged_is_shown_everywhere(qtbot: QtBot, page: AirPage) -> None:
    log_reading(page.session.opened, ROOM, NOW, 20.0, 0.60, NOW)
    settle(qtbot, page)
    assert page.latest.temperature.text() == "20.0\u00a0°C"
    assert page.latest.humidity.text() == "60\u00a0%"
    # Dew point 12.01 °C: tests/reference/data/psychrometrics.csv.
    assert page.latest.dew_point.text() == "12.0\u00a0°C"
    assert "just now" in page.latest.age.text()
    assert lines(page, LoggedColumn.AIR) == ["20.0\u00a0°C, 60\u00a0%"]
    assert lines(page, LoggedColumn.WHO) == ["Ana"]
    panel = page.findChild(QWidget, "air_plot_panel")
    assert panel is not None
    assert panel.isVisible()
    assert "60" in panel.accessibleDescription()


@pytest.mark.parametrize(
    ("temperature", "humidity", "field", "other"),
    [
        ("50 %", "55", "temperature", "humidity"),
        ("21", "3 kg", "humidity", "temperature"),
        ("21", "140 %", "humidity", "temperature"),
        ("900", "55", "temperature", "humidity"),
    ],
)
def test_a_wrong_entry_is_named_under_its_own_field(
    qtbot: QtBot, page: AirPage, temperature: str, humidity: str, field: str, other: str
) -> None:
    form = page.form
    qtbot.keyClicks(form.temperature.line, temperature)
    qtbot.keyClicks(form.humidity.line, humidity)
    qtbot.keyClick(form.humidity.line, Qt.Key.Key_Return)
    names = {"temperature": "Air temperature:", "humidity": "Humidity:"}
    wrong, right = getattr(form, field), getattr(form, other)
    assert wrong.line.accessibleDescription().startswith(names[field])
    assert right.line.accessibleDescription() == ""
    assert wrong.line.hasFocus()
    assert kept(page.session) == []
    assert page.form.said.isHidden()


def test_an_empty_humidity_is_asked_for(qtbot: QtBot, page: AirPage) -> None:
    qtbot.keyClicks(page.form.temperature.line, "21")
    qtbot.keyClick(page.form.note, Qt.Key.Key_Return)
    assert "Humidity" in page.form.humidity.line.accessibleDescription()
    assert kept(page.session) == []


def test_a_reading_from_tomorrow_is_refused_on_the_form(qtbot: QtBot, page: AirPage) -> None:
    page.form.time.set_moment(NOW + timedelta(days=1))
    qtbot.keyClicks(page.form.temperature.line, "21")
    qtbot.keyClicks(page.form.humidity.line, "50")
    page.form.log_button.click()
    assert page.form.fault.isVisible()
    assert "has not come yet" in page.form.fault.text()
    assert page.form.temperature.line.text() == "21"
    assert kept(page.session) == []


def test_an_old_reading_says_so(qtbot: QtBot, page: AirPage, clock: SetClock) -> None:
    log_reading(page.session.opened, ROOM, NOW, 20.0, 0.60, NOW)
    settle(qtbot, page)
    assert page.latest.old.isHidden()
    clock.forward(hours=7)
    page.mark_stale()
    settle(qtbot, page)
    assert page.latest.old.isVisible()
    assert "6\u00a0h" in page.latest.old.text()
    assert "7\u00a0h ago" in page.latest.age.text()


def test_a_span_without_readings_offers_everything(qtbot: QtBot, page: AirPage) -> None:
    log_reading(page.session.opened, ROOM, NOW - timedelta(days=20), 20.0, 0.60, NOW)
    settle(qtbot, page)
    choose_span(qtbot, page, Span.TODAY)
    assert "not read today" in page.plot.sentence.text()
    assert "13 Feb" in page.plot.sentence.text()
    page.plot.all_button.click()
    settle(qtbot, page)
    assert not page.plot.sentence.isVisible()
    assert page.head.spans.checkedId() == list(Span).index(Span.ALL)


def test_dips_are_marked_on_the_plot(
    qtbot: QtBot, heron: Shell, read: AirReading, page: AirPage
) -> None:
    from matplotlib.text import Text

    panel = page.findChild(QWidget, "air_plot_panel")
    written = {text.get_text() for text in panel.figure.findobj(Text)}
    assert {"014 · 1", "014 · 2", "014 · 3"} <= written


def test_the_plot_is_drawn_again_only_when_the_air_has_changed(
    qtbot: QtBot, read: AirReading, page: AirPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[object] = []
    monkeypatch.setattr(page.plot, "_draw", lambda *given: drawn.append(given))
    page.mark_stale()
    settle(qtbot, page)
    assert drawn == []
    log_reading(page.session.opened, ROOM, NOW, 20.0, 0.60, NOW)
    settle(qtbot, page)
    assert len(drawn) == 1


def test_a_reading_is_taken_back_with_a_reason(
    qtbot: QtBot, read: AirReading, page: AirPage
) -> None:
    assert not page.logged.take_back_button.isEnabled()
    page.logged.table.setFocus()
    page.logged.table.selectRow(0)
    qtbot.keyClick(page.logged.table, Qt.Key.Key_Delete)
    dialog = page.take_back_dialog
    qtbot.waitUntil(dialog.isVisible)
    assert "21.5" in dialog.what.text()
    assert not dialog.confirm_button.isEnabled()
    qtbot.keyClicks(dialog.reason, "held in the hand")
    qtbot.keyClick(dialog.reason, Qt.Key.Key_Return)
    settle(qtbot, page)
    assert kept(page.session) == []
    assert page.session.opened.ledger.history(read.id)[-1].reason == "held in the hand"
    assert "never read" in page.plot.sentence.text()


def test_taking_back_can_be_left(read: AirReading, page: AirPage) -> None:
    page.logged.table.selectRow(0)
    page.logged.take_back_button.click()
    page.take_back_dialog.cancel_button.click()
    assert page.take_back_dialog.isHidden()
    assert kept(page.session) == [read]


def test_a_room_is_named_anew_and_its_air_moved(
    qtbot: QtBot, page: AirPage, session: DeskSession
) -> None:
    page.head.rooms_button.click()
    dialog = page.rooms_dialog
    qtbot.waitUntil(dialog.isVisible)
    assert dialog.name.text() == "Dipping room"
    strong = dialog.movements.button(list(AirMovement).index(AirMovement.STRONG_DRAUGHT))
    # The speeds stand in resources/materials/drying.toml.
    assert "2.00\u00a0m/s" in strong.accessibleDescription()
    strong.click()
    dialog.name.selectAll()
    qtbot.keyClicks(dialog.name, "Drying tunnel")
    qtbot.keyClick(dialog.name, Qt.Key.Key_Return)
    settle(qtbot, page)
    room = session.opened.ledger.room(ROOM)
    assert (room.name, room.movement) == ("Drying tunnel", AirMovement.STRONG_DRAUGHT)
    assert page.head.room_box.currentText() == "Drying tunnel"
    assert page.latest.movement.text() == "strong draught"
    assert "Drying tunnel" in dialog.said.text()


def test_a_second_room_has_air_of_its_own(
    qtbot: QtBot, read: AirReading, page: AirPage, session: DeskSession
) -> None:
    page.head.rooms_button.click()
    dialog = page.rooms_dialog
    dialog.add_button.click()
    qtbot.keyClicks(dialog.name, "dipping room")
    dialog.save_button.click()
    assert dialog.fault.isVisible()
    assert "another room" in dialog.fault.text()
    dialog.name.clear()
    dialog.save_button.click()
    assert "Room name is empty" in dialog.fault.text()
    qtbot.keyClicks(dialog.name, "Loft")
    dialog.save_button.click()
    settle(qtbot, page)
    assert [room.name for room in session.opened.ledger.rooms] == ["Dipping room", "Loft"]
    assert page.head.room_box.currentText() == "Loft"
    assert "Loft was never read" in page.plot.sentence.text()
    page.show_room(ROOM)
    settle(qtbot, page)
    assert page.latest.temperature.text() == "21.5\u00a0°C"


def test_units_of_the_shop_are_used(
    qtbot: QtBot, opened: OpenShop, read: AirReading, page: AirPage
) -> None:
    shop = opened.shop
    opened.amend(type(shop)(**{**fields_of(shop), "units": {"system": "us"}}), NOW)
    settle(qtbot, page)
    # 21.5 °C is 70.7 °F.
    assert page.latest.temperature.text() == "70.7\u00a0°F"


def fields_of(record: object) -> dict[str, object]:
    return {name: getattr(record, name) for name in type(record).__dataclass_fields__}  # type: ignore[attr-defined]


def test_a_book_that_is_only_read_says_why_nothing_can_be_logged(
    qtbot: QtBot, opened: OpenShop, read: AirReading, theme: Theme, clock: SetClock
) -> None:
    book = open_book(opened.book.path, read_only=True)
    session = DeskSession(OpenShop(book, who="Ben"), now=clock)
    page = shown(qtbot, AirPage(session, theme))
    assert page.locked.isVisible()
    assert "read only" in page.locked.text()
    assert page.latest.temperature.text() == "21.5\u00a0°C"
    page.logged.table.selectRow(0)
    locked = (
        page.form.log_button,
        page.head.import_button,
        page.head.rooms_button,
        page.logged.take_back_button,
    )
    assert not any(button.isEnabled() for button in locked)
    session.close()


LOADING = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from shellcoat.book import open_book
from shellcoat.desk.air.page import AirPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import apply_theme
from shellcoat.operations.open_shop import OpenShop
app = QApplication([])
session = DeskSession(OpenShop(open_book(Path(sys.argv[1]), read_only=True), who="Ana"))
page = AirPage(session, apply_theme(app, "light"))
session.close()
print("loaded" if "matplotlib" in sys.modules else "not loaded")
"""


def test_matplotlib_is_loaded_only_when_the_page_is_shown(opened: OpenShop) -> None:
    command = [sys.executable, "-c", LOADING, str(opened.book.path)]
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    run = subprocess.run(
        command, check=False, env=environment, timeout=60, capture_output=True, text=True
    )
    assert run.stdout.strip() == "not loaded", run.stderr


def test_dark_colours_reach_the_page(qtbot: QtBot, read: AirReading, page: AirPage) -> None:
    page.set_theme(DARK)
    settle(qtbot, page)
    assert DARK.muted in page.styleSheet()
    panel = page.findChild(QWidget, "air_plot_panel")
    assert panel is not None
    shade = panel.grab().toImage().pixelColor(3, 3)
    assert shade.lightness() < 60


def drag(path: Path | None, text: str = "") -> QMimeData:
    mime = QMimeData()
    if path is not None:
        mime.setUrls([QUrl.fromLocalFile(str(path))])
    else:
        mime.setText(text)
    return mime


# Qt 6.12 took the constructor with whole pixels out of use, and 6.11 has no other.
WHERE = QPointF(5, 5) if qVersion() >= "6.12" else QPoint(5, 5)


def enters(page: AirPage, mime: QMimeData) -> bool:
    event = QDragEnterEvent(
        WHERE,
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    event.ignore()
    page.dragEnterEvent(event)
    return event.isAccepted()


def test_one_file_may_be_dropped_and_nothing_else(
    qtbot: QtBot, page: AirPage, tmp_path: Path
) -> None:
    path = tmp_path / "log.csv"
    path.write_text("time,temp,rh\n")
    assert enters(page, drag(path))
    assert not enters(page, drag(None, "words"))
    mime = drag(path)
    event = QDropEvent(
        QPointF(5, 5),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    page.dropEvent(event)
    dialog = page.import_dialog
    settle(qtbot, page)
    assert dialog.isVisible()
    assert dialog.file_name.text() == "log.csv"
    assert "no readings" in dialog.prompt.text()


def controls(parent: QWidget) -> list[QWidget]:
    """Controls a person meets, but for the inner parts of Qt's own widgets."""
    found = [child for child in parent.findChildren(QWidget) if isinstance(child, CONTROLS)]
    return [child for child in found if not child.objectName().startswith("qt_")]


def test_every_control_has_a_name_for_tests_and_for_people(page: AirPage) -> None:
    page.head.rooms_button.click()
    page.open_import_of(Path("nothing.csv"))
    owned = [
        control
        for part in (page, page.rooms_dialog, page.import_dialog, page.take_back_dialog)
        for control in controls(part)
        if not is_inner(control)
    ]
    assert len(owned) > 30
    for control in owned:
        assert control.objectName(), f"{control} under {control.parent()} has no object name"
        interface = QAccessible.queryAccessibleInterface(control)
        name = interface.text(QAccessible.Text.Name)
        assert name, f"{control.objectName()} says nothing to assistive technology"
        assert "_" not in name


def is_inner(control: QWidget) -> bool:
    """Whether Qt made it as a part of one of its own controls: a popup list, a calendar."""
    parent = control.parentWidget()
    while parent is not None:
        if isinstance(parent, (QComboBox, QDateTimeEdit, QAbstractItemView)):
            return not isinstance(control, QLineEdit) or isinstance(parent, QDateTimeEdit)
        parent = parent.parentWidget()
    return False


def test_tab_reaches_every_control_of_the_page(
    qtbot: QtBot, read: AirReading, page: AirPage
) -> None:
    page.logged.table.selectRow(0)
    page.form.time.set_moment(NOW - timedelta(hours=1))
    reached, widget = set(), page.head.room_box
    for _ in range(200):
        widget = widget.nextInFocusChain()
        tabs = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if tabs and widget.isVisibleTo(page) and widget.isEnabled():
            reached.add(widget.objectName())
    wanted = {
        "air_room",
        "air_rooms",
        "air_import",
        "air_logged_table",
        "air_take_back",
        "air_form_temperature_line",
        "air_form_humidity_line",
        "air_form_note",
        "air_form_log",
    }
    assert wanted <= reached
    assert any(name.startswith("air_span_") for name in reached)


def test_the_list_is_a_sound_model_and_speaks(session: DeskSession) -> None:
    log_reading(session.opened, ROOM, NOW, 20.0, 0.60, NOW, "by the door")
    log_reading(session.opened, ROOM, NOW - timedelta(hours=2), 21.0, 0.55, NOW)
    model = LoggedModel(session)
    tester = QAbstractItemModelTester(
        model, QAbstractItemModelTester.FailureReportingMode.Fatal, model
    )
    rows = look_at_air(session.opened, ROOM, Span.ALL, NOW).logged
    model.set_rows(rows)
    model.set_rows(rows)
    model.set_rows(rows[:1])
    model.set_rows(())
    model.set_rows(rows)
    assert tester.model() is model
    spoken = model.index(0, LoggedColumn.NOTE).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Note: by the door"
