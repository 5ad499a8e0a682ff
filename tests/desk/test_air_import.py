"""The import dialog: a real log, a second time, broken lines, open questions, stopping."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot
from small_shop import NOW, SetClock, an_id

from shellcoat.book.faults import NotSavedError
from shellcoat.desk.air.import_dialog import ImportDialog
from shellcoat.desk.air.logged_model import LoggedColumn
from shellcoat.desk.air.look import Span
from shellcoat.desk.air.page import AirPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import log_dip, order_from, propose_dip
from shellcoat.places import demos_dir
from shellcoat.shop import Room, Shell

OFFICE = demos_dir() / "air_logs" / "office_air_2015-02.csv"
OFFICE_ROWS = 8143
"""Lines of the file without its header."""


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme) -> AirPage:
    """The page on screen."""
    page = AirPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1270, 720)
    page.show()
    qtbot.waitExposed(page)
    settle(qtbot, page)
    return page


@pytest.fixture
def gate(session: DeskSession, monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """Holds the import after its first part until the test opens it."""
    gate = Gate()
    keep = session.opened.book.add_readings

    def keep_and_wait(*given: object) -> None:
        keep(*given)  # type: ignore[arg-type]
        gate.pass_through()

    monkeypatch.setattr(session.opened.book, "add_readings", keep_and_wait)
    yield gate
    gate.open()


class Gate:
    """A place where the worker waits."""

    def __init__(self) -> None:
        self._arrived, self._opened = threading.Event(), threading.Event()

    def pass_through(self) -> None:
        """Called in the worker."""
        self._arrived.set()
        self._opened.wait(30)

    def wait(self, qtbot: QtBot) -> None:
        """Wait until the worker stands here."""
        qtbot.waitUntil(self._arrived.is_set, timeout=20_000)

    def open(self) -> None:
        """Let the worker go on."""
        self._opened.set()


def settle(qtbot: QtBot, page: AirPage) -> None:
    """Wait until what was asked for is shown."""
    qtbot.waitUntil(lambda: not page.session.runner.busy, timeout=30_000)


def understood(qtbot: QtBot, page: AirPage, path: Path) -> ImportDialog:
    """The dialog once it has looked at a file."""
    page.open_import_of(path)
    dialog = page.import_dialog
    settle(qtbot, page)
    return dialog


def brought_in(qtbot: QtBot, page: AirPage, path: Path) -> ImportDialog:
    """The dialog when a file has come in."""
    dialog = understood(qtbot, page, path)
    with qtbot.waitSignal(dialog.imported, timeout=30_000):
        dialog.import_button.click()
    settle(qtbot, page)
    return dialog


def write_log(path: Path, rows: list[str], header: str = "time,temperature [°C],rh [%]") -> Path:
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def minutes(count: int, first: datetime = NOW - timedelta(days=80)) -> list[str]:
    return [
        f"{first + timedelta(minutes=number):%Y-%m-%d %H:%M:%S},{20 + number % 7 / 10:.1f},45.5"
        for number in range(count)
    ]


def readings_in(page: AirPage) -> int:
    return sum(batch.count for batch in page.session.opened.ledger.batches)


def test_a_real_log_is_understood_imported_and_shown(qtbot: QtBot, page: AirPage) -> None:
    dialog = understood(qtbot, page, OFFICE)
    assert dialog.views.currentWidget() is dialog.understood
    said = dialog.understood.sentences.text()
    assert "Temperature" in said
    assert "commas" in said
    sample = dialog.understood.sample.lines
    assert sample[0][:3] == ("2015-02-04 17:51:00", "23.2\u00a0°C", "27\u00a0%")
    assert dialog.import_button.hasFocus()
    with qtbot.waitSignal(dialog.imported, timeout=30_000):
        qtbot.keyClick(dialog.import_button, Qt.Key.Key_Space)
    settle(qtbot, page)
    assert readings_in(page) == OFFICE_ROWS
    assert "8,143 readings taken in" in dialog.report.summary.text()
    assert "No line was left out" in dialog.report.left_out_title.text()
    # The air of 2015 lies before the last three days, so everything is shown.
    assert page.head.spans.checkedId() == list(Span).index(Span.ALL)
    model = page.logged.model
    assert model.index(0, LoggedColumn.SOURCE).data() == OFFICE.name
    assert "2015" in str(model.index(0, LoggedColumn.TIME).data())
    # The last line of the file: 2015-02-10 09:33:00, 21.1 °C, 36.2 %.
    assert page.latest.temperature.text() == "21.1\u00a0°C"
    assert page.latest.humidity.text() == "36\u00a0%"
    assert "10 Feb 2015 09:33" in page.latest.age.text()


def test_a_second_import_takes_nothing_in_twice(qtbot: QtBot, page: AirPage) -> None:
    brought_in(qtbot, page, OFFICE)
    dialog = brought_in(qtbot, page, OFFICE)
    assert readings_in(page) == OFFICE_ROWS
    assert "0 readings taken in" in dialog.report.summary.text()
    assert "8,143" in dialog.report.summary.text()
    assert page.logged.model.rowCount() == 1


def test_an_import_is_taken_back_as_a_whole(qtbot: QtBot, page: AirPage, tmp_path: Path) -> None:
    brought_in(qtbot, page, write_log(tmp_path / "long.csv", minutes(45_000)))
    assert len(page.session.opened.ledger.batches) > 1
    assert page.logged.model.rowCount() == 1
    page.logged.table.selectRow(0)
    page.logged.take_back_button.click()
    assert "45000 readings" in page.take_back_dialog.what.text()
    qtbot.keyClicks(page.take_back_dialog.reason, "logger stood in the sun")
    page.take_back_dialog.confirm_button.click()
    settle(qtbot, page)
    assert readings_in(page) == 0
    assert "never read" in page.plot.sentence.text()
    dialog = brought_in(qtbot, page, tmp_path / "long.csv")
    assert "45,000 readings taken in" in dialog.report.summary.text()


def test_broken_lines_are_listed_and_can_be_copied(
    qtbot: QtBot, page: AirPage, tmp_path: Path
) -> None:
    rows = minutes(20)
    rows[4] = rows[4].replace("45.5", "--")
    rows[9] = "2026-01-04"
    rows[12] = rows[12].replace(",20", ",99")
    dialog = brought_in(qtbot, page, write_log(tmp_path / "broken.csv", rows))
    assert readings_in(page) == 17
    # The header is line 1, so row 4 is line 6.
    assert [line[0] for line in dialog.report.left_out.lines] == ["6", "11", "14"]
    assert dialog.report.left_out.lines[0][1] == "the humidity is not a number"
    assert dialog.report.left_out.lines[1][2] == "2026-01-04"
    assert "3" in dialog.report.left_out_title.text()
    dialog.report.copy_button.click()
    copied = QGuiApplication.clipboard().text()
    assert "6\tthe humidity is not a number\t" + rows[4] in copied
    assert "17 readings taken in" in copied


def test_an_open_question_is_asked_before_the_import(
    qtbot: QtBot, page: AirPage, tmp_path: Path
) -> None:
    rows = [f"0{day}/0{day + 1}/2026 10:00,21.0,45.0" for day in (3, 3, 3)]
    dialog = understood(qtbot, page, write_log(tmp_path / "us.csv", rows))
    order = dialog.understood.choices.boxes["date_order"]
    assert not dialog.import_button.isEnabled()
    assert order.isVisible()
    assert order.currentIndex() == -1
    assert "still open" in dialog.understood.title.text()
    assert "order" in order.accessibleDescription()
    assert order.hasFocus()
    assert dialog.understood.sample.lines[0][0] == "not read"
    order.setCurrentIndex(order.findText("month first"))
    order.activated.emit(order.currentIndex())
    assert "still open" not in dialog.understood.title.text()
    assert dialog.import_button.isEnabled()
    assert dialog.understood.sample.lines[0][0].startswith("2026-03-04")
    dialog.import_button.click()
    settle(qtbot, page)
    (batch,) = page.session.opened.ledger.batches
    assert (batch.first_at.month, batch.first_at.day) == (3, 4)


def test_another_column_unit_room_and_zone_can_be_chosen(
    qtbot: QtBot, page: AirPage, session: DeskSession, tmp_path: Path
) -> None:
    session.opened.record(Room(id=an_id("loft"), name="Loft"), NOW)
    settle(qtbot, page)
    header = "time,temperature,temperature probe,humidity"
    rows = [f"2026-01-05 1{number}:00,68.0,20.5,45" for number in range(6)]
    dialog = understood(qtbot, page, write_log(tmp_path / "two.csv", rows, header))
    choices = dialog.understood.choices
    choose(choices.room, "Loft")
    choose(choices.boxes["temp_column"], 'column 3 "temperature probe"')
    choose(choices.boxes["temp_unit"], "°C")
    choices.zone.setCurrentText("Asia/Tokyo")
    assert dialog.understood.sample.lines[0][1] == "20.5\u00a0°C"
    dialog.import_button.click()
    settle(qtbot, page)
    (batch,) = session.opened.ledger.batches
    assert batch.room_id == an_id("loft")
    # Tokyo is nine hours ahead of UTC all year.
    assert batch.first_at == datetime(2026, 1, 5, 1, 0, tzinfo=UTC)
    assert page.head.room_box.currentText() == "Loft"
    assert page.latest.temperature.text() == "20.5\u00a0°C"


def choose(box: object, words: str) -> None:
    index = box.findText(words)  # type: ignore[attr-defined]
    assert index >= 0
    box.setCurrentIndex(index)  # type: ignore[attr-defined]
    box.activated.emit(index)  # type: ignore[attr-defined]


def test_an_unknown_zone_is_named_and_nothing_starts(qtbot: QtBot, page: AirPage) -> None:
    dialog = understood(qtbot, page, OFFICE)
    dialog.understood.choices.zone.setCurrentText("Europe/Atlantis")
    dialog.import_button.click()
    assert "Europe/Atlantis" in dialog.understood.choices.fault.text()
    assert dialog.understood.choices.fault.isVisible()
    assert dialog.views.currentWidget() is dialog.understood
    assert not dialog.work.running


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("empty.csv", b"", "the file is empty"),
        ("book.xlsx", b"PK\x03\x04" + bytes(200), "spreadsheet"),
        ("poem.txt", b"a heron stood\nin the reeds\n", "no rows"),
    ],
)
def test_a_file_that_cannot_be_read_says_why(
    qtbot: QtBot, page: AirPage, tmp_path: Path, name: str, content: bytes, said: str
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    dialog = understood(qtbot, page, path)
    assert said in dialog.prompt.text()
    assert name in dialog.prompt.text()
    assert not dialog.import_button.isVisible()
    assert dialog.choose_button.isEnabled()


def test_a_dip_is_logged_while_a_log_comes_in_and_the_rest_is_stopped(
    qtbot: QtBot,
    heron: Shell,
    page: AirPage,
    gate: Gate,
    clock: SetClock,
    tmp_path: Path,
) -> None:
    session = page.session
    dialog = understood(qtbot, page, write_log(tmp_path / "long.csv", minutes(90_000)))
    dialog.import_button.click()
    gate.wait(qtbot)
    assert not dialog.isModal()
    coats = len(session.opened.ledger.coats(heron.id))
    clock.forward(hours=5)
    forecast = session.opened.forecasts(session.now())[heron.id]
    order = order_from(propose_dip(session.opened, heron, forecast), session.now())
    assert order is not None
    log_dip(session.opened, order, session.now())
    assert len(session.opened.ledger.coats(heron.id)) == coats + 1
    assert not dialog.choose_button.isEnabled()
    qtbot.mouseClick(dialog.stop_button, Qt.MouseButton.LeftButton)
    assert "Stopping" in dialog.report.count.text()
    with qtbot.waitSignal(dialog.imported, timeout=20_000):
        gate.open()
    settle(qtbot, page)
    assert "Stopped" in dialog.report.title.text()
    assert 0 < readings_in(page) < 90_000
    assert f"{readings_in(page):,} readings taken in" in dialog.report.summary.text()
    again = brought_in(qtbot, page, tmp_path / "long.csv")
    assert readings_in(page) == 90_000
    assert "90,000 rows read" in again.report.summary.text()


def test_escape_stops_an_import_before_it_closes(
    qtbot: QtBot, page: AirPage, gate: Gate, tmp_path: Path
) -> None:
    dialog = understood(qtbot, page, write_log(tmp_path / "long.csv", minutes(45_000)))
    dialog.import_button.click()
    gate.wait(qtbot)
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible()
    with qtbot.waitSignal(dialog.imported, timeout=20_000):
        gate.open()
    assert "Stopped" in dialog.report.title.text()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_a_disk_that_fills_up_ends_the_import_and_keeps_what_came_in(
    qtbot: QtBot, page: AirPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    book = page.session.opened.book
    keep = book.add_readings

    def keep_one(*given: object) -> None:
        if page.session.opened.ledger.batches:
            raise NotSavedError(book.path, "database or disk is full")
        keep(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(book, "add_readings", keep_one)
    dialog = understood(qtbot, page, write_log(tmp_path / "long.csv", minutes(45_000)))
    with qtbot.waitSignal(dialog.broken_off, timeout=20_000):
        dialog.import_button.click()
    settle(qtbot, page)
    assert "disk is full" in dialog.report.summary.text()
    assert "stays in the book" in dialog.report.summary.text()
    assert dialog.close_button.isVisible()
    assert page.logged.model.rowCount() == 1
    assert 0 < readings_in(page) < 45_000


def test_closing_the_session_does_not_wait_for_the_whole_file(
    qtbot: QtBot, page: AirPage, gate: Gate, tmp_path: Path
) -> None:
    dialog = understood(qtbot, page, write_log(tmp_path / "long.csv", minutes(90_000)))
    dialog.import_button.click()
    gate.wait(qtbot)
    # The window's thread waits in close(), so another one opens the gate a moment later.
    runner = page.session.runner
    opener = threading.Thread(target=lambda: (wait_for(lambda: not runner.busy), gate.open()))
    opener.start()
    page.session.close()
    opener.join()
    assert 0 < readings_in(page) < 90_000


def wait_for(condition: object) -> None:
    while not condition():  # type: ignore[operator]
        threading.Event().wait(0.005)


def test_progress_reaches_the_bar(qtbot: QtBot, page: AirPage, tmp_path: Path) -> None:
    dialog = understood(qtbot, page, write_log(tmp_path / "long.csv", minutes(45_000)))
    seen: list[float] = []
    dialog.work.progressed.connect(lambda progress: seen.append(progress.fraction))
    with qtbot.waitSignal(dialog.imported, timeout=30_000):
        dialog.import_button.click()
    assert seen == sorted(seen)
    assert len(seen) >= 3
    assert seen[-1] == 1.0
    assert dialog.report.bar.value() == dialog.report.bar.maximum()


def test_the_small_tables_are_sound_models(qtbot: QtBot, page: AirPage, tmp_path: Path) -> None:
    rows = minutes(20)
    rows[9] = "nothing"
    dialog = page.import_dialog
    testers = [
        QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal, model)
        for model in (dialog.understood.sample, dialog.report.left_out)
    ]
    brought_in(qtbot, page, write_log(tmp_path / "few.csv", rows))
    assert [tester.model().rowCount() for tester in testers] == [8, 1]
    spoken = dialog.report.left_out.index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Line: 11"


def test_the_import_belongs_to_one_id(qtbot: QtBot, page: AirPage, tmp_path: Path) -> None:
    brought_in(qtbot, page, write_log(tmp_path / "a.csv", minutes(3)))
    brought_in(qtbot, page, write_log(tmp_path / "b.csv", minutes(3, NOW - timedelta(days=9))))
    assert page.logged.model.rowCount() == 2
    ids = {batch.import_id for batch in page.session.opened.ledger.batches}
    assert len(ids) == 2
