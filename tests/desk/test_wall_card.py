"""The Wall tab of the Shell page: the wall by place, its weight, and what moved it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot
from small_shop import NOW, an_id
from wall_made import TARGET_M, a_wall, mm

from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.need_bar import BandBar, BandRow, BarScale
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.errors import MendableError
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.operations.checks import log_check
from shellcoat.operations.open_shop import ForecastInput, OpenShop
from shellcoat.shop import AirReading, CaliperReading, Shell, WallPlace


class Wall:
    """A wall of round figures in place of the forecast's own; counts how often it was asked."""

    def __init__(self) -> None:
        self.asked = 0
        self.fault = ""

    def __call__(self, opened: OpenShop, given: ForecastInput) -> WallAnswer:
        self.asked += 1
        if self.fault:
            raise MendableError(self.fault)
        (case,) = given.cases
        return a_wall(case.shell.id, opened.ledger.checks().get(case.shell.id, ()))


@pytest.fixture
def wall(monkeypatch: pytest.MonkeyPatch) -> Wall:
    made = Wall()

    def answer(opened: OpenShop, given: ForecastInput) -> WallAnswer:
        return made(opened, given)

    monkeypatch.setattr(OpenShop, "wall", answer)
    return made


@pytest.fixture
def page(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell, read: AirReading, wall: Wall
) -> Iterator[ShellPage]:
    """The shell page on the heron, its first tab in front."""
    session.forecast_now()
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1266, 700)
    page.show()
    qtbot.waitExposed(page)
    page.show_shell(heron.id)
    settle(qtbot, session)
    yield page
    settle(qtbot, session)


def settle(qtbot: QtBot, session: DeskSession) -> None:
    """Wait for all that is worked out in the background."""
    qtbot.waitUntil(lambda: not session.runner.busy)


def look(qtbot: QtBot, page: ShellPage) -> None:
    page.plots.setCurrentWidget(page.wall)
    settle(qtbot, page.session)


def a_caliper(shell: Shell) -> CaliperReading:
    return CaliperReading(
        id=an_id("caliper"),
        shell_id=shell.id,
        at=NOW - timedelta(hours=1),
        place=WallPlace.FLAT,
        thickness_m=5.4e-3,
        where="back of the head",
    )


def test_it_is_worked_out_only_once_somebody_looks(
    qtbot: QtBot, page: ShellPage, wall: Wall
) -> None:
    assert wall.asked == 0
    assert page.wall.head.text() == "Working out the wall…"
    assert page.wall.rows == []
    look(qtbot, page)
    assert wall.asked == 1
    page.plots.setCurrentWidget(page.checks)
    look(qtbot, page)
    assert wall.asked == 1  # nothing has changed since


def test_every_place_tells_its_wall_against_the_target(qtbot: QtBot, page: ShellPage) -> None:
    look(qtbot, page)
    assert [row.name.text() for row in page.wall.rows] == ["Flat faces", "Edges", "Inside corners"]
    assert page.wall.rows[0].words.text() == (
        "Likely 5.5\u00a0mm now, 8.1\u00a0mm at the end. Chance of reaching 8.0\u00a0mm: 61\u00a0%."
    )
    assert "8.0\u00a0mm: under 1\u00a0%." in page.wall.rows[1].words.text()
    readings = [row.readings.text() for row in page.wall.rows]
    assert readings == ["Measured 2 times.", "Not measured yet.", "Measured once."]


def test_the_bars_are_told_in_words_too(qtbot: QtBot, page: ShellPage) -> None:
    look(qtbot, page)
    bar = page.wall.rows[0].bar
    assert bar.accessibleName() == "Flat faces: wall now and at the end"
    assert bar.accessibleDescription() == ("wall now 5.1–5.9\u00a0mm; all coats on 7.2–9.0\u00a0mm")


def test_all_bars_share_one_scale(qtbot: QtBot, page: ShellPage) -> None:
    look(qtbot, page)
    assert len({row.bar.scale_to() for row in page.wall.rows}) == 1


