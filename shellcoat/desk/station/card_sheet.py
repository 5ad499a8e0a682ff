"""Measuring the screen with a bank card, once."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from shellcoat.desk.station.arrangement import rows_within
from shellcoat.desk.station.ruler import BUTTON_MM, CARD_MM, GAP_MM, Ruler
from shellcoat.desk.station.sheets import Sheet
from shellcoat.desk.theme import Theme

CORNER_MM = 3.18
"""Radius of a bank card's corners: ISO/IEC 7810."""

STEPS = ((0.97, "−−"), (0.995, "−"), (1.005, "+"), (1.03, "++"))


class CardSheet(Sheet):
    """An outline that is made to fit a card.

    Signals
    -------
    measured : the ruler that fits
    """

    measured = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__("card", theme, parent)
        self.trial = Ruler(96 / 25.4)
        self._said = self.trial
        self._card = QRectF()
        spoken = (self.tr("Much smaller"), self.tr("Smaller"), self.tr("Larger"),
                  self.tr("Much larger"))  # fmt: skip
        self.steps = []
        for place, (factor, sign) in enumerate(STEPS):
            button = self.add(f"card_{place + 1}", sign, partial(self.change, factor))
            button.setAccessibleName(spoken[place])
            self.steps.append(button)
        self.foot = [
            self.add("card_keep", self.tr("IT FITS"), self._keep, primary=True),
            self.add("card_skip", self.tr("NO CARD AT HAND"), self._skip),
        ]

    def start_from(self, ruler: Ruler, said: Ruler) -> None:
        """Start from a measure; `said` is what the screen says of itself."""
        self.trial, self._said = ruler, said
        self.say_title(self.tr("HOLD A BANK CARD HERE: MAKE THE LINE FIT IT"))

    def change(self, factor: float) -> None:
        """Draw the outline larger or smaller."""
        self.trial = self.trial.scaled(factor)
        self.arrange()
        self.update()

    def _keep(self) -> None:
        self.measured.emit(self.trial)

    def _skip(self) -> None:
        self.measured.emit(self._said)

    def arrange_body(self, area: QRect) -> None:
        """The outline at the left top, where a hand holds the card; the steps beside it."""
        gap, side = self.ruler.px(GAP_MM), self.ruler.px(BUTTON_MM)
        width, height = (self.trial.px_per_mm * mm for mm in CARD_MM)
        columns = 2 if rows_within(area.height(), BUTTON_MM, self.ruler) > 1 else len(self.steps)
        left = area.left() + columns * (side + gap) + gap
        self._card = QRectF(left, area.top() + 4.0, width, height)
        for place, button in enumerate(self.steps):
            row, column = divmod(place, columns)
            corner = (area.left() + column * (side + gap), area.top() + row * (side + gap))
            button.place(QRect(*corner, side, side), self.ruler)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the card's outline."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self.theme.text), 2.0, Qt.PenStyle.SolidLine))
        corner = CORNER_MM * self.trial.px_per_mm
        painter.drawRoundedRect(self._card, corner, corner)
        painter.end()
