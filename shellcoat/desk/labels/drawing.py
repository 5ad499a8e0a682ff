"""Drawing one label in the dots of a printer, a picture or a page."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from shellcoat.desk.labels.layout import (
    MM_PER_INCH,
    MOST_TAPE_WORDS_MM,
    LabelLayout,
    LabelText,
    lay_out,
    title_height_mm,
)
from shellcoat.desk.labels.sizes import LabelKind, LabelSize

INK = QColor("#000000")
FAMILY = "sans-serif"

NAME_SHARE = 0.5
MOST_NAME_MM, LEAST_NAME_MM, MOST_BOX_MM = 3.6, 2.2, 5.0
LEAST_BOX_MM = 2.1
"""A box that a pencil can still tick; where they get smaller, a line to write on stands instead."""

MOST_BOX_LINES = 4


@dataclass(frozen=True, slots=True)
class _Boxes:
    """How wide a box for a coat is [dots], and how many stand on a line; 0 for no boxes."""

    side: float
    per_line: int
    lines: int


def draw_label(painter: QPainter, text: LabelText, layout: LabelLayout, per_mm: float) -> None:
    """Draw a label with its upper left corner at the painter's origin, a unit a dot."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    for x, y in layout.codes:
        painter.fillPath(_code_path(text, layout.module, x, y), INK)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _draw_words(painter, text, layout, per_mm)


def _code_path(text: LabelText, module: int, left: int, top: int) -> QPainterPath:
    """All dark modules as one shape: side by side, pages show hairs of white between them."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for row, modules in enumerate(text.code.matrix):
        for column, dark in enumerate(modules):
            if dark & 1:
                corner = left + column * module, top + row * module
                path.addRect(QRectF(*corner, module, module))
    return path


def _draw_words(painter: QPainter, text: LabelText, layout: LabelLayout, per_mm: float) -> None:
    _title(painter, text.label, QRectF(*layout.title))
    left, top, width, height = layout.words
    tall = max(min(NAME_SHARE * height, MOST_NAME_MM * per_mm), LEAST_NAME_MM * per_mm)
    font = _font(tall)
    # Two lines for the name where the boxes keep room for two of theirs.
    most = 2 if height - 2 * tall > 2 * LEAST_BOX_MM * per_mm else 1
    lines = broken(text.name, QFontMetricsF(font), width, most)
    boxes = _fitting_boxes(text.coats, width, height - tall * len(lines), per_mm)
    spare = max(height - tall * len(lines) - boxes.side * boxes.lines, 0.0) / 3.0
    painter.setFont(font)
    painter.setPen(INK)
    y = top + min(spare, per_mm)
    for line in lines:
        painter.drawText(QRectF(left, y, width, tall), Qt.AlignmentFlag.AlignVCenter, line)
        y += tall
    y += spare
    if boxes.per_line:
        _draw_boxes(painter, text.coats, QPointF(left, y), boxes, per_mm)
    else:
        _coat_line(painter, QRectF(left, y, width, boxes.side))


def _fitting_boxes(coats: int, width: float, height: float, per_mm: float) -> _Boxes:
    """The largest boxes that have room, on as many lines as that takes."""
    most = MOST_BOX_MM * per_mm
    choices = [
        _Boxes(min(width / per_line, height / lines, most), per_line, lines)
        for lines in range(1, MOST_BOX_LINES + 1)
        for per_line in [-(-coats // lines)]
    ]
    best = max(choices, key=lambda boxes: (round(boxes.side, 3), -boxes.lines))
    return best if best.side >= LEAST_BOX_MM * per_mm else _Boxes(min(height, most), 0, 1)


def _font(height: float, *, bold: bool = False) -> QFont:
    """A font whose lines are so many dots high."""
    font = QFont(FAMILY)
    font.setPixelSize(max(round(height / 1.2), 1))
    font.setBold(bold)
    font.setKerning(True)
    return font


def _title(painter: QPainter, words: str, room: QRectF) -> None:
    """The label, whole whatever its length: it is what a person types when a code will not read."""
    font = _font(room.height(), bold=True)
    wide = QFontMetricsF(font).horizontalAdvance(words)
    if wide > room.width():
        font = _font(room.height() * room.width() / wide, bold=True)
    painter.setFont(font)
    painter.setPen(INK)
    painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)


def broken(words: str, metrics: QFontMetricsF, width: float, most: int) -> list[str]:
    """Words on at most so many lines; what does not fit is cut short."""
    lines: list[str] = []
    left = words.split()
    while left and len(lines) < most - 1:
        count = 1
        while count < len(left) and _fits(" ".join(left[: count + 1]), metrics, width):
            count += 1
        lines.append(" ".join(left[:count]))
        left = left[count:]
    lines += [" ".join(left)] if left else []
    return [metrics.elidedText(line, Qt.TextElideMode.ElideRight, width) for line in lines]


def _fits(words: str, metrics: QFontMetricsF, width: float) -> bool:
    return metrics.horizontalAdvance(words) <= width


def _draw_boxes(
    painter: QPainter, coats: int, corner: QPointF, boxes: _Boxes, per_mm: float
) -> None:
    """A numbered box for each planned coat, to tick with a pencil."""
    painter.setPen(QPen(INK, 0.15 * per_mm))
    painter.setFont(_font(0.5 * boxes.side))
    side = 0.9 * boxes.side
    for number in range(coats):
        line, column = divmod(number, boxes.per_line)
        x, y = corner.x() + column * boxes.side, corner.y() + line * boxes.side
        box = QRectF(x, y, side, side)
        painter.drawRect(box)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(number + 1))


def _coat_line(painter: QPainter, space: QRectF) -> None:
    """A line to write the number of coats on."""
    words = QCoreApplication.translate("Labels", "coats")
    painter.setFont(_font(space.height()))
    painter.drawText(space, Qt.AlignmentFlag.AlignVCenter, words)
    wide = QFontMetricsF(painter.font()).horizontalAdvance(words + " ")
    painter.setPen(QPen(INK, max(space.height() / 24.0, 1.0)))
    foot = space.bottom() - space.height() / 6.0
    painter.drawLine(QPointF(space.left() + wide, foot), QPointF(space.right(), foot))


def words_mm(text: LabelText, size: LabelSize) -> float:
    """How wide the words of a tape want to be [mm]; other labels are as wide as they are."""
    if size.kind is not LabelKind.TAPE:
        return 0.0
    title = title_height_mm(size)
    height = size.height_mm - 2 * size.bare_mm - title
    name = max(min(NAME_SHARE * height, MOST_NAME_MM), LEAST_NAME_MM)
    scale = 100.0  # metrics of tiny fonts are rounded
    widths = [
        QFontMetricsF(_font(scale * tall, bold=bold)).horizontalAdvance(words) / scale
        for words, tall, bold in ((text.label, title, True), (text.name, name, False))
    ]
    boxes = text.coats * min(height - name, MOST_BOX_MM)
    return min(max(*widths, boxes), MOST_TAPE_WORDS_MM)


def laid_out(text: LabelText, size: LabelSize, dots_per_inch: int) -> LabelLayout:
    """Lay a label out with room for its words."""
    return lay_out(text, size, dots_per_inch, words_mm(text, size))


def dots_per_mm(dots_per_inch: int) -> float:
    """The same in millimetres."""
    return dots_per_inch / MM_PER_INCH
