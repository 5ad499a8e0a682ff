"""Logging an outcome, putting it right, and seeing how outcomes go across shells."""

from __future__ import annotations

from dataclasses import replace

import pytest
from matplotlib.figure import Figure
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_photos import keep_a_photo, keep_an_outcome
from small_shop import NOW, an_id

from shellcoat.desk.outcomes.dialog import OutcomeDialog
from shellcoat.desk.outcomes.overview import OutcomesDialog
from shellcoat.desk.plots.outcomes import draw_outcomes
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.forecast.pour_odds import Share, Split, Trait
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import set_state, start_shell
from shellcoat.shop import PourResult, Shell, ShellState

pytestmark = pytest.mark.usefixtures("theme")


@pytest.fixture
def finished(opened: OpenShop, heron: Shell) -> Shell:
    return set_state(opened, heron.id, ShellState.FINISHED, NOW)


def test_an_outcome_is_logged_with_what_was_measured(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, finished: Shell
) -> None:
    photo = keep_a_photo(opened, finished)
    dialog = shown(qtbot, OutcomeDialog(session, finished))
    assert not dialog.finish.isVisible()
    dialog.result_field.set_value(PourResult.LEAK)
    dialog.where.set_value("under the wing")
    dialog.metal.line.setText("2048 F")
    dialog.mass.line.setText("4.2 kg")
    dialog.photos.setCurrentRow(0)
    qtbot.keyClick(dialog.photos, Qt.Key.Key_Space)
    qtbot.mouseClick(dialog.save_button, Qt.MouseButton.LeftButton)
    dialog.save()
    kept = opened.ledger.outcomes[finished.id]
    assert kept.result is PourResult.LEAK
    assert kept.metal_temp_c == pytest.approx(1120.0)
    assert (kept.shell_temp_c, kept.metal_mass_kg) == (None, pytest.approx(4.2))
    assert kept.photo_ids == (photo.id,)
    assert (kept.where, kept.poured_at) == ("under the wing", NOW)


def test_a_shell_in_work_is_finished_only_when_ticked(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    dialog = shown(qtbot, OutcomeDialog(session, heron))
    dialog.save()
    assert "not finished yet" in dialog.fault.text()
    assert opened.ledger.outcomes == {}
    dialog.finish.click()
    dialog.save()
    assert opened.ledger.outcomes[heron.id].result is PourResult.SOUND
    assert opened.ledger.shell(heron.id).state is ShellState.FINISHED


def test_a_time_before_the_last_coat_is_told_at_its_field(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, finished: Shell
) -> None:
    dialog = shown(qtbot, OutcomeDialog(session, finished))
    dialog.time.set_value(NOW.replace(hour=1))
    dialog.save()
    assert "before the last coat" in dialog.time.message
    assert opened.ledger.outcomes == {}


def test_a_logged_outcome_opens_to_be_put_right_with_a_reason(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    kept = keep_an_outcome(opened, heron)
    dialog = shown(qtbot, OutcomeDialog(session, opened.ledger.shell(heron.id)))
    dialog.result_field.set_value(PourResult.CRACK)
    dialog.save()
    assert "Reason is empty" in dialog.reason.message
    dialog.reason.set_value("seen when it was cold")
    dialog.save()
    assert opened.ledger.outcomes[heron.id] == replace(kept, result=PourResult.CRACK)


def test_an_outcome_is_taken_back_with_a_reason(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    keep_an_outcome(opened, heron)
    dialog = shown(qtbot, OutcomeDialog(session, opened.ledger.shell(heron.id)))
    dialog.take_back()
    assert dialog.question is not None
    dialog.question.reason.set_value("another shell")
    dialog.question.confirm()
    assert opened.ledger.outcomes == {}
    assert not dialog.isVisible()


def test_the_page_of_a_shell_leads_to_its_label_and_its_outcome(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: not session.runner.busy)
    opened_for: list[str] = []
    monkeypatch.setattr(OutcomeDialog, "exec", lambda self: opened_for.append(self.windowTitle()))
    for name in ("shell_label", "shell_outcome"):
        assert page.findChild(QAction, name) is not None
    page.findChild(QAction, "shell_outcome").trigger()
    assert opened_for == ["Outcome: Standing heron"]


def test_the_overview_counts_and_says_where_n_is_too_small(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    keep_an_outcome(opened, heron, PourResult.LEAK)
    bell = start_shell(opened, replace(heron, id=an_id("bell"), label="B-1", name="Bell"), NOW)
    keep_an_outcome(opened, bell)
    dialog = shown(qtbot, OutcomesDialog(session))
    qtbot.waitUntil(lambda: not session.runner.busy)
    assert dialog.counts.text().startswith("Poured: 2 – 1 sound, 1 leak.")
    assert dialog.model.rowCount() == 2
    said = dialog.words.toPlainText()
    assert "Wall below its target: 1 of 1 not sound" in said
    assert "Without a coat in the book: 1." in said
    assert "nothing to compare" in said
    assert dialog.plot.accessibleDescription().startswith("Wall thickness.")
    assert "none of this says why" in dialog.caution.text()
    qtbot.waitUntil(lambda: len(dialog.plot.figure.axes) == len(Trait))


def test_the_row_of_a_pour_leads_to_its_shell(
    qtbot: QtBot, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    keep_an_outcome(opened, heron)
    dialog = shown(qtbot, OutcomesDialog(session))
    qtbot.waitUntil(lambda: not session.runner.busy)
    with qtbot.waitSignal(dialog.shell_requested) as asked:
        qtbot.mouseClick(dialog.shell_button, Qt.MouseButton.LeftButton)
    assert asked.args == [heron.id]


def test_without_a_pour_it_says_what_to_do_first(
    qtbot: QtBot, session: DeskSession, heron: Shell
) -> None:
    dialog = shown(qtbot, OutcomesDialog(session))
    assert "No pour is logged yet" in dialog.counts.text()
    assert not dialog.upper.isVisible()
    assert not dialog.shell_button.isEnabled()


@pytest.mark.parametrize("theme_drawn", [LIGHT, DARK])
def test_the_plot_draws_each_interval_where_it_lies(theme_drawn: Theme) -> None:
    splits = [Split(trait, Share(1, 29), Share(0, 0), 2) for trait in Trait]
    figure = Figure(figsize=(6, 4), layout="constrained")
    draw_outcomes(figure, splits, theme=theme_drawn)
    assert len(figure.axes) == 4
    for axes in figure.axes:
        bar = max(axes.lines, key=lambda line: len(set(line.get_xdata())))
        assert sorted(bar.get_xdata()) == pytest.approx([0.61, 17.18], abs=0.01)
        assert any("1 of 29" in text.get_text() for text in axes.texts)
