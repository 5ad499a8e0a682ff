"""The Shell page: words, section, plots, log, and what it asks the window for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot
from small_shop import NOW

from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.coat_log import Column
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import correct_coat
from shellcoat.shop import AirReading, Shell
from shellcoat.units import Quantity


@pytest.fixture
def page(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, read: AirReading
) -> ShellPage:
    """The shell page on the heron."""
    session.forecast_now()
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1300, 720)
    page.show()
    qtbot.waitExposed(page)
    page.show_shell(heron.id)
    qtbot.waitUntil(lambda: not session.runner.busy)
    return page


def cell(page: ShellPage, row: int, column: Column) -> str:
    return str(page.log_model.index(row, column).data())


def test_head_names_coats_dry_state_and_wall_against_target(page: ShellPage, heron: Shell) -> None:
    text = page.state.text()
    assert text.startswith("Coat 3 of 9")
    assert page.session.write(heron.sequence.target_thickness_m, Quantity.THICKNESS) in text


def test_log_has_a_line_a_coat_with_the_interval_it_had(page: ShellPage) -> None:
    assert page.log_model.rowCount() == 3
    assert cell(page, 0, Column.INTERVAL) == "1\u00a0d 1\u00a0h"
    assert cell(page, 2, Column.INTERVAL) == ""
    assert "prime" in cell(page, 0, Column.COAT) or "zircon" in cell(page, 0, Column.COAT)


def test_a_corrected_coat_is_marked(page: ShellPage, heron: Shell) -> None:
    coat = page.session.opened.ledger.coats(heron.id)[1]
    correct_coat(page.session.opened, replace(coat, tank="2"), NOW, "wrong tank")
    page.session.forecast_now()
    assert "corrected" in cell(page, 1, Column.LOOK)
    assert cell(page, 1, Column.TANK).startswith("2")


def test_drying_plot_says_in_words_what_it_shows(page: ShellPage) -> None:
    words = page.drying.accessibleDescription()
    assert "of the water is left" in words
    assert "from this room's readings" in words


def test_growth_plot_draws_every_coat_on_and_to_come(page: ShellPage, heron: Shell) -> None:
    page.plots.setCurrentWidget(page.growth)
    axes = page.growth.figure.axes[0]
    ticks = [label.get_text() for label in axes.get_xticklabels()]
    assert any(text.startswith(str(len(heron.sequence.steps))) for text in ticks)


def test_section_is_described_for_those_who_do_not_see_it(page: ShellPage) -> None:
    assert "3 coats" in page.section.accessibleDescription()


def test_correct_asks_for_the_chosen_coat(qtbot: QtBot, page: ShellPage, heron: Shell) -> None:
    page.log.selectRow(0)
    with qtbot.waitSignal(page.correct_requested) as asked:
        page.correct_button.click()
    assert asked.args == [page.session.opened.ledger.coats(heron.id)[0]]


def test_edit_and_dip_ask_for_this_shell(qtbot: QtBot, page: ShellPage, heron: Shell) -> None:
    with qtbot.waitSignal(page.edit_requested) as asked:
        page.edit_button.click()
    assert asked.args == [heron.id]
    with qtbot.waitSignal(page.dip_requested) as asked:
        page.dip_button.click()
    assert asked.args == [heron.id]


def test_empty_book_says_what_to_do_first(qtbot: QtBot, session: DeskSession, theme: Theme) -> None:
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.show()
    assert page.empty.isVisible()
