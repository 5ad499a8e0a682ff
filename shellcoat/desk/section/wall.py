"""Paints the cut itself: wax, coats, water, the coats to come and the target."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from shellcoat.desk.section.layout import SectionLayout
from shellcoat.desk.section.picture import SectionBand, SectionPicture
from shellcoat.desk.section.texture import cut_outline, grains_path, hatch_path
from shellcoat.desk.theme import Theme
from shellcoat.shop import CoatKind

_NARROWEST_LINED_PX = 2.5


def paint_wall(
    painter: QPainter, layout: SectionLayout, picture: SectionPicture, theme: Theme
) -> None:
    """Paint the wall from the wax on the left to the outer face on the right."""
    outline = cut_outline(layout.wall, wavy=layout.detail)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if layout.detail:
        painter.setClipPath(outline, Qt.ClipOperation.IntersectClip)
    else:
        painter.setClipRect(layout.wall, Qt.ClipOperation.IntersectClip)
    _paint_wax(painter, layout, theme)
    for band, left, right in layout.spans(picture):
        if not band.planned:
            _paint_body(painter, layout, band, (left, right), theme)
    wet = _wet_area(layout, picture)
    _paint_tint(painter, wet, picture.wetness, theme)
    for band, left, right in layout.spans(picture):
        if not band.planned:
            _paint_grains(painter, layout, band, (left, right), theme)
    _paint_hatch(painter, wet, picture.wetness, theme, detail=layout.detail)
    _paint_seams(painter, layout, picture, theme)
    painter.restore()
    _paint_edges(painter, layout, picture, outline, theme)
    _paint_target(painter, layout, picture, theme)


def snap(painter: QPainter, place: float) -> float:
    """Move a place to the middle of a device pixel, where a thin line is crisp."""
    device = painter.device()
    ratio = device.devicePixelRatioF() if device is not None else 1.0
    return (int(place * ratio) + 0.5) / ratio


def thin_pen(colour: str, width: float = 1.0) -> QPen:
    """Return a pen with square joins for technical lines."""
    pen = QPen(QColor(colour), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen


def dashed_pen(colour: str, width: float, dash_px: float, gap_px: float) -> QPen:
    """Return a dashed pen with its pattern in pixels."""
    pen = thin_pen(colour, width)
    pen.setDashPattern([dash_px / width, gap_px / width])
    return pen


def _upright(layout: SectionLayout, x: float) -> QLineF:
    return QLineF(x, layout.wall.top(), x, layout.wall.bottom())


def _paint_wax(painter: QPainter, layout: SectionLayout, theme: Theme) -> None:
    wall = layout.wall
    wax = QRectF(wall.left(), wall.top(), layout.face_x - wall.left(), wall.height())
    painter.fillRect(wax, QColor(theme.wax))


def _fill_of(kind: CoatKind, theme: Theme) -> str:
    fills = {
        CoatKind.PRIME: theme.prime,
        CoatKind.BACKUP: theme.backup,
        CoatKind.SEAL: theme.seal,
    }
    return fills[kind]


def _paint_body(
    painter: QPainter,
    layout: SectionLayout,
    band: SectionBand,
    ends: tuple[float, float],
    theme: Theme,
) -> None:
    body = QRectF(ends[0], layout.wall.top(), ends[1] - ends[0], layout.wall.height())
    painter.fillRect(body, QColor(_fill_of(band.kind, theme)))


def _paint_grains(
    painter: QPainter,
    layout: SectionLayout,
    band: SectionBand,
    ends: tuple[float, float],
    theme: Theme,
) -> None:
    width, height = ends[1] - ends[0], layout.wall.height()
    grains = grains_path(width, height, band.grain_m * layout.px_per_m, band.number)
    painter.save()
    painter.translate(ends[0], layout.wall.top())
    body = QColor(theme.grain)
    body.setAlphaF(0.28 if layout.detail else 0.55)
    painter.setBrush(body)
    # Outlines would drown the hatching of a small picture.
    painter.setPen(thin_pen(theme.grain, 0.9) if layout.detail else QPen(Qt.PenStyle.NoPen))
    painter.drawPath(grains)
    painter.restore()


def _wet_area(layout: SectionLayout, picture: SectionPicture) -> QRectF:
    built = sum(band.thickness_m for band in picture.on)
    left, right = layout.x_at(built - picture.wet_m), layout.x_at(built)
    return QRectF(left, layout.wall.top(), right - left, layout.wall.height())


def _paint_tint(painter: QPainter, area: QRectF, wetness: float, theme: Theme) -> None:
    tint = QColor(theme.wet)
    tint.setAlphaF(0.35 + 0.45 * wetness)
    painter.fillRect(area, tint)


def _paint_hatch(
    painter: QPainter, area: QRectF, wetness: float, theme: Theme, *, detail: bool
) -> None:
    if area.isEmpty():
        return
    painter.save()
    painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
    painter.setPen(thin_pen(theme.hatch, 1.3 if detail else 1.1))
    painter.drawPath(hatch_path(area, wetness, detail=detail))
    painter.drawLine(QLineF(area.topLeft(), area.bottomLeft()))
    painter.restore()


def paint_swatch(painter: QPainter, box: QRectF, wetness: float, theme: Theme) -> None:
    """Paint a sample of wet wall for the key."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _paint_tint(painter, box, wetness, theme)
    _paint_hatch(painter, box, wetness, theme, detail=True)
    painter.setPen(thin_pen(theme.text))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    painter.restore()


