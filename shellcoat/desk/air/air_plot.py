"""The curve of a room's air, or what to do where there is none.

The plot itself is loaded with the first reading to show: matplotlib takes a third of a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from importlib import import_module
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedLayout, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import card, label
from shellcoat.desk.air.look import AirLook
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.air import DipMark, RoomAirView
from shellcoat.units import Quantity

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from shellcoat.desk.plots.panel import PlotPanel

Drawn = tuple[RoomAirView, str]

_HEIGHTS = (3, 2)


def load_plots() -> None:
    """Import what draws; called in a worker, so that the window does not wait for it."""
    for module in ("panel", "air"):
        import_module(f"shellcoat.desk.plots.{module}")


class AirPlot(QWidget):
    """A card with the plot, or with a sentence and at most one thing to press.

    Signals
    -------
    all_requested : the person wants to see everything there is
    """

    all_requested = Signal()

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("air_plot")
        self._session, self._theme = session, theme
        self._panel: PlotPanel | None = None
        self._drawn: Drawn | None = None
        frame, self._column = card(self, "air_plot_card")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(frame)
        self._words = QWidget(self)
        self.sentence = label(self._words, "air_plot_sentence", "empty", wrap=True)
        self.sentence.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.all_button = QPushButton(self.tr("Show everything"), self._words)
        self.all_button.setObjectName("air_plot_all")
        self.all_button.clicked.connect(self.all_requested)
        column = QVBoxLayout(self._words)
        column.addStretch(1)
        middle = QHBoxLayout()
        middle.addStretch(1)
        middle.addWidget(self.sentence, 6)
        middle.addStretch(1)
        column.addLayout(middle)
        column.addSpacing(12)
        column.addWidget(self.all_button, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(1)
        self._stack = QStackedLayout()
        self._stack.addWidget(self._words)
        self._column.addLayout(self._stack)

    def say(self, sentence: str, *, offer_all: bool = False) -> None:
        """Show a sentence in place of the plot."""
        self.sentence.setText(sentence)
        self.all_button.setVisible(offer_all)
        self._stack.setCurrentWidget(self._words)

    def show_look(self, look: AirLook) -> None:
        """Draw a look that has readings in it; one that is drawn already is left as it is."""
        unit = self._session.opened.units.unit_for(Quantity.TEMPERATURE)
        if self._drawn is None or not _same(self._drawn, (look.view, unit)):
            self._draw(look.view, unit)
            self._drawn = look.view, unit
        self._stack.setCurrentWidget(self._the_panel())

    def _draw(self, view: RoomAirView, unit: str) -> None:
        from shellcoat.desk.plots.air import describe_air, draw_air

        at = _moments(view)
        temp_c, rh, dew_point_c, wet_bulb_c = _columns(view)
        dips = [(mark.coat.dipped_at, _flag(mark)) for mark in view.dips]
        zone = self._session.opened.zone

        def draw(figure: Figure, theme: Theme) -> None:
            upper, lower = _axes(figure)
            draw_air(
                (upper, lower),
                at,
                temp_c,
                rh,
                dew_point_c,
                wet_bulb_c,
                dips,
                zone=zone,
                theme=theme,
                temp_unit=unit,
            )

        words = describe_air(at, temp_c, rh, dips, zone=zone, temp_unit=unit)
        self._the_panel().show_plot(draw, words)

    def _the_panel(self) -> PlotPanel:
        if self._panel is None:
            from shellcoat.desk.plots.panel import PlotPanel

            self._panel = PlotPanel(self.tr("Air of the room"), self._theme, self)
            self._panel.setObjectName("air_plot_panel")
            self._stack.addWidget(self._panel)
        return self._panel

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self._theme = theme
        if self._panel is not None:
            self._panel.set_theme(theme)


def _axes(figure: Figure) -> tuple[Axes, Axes]:
    upper, lower = figure.subplots(2, sharex=True, gridspec_kw={"height_ratios": _HEIGHTS})
    return upper, lower


def _same(old: Drawn, new: Drawn) -> bool:
    """Whether two views look the same in the same unit; drawing costs more than comparing."""
    (before, unit), (after, new_unit) = old, new
    columns = ((before.at_s, after.at_s), (before.temp_c, after.temp_c), (before.rh, after.rh))
    alike = all(np.array_equal(one, other, equal_nan=True) for one, other in columns)
    return alike and before.dips == after.dips and unit == new_unit


def _moments(view: RoomAirView) -> list[datetime]:
    return [datetime.fromtimestamp(second, UTC) for second in view.at_s.tolist()]


def _columns(view: RoomAirView) -> tuple[Sequence[float], ...]:
    columns = (view.temp_c, view.rh, view.dew_point_c, view.wet_bulb_c)
    return tuple(np.asarray(column).tolist() for column in columns)


def _flag(mark: DipMark) -> str:
    return f"{mark.shell.label} · {mark.number}"
