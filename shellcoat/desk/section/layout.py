"""Where each part of the section drawing lies, for painting it and for finding what is pointed at.

Lengths on the screen are in logical pixels; `em` is the height of a line of text.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

from shellcoat.desk.section.picture import SectionBand, SectionPicture

LEAST_WIDTH_EM, LEAST_HEIGHT_EM = 22.0, 13.0
"""Below this a detailed drawing has no room for its text and the plain one is drawn."""

_SHORTEST_WALL_EM = 4.0
_PARTS_BESIDE_EM = 40.0
_LEAST_EXTENT_M = 1e-6


@dataclass(frozen=True, slots=True)
class SectionLayout:
    """Rectangles of the parts; an empty one means there was no room or no need for the part."""

    detail: bool
    em: float
    wall: QRectF
    face_x: float
    px_per_m: float
    title: QRectF
    balloons: QRectF
    dimensions: tuple[QRectF, ...]
    foot: QRectF
    parts: QRectF

    def x_at(self, depth_m: float) -> float:
        """Return where a depth from the wax face lies."""
        return self.face_x + depth_m * self.px_per_m

    def spans(self, picture: SectionPicture) -> list[tuple[SectionBand, float, float]]:
        """Return each coat with the left and right end of its band."""
        spans, depth = [], 0.0
        for band in picture.bands:
            left = self.x_at(depth)
            depth += band.thickness_m
            spans.append((band, left, self.x_at(depth)))
        return spans

    def band_at(self, picture: SectionPicture, point: QPointF) -> SectionBand | None:
        """Return the coat under a point."""
        if not self.wall.contains(point):
            return None
        spans = self.spans(picture)
        return next((band for band, left, right in spans if left <= point.x() < right), None)


def lay_out(rect: QRectF, picture: SectionPicture, em: float, *, detail: bool) -> SectionLayout:
    """Share `rect` out between the parts."""
    roomy = rect.width() >= LEAST_WIDTH_EM * em and rect.height() >= LEAST_HEIGHT_EM * em
    if detail and roomy:
        return _detailed(rect, picture, em)
    return _plain(rect, picture, em)


def drawn_extent_m(picture: SectionPicture, *, detail: bool) -> float:
    """Return the depth [m] the drawing must hold."""
    built = sum(band.thickness_m for band in picture.bands)
    ends = [built, picture.target_m, picture.total.likely, picture.planned_total.likely]
    if detail:
        ends += [picture.total.high, picture.planned_total.high]
    return max(*ends, _LEAST_EXTENT_M)


def _plain(rect: QRectF, picture: SectionPicture, em: float) -> SectionLayout:
    inner = rect.adjusted(1, 1, -1, -1)
    wax = min(0.1 * inner.width(), em)
    room = max(inner.width() - wax - 3.0, 1.0)
    return SectionLayout(
        detail=False,
        em=em,
        wall=inner,
        face_x=inner.left() + wax,
        px_per_m=room / drawn_extent_m(picture, detail=False),
        title=QRectF(),
        balloons=QRectF(),
        dimensions=(),
        foot=QRectF(),
        parts=QRectF(),
    )


def _detailed(rect: QRectF, picture: SectionPicture, em: float) -> SectionLayout:
    inner = rect.adjusted(0.5 * em, 0.4 * em, -0.5 * em, -0.4 * em)
    parts = _parts_beside(inner, em)
    if not parts.isEmpty():
        inner.setRight(parts.left() - 1.5 * em)
    title = _cut_top(inner, 1.7 * em if picture.title else 0.0)
    foot = _cut_bottom(inner, 1.6 * em)
    count = 2 + bool(picture.to_come)
    dimensions = tuple(_cut_bottom(inner, 1.9 * em) for _ in range(count))[::-1]
    balloons = _cut_top(inner, 2.6 * em)
    if inner.height() < _SHORTEST_WALL_EM * em:
        inner, balloons = inner.united(balloons), QRectF()
    wax = 2.6 * em
    room = inner.width() - wax - 1.2 * em
    return SectionLayout(
        detail=True,
        em=em,
        wall=inner,
        face_x=inner.left() + wax,
        px_per_m=room / drawn_extent_m(picture, detail=True),
        title=title,
        balloons=balloons,
        dimensions=dimensions,
        foot=foot,
        parts=parts,
    )


def _parts_beside(inner: QRectF, em: float) -> QRectF:
    if inner.width() < _PARTS_BESIDE_EM * em:
        return QRectF()
    width = min(max(0.34 * inner.width(), 16 * em), 24 * em)
    return QRectF(inner.right() - width, inner.top(), width, inner.height())


def _cut_top(inner: QRectF, height: float) -> QRectF:
    strip = QRectF(inner.left(), inner.top(), inner.width(), height)
    inner.setTop(inner.top() + height)
    return strip


def _cut_bottom(inner: QRectF, height: float) -> QRectF:
    strip = QRectF(inner.left(), inner.bottom() - height, inner.width(), height)
    inner.setBottom(inner.bottom() - height)
    return strip