def _paint_seams(
    painter: QPainter, layout: SectionLayout, picture: SectionPicture, theme: Theme
) -> None:
    """Draw the seam at the outside of each coat, unless seams would run together."""
    for band, left, right in layout.spans(picture):
        if right - left < _NARROWEST_LINED_PX:
            continue
        if band.planned:
            painter.setPen(dashed_pen(theme.line, 1.0, 2.0, 3.0))
        else:
            painter.setPen(thin_pen(theme.muted))
        painter.drawLine(_upright(layout, snap(painter, right)))


def _paint_edges(
    painter: QPainter,
    layout: SectionLayout,
    picture: SectionPicture,
    outline: QPainterPath,
    theme: Theme,
) -> None:
    built_x = layout.x_at(sum(band.thickness_m for band in picture.on))
    planned_x = layout.x_at(sum(band.thickness_m for band in picture.bands))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _stroke_between(painter, outline, built_x, planned_x, dashed_pen(theme.line, 1.0, 2.0, 3.0))
    _stroke_between(painter, outline, layout.wall.left(), built_x, thin_pen(theme.text, 1.0))
    painter.setClipPath(outline, Qt.ClipOperation.IntersectClip)
    heavy = 2.0 if layout.detail else 1.4
    painter.setPen(thin_pen(theme.text, heavy))
    for x in {layout.face_x, built_x}:
        painter.drawLine(_upright(layout, x))
    painter.restore()


def _stroke_between(
    painter: QPainter, outline: QPainterPath, left: float, right: float, pen: QPen
) -> None:
    """Draw the cut edges above and below between two places."""
    if right - left < 0.5:
        return
    box = outline.boundingRect()
    painter.save()
    painter.setClipRect(
        QRectF(left, box.top() - 2, right - left, box.height() + 4),
        Qt.ClipOperation.IntersectClip,
    )
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(outline)
    painter.restore()


def _paint_target(
    painter: QPainter, layout: SectionLayout, picture: SectionPicture, theme: Theme
) -> None:
    if picture.target_m <= 0.0:
        return
    x = snap(painter, layout.x_at(picture.target_m))
    over = 0.35 * layout.em if layout.detail else 0.0
    width = 1.8 if layout.detail else 1.6
    dash, gap = (9.0, 4.0) if layout.detail else (5.0, 3.0)
    painter.save()
    painter.setPen(dashed_pen(theme.accent, width, dash, gap))
    painter.drawLine(QPointF(x, layout.wall.top() - over), QPointF(x, layout.wall.bottom() + over))
    painter.restore()
