"""A stress spot drawn: its face or ring, how it is held, and the metal standing over it.

Lines and textures carry it, so that it reads in grey; colours only set the parts apart.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPolygonF

from shellcoat.desk.section.wall import thin_pen
from shellcoat.desk.theme import Theme
from shellcoat.shop import StressSpot

WriteLength = Callable[[float], str]

_WALL_PX = 9.0
_COLUMN_PX = 24.0
_TICK_PX = 6.0
_SLENDEREST = 3.2


def paint_spot(
    painter: QPainter, rect: QRectF, spot: StressSpot, theme: Theme, write: WriteLength
) -> None:
    """Paint a spot into `rect`: the shape on the left, the metal's head beside it."""
    em = float(painter.fontMetrics().height())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    across = painter.fontMetrics().horizontalAdvance(write(spot.head_m)) + 1.1 * em
    column = QRectF(rect.right() - across - _COLUMN_PX, rect.top() + 0.9 * em, _COLUMN_PX, 0.0)
    column.setBottom(rect.bottom() - 0.4 * em)
    shape = QRectF(rect.topLeft(), QPointF(column.left() - 0.7 * em, rect.bottom()))
    if spot.long_m is not None and spot.short_m is not None:
        _paint_face(painter, shape, spot.long_m, spot.short_m, spot.clamped, theme, write, em)
    elif spot.radius_m is not None:
        _paint_ring(painter, shape, spot.radius_m, theme, write, em)
    _paint_head(painter, column, rect.right(), spot.head_m, theme, write, em)
    painter.restore()


def _paint_face(
    painter: QPainter,
    room: QRectF,
    long_m: float,
    short_m: float,
    clamped: bool,
    theme: Theme,
    write: WriteLength,
    em: float,
) -> None:
    """The face from in front, its sides in their proportion, with its edges as they are held."""
    free = room.adjusted(1.2 * em + 2 * _TICK_PX, 0.7 * em, -2 * _TICK_PX, -1.7 * em)
    ratio = min(long_m / short_m, _SLENDEREST)
    width = max(min(free.width(), free.height() * ratio), 4.0)
    face = QRectF(0.0, 0.0, width, max(width / ratio, 4.0))
    face.moveCenter(free.center())
    painter.setPen(thin_pen(theme.text, 2.0 if clamped else 1.4))
    painter.setBrush(QColor(theme.backup))
    painter.drawRect(face)
    (_paint_held if clamped else _paint_tilting)(painter, face, theme)
    painter.setPen(QColor(theme.text))
    below = QRectF(room.left(), face.bottom() + 2 * _TICK_PX, 2 * face.center().x(), 1.2 * em)
    below.setRight(2 * face.center().x() - room.left())
    painter.drawText(below, Qt.AlignmentFlag.AlignHCenter, write(long_m))
    painter.save()
    painter.translate(face.left() - 2 * _TICK_PX - 0.6 * em, face.center().y())
    painter.rotate(-90.0)
    upright = QRectF(-room.height(), -0.7 * em, 2 * room.height(), 1.4 * em)
    painter.drawText(upright, Qt.AlignmentFlag.AlignCenter, write(short_m))
    painter.restore()


def _edge_places(face: QRectF, pitch: float) -> list[tuple[QPointF, QPointF]]:
    """Evenly spaced places along all four edges, each with the way outwards."""
    places = []
    for start, end, out in (
        (face.topLeft(), face.topRight(), QPointF(0, -1)),
        (face.topRight(), face.bottomRight(), QPointF(1, 0)),
        (face.bottomRight(), face.bottomLeft(), QPointF(0, 1)),
        (face.bottomLeft(), face.topLeft(), QPointF(-1, 0)),
    ):
        count = max(ceil(QLineF(start, end).length() / pitch), 1)
        places += [(start + (end - start) * ((i + 0.5) / count), out) for i in range(count)]
    return places


def _paint_held(painter: QPainter, face: QRectF, theme: Theme) -> None:
    """Slanting strokes all along, as a wall is drawn that holds a beam."""
    painter.setPen(thin_pen(theme.text, 1.1))
    for place, out in _edge_places(face, 6.0):
        along = QPointF(-out.y(), out.x())
        painter.drawLine(QLineF(place, place + (out + along) * _TICK_PX))


