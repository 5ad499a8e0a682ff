"""The program's own icons, drawn as paths so that they are crisp and take any colour."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from shellcoat.desk.theme import LIGHT, Theme

SIDE = 32.0
RATIOS = (1.0, 2.0, 3.0)


def _icon(draw: Callable[[QPainter], None], colour: str) -> QIcon:
    icon = QIcon()
    for ratio in RATIOS:
        pixmap = QPixmap(round(SIDE * ratio), round(SIDE * ratio))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(QColor(colour), 2.4)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        draw(painter)
        painter.end()
        icon.addPixmap(pixmap)
    return icon


def _rack(painter: QPainter) -> None:
    """A bar with three shells hanging from it."""
    painter.drawLine(QPointF(3, 6), QPointF(29, 6))
    for x, length in ((8.0, 14.0), (16.0, 18.0), (24.0, 11.0)):
        painter.drawLine(QPointF(x, 6), QPointF(x, 11))
        painter.drawRoundedRect(QRectF(x - 3, 11, 6, length - 4), 3, 3)


def _dip(painter: QPainter) -> None:
    """A shell going down into a bucket."""
    bucket = QPolygonF([QPointF(5, 15), QPointF(8, 29), QPointF(24, 29), QPointF(27, 15)])
    painter.drawPolyline(bucket)
    painter.drawLine(QPointF(8, 20), QPointF(24, 20))
    painter.drawLine(QPointF(16, 2), QPointF(16, 8))
    painter.drawRoundedRect(QRectF(12, 8, 8, 16), 4, 4)


def _shell(painter: QPainter) -> None:
    """A wall of three coats in section."""
    path = QPainterPath(QPointF(5, 28))
    for offset in (0.0, 5.0, 10.0):
        arc = QPainterPath(QPointF(5 + offset, 28))
        arc.cubicTo(5 + offset, 14 + offset * 0.4, 14 + offset * 0.4, 5 + offset, 28, 5 + offset)
        path.addPath(arc)
    painter.drawPath(path)


def _air(painter: QPainter) -> None:
    """A thermometer beside a drop."""
    painter.drawRoundedRect(QRectF(7, 3, 6, 18), 3, 3)
    painter.drawEllipse(QPointF(10, 24), 5, 5)
    drop = QPainterPath(QPointF(23, 8))
    drop.cubicTo(24, 13, 28.5, 15, 28.5, 19.5)
    drop.cubicTo(28.5, 23, 26, 25, 23, 25)
    drop.cubicTo(20, 25, 17.5, 23, 17.5, 19.5)
    drop.cubicTo(17.5, 15, 22, 13, 23, 8)
    painter.drawPath(drop)


def _learned(painter: QPainter) -> None:
    """A spread that narrows from check to check."""
    for side in (-1.0, 1.0):
        edge = QPainterPath(QPointF(3, 16 + side * 12))
        edge.cubicTo(10, 16 + side * 11, 14, 16 + side * 5, 29, 16 + side * 4)
        painter.drawPath(edge)
    painter.setBrush(painter.pen().color())
    for x in (7.0, 15.0, 23.0):
        painter.drawEllipse(QPointF(x, 16), 1.2, 1.2)


def _review(painter: QPainter) -> None:
    """A sheet with lines, and a signature under them."""
    painter.drawRoundedRect(QRectF(6, 3, 20, 26), 2, 2)
    for y in (9.0, 14.0):
        painter.drawLine(QPointF(11, y), QPointF(21, y))
    hand = QPainterPath(QPointF(10, 24))
    hand.cubicTo(13, 17, 15, 18, 14, 24)
    hand.cubicTo(16, 20, 18, 21, 18, 24)
    hand.lineTo(22, 23)
    painter.drawPath(hand)


_PAGES = {
    "rack": _rack,
    "dip": _dip,
    "shell": _shell,
    "air": _air,
    "learned": _learned,
    "review": _review,
}


def page_icon(name: str, theme: Theme) -> QIcon:
    """The icon of a page in the theme's text colour."""
    return _icon(_PAGES[name], theme.text)


def program_icon() -> QIcon:
    """The program's icon: a wall in section."""
    return _icon(_shell, LIGHT.accent)
