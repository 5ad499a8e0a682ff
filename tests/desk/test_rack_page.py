"""The Rack page: order, words, search, what leaves it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot
from small_shop import NOW, an_id

from shellcoat.desk.rack.model import Column, RackModel
from shellcoat.desk.rack.page import RackPage
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import DARK, Theme
from shellcoat.operations.dips import log_dip, order_from, propose_dip
from shellcoat.operations.rack import rack_rows
from shellcoat.operations.shells import set_state, start_shell
from shellcoat.shop import Shell, ShellState

pytestmark = pytest.mark.usefixtures("read")


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme) -> RackPage:
    """A rack page on screen, its forecast made."""
    session.forecast_now()
    page = RackPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1300, 700)
    page.show()
    qtbot.waitExposed(page)
    return page


def words(page: RackPage, column: Column) -> list[str]:
    model = page.model
    return [str(model.index(row, column).data()) for row in range(model.rowCount())]


def another(session: DeskSession, heron: Shell, name: str, label: str) -> Shell:
    shell = replace(heron, id=an_id(name), name=name, label=label)
    return start_shell(session.opened, shell, NOW)


def test_empty_rack_says_what_to_do_first(page: RackPage) -> None:
    assert page.empty.isVisible()
    assert "New shell" in page.empty.text()
    assert not page.dip_button.isEnabled()


def test_row_says_coat_state_and_next_coat(heron: Shell, page: RackPage) -> None:
    assert words(page, Column.SHELL) == ["014  Standing heron"]
    assert words(page, Column.COATS) == ["coat 3 of 9"]
    step = heron.sequence.steps[3]
    assert words(page, Column.NEXT) == [step.slurry]
    forecast = page.session.forecasts[heron.id]
    assert forecast.safe_at is not None
    safe = forecast.safe_at.astimezone(page.session.opened.zone)
    assert f"{safe:%H:%M}" in words(page, Column.DRY)[0]


def test_the_shell_that_needs_a_person_comes_first(
    heron: Shell, session: DeskSession, clock, page: RackPage
) -> None:
    bare = another(session, heron, "Bare bell", "015")
    session.forecast_now()
    assert words(page, Column.SHELL)[0].startswith(bare.label)
    clock.forward(hours=12)
    session.forecast_now()
    assert words(page, Column.SHELL)[0].startswith(heron.label)
    assert "due" in words(page, Column.STATE)[0]


def test_choice_stays_on_its_shell_when_the_order_changes(
    heron: Shell, session: DeskSession, clock, page: RackPage
) -> None:
    another(session, heron, "Bare bell", "015")
    session.forecast_now()
    page.show_shell(heron.id)
    assert page.table.currentIndex().row() == 1
    clock.forward(hours=12)
    session.forecast_now()
    chosen = page.chosen()
    assert chosen is not None
    assert chosen.shell.id == heron.id
    assert page.table.currentIndex().row() == 0


@pytest.mark.parametrize("typed", ["heron", "014", "A2", "BRONZE"])
def test_search_finds_by_name_label_place_and_metal(
    typed: str, heron: Shell, page: RackPage
) -> None:
    page.search.setText(typed)
    assert page.model.rowCount() == 1


def test_search_without_a_find_says_so(heron: Shell, page: RackPage) -> None:
    page.search.setText("no such piece")
    assert page.model.rowCount() == 0
    assert page.empty.isVisible()


def test_scrapped_shells_leave_the_rack_until_asked_for(
    heron: Shell, session: DeskSession, page: RackPage
) -> None:
    set_state(session.opened, heron.id, ShellState.SCRAPPED, NOW, "cracked")
    session.forecast_now()
    assert page.model.rowCount() == 0
    page.gone.setChecked(True)
    assert words(page, Column.STATE) == ["scrapped"]


def test_return_on_a_row_asks_for_the_dip_page(qtbot: QtBot, heron: Shell, page: RackPage) -> None:
    page.table.setFocus()
    with qtbot.waitSignal(page.dip_requested) as asked:
        qtbot.keyClick(page.table, Qt.Key.Key_Return)
    assert asked.args == [heron.id]


def test_a_name_of_200_characters_is_shown_whole_in_the_tooltip(
    heron: Shell, session: DeskSession, page: RackPage
) -> None:
    long = another(session, heron, "Ä" * 200, "016")
    session.forecast_now()
    row = page.model.row_of(long.id)
    assert row is not None
    tip = page.model.index(row, Column.SHELL).data(Qt.ItemDataRole.ToolTipRole)
    assert "Ä" * 200 in tip
    page.grab()


def test_early_dip_is_named_in_the_look_column(
    heron: Shell, session: DeskSession, page: RackPage
) -> None:
    assert words(page, Column.LOOK) == [""]
    proposal = propose_dip(session.opened, heron, session.forecasts[heron.id])
    early = session.opened.ledger.coats(heron.id)[-1].dipped_at + timedelta(minutes=20)
    order = order_from(proposal, early)
    assert order is not None
    log_dip(session.opened, order, NOW)
    session.forecast_now()
    assert words(page, Column.LOOK)[0].startswith("Coat 4 went on before the wall was safely dry")


def test_model_keeps_qts_contract(heron: Shell, session: DeskSession, clock) -> None:
    """Qt's own model tester fails the test on any breach."""
    model = RackModel(session)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    another(session, heron, "Bare bell", "015")
    for hours in (0, 12):
        clock.forward(hours=hours)
        session.forecast_now()
        model.set_rows(rack_rows(session.opened, session.forecasts, session.now()))
    model.set_rows([])
    assert model.rowCount(QModelIndex()) == 0


def test_every_cell_speaks(heron: Shell, page: RackPage) -> None:
    spoken = [
        page.model.index(0, column).data(Qt.ItemDataRole.AccessibleTextRole)
        for column in Column
        if column is not Column.LOOK
    ]
    assert all(spoken)
    assert "3 coats" in spoken[Column.SECTION]


def test_dark_colours_repaint(heron: Shell, page: RackPage) -> None:
    before = page.grab().toImage()
    page.set_theme(DARK)
    assert page.grab().toImage() != before
