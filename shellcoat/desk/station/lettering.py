"""Fitting capitals: as large as the room allows, wrapped or squeezed, never under a height."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter

PITCH = 1.4
"""Lines of capitals are so many capital heights apart."""

SQUEEZE = 0.75
"""Letters are narrowed to no less than this, which keeps capitals wider than half their height
(common practice for lettering to be read from afar, from memory)."""

MARK_ROOM = 1.5
"""A mark takes so many capital heights before its line."""

MOST_WIDTHS = 20_000
"""Widths kept in mind: a few sizes of everything a day brings."""


class Lettering:
    """A font measured at every size."""

    def __init__(self, font: QFont) -> None:
        self._font = QFont(font)
        self._metrics: dict[int, QFontMetricsF] = {}
        self._widths: dict[tuple[str, int], float] = {}

    def font(self, size: int) -> QFont:
        """The font at a size in pixels."""
        font = QFont(self._font)
        font.setPixelSize(size)
        return font

    def _at(self, size: int) -> QFontMetricsF:
        if size not in self._metrics:
            self._metrics[size] = QFontMetricsF(self.font(size))
        return self._metrics[size]

    def cap_px(self, size: int) -> float:
        """Height of a capital [px]."""
        return self._at(size).capHeight()

    def width(self, text: str, size: int) -> float:
        """Width of a text [px]; measured once, since a page that counts seconds asks often."""
        key = text, size
        if key not in self._widths:
            if len(self._widths) > MOST_WIDTHS:
                self._widths.clear()
            self._widths[key] = self._at(size).horizontalAdvance(text)
        return self._widths[key]

    def size_for(self, cap_px: float) -> int:
        """The smallest size whose capitals are so high."""
        size = max(int(cap_px), 1)
        while self.cap_px(size) < cap_px:
            size += 1
        return size

    def elided(self, text: str, size: int, width: float) -> str:
        """A text cut to a width."""
        return self._at(size).elidedText(text, Qt.TextElideMode.ElideRight, width)


_KNOWN: dict[str, Lettering] = {}


def lettering_of(font: QFont) -> Lettering:
    """The measures of a font, taken once."""
    return _KNOWN.setdefault(font.key(), Lettering(font))


@dataclass(frozen=True, slots=True)
class Set:
    """A text as it is to be painted: its rows, the font's size [px], how far it is narrowed."""

    rows: tuple[str, ...]
    size: int
    squeeze: float

    def height(self, lettering: Lettering) -> float:
        """Room it takes from top to bottom [px]."""
        return len(self.rows) * PITCH * lettering.cap_px(self.size)


def set_text(
    text: str, size: int, width: float, lettering: Lettering, most_rows: int = 2
) -> Set | None:
    """Set a text at one size in the fewest rows; None where it does not fit."""
    for rows in range(1, most_rows + 1):
        wrapped = wrap(text, rows, size, lettering)
        widest = max(lettering.width(row, size) for row in wrapped)
        if widest * SQUEEZE <= width:
            return Set(wrapped, size, min(1.0, width / widest) if widest else 1.0)
    return None


def wrap(text: str, rows: int, size: int, lettering: Lettering) -> tuple[str, ...]:
    """Break a text at its blanks into so many rows, or fewer, the widest as narrow as can be."""
    words = text.split(" ")
    if rows == 1 or len(words) == 1:
        return (text,)
    splits = [
        (" ".join(words[:at]), *wrap(" ".join(words[at:]), rows - 1, size, lettering))
        for at in range(1, len(words))
    ]
    return min(splits, key=lambda split: max(lettering.width(row, size) for row in split))


def fit_text(
    text: str,
    area: QRect,
    caps: tuple[float, float],
    lettering: Lettering,
    most_rows: int = 3,
) -> Set:
    """The largest setting between two capital heights [px]; cut where even the least is too wide.

    `caps` are the least and the largest height.
    """
    least = lettering.size_for(caps[0])
    for size in range(max(lettering.size_for(caps[1]), least), least - 1, -1):
        found = set_text(text, size, area.width(), lettering, most_rows)
        if found is not None and found.height(lettering) <= area.height():
            return found
    return Set((lettering.elided(text, least, area.width() / SQUEEZE),), least, SQUEEZE)


def fit_lines(
    texts: Sequence[tuple[str, float]],
    room: tuple[float, float],
    caps: tuple[float, float],
    lettering: Lettering,
) -> list[Set] | None:
    """Set all lines at one size, as large as fits; None where the least does not.

    `texts` pairs each with the room [in capital heights] its mark takes; `room` is the width and
    height [px], `caps` the least and the largest capitals [px].
    """
    least = lettering.size_for(caps[0])
    for size in range(max(lettering.size_for(caps[1]), least), least - 1, -1):
        cap = lettering.cap_px(size)
        sets = [set_text(text, size, room[0] - mark * cap, lettering) for text, mark in texts]
        found = [one for one in sets if one is not None]
        if len(found) == len(sets) and sum(o.height(lettering) for o in found) <= room[1]:
            return found
    return None


def paint_set(
    painter: QPainter, area: QRectF, text: Set, lettering: Lettering, *, across: float = 0.0
) -> None:
    """Paint a setting into an area, its rows in the middle from top to bottom.

    `across` is 0 for rows at the left, a half for rows in the middle, 1 for rows at the right.
    """
    cap = lettering.cap_px(text.size)
    top = area.center().y() - text.height(lettering) / 2
    painter.setFont(lettering.font(text.size))
    for row, words in enumerate(text.rows):
        width = lettering.width(words, text.size) * text.squeeze
        left = area.left() + across * (area.width() - width)
        painter.save()
        painter.translate(left, top + row * PITCH * cap + (PITCH + 1.0) / 2 * cap)
        painter.scale(text.squeeze, 1.0)
        painter.drawText(0, 0, words)
        painter.restore()
