"""Coat numbers in balloons over the wall, each with a leader into its band."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from shellcoat.desk.section.layout import SectionLayout
from shellcoat.desk.section.picture import SectionBand, SectionPicture
from shellcoat.desk.section.wall import dashed_pen, thin_pen
from shellcoat.desk.spacing import spread_apart
from shellcoat.desk.theme import Theme

_DIAMETER_EM = 1.6
_PITCH_EM = 1.75


def numbered(picture: SectionPicture, most: int) -> list[SectionBand]:
    """Choose which coats get a balloon where there is not room for all.

    The first, the present and the last always do; between them every second, fifth, tenth.
    """
    bands = list(picture.bands)
    if len(bands) <= most:
        return bands
    always = {bands[0].number, bands[-1].number, *(band.number for band in picture.on[-1:])}
    for step in (2, 5, 10, 20):
        chosen = [band for band in bands if band.number % step == 0 or band.number in always]
        if len(chosen) <= most:
            return chosen
    return [band for band in bands if band.number in always][:most]


def paint_balloons(
    painter: QPainter, layout: SectionLayout, picture: SectionPicture, theme: Theme
) -> None:
    """Paint the numbers: the present coat filled, others outlined, those to come dashed."""
    row = layout.balloons
    if row.isEmpty():
        return
    pitch = _PITCH_EM * layout.em
    spans = {band.number: (left, right) for band, left, right in layout.spans(picture)}
    chosen = numbered(picture, max(int(row.width() / pitch), 1))
    centres = [sum(spans[band.number]) / 2 for band in chosen]
    half = _DIAMETER_EM * layout.em / 2
    places = spread_apart(centres, pitch, row.left() + half, row.right() - half)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    present = picture.on[-1].number if picture.on else 0
    for band, target, place in zip(chosen, centres, places, strict=True):
        middle = QPointF(place, row.top() + half + 1.0)
        foot = QPointF(target, layout.wall.top() + 0.55 * layout.em)
        _paint_leader(painter, middle + QPointF(0.0, half), foot, band, theme)
        _paint_balloon(painter, middle, half, band, theme, present=band.number == present)
    painter.restore()


def _paint_leader(
    painter: QPainter, start: QPointF, foot: QPointF, band: SectionBand, theme: Theme
) -> None:
    colour = theme.muted if band.planned else theme.text
    painter.setPen(thin_pen(colour, 1.0))
    painter.drawLine(start, foot)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    painter.drawEllipse(foot, 2.0, 2.0)


def _paint_balloon(
    painter: QPainter,
    middle: QPointF,
    half: float,
    band: SectionBand,
    theme: Theme,
    *,
    present: bool,
) -> None:
    if band.planned:
        painter.setPen(dashed_pen(theme.line, 1.2, 3.0, 2.0))
    else:
        painter.setPen(thin_pen(theme.accent if present else theme.text, 1.2))
    painter.setBrush(QColor(theme.accent if present else theme.panel))
    painter.drawEllipse(middle, half, half)
    ink = theme.accent_text if present else theme.muted if band.planned else theme.text
    painter.setPen(QColor(ink))
    box = QRectF(middle.x() - half, middle.y() - half, 2 * half, 2 * half)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(band.number))
