"""Where the station's targets go: sizes and gaps in millimetres, as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect

from shellcoat.desk.station.ruler import BUTTON_MM, GAP_MM, LEAST_MM, PRIMARY_MM, Ruler

PRIMARY_SHARE = 2.0
"""The one that does the next thing is so many times as wide as its neighbours."""

PAD_ROWS = 4
"""As a number pad has them."""

CHOICE_LEAST_MM = 60.0
"""Beside a pad a choice has at least this width: a label and the beginning of a name."""


def button_row(area: QRect, count: int, ruler: Ruler, *, primary: bool) -> list[QRect]:
    """Targets side by side across an area, the first one wider; fewer where they would be small."""
    if count == 0:
        return []
    least, gap = ruler.px(LEAST_MM), ruler.px(GAP_MM)
    first = ruler.px(PRIMARY_MM) if primary else least
    fitting = count
    while fitting > 1 and first + (fitting - 1) * (least + gap) > area.width():
        fitting -= 1
    shares = [PRIMARY_SHARE if primary and place == 0 else 1.0 for place in range(fitting)]
    return _across(area, shares, gap, least)


def _across(area: QRect, shares: Sequence[float], gap: int, least: int) -> list[QRect]:
    free = area.width() - gap * (len(shares) - 1)
    one = free / sum(shares)
    if one < least and len(shares) > 1:  # the wide one gives way before a neighbour gets small
        widths = [free - least * (len(shares) - 1), *[least] * (len(shares) - 1)]
    else:
        widths = [int(one * share) for share in shares]
    lefts = [area.left() + sum(widths[:place]) + gap * place for place in range(len(widths))]
    return [
        QRect(left, area.top(), width, area.height())
        for left, width in zip(lefts, widths, strict=True)
    ]


def grid(
    area: QRect, least_width_mm: float, ruler: Ruler, height_mm: float = BUTTON_MM
) -> list[QRect]:
    """As many targets as an area holds, row by row, all of one size."""
    gap, height = ruler.px(GAP_MM), ruler.px(height_mm)
    columns = max((area.width() + gap) // (ruler.px(least_width_mm) + gap), 1)
    rows = max((area.height() + gap) // (height + gap), 0)
    width = (area.width() - gap * (columns - 1)) // columns
    return [
        QRect(
            area.left() + column * (width + gap), area.top() + row * (height + gap), width, height
        )
        for row in range(rows)
        for column in range(columns)
    ]


def rows_within(height: int, side_mm: float, ruler: Ruler) -> int:
    """How many targets of a height stand one below the other."""
    gap, side = ruler.px(GAP_MM), ruler.px(side_mm)
    return max((height + gap) // (side + gap), 0)


def pad(area: QRect, count: int, ruler: Ruler) -> list[QRect]:
    """The keys of a pad in at most four rows at the left of an area, each of the least size.

    Empty where they would leave no room for a choice beside them.
    """
    gap, least = ruler.px(GAP_MM), ruler.px(LEAST_MM)
    rows = min(rows_within(area.height(), LEAST_MM, ruler), PAD_ROWS)
    columns = -(-count // rows) if rows else count
    if not rows or columns * (least + gap) + ruler.px(CHOICE_LEAST_MM) > area.width():
        return []
    height = min((area.height() - gap * (rows - 1)) // rows, ruler.px(PRIMARY_MM))
    return [
        QRect(
            area.left() + place % columns * (least + gap),
            area.top() + place // columns * (height + gap),
            least,
            height,
        )
        for place in range(count)
    ]