def _paint_tilting(painter: QPainter, face: QRectF, theme: Theme) -> None:
    """Small bearings under the edges, on which they can tilt."""
    painter.setPen(thin_pen(theme.text, 1.1))
    painter.setBrush(QColor(theme.panel))
    for place, out in _edge_places(face, 30.0):
        along = QPointF(-out.y(), out.x()) * (0.65 * _TICK_PX)
        foot = place + out * (1.3 * _TICK_PX)
        painter.drawPolygon(QPolygonF([place, foot + along, foot - along]))


def _paint_ring(
    painter: QPainter, room: QRectF, radius_m: float, theme: Theme, write: WriteLength, em: float
) -> None:
    """The round wall cut across, full of metal, with its inner radius."""
    free = room.adjusted(0.4 * em, 0.2 * em, -0.4 * em, -1.5 * em)
    outer = max(min(free.width(), free.height()) / 2, 2.0 * _WALL_PX)
    inner, middle = outer - _WALL_PX, free.center()
    painter.setPen(thin_pen(theme.text, 1.4))
    painter.setBrush(QColor(theme.backup))
    painter.drawEllipse(middle, outer, outer)
    metal = QPainterPath()
    metal.addEllipse(middle, inner, inner)
    _paint_metal(painter, metal, theme)
    rim = middle + QPointF(inner, 0.0)
    painter.setPen(thin_pen(theme.text, 1.4))
    painter.drawLine(middle, rim)
    painter.setBrush(QColor(theme.text))
    painter.drawEllipse(middle, 2.0, 2.0)
    painter.drawPolygon(QPolygonF([rim, rim + QPointF(-7, 3), rim + QPointF(-7, -3)]))
    below = QRectF(room.left(), middle.y() + outer + 0.2 * em, room.width(), 1.2 * em)
    painter.drawText(below, Qt.AlignmentFlag.AlignHCenter, f"r {write(radius_m)}")


def _paint_metal(painter: QPainter, outline: QPainterPath, theme: Theme) -> None:
    """Liquid: a tint under broken level strokes."""
    painter.setPen(thin_pen(theme.text, 1.4))
    painter.setBrush(QColor(theme.wax))
    painter.drawPath(outline)
    painter.save()
    painter.setClipPath(outline, Qt.ClipOperation.IntersectClip)
    painter.setPen(thin_pen(theme.wax_ink, 1.0))
    box = outline.boundingRect()
    rows = int(box.height() / 7.0)
    for row in range(1, rows + 1):
        y, x = box.top() + 7.0 * row, box.left() + (2.0 if row % 2 else 8.0)
        while x < box.right():
            painter.drawLine(QPointF(x, y), QPointF(x + 6.0, y))
            x += 12.0
    painter.restore()


def _paint_head(
    painter: QPainter,
    column: QRectF,
    right: float,
    head_m: float,
    theme: Theme,
    write: WriteLength,
    em: float,
) -> None:
    """The column of metal over the spot, its level marked, its height dimensioned."""
    metal = QPainterPath()
    metal.addRect(column)
    _paint_metal(painter, metal, theme)
    tip = QPointF(column.center().x(), column.top())
    half = 0.32 * em
    painter.setPen(thin_pen(theme.text, 1.3))
    painter.setBrush(QColor(theme.panel))
    painter.drawPolygon(
        QPolygonF([tip, tip + QPointF(half, -1.6 * half), tip + QPointF(-half, -1.6 * half)])
    )
    foot = QRectF(column.left() - 5.0, column.bottom(), column.width() + 10.0, 4.0)
    painter.fillRect(foot, QColor(theme.text))
    x = column.right() + 0.5 * em
    painter.setPen(thin_pen(theme.text, 1.1))
    painter.drawLine(QPointF(x, column.top()), QPointF(x, column.bottom()))
    painter.setBrush(QColor(theme.text))
    for end, way in ((column.top(), 1.0), (column.bottom(), -1.0)):
        corners = [
            QPointF(x, end),
            QPointF(x + 2.5, end + 7 * way),
            QPointF(x - 2.5, end + 7 * way),
        ]
        painter.drawPolygon(QPolygonF(corners))
    words = QRectF(x + 0.4 * em, column.center().y() - em, right - x - 0.4 * em, 2 * em)
    painter.setPen(QColor(theme.text))
    painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, write(head_m))
