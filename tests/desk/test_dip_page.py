"""The Dip page: prefilled, logged once, corrected by hand, undone."""

from __future__ import annotations

from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from small_shop import NOW, ROOM

from shellcoat.desk.dip.page import DipPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.shop import AirReading, Coat, Shell


@pytest.fixture
def page(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, read: AirReading
) -> DipPage:
    """The dip page on the heron."""
    session.forecast_now()
    page = DipPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1280, 720)
    page.show()
    qtbot.waitExposed(page)
    page.show_shell(heron.id)
    return page


def coats(page: DipPage, shell: Shell) -> tuple[Coat, ...]:
    return page.session.opened.ledger.coats(shell.id)


def press(qtbot: QtBot, page: DipPage) -> None:
    qtbot.mouseClick(page.log_button, Qt.MouseButton.LeftButton)


def test_shows_the_next_coat_with_its_materials(page: DipPage, heron: Shell) -> None:
    step = heron.sequence.steps[3]
    assert page.card.next_coat.text() == "COAT 4 OF 9"
    assert step.slurry in page.card.materials.text()
    assert step.stucco in page.card.materials.text()
    assert page.card.watch.text() == step.watch
    assert page.log_button.text() == "LOG COAT 4"


def test_one_press_logs_everything_prefilled(
    qtbot: QtBot, page: DipPage, heron: Shell, read: AirReading
) -> None:
    press(qtbot, page)
    assert len(coats(page, heron)) == 4
    coat = coats(page, heron)[-1]
    assert coat.dipped_at == NOW
    assert coat.step == heron.sequence.steps[3]
    assert coat.room_id == ROOM
    assert coat.air is not None
    assert (coat.air.temp_c, coat.air.rh) == (read.temp_c, read.rh)
    qtbot.waitUntil(lambda: "safe" in page.result.text())
    assert page.result.text().startswith("Coat 4 is on Standing heron.")


def test_the_tank_comes_from_the_last_dip_in_the_same_slurry(
    qtbot: QtBot, page: DipPage, heron: Shell
) -> None:
    press(qtbot, page)
    same = [c for c in coats(page, heron)[:3] if c.step.slurry == heron.sequence.steps[3].slurry]
    assert coats(page, heron)[-1].tank == (same[-1].tank if same else "")


def test_pressing_twice_logs_one_coat(qtbot: QtBot, page: DipPage, heron: Shell) -> None:
    press(qtbot, page)
    press(qtbot, page)
    page.log()
    assert len(coats(page, heron)) == 4


def test_a_second_dip_within_a_minute_is_told_and_not_logged(
    qtbot: QtBot, page: DipPage, heron: Shell, clock
) -> None:
    press(qtbot, page)
    qtbot.waitUntil(page.log_button.isEnabled, timeout=5000)
    qtbot.waitUntil(lambda: page.log_button.text() == "LOG COAT 5")
    clock.forward(seconds=20)
    with qtbot.waitSignal(page.session.failed) as told:
        press(qtbot, page)
    assert "less than a minute" in told.args[0]
    assert len(coats(page, heron)) == 4


def test_keyboard_alone_logs(qtbot: QtBot, page: DipPage, heron: Shell) -> None:
    page.form.note.setFocus()
    qtbot.keyClicks(page.form.note, "drained twice")
    qtbot.keyClick(page.form.note, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert coats(page, heron)[-1].note == "drained twice"


def test_a_time_in_the_past_is_kept(qtbot: QtBot, page: DipPage, heron: Shell) -> None:
    earlier = NOW - timedelta(minutes=50)
    page.form.time.set_moment(earlier)
    press(qtbot, page)
    assert coats(page, heron)[-1].dipped_at == earlier


def test_a_time_to_come_is_refused_and_what_was_typed_stays(
    qtbot: QtBot, page: DipPage, heron: Shell
) -> None:
    page.form.note.setText("patched")
    page.form.time.set_moment(NOW + timedelta(hours=1))
    with qtbot.waitSignal(page.session.failed) as told:
        press(qtbot, page)
    assert "has not come yet" in told.args[0]
    assert page.form.note.text() == "patched"
    assert len(coats(page, heron)) == 3


def test_a_typed_reading_is_logged_as_well(qtbot: QtBot, page: DipPage, heron: Shell) -> None:
    page.form.temp.line.setText("68 F")
    page.form.rh.line.setText("52")
    press(qtbot, page)
    last = page.session.opened.book.last_reading(ROOM)
    assert last is not None
    assert last.temp_c == pytest.approx(20.0)
    assert last.rh == pytest.approx(0.52)
    assert coats(page, heron)[-1].air == last


def test_a_wrong_unit_names_its_field_and_logs_nothing(
    qtbot: QtBot, page: DipPage, heron: Shell
) -> None:
    page.form.temp.line.setText("3 kg")
    with qtbot.waitSignal(page.session.failed) as told:
        press(qtbot, page)
    assert told.args[0].startswith("Air temperature")
    assert page.form.temp.line.text() == "3 kg"
    assert len(coats(page, heron)) == 3


def test_dipping_early_is_warned_of_and_never_blocked(
    qtbot: QtBot, page: DipPage, heron: Shell, clock
) -> None:
    clock.to(coats(page, heron)[-1].dipped_at + timedelta(minutes=30))
    page.session.forecast_now()
    page.show_shell(heron.id)
    assert page.card.dry.text().startswith("EARLY")
    assert page.form.reason.isVisible()
    page.form.reason.setText("the kiln is booked")
    press(qtbot, page)
    coat = coats(page, heron)[-1]
    assert coat.reason == "the kiln is booked"


def test_undo_takes_the_dip_back_and_the_book_keeps_both(
    qtbot: QtBot, page: DipPage, heron: Shell
) -> None:
    press(qtbot, page)
    logged = coats(page, heron)[-1]
    qtbot.waitUntil(page.undo_button.isVisible)
    qtbot.mouseClick(page.undo_button, Qt.MouseButton.LeftButton)
    assert len(coats(page, heron)) == 3
    assert len(page.session.opened.ledger.history(logged.id)) == 2
    assert not page.undo_button.isVisible()


def test_what_was_typed_survives_a_new_forecast(page: DipPage) -> None:
    page.form.note.setText("thin at the beak")
    page.session.forecast_now()
    assert page.form.note.text() == "thin at the beak"


def test_through_sequence_asks_which_coat(qtbot: QtBot, page: DipPage, heron: Shell, clock) -> None:
    for _ in range(6):
        clock.forward(hours=10)
        page.session.forecast_now()
        page.show_shell(heron.id)
        page.log_button.setEnabled(True)
        press(qtbot, page)
    page.session.forecast_now()
    page.show_shell(heron.id)
    assert page.card.next_coat.text() == "ALL 9 COATS ARE ON"
    page.log_button.setEnabled(True)
    with qtbot.waitSignal(page.session.failed) as told:
        press(qtbot, page)
    assert "Choose which coat" in told.args[0]
    page.form.coat.setCurrentIndex(7)
    clock.forward(hours=10)
    page.log_button.setEnabled(True)
    press(qtbot, page)
    assert len(coats(page, heron)) == 10