def test_weight_and_evidence_are_told(qtbot: QtBot, page: ShellPage, heron: Shell) -> None:
    log_check(page.session.opened, a_caliper(heron), NOW)
    look(qtbot, page)
    assert page.wall.weight.text() == (
        "Expected weight now 3.20–3.60\u00a0kg. Weighed 3.452\u00a0kg at 12:00, when "
        "3.25–3.65\u00a0kg was expected."
    )
    assert page.wall.moved.text().splitlines() == [
        "1.  The sequence's figures: wall 6.4\u00a0mm (5.0–7.9\u00a0mm).",
        "2.  Tue 24 Feb 14:00: Plate test and stucco size, fused silica backup: 6.4\u00a0mm → "
        "6.1\u00a0mm (5.3–6.9\u00a0mm).",
        "3.  13:00: Caliper, back of the head: expected 6.1\u00a0mm, read 5.4\u00a0mm; wall on "
        "the flats now 5.5\u00a0mm (5.1–5.9\u00a0mm).",
    ]


def test_a_check_logged_meanwhile_moves_what_is_shown(
    qtbot: QtBot, page: ShellPage, wall: Wall, heron: Shell
) -> None:
    look(qtbot, page)
    rows = list(page.wall.rows)
    log_check(page.session.opened, a_caliper(heron), NOW)
    settle(qtbot, page.session)
    assert wall.asked > 1
    assert "back of the head" in page.wall.moved.text()
    assert page.wall.rows == rows  # the places say the same and were not built anew


def test_what_cannot_be_worked_out_is_said(qtbot: QtBot, page: ShellPage, wall: Wall) -> None:
    wall.fault = "The table of walls is missing. Restore it from the installation."
    with qtbot.waitSignal(page.said) as said:
        page.plots.setCurrentWidget(page.wall)
    assert said.args == [wall.fault]
    assert page.wall.head.text() == wall.fault


def test_another_shell_does_not_show_the_wall_of_the_one_before(
    qtbot: QtBot, page: ShellPage, heron: Shell
) -> None:
    look(qtbot, page)
    other = replace(heron, id=an_id("otter"), name="Otter", label="015")
    page.session.opened.record(other, NOW)
    settle(qtbot, page.session)
    page.show_shell(other.id)
    assert page.wall.rows == []
    assert page.wall.head.text() == "Working out the wall…"
    settle(qtbot, page.session)
    assert len(page.wall.rows) == 3


def test_it_fits_the_narrow_page(qtbot: QtBot, page: ShellPage) -> None:
    look(qtbot, page)
    assert page.width() == 1266
    assert page.wall.minimumSizeHint().width() < 620


def _columns(bar: BandBar, colour: str) -> list[int]:
    """The columns of a bar's picture in which a colour is found."""
    image = bar.grab().toImage()
    wanted = QColor(colour)
    rows = range(image.height())
    return [
        column
        for column in range(image.width())
        if any(image.pixelColor(column, row) == wanted for row in rows)
    ]


@pytest.mark.parametrize("worn", [LIGHT, DARK])
def test_the_target_is_drawn_to_the_scale_of_the_bands(
    session: DeskSession, theme: Theme, worn: Theme
) -> None:
    """A bar that ends at 8 mm ends at a target of 8 mm, and at half way to one of 16 mm."""
    band = BandRow("wall", mm(1.0, 4.0, 8.0), needed=False)
    for target, share in ((TARGET_M, 1.0), (2 * TARGET_M, 0.5)):
        bar = BandBar(
            (band,), lambda _band: "", worn, mark=target, scale=BarScale(2 * TARGET_M, "")
        )
        bar.setStyleSheet(f"background: {worn.panel};")
        bar.resize(900, 60)
        filled, marked = _columns(bar, worn.backup), _columns(bar, worn.warm)
        left = filled[0] - (filled[-1] - filled[0]) / 7.0  # the band goes from 1 to 8 mm
        reached = (filled[-1] - left) / (marked[len(marked) // 2] - left)
        assert reached == pytest.approx(share, abs=0.02)


def test_it_wears_the_dark(qtbot: QtBot, page: ShellPage) -> None:
    look(qtbot, page)
    page.set_theme(DARK)
    assert _columns(page.wall.rows[0].bar, DARK.warm)
    assert not _columns(page.wall.rows[0].bar, LIGHT.warm)
    page.set_theme(LIGHT)


def test_the_real_wall_of_a_bare_shell_is_shown(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    """Without a fake: a shell just put on the rack has its places, its target and no caliper."""
    bare = replace(heron, id=an_id("otter"), name="Otter", label="015")
    session.opened.record(bare, NOW)
    session.forecast_now()
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1266, 700)
    page.show()
    page.show_shell(bare.id)
    page.plots.setCurrentWidget(page.wall)
    settle(qtbot, session)
    assert len(page.wall.rows) == 3
    assert {row.readings.text() for row in page.wall.rows} == {"Not measured yet."}
