"""Paints the section drawing, small for a row of the rack or large with its text."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter

from shellcoat.desk.section.balloons import paint_balloons
from shellcoat.desk.section.dimension import paint_dimensions, paint_scale
from shellcoat.desk.section.layout import SectionLayout, lay_out
from shellcoat.desk.section.parts_list import paint_parts_list
from shellcoat.desk.section.picture import SectionPicture
from shellcoat.desk.section.wall import paint_swatch, paint_wall
from shellcoat.desk.section.words import WriteLength, translate, wet_words
from shellcoat.desk.theme import Theme
from shellcoat.units.displays import display_unit
from shellcoat.units.quantities import Quantity


def paint_section(
    painter: QPainter,
    rect: QRectF,
    picture: SectionPicture,
    theme: Theme,
    *,
    detail: bool,
    write_length: WriteLength,
    length_unit: str = "mm",
) -> None:
    """Paint the wall into `rect`; `length_unit` is the symbol the scale bar is marked in."""
    em = float(painter.fontMetrics().height())
    layout = lay_out(rect, picture, em, detail=detail)
    paint_wall(painter, layout, picture, theme)
    if not layout.detail:
        return
    _paint_title(painter, layout, picture, theme)
    _paint_wax_word(painter, layout, theme)
    paint_balloons(painter, layout, picture, theme)
    paint_dimensions(painter, layout, picture, theme, write_length)
    unit_m = display_unit(Quantity.THICKNESS, length_unit).factor
    room = paint_scale(painter, layout, theme, unit_m, length_unit)
    _paint_key(painter, layout, room, picture, theme, write_length)
    paint_parts_list(painter, layout, picture, theme, write_length)


def _paint_title(
    painter: QPainter, layout: SectionLayout, picture: SectionPicture, theme: Theme
) -> None:
    if layout.title.isEmpty():
        return
    plain = painter.font()
    font = QFont(plain)
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(QColor(theme.text))
    shown = painter.fontMetrics().elidedText(
        picture.title, Qt.TextElideMode.ElideRight, int(layout.title.width())
    )
    flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
    painter.drawText(layout.title, flags, shown)
    painter.setFont(plain)


def _paint_wax_word(painter: QPainter, layout: SectionLayout, theme: Theme) -> None:
    """Write the name of the pattern's stuff up its face."""
    words = translate("Section", "wax")
    wall = layout.wall
    if painter.fontMetrics().horizontalAdvance(words) > wall.height() - layout.em:
        return
    painter.save()
    painter.translate((wall.left() + layout.face_x) / 2, wall.center().y())
    painter.rotate(-90.0)
    painter.setPen(QColor(theme.wax_ink))
    box = QRectF(-wall.height() / 2, -layout.em, wall.height(), 2 * layout.em)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
    painter.restore()


def _key_words(picture: SectionPicture, write_length: WriteLength) -> list[str]:
    words = [wet_words(picture.wet_m, picture.wetness, write_length)]
    if picture.wet_m > 0.0:
        percent = round(100 * picture.wetness)
        words.append(translate("Section", "wet, {percent} % left").format(percent=percent))
    return words


def _fitting(painter: QPainter, choices: list[str], width: float) -> str:
    """Return the fullest wording that fits, or nothing."""
    metrics = painter.fontMetrics()
    return next((words for words in choices if metrics.horizontalAdvance(words) <= width), "")


def _paint_key(
    painter: QPainter,
    layout: SectionLayout,
    room: QRectF,
    picture: SectionPicture,
    theme: Theme,
    write_length: WriteLength,
) -> None:
    """Say what the hatching means, where there is room beside the scale."""
    if not picture.on:
        return
    swatch = 2.2 * layout.em if picture.wet_m > 0.0 else 0.0
    words = _fitting(painter, _key_words(picture, write_length), room.width() - swatch)
    if not words:
        return
    left = room.right() - swatch - painter.fontMetrics().horizontalAdvance(words)
    middle = layout.foot.bottom() - 0.57 * layout.em
    if swatch:
        box = QRectF(left, middle - 0.5 * layout.em, 1.7 * layout.em, layout.em)
        paint_swatch(painter, box, picture.wetness, theme)
    painter.setPen(QColor(theme.text))
    place = QRectF(QPointF(left + swatch, middle - 0.6 * layout.em), room.bottomRight())
    place.setHeight(1.2 * layout.em)
    painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, words)
