"""Where everything stands in the drawing of a core: the wax, the neck, the coats on them."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QTransform

from shellcoat.desk.shell.core_picture import CoreCoat, CorePicture

LEAST_NECK_PX = 14.0
MOST_NECK_SHARE = 0.34
OPENING_SHARE = 0.42
"""Of the height, for the opening on the bare wax: what is left shows wax and hollow."""

CEILING_SHARE = 0.07
MOST_FILLED = 0.97
"""Of half the opening: the outlines of a filled passage still stand apart."""

FAR_PX = 12.0
"""Beyond the field, where nothing is seen."""


class CoreCut:
    """Where everything stands: the wax, the mouths of the neck, the scale."""

    def __init__(self, field: QRectF, picture: CorePicture) -> None:
        self.field, self.picture = field, picture
        self.half_px = 0.5 * OPENING_SHARE * field.height() if picture.opening else 0.0
        width = picture.opening.width_m if picture.opening else 0.03
        self.px_per_m = OPENING_SHARE * field.height() / width
        neck = picture.opening.neck_m * self.px_per_m if picture.opening else 60.0
        self.neck_px = min(max(neck, LEAST_NECK_PX), MOST_NECK_SHARE * field.width())
        self.middle_y = field.center().y()
        self.outer_x = field.left() + 0.72 * field.width()
        self.inner_x = self.outer_x - self.neck_px
        self.ceiling_y = field.top() + CEILING_SHARE * field.height()
        self.round_px = self.middle_y - self.half_px - self.ceiling_y
        self.wax = self.grown(0.0)

    def grown(self, thickness_m: float) -> QPainterPath:
        """The wax with so much coat all over it, as far as the opening lets it grow."""
        thick = thickness_m * self.px_per_m
        if self.picture.opening is None:
            return self._closed_hollow(thick)
        upper = self._upper(min(thick, MOST_FILLED * self.half_px))
        mirror = QTransform.fromScale(1.0, -1.0) * QTransform.fromTranslate(0.0, 2 * self.middle_y)
        upper.addPath(mirror.map(upper))
        return upper

    def _upper(self, thick: float) -> QPainterPath:
        """What lies above the passage: ceiling, round corner, neck, outside, all moved out."""
        left, top = self.field.left() - FAR_PX, self.field.top() - FAR_PX
        edge = self.middle_y - self.half_px
        corner = self.round_px - thick
        path = QPainterPath(QPointF(left, top))
        path.lineTo(left, self.ceiling_y + thick)
        path.lineTo(self.inner_x - self.round_px, self.ceiling_y + thick)
        if corner > 0.0:
            centre = QPointF(self.inner_x - self.round_px, edge)
            path.arcTo(_round(centre, corner), 90, -90)
        path.arcTo(_round(QPointF(self.inner_x, edge), thick), 180, 90)
        path.lineTo(self.outer_x, edge + thick)
        path.arcTo(_round(QPointF(self.outer_x, edge), thick), 270, 90)
        path.lineTo(self.outer_x + thick, top)
        path.closeSubpath()
        return path

    def _closed_hollow(self, thick: float) -> QPainterPath:
        path, far = QPainterPath(), FAR_PX
        left, top = self.field.left() - far, self.field.top() - far
        block = QRectF(left, top, self.outer_x + thick - left, self.field.height() + 2 * far)
        path.addRect(block)
        height = 2 * (self.middle_y - self.ceiling_y - thick)
        room = QRectF(left, self.ceiling_y + thick, self.inner_x - thick - left, height)
        path.addRoundedRect(room, 40.0, 40.0)
        return path

    def free(self, thickness_m: float) -> QPainterPath:
        """What the coats leave free."""
        path = self.grown(thickness_m)
        path.addRect(self.field.adjusted(-FAR_PX, -FAR_PX, FAR_PX, FAR_PX))
        return path

    def clear_px(self, thickness_m: float) -> float:
        """What is left of half the opening under so much coat."""
        return max(self.half_px - thickness_m * self.px_per_m, 0.0)

    def passage(self, thickness_m: float) -> QRectF:
        """What is left of the passage under so much coat."""
        clear = self.clear_px(thickness_m)
        return QRectF(self.inner_x, self.middle_y - clear, self.neck_px, 2.0 * clear)


def _round(centre: QPointF, radius: float) -> QRectF:
    return QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius)


def walls_of(coats: tuple[CoreCoat, ...]) -> list[tuple[CoreCoat, float]]:
    """Each coat with the wall under its outside."""
    found, wall = [], 0.0
    for coat in coats:
        wall += coat.thickness_m
        found.append((coat, wall))
    return found
