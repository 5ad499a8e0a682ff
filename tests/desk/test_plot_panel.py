"""The panel that shows a plot: it redraws for theme and size, and says the same in words."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from matplotlib.figure import Figure
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from walls import START, a_curve

from shellcoat.desk.plots.drying import draw_drying_curve
from shellcoat.desk.plots.panel import PlotPanel
from shellcoat.desk.theme import DARK, LIGHT, Theme


class Drawing:
    """Draws a curve and counts how often, in which colours and width."""

    def __init__(self) -> None:
        self.calls: list[tuple[Theme, float]] = []

    def __call__(self, figure: Figure, theme: Theme) -> None:
        self.calls.append((theme, figure.bbox.width))
        draw_drying_curve(
            figure.subplots(), a_curve(), likely_at=None, safe_at=None, now=START,
            zone=ZoneInfo("UTC"), theme=theme,
        )  # fmt: skip


def shown(qtbot) -> PlotPanel:
    """A panel on the screen."""
    panel = PlotPanel("Drying of the present coat", LIGHT)
    qtbot.addWidget(panel)
    panel.resize(400, 300)
    panel.show()
    return panel


def test_panel_draws_and_says_the_same_in_words(qtbot):
    panel = shown(qtbot)
    drawing = Drawing()
    panel.show_plot(drawing, "30 % of the water left")
    assert len(drawing.calls) == 1
    assert panel.accessibleName() == "Drying of the present coat"
    assert panel.accessibleDescription() == "30 % of the water left"
    assert len(panel.figure.axes) == 1


def test_panel_draws_nothing_nobody_sees(qtbot):
    panel = PlotPanel("Drying", LIGHT)
    qtbot.addWidget(panel)
    drawing = Drawing()
    panel.show_plot(drawing, "said at once")
    panel.set_theme(DARK)
    assert drawing.calls == []
    assert panel.accessibleDescription() == "said at once"
    panel.show()
    qtbot.waitUntil(lambda: [theme for theme, _ in drawing.calls] == [DARK])


def test_panel_follows_the_theme(qtbot):
    panel = shown(qtbot)
    drawing = Drawing()
    panel.show_plot(drawing, "")
    panel.set_theme(DARK)
    assert drawing.calls[-1][0] is DARK
    qtbot.waitUntil(lambda: panel.grab().toImage().pixelColor(2, 2).name() == DARK.panel.lower())


def test_panel_lays_labels_out_anew_once_its_size_has_settled(qtbot):
    panel = shown(qtbot)
    drawing = Drawing()
    panel.show_plot(drawing, "")
    for width in range(450, 700, 50):
        panel.resize(width, 300)
    before = len(drawing.calls)
    qtbot.waitUntil(lambda: drawing.calls[-1][1] >= 640)
    assert len(drawing.calls) == before + 1


def test_wheel_is_left_to_the_page(qtbot, qapp: QApplication):
    panel = PlotPanel("Drying", LIGHT)
    qtbot.addWidget(panel)
    panel.show()
    middle = QPointF(panel.rect().center())
    wheel = QWheelEvent(
        middle, panel.mapToGlobal(middle), QPoint(), QPoint(0, 120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    canvas = panel.childAt(panel.rect().center())
    QApplication.sendEvent(canvas, wheel)
    assert not wheel.isAccepted()
