"""How a factor is drawn: its band before the checks and now, on a scale of halves and doubles."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from shellcoat.desk.learned.words import translate
from shellcoat.desk.section.wall import thin_pen
from shellcoat.desk.theme import Theme
from shellcoat.forecast.learned import FactorAnswer
from shellcoat.shop import Band

LEAST_REACH = math.log(2.0)
"""The scale always holds half and twice, so that a small departure looks small."""

ROOM_BEYOND = 1.12
HATCH_GAP_PX = 6.0
BEFORE_HEIGHT_PX = 26.0
NOW_HEIGHT_PX = 13.0
LABEL_GAP_PX = 10.0


@dataclass(frozen=True, slots=True)
class FactorScale:
    """A logarithmic scale with "as the tables say" in its middle.

    `reach` is the natural logarithm of the factor at its right end.
    """

    reach: float = ROOM_BEYOND * LEAST_REACH

    @classmethod
    def around(cls, factors: Iterable[FactorAnswer]) -> FactorScale:
        """The scale that holds every band, as far to the left as to the right."""
        ends = [
            abs(math.log(end))
            for factor in factors
            for band in (factor.before, factor.now)
            for end in (band.low, band.high)
            if end > 0.0
        ]
        return cls(ROOM_BEYOND * max([LEAST_REACH, *ends]))

    def place(self, factor: float, field: QRectF) -> float:
        """Where a factor stands across `field`, within its ends."""
        share = math.log(max(factor, 1e-9)) / self.reach
        return field.center().x() + 0.5 * field.width() * max(-1.0, min(1.0, share))

    def marks(self) -> list[float]:
        """The powers of two on the scale, from the left."""
        most = int(self.reach / math.log(2.0))
        return [2.0**power for power in range(-most, most + 1)]


def mark_words(factor: float) -> str:
    """The name of a place on the scale."""
    if factor == 1.0:
        return translate("as the tables say")
    named = {0.25: translate("a quarter"), 0.5: translate("half"), 2.0: translate("twice")}
    if factor in named:
        return named[factor]
    if factor < 1.0:
        return f"1/{1.0 / factor:.0f}"
    return translate("{count} times").format(count=f"{factor:.0f}")


def paint_axis(painter: QPainter, field: QRectF, scale: FactorScale, theme: Theme) -> None:
    """Paint the names of the scale's marks, those in the middle first, and none over another."""
    metrics = painter.fontMetrics()
    taken: list[QRectF] = []
    painter.setPen(QColor(theme.muted))
    for factor in sorted(scale.marks(), key=lambda each: abs(math.log(each))):
        text = mark_words(factor)
        width = metrics.horizontalAdvance(text) + 2.0
        left = min(scale.place(factor, field) - width / 2.0, field.right() - width)
        box = QRectF(max(left, field.left()), field.top(), width, field.height())
        apart = box.adjusted(-LABEL_GAP_PX, 0.0, LABEL_GAP_PX, 0.0)
        if not any(apart.intersects(other) for other in taken):
            taken.append(box)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def paint_factor(
    painter: QPainter, field: QRectF, factor: FactorAnswer, scale: FactorScale, theme: Theme
) -> None:
    """Paint the marks of the scale, the band before any check, and the band now over it."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for mark in scale.marks():
        x = scale.place(mark, field)
        middle = mark == 1.0
        painter.setPen(thin_pen(theme.text if middle else theme.line, 1.6 if middle else 0.8))
        painter.drawLine(QPointF(x, field.top()), QPointF(x, field.bottom()))
    paint_before(painter, _box(factor.before, field, scale, BEFORE_HEIGHT_PX), theme)
    box = _box(factor.now, field, scale, NOW_HEIGHT_PX)
    paint_now(painter, box, theme)
    _paint_likely(painter, scale.place(factor.now.likely, field), box, theme)


def _box(band: Band, field: QRectF, scale: FactorScale, height: float) -> QRectF:
    left, right = scale.place(band.low, field), scale.place(band.high, field)
    return QRectF(left, field.center().y() - height / 2.0, max(right - left, 2.0), height)


def paint_before(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Paint an outline with slanting lines: told from what is filled by more than its grey."""
    painter.setPen(thin_pen(theme.line, 1.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    painter.save()
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    painter.setPen(thin_pen(theme.line, 1.0))
    x = box.left() - box.height()
    while x < box.right():
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
        x += HATCH_GAP_PX
    painter.restore()


def paint_now(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Paint a filled band."""
    painter.setPen(thin_pen(theme.text, 1.2))
    painter.setBrush(QColor(theme.accent))
    painter.drawRect(box)


def _paint_likely(painter: QPainter, x: float, box: QRectF, theme: Theme) -> None:
    """A stroke at the likely value, light within the band and dark where it stands out of it."""
    painter.setPen(thin_pen(theme.text, 3.0))
    painter.drawLine(QPointF(x, box.top() - 9.0), QPointF(x, box.top()))
    painter.drawLine(QPointF(x, box.bottom()), QPointF(x, box.bottom() + 9.0))
    painter.setPen(thin_pen(theme.accent_text, 2.0))
    painter.drawLine(QPointF(x, box.top() + 2.0), QPointF(x, box.bottom() - 2.0))


class BandLegend(QWidget):
    """What the two bands are."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("learned_legend")
        self._theme = theme
        self._words = (translate("before any check"), translate("now"))
        self.setAccessibleName(
            translate("Hatched: before any check. Filled: now, the stroke at the likely value.")
        )
        self.setToolTip(self.accessibleName())
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """Room for both swatches and their words."""
        metrics = self.fontMetrics()
        words = sum(metrics.horizontalAdvance(word) for word in self._words)
        return QSize(words + 2 * 60, metrics.height() + 8)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint each swatch with its word after it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, height = 4.0, float(self.height())
        for word, paint in zip(self._words, (paint_before, paint_now), strict=True):
            paint(painter, QRectF(x, height / 2.0 - 7.0, 30.0, 14.0), self._theme)
            painter.setPen(QColor(self._theme.text))
            width = self.fontMetrics().horizontalAdvance(word) + 2.0
            painter.drawText(QRectF(x + 38.0, 0.0, width, height), _LEFT, word)
            x += 38.0 + width + 18.0
        painter.end()


_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
