"""The list of coats beside the drawing, like the list of parts on an engineering drawing."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter

from shellcoat.desk.section.layout import SectionLayout
from shellcoat.desk.section.picture import SectionPicture
from shellcoat.desk.section.wall import thin_pen
from shellcoat.desk.section.words import CoatRow, WriteLength, coat_rows, translate
from shellcoat.desk.theme import Theme

_LINE_EM = 1.25
_GAP_EM = 0.5


def paint_parts_list(
    painter: QPainter,
    layout: SectionLayout,
    picture: SectionPicture,
    theme: Theme,
    write_length: WriteLength,
) -> None:
    """Paint the coats from the wax outwards, with slurry and stucco while there is room."""
    if layout.parts.isEmpty():
        return
    rows = coat_rows(picture, write_length)
    full = _height(rows, layout.em, labels=True) <= layout.parts.height()
    painter.save()
    top = layout.parts.top()
    heading: bool | None = None
    for index, row in enumerate(rows):
        if row.planned is not heading:
            heading = row.planned
            top = _paint_heading(painter, layout, top, theme, planned=row.planned)
        if _out_of_room(layout, rows[index:], top, labels=full):
            _paint_more(painter, layout, top, len(rows) - index, theme)
            break
        top = _paint_row(painter, layout, top, row, theme, labels=full)
    painter.restore()


def _height(rows: list[CoatRow], em: float, *, labels: bool) -> float:
    headings = len({row.planned for row in rows})
    lines = sum(1 + (row.label.count("\n") + 1 if labels else 0) for row in rows)
    return em * (headings * (_LINE_EM + _GAP_EM) + lines * _LINE_EM + len(rows) * _GAP_EM)


def _out_of_room(layout: SectionLayout, rest: list[CoatRow], top: float, *, labels: bool) -> bool:
    """Say whether this row would leave no line to say that more follow."""
    last = len(rest) == 1
    needed = _height(rest[:1], layout.em, labels=labels) - layout.em * (_LINE_EM + _GAP_EM)
    spare = 0.0 if last else 2 * _LINE_EM * layout.em
    return top + needed + spare > layout.parts.bottom() + 1.0


def _line(layout: SectionLayout, top: float) -> QRectF:
    return QRectF(layout.parts.left(), top, layout.parts.width(), _LINE_EM * layout.em)


def _paint_heading(
    painter: QPainter, layout: SectionLayout, top: float, theme: Theme, *, planned: bool
) -> float:
    words = translate("Section", "To come") if planned else translate("Section", "On the shell")
    line = _line(layout, top)
    _write(painter, line, words, theme.muted, bold=True)
    painter.setPen(thin_pen(theme.line))
    painter.drawLine(line.bottomLeft(), line.bottomRight())
    return line.bottom() + 0.5 * _GAP_EM * layout.em


def _paint_row(
    painter: QPainter,
    layout: SectionLayout,
    top: float,
    row: CoatRow,
    theme: Theme,
    *,
    labels: bool,
) -> float:
    line = _line(layout, top)
    ink = theme.muted if row.planned else theme.text
    indent = QPointF(3.0 * layout.em, 0.0)
    _write(painter, line, row.numbers, ink, bold=True)
    width = painter.fontMetrics().horizontalAdvance(row.thickness) + layout.em
    kind = QRectF(line.topLeft() + indent, line.bottomRight() - QPointF(width, 0.0))
    _write(painter, kind, row.kind, ink, bold=True)
    painter.setPen(QColor(ink))
    flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    painter.drawText(line, flags, row.thickness)
    for text in row.label.split("\n") if labels else ():
        line.translate(0.0, _LINE_EM * layout.em)
        _write(painter, line.adjusted(indent.x(), 0, 0, 0), text, theme.muted)
    return line.bottom() + _GAP_EM * layout.em


def _paint_more(
    painter: QPainter, layout: SectionLayout, top: float, count: int, theme: Theme
) -> None:
    words = translate("Section", "and {count} more, point at the wall").format(count=count)
    _write(painter, _line(layout, top), words, theme.muted)


def _write(painter: QPainter, place: QRectF, text: str, colour: str, *, bold: bool = False) -> None:
    """Write one line, shortened at its end where it is too long."""
    plain = painter.font()
    font = QFont(plain)
    font.setBold(bold)
    painter.setFont(font)
    painter.setPen(QColor(colour))
    shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(place.width()))
    flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    painter.drawText(place, flags, shown)
    painter.setFont(plain)
