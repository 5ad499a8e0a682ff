"""A core drawn as a cut: the hollow in the wax, its neck, and the coats that narrow it.

The opening, its neck and the coats are to one scale; the hollow behind is only hinted at. Every
coat covers all wax the slurry reaches, so its outside is the outline of the wax moved out by the
wall.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from shellcoat.desk.section.texture import hatch_path
from shellcoat.desk.section.wall import dashed_pen, thin_pen
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.core_cut import CoreCut, walls_of
from shellcoat.desk.shell.core_picture import CoreCoat, CorePicture
from shellcoat.desk.shell.core_words import clear_words, closing_mark, describe_drawing, translate
from shellcoat.desk.theme import Theme
from shellcoat.shop import CoatKind

SIZE = QSize(280, 178)
FOOT_EM = 1.5
MARK_PX = 2.6
THIN_WALL_PX = 8.0
"""A wall on the drawing in which seams would run together."""

LEAST_WETNESS = 0.03


class CoreDrawing(QWidget):
    """Shows one core and tells it in words to assistive technology."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("core_drawing")
        self.setAccessibleName(translate("Cut through the core and its widest opening"))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._session, self._theme = session, theme
        self._picture: CorePicture | None = None

    def show_picture(self, picture: CorePicture) -> None:
        """Show another core."""
        self._picture = picture
        words = describe_drawing(self._session, picture)
        self.setAccessibleDescription(words)
        self.setToolTip(words)
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """Always as large."""
        return SIZE

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the cut and the line beneath it."""
        if self._picture is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        foot = FOOT_EM * painter.fontMetrics().height()
        field = QRectF(self.rect()).adjusted(1, 1, -1, -1 - foot)
        cut = CoreCut(field, self._picture)
        painter.save()
        painter.setClipRect(field)
        _paint_cut(painter, cut, self._theme)
        painter.restore()
        painter.setPen(thin_pen(self._theme.line))
        painter.drawRect(field)
        _paint_foot(painter, cut, foot, self._theme, clear_words(self._session, self._picture))
        painter.end()


def _paint_cut(painter: QPainter, cut: CoreCut, theme: Theme) -> None:
    picture = cut.picture
    walls = walls_of(picture.coats)
    on = [(coat, wall) for coat, wall in walls if not coat.planned]
    seams = bool(on) and on[-1][1] * cut.px_per_m > THIN_WALL_PX
    painter.setPen(thin_pen(theme.muted) if seams else QPen(Qt.PenStyle.NoPen))
    for coat, wall in reversed(on):
        body = cut.grown(wall)
        painter.setBrush(QColor(_fill(coat.kind, theme)))
        painter.drawPath(body)
    _paint_water(painter, cut, on, theme)
    painter.setPen(thin_pen(theme.text, 1.6 if seams else 1.0))
    painter.setBrush(QColor(theme.wax))
    painter.drawPath(cut.wax)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for coat, wall in walls:
        if coat.planned and coat.number != picture.closes_at:
            painter.setPen(dashed_pen(theme.line, 1.0, 2.0, 3.0))
            painter.drawPath(cut.grown(wall))
    if on:
        thin = on[-1][1] * cut.px_per_m < THIN_WALL_PX
        painter.setPen(thin_pen(theme.text, 1.0 if thin else 1.8))
        painter.drawPath(cut.grown(on[-1][1]))
    _paint_closing(painter, cut, walls, theme)
    if picture.opening and (picture.closed or picture.plugged):
        _paint_plug(painter, cut, on[-1][1] if on else 0.0, theme)
    _paint_places(painter, cut, walls, theme)


def _fill(kind: CoatKind, theme: Theme) -> str:
    fills = {
        CoatKind.PRIME: theme.prime,
        CoatKind.BACKUP: theme.backup,
        CoatKind.SEAL: theme.seal,
    }
    return fills[kind]


def _paint_water(
    painter: QPainter, cut: CoreCut, on: list[tuple[CoreCoat, float]], theme: Theme
) -> None:
    """Hatch the coats in the hollow, as densely as they are wet."""
    if not on or cut.picture.wetness < LEAST_WETNESS:
        return
    wall = on[-1][1]
    tint = QColor(theme.wet)
    tint.setAlphaF(0.3 + 0.4 * cut.picture.wetness)
    inside = QRectF(cut.field)
    inside.setRight(cut.outer_x)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.save()
    painter.setClipRect(inside, Qt.ClipOperation.IntersectClip)
    painter.fillPath(cut.grown(wall), tint)
    painter.setPen(thin_pen(theme.hatch, 1.1))
    painter.drawPath(hatch_path(cut.field, cut.picture.wetness, detail=True))
    painter.fillPath(cut.free(wall), QColor(theme.panel))
    painter.restore()
    painter.setPen(thin_pen(theme.muted))
    for _coat, seam in on[:-1]:
        painter.drawPath(cut.grown(seam))


def _paint_closing(
    painter: QPainter, cut: CoreCut, walls: list[tuple[CoreCoat, float]], theme: Theme
) -> None:
    """Mark the coat that would bridge the opening with a heavy line and its number."""
    last = cut.picture.closes_at
    found = [wall for coat, wall in walls if coat.number == last and coat.planned]
    if not found or cut.picture.opening is None:
        return
    painter.setPen(dashed_pen(theme.warm, MARK_PX, 7.0, 4.0))
    painter.drawPath(cut.grown(found[0]))


def _paint_plug(painter: QPainter, cut: CoreCut, wall_m: float, theme: Theme) -> None:
    """Fill what is left of the passage: slurry across it, or a plug put in by hand."""
    box = cut.passage(wall_m)
    least = max(box.height(), 5.0)
    box = QRectF(box.left(), cut.middle_y - 0.5 * least, box.width(), least)
    painter.setPen(thin_pen(theme.text, 1.6))
    if not cut.picture.plugged:
        painter.setBrush(QColor(theme.backup))
        painter.drawPath(_bridge(box))
        return
    box.setLeft(cut.inner_x + 0.4 * cut.neck_px)
    box.setRight(cut.outer_x + wall_m * cut.px_per_m + 6.0)
    painter.setBrush(QColor(theme.line))
    painter.drawRect(box)
    painter.drawLine(box.topLeft(), box.bottomRight())
    painter.drawLine(box.bottomLeft(), box.topRight())


def _bridge(box: QRectF) -> QPainterPath:
    """Slurry that stands across the passage, hollowed at both ends as a liquid is."""
    dip = min(0.5 * box.height(), 0.3 * box.width())
    path = QPainterPath(box.topLeft())
    path.lineTo(box.topRight())
    path.quadTo(QPointF(box.right() - 2 * dip, box.center().y()), box.bottomRight())
    path.lineTo(box.bottomLeft())
    path.quadTo(QPointF(box.left() + 2 * dip, box.center().y()), box.topLeft())
    return path


def _paint_places(
    painter: QPainter, cut: CoreCut, walls: list[tuple[CoreCoat, float]], theme: Theme
) -> None:
    """Name the hollow and the room, and point at the clear width."""
    outermost = max((wall for _, wall in walls), default=0.0) * cut.px_per_m
    field, em = cut.field, painter.fontMetrics().height()
    painter.setPen(QColor(theme.text))
    room = QRectF(field.left() + 10, cut.middle_y - em, cut.inner_x - outermost - 14, 2 * em)
    middle = Qt.AlignmentFlag.AlignVCenter
    painter.drawText(room, middle, translate("hollow"))
    air = QRectF(field.right() - 200, field.top() + 5, 192, 1.3 * em)
    painter.drawText(air, middle | Qt.AlignmentFlag.AlignRight, translate("room"))
    now = max((wall for coat, wall in walls if not coat.planned), default=0.0)
    clear = cut.clear_px(now)
    if clear > 4.0 and not (cut.picture.closed or cut.picture.plugged):
        _paint_clear(painter, QPointF(cut.inner_x + 0.5 * cut.neck_px, cut.middle_y), clear, theme)


def _paint_clear(painter: QPainter, middle: QPointF, half: float, theme: Theme) -> None:
    """A dimension across what is clear now."""
    painter.setPen(thin_pen(theme.text, 1.3))
    painter.drawLine(middle - QPointF(0, half), middle + QPointF(0, half))
    painter.setPen(QPen(Qt.PenStyle.NoPen))
    painter.setBrush(QColor(theme.text))
    head = min(6.0, half)
    for way in (-1.0, 1.0):
        tip = middle + QPointF(0, way * half)
        corners = [tip, tip - QPointF(2.2, way * head), tip - QPointF(-2.2, way * head)]
        painter.drawPolygon(QPolygonF(corners))


def _paint_foot(painter: QPainter, cut: CoreCut, foot: float, theme: Theme, clear: str) -> None:
    """Say what is clear now, and which coat the heavy dashes stand for."""
    line = QRectF(cut.field.left(), cut.field.bottom(), cut.field.width(), foot)
    middle = Qt.AlignmentFlag.AlignVCenter
    painter.setPen(QColor(theme.text))
    painter.drawText(line, middle, clear)
    words = closing_mark(cut.picture)
    if not words:
        return
    width = painter.fontMetrics().horizontalAdvance(words)
    painter.drawText(line, middle | Qt.AlignmentFlag.AlignRight, words)
    painter.setPen(dashed_pen(theme.warm, MARK_PX, 7.0, 4.0))
    y = line.center().y() + 0.5
    end = line.right() - width - 6
    painter.drawLine(QPointF(end - 25, y), QPointF(end, y))
