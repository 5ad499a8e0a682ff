"""The strength card: spots in order, drawn, worded, and readable in grey."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from small_shop import NOW, an_id

from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.need_bar import NeedBar
from shellcoat.desk.shell.spot_drawing import paint_spot
from shellcoat.desk.shell.strength_card import DRAWING, StrengthCard, describe_spot
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.forecast.answers import ShellForecast
from shellcoat.operations.strength import CAUTION, shell_strength
from shellcoat.shop import Band, Shell, SpotKind, StressSpot

ARM = StressSpot(id=an_id("arm"), name="Arm", kind=SpotKind.ROUND, radius_m=0.03, head_m=0.3)
BACK = StressSpot(
    id=an_id("back"),
    name="Flat back",
    kind=SpotKind.FLAT,
    long_m=0.4,
    short_m=0.3,
    head_m=0.6,
    helped_by="two ribs",
)
HELD = replace(BACK, id=an_id("held"), name="Base plate", clamped=True)


def write_mm(metres: float) -> str:
    return f"{1e3 * metres:.0f} mm"


def painted(spot: StressSpot, theme: Theme, size: tuple[int, int] = DRAWING.toTuple()):
    """The drawing in grey, a row per pixel."""
    image = QImage(*size, QImage.Format.Format_ARGB32)
    image.fill(QColor(theme.panel))
    painter = QPainter(image)
    try:
        paint_spot(painter, QRectF(0, 0, *size), spot, theme, write_mm)
    finally:
        painter.end()
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(size[1], -1)
    return rows[:, : size[0]].astype(float)


@pytest.fixture
def measured(heron: Shell) -> Shell:
    return replace(heron, spots=(ARM, BACK))


@pytest.fixture
def forecast(session: DeskSession, heron: Shell) -> ShellForecast:
    return session.opened.forecast_shell(heron, NOW)


@pytest.fixture
def card(
    qtbot: QtBot, session: DeskSession, theme: Theme, measured: Shell, forecast: ShellForecast
) -> StrengthCard:
    made = StrengthCard(session, theme)
    qtbot.addWidget(made)
    made.resize(760, 520)
    made.show_shell(measured, forecast)
    made.show()
    qtbot.waitExposed(made)
    return made


def test_the_worst_spot_stands_on_top_with_its_verdict(card: StrengthCard) -> None:
    assert [row.name.text() for row in card.rows] == ["Flat back", "Arm"]
    worst, best = card.rows
    assert worst.y() < best.y()
    assert worst.verdict.text() == "too thin by these figures"
    assert best.verdict.text() == "the figures leave room"
    marks = [row.mark.pixmap().toImage() for row in card.rows]
    assert marks[0] != marks[1]
    assert "21.7" in worst.words.text()


def test_what_is_not_counted_is_said(card: StrengthCard) -> None:
    worst, best = card.rows
    assert worst.helped.isVisible()
    assert worst.helped.text() == "Helped by two ribs: no published figure; not counted."
    assert not best.helped.isVisible()
    assert card.caution.isVisible()
    assert card.caution.text() == CAUTION


def test_that_it_is_no_leave_to_pour_stands_where_nothing_scrolls(card: StrengthCard) -> None:
    assert "never a leave to pour" in card.head.text()
    card.resize(480, 300)
    QApplication.processEvents()
    assert card.head.visibleRegion().boundingRect() == card.head.rect()


def test_the_metal_is_named(card: StrengthCard, measured: Shell, forecast: ShellForecast) -> None:
    assert "silicon bronze" in card.head.text()
    card.show_shell(replace(measured, metal="Rotguss"), forecast)
    assert "“Rotguss” is not in the table" in card.head.text()


def test_without_spots_it_says_what_to_give(
    card: StrengthCard, heron: Shell, forecast: ShellForecast
) -> None:
    assert not card.empty.isVisible()
    card.show_shell(heron, forecast)
    assert card.rows == []
    assert card.empty.isVisible()


def test_the_same_again_keeps_its_rows_and_another_wall_does_not(
    card: StrengthCard, measured: Shell, forecast: ShellForecast
) -> None:
    rows = list(card.rows)
    card.show_shell(measured, forecast)
    assert card.rows == rows
    thick = Band(0.04, 0.05, 0.06)
    card.show_shell(measured, replace(forecast, thickness_at_end_m=thick))
    assert card.rows != rows
    assert {row.verdict.text() for row in card.rows} == {"the figures leave room"}


def test_the_button_asks_for_the_dialog(qtbot: QtBot, card: StrengthCard) -> None:
    with qtbot.waitSignal(card.edit_requested, timeout=1000):
        card.edit_button.click()


def test_drawings_and_bars_are_told_in_words(
    card: StrengthCard, session: DeskSession, measured: Shell, forecast: ShellForecast
) -> None:
    assert describe_spot(BACK, write_mm) == (
        "flat face, 400 mm by 300 mm, edges that can tilt, 600 mm of metal above"
    )
    assert "edges held" in describe_spot(HELD, write_mm)
    assert describe_spot(ARM, write_mm) == "round wall, radius 30 mm, 300 mm of metal above"
    told = card.rows[0].bar.accessibleDescription()
    assert told.startswith("needed 17.8–27.5")
    assert "wall now" in told


def test_the_scale_of_a_bar_holds_every_band(
    qtbot: QtBot, theme: Theme, measured: Shell, forecast: ShellForecast
) -> None:
    for answer in shell_strength(measured, forecast).answers:
        bar = NeedBar(answer, lambda band: write_mm(band.high), theme)
        qtbot.addWidget(bar)
        bands = (answer.needed_m, answer.wall_at_end_m, answer.wall_now_m)
        assert bar.scale_to() > max(band.high for band in bands)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_kinds_of_spot_differ_in_grey(qapp: QApplication, theme: Theme) -> None:
    drawings = [painted(spot, theme) for spot in (ARM, BACK, HELD)]
    for drawing in drawings:
        assert np.ptp(drawing) > 80.0  # ink that stands out from the ground
    for one, other in ((0, 1), (0, 2), (1, 2)):
        assert (abs(drawings[one] - drawings[other]) > 40.0).mean() > 0.005


def test_a_face_is_drawn_in_its_proportion(qapp: QApplication) -> None:
    square = painted(replace(BACK, long_m=0.3), LIGHT)
    oblong = painted(replace(BACK, long_m=0.6), LIGHT)
    fill = QColor(LIGHT.backup)
    tone = round(0.299 * fill.red() + 0.587 * fill.green() + 0.114 * fill.blue())

    def extent(drawing: np.ndarray) -> float:
        filled = abs(drawing - tone) <= 1.0
        return float(filled.sum(axis=1).max()) / float(filled.sum(axis=0).max())

    assert extent(square) == pytest.approx(1.0, abs=0.06)
    assert extent(oblong) == pytest.approx(2.0, abs=0.12)


@pytest.mark.parametrize("size", [(244, 118), (120, 60), (40, 20), (2, 2)])
@pytest.mark.parametrize("spot", [ARM, BACK, HELD, replace(BACK, long_m=5.0, short_m=1e-3)])
def test_no_size_and_no_measure_breaks_the_drawing(
    qapp: QApplication, spot: StressSpot, size: tuple[int, int]
) -> None:
    assert painted(spot, LIGHT, size).shape == (size[1], size[0])


def test_it_takes_on_the_dark(card: StrengthCard) -> None:
    before = card.rows[0].drawing.grab().toImage()
    card.set_theme(DARK)
    assert card.rows[0].drawing.grab().toImage() != before


def test_long_names_do_not_push_it_wide(
    card: StrengthCard, measured: Shell, forecast: ShellForecast
) -> None:
    usual = card.minimumSizeHint().width()
    long = replace(BACK, name="N" * 200, helped_by="W" * 300)
    card.show_shell(replace(measured, spots=(long,), metal="M" * 200), forecast)
    assert card.minimumSizeHint().width() <= usual + 40
    assert card.width() <= 760


def test_it_fits_a_narrow_tab(card: StrengthCard) -> None:
    card.resize(480, 420)
    QApplication.processEvents()
    for row in card.rows:
        assert row.mapTo(card, row.rect().topRight()).x() < card.width() - 16  # beside the bar
        assert row.words.heightForWidth(row.words.width()) <= row.words.height()
