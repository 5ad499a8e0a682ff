"""The wall a spot needs over the wall it has, as bands on one scale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from shellcoat.desk.section.wall import thin_pen
from shellcoat.desk.theme import Theme
from shellcoat.forecast.strength_need import SpotAnswer
from shellcoat.shop import Band

WriteBand = Callable[[Band], str]

_ROWS_EM = 1.55
_ROOM_OVER = 1.06


@dataclass(frozen=True, slots=True)
class BandRow:
    """One band with what it is called; hatched where it is needed, filled where it is there."""

    words: str
    band: Band
    needed: bool


def band_rows(answer: SpotAnswer) -> tuple[BandRow, ...]:
    """What is shown of an answer, from top to bottom."""
    words = QCoreApplication.translate
    return (
        BandRow(words("Strength", "needed"), answer.needed_m, needed=True),
        BandRow(words("Strength", "all coats on"), answer.wall_at_end_m, needed=False),
        BandRow(words("Strength", "wall now"), answer.wall_now_m, needed=False),
    )


@dataclass(frozen=True, slots=True)
class BarScale:
    """What bars under one another have alike: how far they go [m], and their longest words."""

    most_m: float = 0.0
    widest: str = ""


OWN_SCALE = BarScale()


class BandBar(QWidget):
    """Bands on a scale that begins at nothing; the bold stroke is the likely value.

    `mark` [m] is a dashed line through all rows, such as a target; bars under one another share
    a `scale`.
    """

    def __init__(
        self,
        rows: tuple[BandRow, ...],
        write: WriteBand,
        theme: Theme,
        parent: QWidget | None = None,
        *,
        mark: float | None = None,
        scale: BarScale = OWN_SCALE,
    ) -> None:
        super().__init__(parent)
        self._rows, self._write, self._theme = rows, write, theme
        self._mark, self._scale = mark, scale
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleDescription(
            "; ".join(f"{row.words} {write(row.band)}" for row in self._rows)
        )

    def sizeHint(self) -> QSize:
        """Room for every row and its words."""
        return QSize(420, round(_ROWS_EM * self.fontMetrics().height() * len(self._rows)) + 4)

    def minimumSizeHint(self) -> QSize:
        """Narrower still readable."""
        return QSize(280, self.sizeHint().height())

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.update()

    def scale_to(self) -> float:
        """The thickness [m] at the right end of the scale."""
        ends = [self._scale.most_m, self._mark or 0.0, *(row.band.high for row in self._rows)]
        return _ROOM_OVER * max(ends)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the rows over one another."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        metrics = self.fontMetrics()
        em = float(metrics.height())
        left = max(metrics.horizontalAdvance(row.words) for row in self._rows) + 0.8 * em
        written = [self._scale.widest, *(self._write(row.band) for row in self._rows)]
        right = max(metrics.horizontalAdvance(text) for text in written)
        field = QRectF(left, 2.0, max(self.width() - left - right - 0.8 * em, 20.0), 0.0)
        field.setHeight(self.height() - 4.0)
        self._paint_frame(painter, field)
        height = field.height() / len(self._rows)
        for number, row in enumerate(self._rows):
            line = QRectF(field.left(), field.top() + number * height, field.width(), height)
            self._paint_row(painter, line, row, em)
        self._paint_mark(painter, field)
        painter.end()

    def _paint_frame(self, painter: QPainter, field: QRectF) -> None:
        painter.setPen(thin_pen(self._theme.line, 1.0))
        painter.drawLine(field.bottomLeft(), field.topLeft())

    def _paint_mark(self, painter: QPainter, field: QRectF) -> None:
        if self._mark is None:
            return
        pen = thin_pen(self._theme.warm, 2.0)
        pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        x = field.left() + field.width() * self._mark / self.scale_to()
        painter.drawLine(QPointF(x, field.top()), QPointF(x, field.bottom()))

    def _paint_row(self, painter: QPainter, line: QRectF, row: BandRow, em: float) -> None:
        theme, scale = self._theme, line.width() / self.scale_to()
        low, likely, high = (
            line.left() + scale * value for value in (row.band.low, row.band.likely, row.band.high)
        )
        box = QRectF(low, line.center().y() - 0.36 * em, max(high - low, 1.0), 0.72 * em)
        painter.setPen(thin_pen(theme.text, 1.2))
        painter.setBrush(QColor(theme.panel if row.needed else theme.backup))
        painter.drawRect(box)
        if row.needed:
            _paint_hatch(painter, box, theme)
        painter.setPen(thin_pen(theme.text, 3.0))
        painter.drawLine(QPointF(likely, box.top() - 3.0), QPointF(likely, box.bottom() + 3.0))
        self._paint_words(painter, line, row, em)

    def _paint_words(self, painter: QPainter, line: QRectF, row: BandRow, em: float) -> None:
        painter.setPen(QColor(self._theme.text))
        middle = Qt.AlignmentFlag.AlignVCenter
        before = QRectF(0.0, line.top(), line.left() - 0.6 * em, line.height())
        painter.drawText(before, middle | Qt.AlignmentFlag.AlignRight, row.words)
        after = QRectF(line.right() + 0.6 * em, line.top(), self.width(), line.height())
        painter.drawText(after, middle | Qt.AlignmentFlag.AlignLeft, self._write(row.band))


class NeedBar(BandBar):
    """The wall a spot needs over the wall it has and will have."""

    def __init__(
        self, answer: SpotAnswer, write: WriteBand, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(band_rows(answer), write, theme, parent)
        self.setAccessibleName(QCoreApplication.translate("Strength", "Needed wall and wall there"))


def _paint_hatch(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Slanting lines, so that what is needed differs from what is there without its colour."""
    painter.save()
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    painter.setPen(thin_pen(theme.warm, 1.3))
    x = box.left() - box.height()
    while x < box.right():
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
        x += 6.0
    painter.restore()
