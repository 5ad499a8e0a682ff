"""State marks: a shape, a word and a fill, so that none has to be told by its colour.

The shapes are plain paths on a square of 24 units and read in grey at 16 pixels. They are filled
from the theme and outlined in black, which carries them on light and on dark ground.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from shellcoat.desk.theme import Theme

_SIDE = 24.0
_OUTLINE = 1.8
_PIXEL_RATIOS = (1.0, 2.0, 3.0)


class MarkState(Enum):
    """What a mark can say about a shell or its air."""

    BARE = "bare"
    WET = "wet"
    LIKELY_DRY = "likely dry"
    DIP_DUE = "dry – dip due"
    HOLDING = "holding"
    READY_FOR_REVIEW = "ready for review"
    ON_HOLD = "on hold"
    FINISHED = "finished"
    WILL_NOT_DRY = "will not dry"
    WARNING = "warning"


_WORDS = {
    MarkState.BARE: QT_TRANSLATE_NOOP("Marks", "bare"),
    MarkState.WET: QT_TRANSLATE_NOOP("Marks", "wet"),
    MarkState.LIKELY_DRY: QT_TRANSLATE_NOOP("Marks", "likely dry"),
    MarkState.DIP_DUE: QT_TRANSLATE_NOOP("Marks", "dry – dip due"),
    MarkState.HOLDING: QT_TRANSLATE_NOOP("Marks", "holding"),
    MarkState.READY_FOR_REVIEW: QT_TRANSLATE_NOOP("Marks", "ready for review"),
    MarkState.ON_HOLD: QT_TRANSLATE_NOOP("Marks", "on hold"),
    MarkState.FINISHED: QT_TRANSLATE_NOOP("Marks", "finished"),
    MarkState.WILL_NOT_DRY: QT_TRANSLATE_NOOP("Marks", "will not dry"),
    MarkState.WARNING: QT_TRANSLATE_NOOP("Marks", "warning"),
}


def mark_word(state: MarkState) -> str:
    """Return the word that stands beside the mark, in the person's language."""
    return QCoreApplication.translate("Marks", str(_WORDS[state]))


def mark_fill(state: MarkState, theme: Theme) -> str:
    """Return the fill of the mark, which black text can stand on."""
    return _MARKS[state].fill(theme)


def paint_mark(painter: QPainter, rect: QRectF, state: MarkState, theme: Theme) -> None:
    """Paint the mark as large as fits into `rect`, in its middle."""
    mark = _MARKS[state]
    side = min(rect.width(), rect.height())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(rect.center() - QPointF(side / 2, side / 2))
    painter.scale(side / _SIDE, side / _SIDE)
    pen = QPen(QColor(theme.ink), _OUTLINE)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(QColor(mark.fill(theme)))
    painter.drawPath(mark.body())
    painter.fillPath(mark.ink(), QColor(theme.ink))
    painter.restore()


def mark_pixmap(state: MarkState, theme: Theme, size: int, pixel_ratio: float) -> QPixmap:
    """Paint the mark on a clear pixmap of `size` logical pixels a side."""
    pixmap = QPixmap(QSize(size, size) * pixel_ratio)
    pixmap.setDevicePixelRatio(pixel_ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    paint_mark(painter, QRectF(0, 0, size, size), state, theme)
    painter.end()
    return pixmap


def mark_icon(state: MarkState, theme: Theme, size: int) -> QIcon:
    """Return the mark as an icon that stays crisp on dense screens."""
    icon = QIcon()
    for ratio in _PIXEL_RATIOS:
        icon.addPixmap(mark_pixmap(state, theme, size, ratio))
    return icon


def _path(*points: tuple[float, float]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in points]))
    path.closeSubpath()
    return path


def _nothing() -> QPainterPath:
    return QPainterPath()


def _box() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(4, 4, 16, 16))
    return path


