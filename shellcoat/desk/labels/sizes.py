"""The sizes labels come in: continuous tape, single tags, and sheets of labels.

All measures are common practice: what rolls and sheets of labels are sold as.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from shellcoat.errors import ValueOutOfRangeError


class LabelKind(Enum):
    """How a label reaches the printer."""

    TAPE = "tape"
    TAG = "tag"
    SHEET = "sheet"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSize:
    """One size, all lengths in mm.

    A tape's `width_mm` is zero: it is cut as long as its label needs. `bare_mm` is the edge of a
    label that stays empty, since cutters and printers miss by about that much. On a page of
    `paper` the labels stand `columns` by `rows`, the first at `left_mm` and `top_mm`, each
    `across_mm` and `down_mm` from the one before.
    """

    key: str
    kind: LabelKind
    width_mm: float
    height_mm: float
    bare_mm: float
    paper: str = ""
    page_mm: tuple[float, float] = (0.0, 0.0)
    columns: int = 1
    rows: int = 1
    left_mm: float = 0.0
    top_mm: float = 0.0
    across_mm: float = 0.0
    down_mm: float = 0.0

    @property
    def per_page(self) -> int:
        """How many labels stand on one page."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[float, float]:
        """The upper left corner of a place on the page, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        return self.left_mm + column * self.across_mm, self.top_mm + row * self.down_mm


def _tape(width_mm: float) -> LabelSize:
    return LabelSize(
        key=f"tape-{width_mm:g}",
        kind=LabelKind.TAPE,
        width_mm=0.0,
        height_mm=width_mm,
        bare_mm=1.1,
    )


def _tag(width_mm: float, height_mm: float) -> LabelSize:
    return LabelSize(
        key=f"tag-{width_mm:g}x{height_mm:g}",
        kind=LabelKind.TAG,
        width_mm=width_mm,
        height_mm=height_mm,
        bare_mm=2.0,
    )


SIZES = (
    _tape(12.0),
    _tape(18.0),
    _tape(24.0),
    _tag(50.0, 25.0),
    _tag(62.0, 29.0),
    LabelSize(
        key="a4-3x8",
        paper="A4",
        kind=LabelKind.SHEET,
        width_mm=70.0,
        height_mm=37.0,
        bare_mm=5.0,  # they reach the edge of the page, where many printers leave 4 mm bare
        page_mm=(210.0, 297.0),
        columns=3,
        rows=8,
        top_mm=0.5,
        across_mm=70.0,
        down_mm=37.0,
    ),
    LabelSize(
        key="a4-3x7",
        paper="A4",
        kind=LabelKind.SHEET,
        width_mm=63.5,
        height_mm=38.1,
        bare_mm=2.5,
        page_mm=(210.0, 297.0),
        columns=3,
        rows=7,
        left_mm=7.25,
        top_mm=15.15,
        across_mm=66.0,
        down_mm=38.1,
    ),
    LabelSize(
        key="letter-3x10",
        paper="US Letter",
        kind=LabelKind.SHEET,
        width_mm=66.675,
        height_mm=25.4,
        bare_mm=2.0,
        page_mm=(215.9, 279.4),
        columns=3,
        rows=10,
        left_mm=4.7625,
        top_mm=12.7,
        across_mm=69.85,
        down_mm=25.4,
    ),
)


def size_of(key: str) -> LabelSize:
    """The size of that key."""
    return next(size for size in SIZES if size.key == key)


def pages(count: int, size: LabelSize, first: int = 1) -> list[list[tuple[int, int]]]:
    """Lay so many labels on pages: for each page the places taken and the labels in them.

    `first` is the place, counted from 1, at which a sheet that was begun goes on.
    """
    if not 1 <= first <= size.per_page:
        raise ValueOutOfRangeError("First label", first, f"a place from 1 to {size.per_page}")
    laid: dict[int, list[tuple[int, int]]] = {}
    for number in range(count):
        page, place = divmod(first - 1 + number, size.per_page)
        laid.setdefault(page, []).append((place, number))
    return [laid[page] for page in sorted(laid)]
