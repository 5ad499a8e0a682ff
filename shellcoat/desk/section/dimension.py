"""Dimension lines from the wax face, each with its spread, and the scale bar."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from shellcoat.desk.section.layout import SectionLayout
from shellcoat.desk.section.picture import SectionPicture
from shellcoat.desk.section.wall import dashed_pen, snap, thin_pen
from shellcoat.desk.section.words import WriteLength, translate, write_spread
from shellcoat.desk.theme import Theme
from shellcoat.shop import Band

_SCALE_STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Dimension:
    """One length from the wax face, with its spread and its words."""

    length: Band
    words: str
    is_target: bool = False


def dimensions_of(picture: SectionPicture, write_length: WriteLength) -> list[Dimension]:
    """List what is dimensioned, the shortest first, as it stands nearest the wall."""
    target = Dimension(
        Band(picture.target_m, picture.target_m, picture.target_m),
        translate("Section", "target {length}").format(length=write_length(picture.target_m)),
        is_target=True,
    )
    later = [target]
    if picture.to_come:
        words = translate("Section", "all coats {length}").format(
            length=write_spread(picture.planned_total, write_length)
        )
        later.append(Dimension(picture.planned_total, words))
    return [_now(picture, write_length), *sorted(later, key=lambda each: each.length.likely)]


def _now(picture: SectionPicture, write_length: WriteLength) -> Dimension:
    if not picture.on:
        return Dimension(Band(0.0, 0.0, 0.0), translate("Section", "no coat yet"))
    words = translate("Section", "now {length}").format(
        length=write_spread(picture.total, write_length)
    )
    return Dimension(picture.total, words)


def paint_dimensions(
    painter: QPainter,
    layout: SectionLayout,
    picture: SectionPicture,
    theme: Theme,
    write_length: WriteLength,
) -> None:
    """Paint the stack of dimension lines under the wall."""
    dimensions = dimensions_of(picture, write_length)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for dimension, row in zip(dimensions, layout.dimensions, strict=True):
        _paint_extensions(painter, layout, dimension, row, theme)
    for dimension, row in zip(dimensions, layout.dimensions, strict=True):
        _paint_dimension(painter, layout, dimension, row, theme)
    painter.restore()


def _line_y(row: QRectF, em: float) -> float:
    return row.bottom() - 0.3 * em


def _paint_extensions(
    painter: QPainter, layout: SectionLayout, dimension: Dimension, row: QRectF, theme: Theme
) -> None:
    if dimension.length.likely <= 0.0:
        return
    end = _line_y(row, layout.em) + 0.3 * layout.em
    top = layout.wall.bottom() + 0.25 * layout.em
    for depth in (0.0, dimension.length.likely):
        x = snap(painter, layout.x_at(depth))
        dashed = dimension.is_target and depth > 0.0
        painter.setPen(
            dashed_pen(theme.accent, 1.2, 9.0, 4.0) if dashed else thin_pen(theme.line, 1.0)
        )
        painter.drawLine(QPointF(x, top), QPointF(x, end))


def _paint_dimension(
    painter: QPainter, layout: SectionLayout, dimension: Dimension, row: QRectF, theme: Theme
) -> None:
    y = snap(painter, _line_y(row, layout.em))
    start, end = layout.face_x, layout.x_at(dimension.length.likely)
    low, high = layout.x_at(dimension.length.low), layout.x_at(dimension.length.high)
    if dimension.length.likely > 0.0:
        _paint_spread(painter, QRectF(low, y - 3.0, high - low, 6.0), theme)
        _paint_arrows(painter, QPointF(start, y), QPointF(end, y), layout.em, theme)
    place = _text_place(painter, layout, dimension, row, (start, min(low, end), max(high, end)))
    colour = theme.accent if dimension.is_target else theme.text
    _paint_text(painter, place, dimension.words, colour, theme)


def _paint_spread(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Mark from low to high as a bar with an end each, so that the spread has a length too."""
    if box.width() < 1.0:
        return
    painter.fillRect(box, QColor(theme.selection))
    painter.setPen(thin_pen(theme.accent, 1.2))
    for x in (box.left(), box.right()):
        painter.drawLine(QPointF(x, box.top() - 1.5), QPointF(x, box.bottom() + 1.5))