def _drop() -> QPainterPath:
    path = QPainterPath(QPointF(12, 1.5))
    path.cubicTo(14, 6.5, 20, 10, 20, 15)
    path.cubicTo(20, 19.5, 16.5, 22.5, 12, 22.5)
    path.cubicTo(7.5, 22.5, 4, 19.5, 4, 15)
    path.cubicTo(4, 10, 10, 6.5, 12, 1.5)
    path.closeSubpath()
    return path


def _disc() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(12, 12), 9.5, 9.5)
    return path


def _left_half() -> QPainterPath:
    path = QPainterPath(QPointF(12, 2.5))
    path.arcTo(QRectF(2.5, 2.5, 19, 19), 90, 180)
    path.closeSubpath()
    return path


def _arrow_down() -> QPainterPath:
    return _path((7.5, 1.5), (16.5, 1.5), (16.5, 11), (22.5, 11), (12, 22.5), (1.5, 11), (7.5, 11))


def _hourglass() -> QPainterPath:
    return _path((3.5, 1.5), (20.5, 1.5), (14, 12), (20.5, 22.5), (3.5, 22.5), (10, 12))


def _sand() -> QPainterPath:
    path = _path((8.2, 6), (15.8, 6), (12, 12.2))
    path.addPath(_path((6.5, 20.8), (17.5, 20.8), (12, 16)))
    return path


def _lens() -> QPainterPath:
    handle = _path((13.2, 16.2), (16.2, 13.2), (23, 20), (20, 23))
    glass = QPainterPath()
    glass.addEllipse(QPointF(10, 10), 8, 8)
    return glass.united(handle)


def _pupil() -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(10, 10), 3, 3)
    return path


def _pause() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(3.5, 2.5, 6.5, 19))
    path.addRect(QRectF(14, 2.5, 6.5, 19))
    return path


def _tick() -> QPainterPath:
    return _path((1.5, 13), (5.5, 8.5), (9.5, 12.5), (18.5, 3), (22.5, 7), (9.5, 20.5))


def _cross() -> QPainterPath:
    near, far, mid, arm = 1.5, 22.5, 12.0, 4.5
    return _path(
        (near + arm, near), (mid, mid - arm), (far - arm, near), (far, near + arm),
        (mid + arm, mid), (far, far - arm), (far - arm, far), (mid, mid + arm),
        (near + arm, far), (near, far - arm), (mid - arm, mid), (near, near + arm),
    )  # fmt: skip


def _triangle() -> QPainterPath:
    return _path((12, 1.8), (23, 22), (1, 22))


def _exclamation() -> QPainterPath:
    path = _path((10.6, 8.5), (13.4, 8.5), (12.9, 15.5), (11.1, 15.5))
    path.addEllipse(QPointF(12, 18.4), 1.5, 1.5)
    return path


@dataclass(frozen=True, slots=True)
class _Mark:
    """The filled body, what is inked on it, and the fill it takes from the theme."""

    body: Callable[[], QPainterPath]
    ink: Callable[[], QPainterPath]
    fill: Callable[[Theme], str]


_MARKS = {
    MarkState.BARE: _Mark(_box, _nothing, lambda theme: theme.fill_bare),
    MarkState.WET: _Mark(_drop, _nothing, lambda theme: theme.fill_wet),
    MarkState.LIKELY_DRY: _Mark(_disc, _left_half, lambda theme: theme.fill_likely),
    MarkState.DIP_DUE: _Mark(_arrow_down, _nothing, lambda theme: theme.fill_due),
    MarkState.HOLDING: _Mark(_hourglass, _sand, lambda theme: theme.fill_holding),
    MarkState.READY_FOR_REVIEW: _Mark(_lens, _pupil, lambda theme: theme.fill_review),
    MarkState.ON_HOLD: _Mark(_pause, _nothing, lambda theme: theme.fill_paused),
    MarkState.FINISHED: _Mark(_tick, _nothing, lambda theme: theme.fill_bare),
    MarkState.WILL_NOT_DRY: _Mark(_cross, _nothing, lambda theme: theme.fill_trouble),
    MarkState.WARNING: _Mark(_triangle, _exclamation, lambda theme: theme.fill_trouble),
}
