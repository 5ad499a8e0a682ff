"""A widget that shows one plot, redrawn for its size and the theme."""

from __future__ import annotations

from collections.abc import Callable

from matplotlib.backends.backend_qtagg import FigureCanvasQTAgg
from matplotlib.figure import Figure
from PySide6.QtCore import QSize, Qt, QTimer, Slot
from PySide6.QtGui import QColor, QPalette, QResizeEvent, QShowEvent, QWheelEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.theme import Theme

DrawFigure = Callable[[Figure, Theme], None]
"""Draws a plot on an empty figure, such as ``draw_air(figure.subplots(2, sharex=True), …)``."""

_SETTLE_MS = 60
_LEAST = QSize(360, 260)


class _Canvas(FigureCanvasQTAgg):
    """A canvas that leaves the wheel to the page it stands on."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class PlotPanel(QWidget):
    """Hosts a figure; the page gives it a function that draws and a sentence that says the same."""

    def __init__(self, name: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._draw: DrawFigure | None = None
        self.figure = Figure(layout="constrained", facecolor=theme.panel)
        self._canvas = _Canvas(self.figure)  # type: ignore[no-untyped-call]
        self._canvas.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._settled = QTimer(self)
        self._settled.setSingleShot(True)
        self._settled.setInterval(_SETTLE_MS)
        self._settled.timeout.connect(self._catch_up)
        self._drawn_at = QSize()
        self.setObjectName("plot_panel")
        self.setAccessibleName(name)
        self.setMinimumSize(_LEAST)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._canvas)

    def show_plot(self, draw: DrawFigure, description: str) -> None:
        """Show another plot and say what it shows to assistive technology."""
        self._draw = draw
        self.setAccessibleDescription(description)
        self._redraw()

    def set_theme(self, theme: Theme) -> None:
        """Draw again in other colours."""
        self._theme = theme
        self.figure.set_facecolor(theme.panel)
        self._redraw()

    def _redraw(self) -> None:
        """Draw the plot anew, or once it is seen: drawing takes a tenth of a second."""
        self._drawn_at = QSize()
        if self.isVisible():
            self._catch_up()

    @Slot()
    def _catch_up(self) -> None:
        """Draw unless the plot was already drawn at this size; the screen follows when idle."""
        if self._drawn_at == self._canvas.size() or not self.isVisible():
            return
        self._drawn_at = self._canvas.size()
        self.figure.clear()
        if self._draw is not None:
            self._draw(self.figure, self._theme)
        # Fractional scaling leaves an edge the picture does not cover.
        self._canvas.setPalette(QPalette(QColor(self._theme.panel)))
        self._canvas.draw_idle()  # type: ignore[no-untyped-call]

    def showEvent(self, event: QShowEvent) -> None:
        """Draw what changed while nobody was looking."""
        super().showEvent(event)
        self._catch_up()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay labels out anew once the size has settled."""
        super().resizeEvent(event)
        self._settled.start()