def _paint_arrows(painter: QPainter, start: QPointF, end: QPointF, em: float, theme: Theme) -> None:
    """Draw the line with its arrow heads, from outside where there is no room between."""
    head, half = 0.6 * em, 0.17 * em
    outside = end.x() - start.x() < 3.2 * head
    tail = QPointF(1.6 * head if outside else 0.0, 0.0)
    painter.setPen(thin_pen(theme.text, 1.1))
    if outside:
        painter.drawLine(start - tail, start)
        painter.drawLine(end, end + tail)
    else:
        painter.drawLine(start, end)
    reach = -head if outside else head
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.text))
    for tip, way in ((start, reach), (end, -reach)):
        corners = [tip, tip + QPointF(way, half), tip + QPointF(way, -half)]
        painter.drawPolygon(QPolygonF(corners))


def _text_place(
    painter: QPainter,
    layout: SectionLayout,
    dimension: Dimension,
    row: QRectF,
    ends: tuple[float, float, float],
) -> QRectF:
    """Stand the words over their line where they fit, else after its end, else before it."""
    start, low, high = ends
    em = layout.em
    width = painter.fontMetrics().horizontalAdvance(dimension.words) + 0.5 * em
    height = 1.05 * em
    over = _line_y(row, em) - 0.28 * em - height
    if width <= low - start - 0.8 * em:
        return QRectF((start + low - width) / 2, over, width, height)
    beside = _line_y(row, em) - 0.7 * em
    after = high + (0.5 if dimension.length.likely <= 0.0 else 1.4) * em
    right = row.right()
    if after + width <= right:
        return QRectF(after, beside, width, height)
    left = max(row.left(), min(start + 0.8 * em, right - width))
    return QRectF(left, over, min(width, right - left), height)


def _paint_text(painter: QPainter, place: QRectF, words: str, colour: str, theme: Theme) -> None:
    shown = painter.fontMetrics().elidedText(
        words, Qt.TextElideMode.ElideRight, int(place.width()) + 1
    )
    painter.fillRect(place, QColor(theme.panel))
    painter.setPen(QColor(colour))
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, shown)


def scale_length(px_per_m: float, unit_m: float, least_px: float) -> float:
    """Return the round length [m], 1, 2 or 5 in the person's unit, that is just long enough."""
    least = least_px / (px_per_m * unit_m)
    decade = 1.0
    while decade > least:
        decade /= 10.0
    while decade * 10.0 <= least:
        decade *= 10.0
    return unit_m * decade * next(step for step in _SCALE_STEPS if step * decade >= least)


def paint_scale(
    painter: QPainter, layout: SectionLayout, theme: Theme, unit_m: float, unit: str
) -> QRectF:
    """Paint the scale bar at the left of the foot and return the room left beside it."""
    length = scale_length(layout.px_per_m, unit_m, 3.0 * layout.em)
    width = length * layout.px_per_m
    bar = QRectF(layout.face_x, layout.foot.bottom() - 0.75 * layout.em, width, 0.36 * layout.em)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.setPen(thin_pen(theme.text))
    painter.setBrush(QColor(theme.panel))
    painter.drawRect(bar)
    painter.fillRect(QRectF(bar.left(), bar.top(), width / 2, bar.height()), QColor(theme.text))
    painter.restore()
    words = f"{length / unit_m:g}\u00a0{unit}"
    place = QRectF(bar.right() + 0.4 * layout.em, bar.center().y() - 0.6 * layout.em, 0, 0)
    place.setSize(painter.fontMetrics().boundingRect(words).size().toSizeF())
    place.setWidth(painter.fontMetrics().horizontalAdvance(words) + 2)
    place.setHeight(1.2 * layout.em)
    painter.setPen(QColor(theme.text))
    painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, words)
    room = QRectF(layout.foot)
    room.setLeft(place.right() + 1.5 * layout.em)
    return room
