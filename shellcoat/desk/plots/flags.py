"""Flags over a time axis: moments with their words, laid in rows so that none hides another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from matplotlib.axes import Axes

from shellcoat.desk.plots.dress import SMALL_PT, words_width
from shellcoat.desk.plots.local_time import day_number
from shellcoat.desk.theme import Theme

_ROW_PT = 1.55 * SMALL_PT
_GAP_PT = 8.0
_DOTTED = (0.0, (1.0, 1.5))


@dataclass(frozen=True, slots=True)
class Flag:
    """A moment, its words, and the line they stand on from `foot`, a fraction of the axes, up."""

    at: datetime
    words: str
    colour: str
    dotted: bool = False
    foot: float = 0.0


@dataclass(frozen=True, slots=True)
class FlagPlace:
    """Where a flag's words go: its row from the plot upwards, and its left end [pt]."""

    row: int
    left: float


def place_flags(
    at: Sequence[float], widths: Sequence[float], room: float, rows: int
) -> list[FlagPlace | None]:
    """Lay words to the right of their moments, all in points from the left of the plot.

    Later moments take the lower rows, so that no line crosses the words of an earlier one. What
    finds no row is left out.
    """
    starts = [float("inf")] * rows
    places: list[FlagPlace | None] = [None] * len(at)
    for index in sorted(range(len(at)), key=lambda each: -at[each]):
        width = widths[index] + _GAP_PT
        left = max(min(at[index], room - width), 0.0)
        row = next((row for row in range(rows) if left + width <= starts[row]), None)
        if row is not None:
            starts[row] = left
            places[index] = FlagPlace(row, left)
    return places


@dataclass(frozen=True, slots=True)
class FlagsDrawn:
    """How high the flags stand over the plot [pt], and how many found no room."""

    height_pt: float
    left_out: int


def draw_flags(axes: Axes, flags: Sequence[Flag], theme: Theme, *, rows: int) -> FlagsDrawn:
    """Draw the flags over `axes`, whose limits and layout must stand."""
    per_pt = axes.figure.dpi / 72.0
    low, high = axes.get_xlim()
    room = axes.bbox.width / per_pt
    at = [(day_number(flag.at) - low) / (high - low) * room for flag in flags]
    places = place_flags(at, [words_width(flag.words) for flag in flags], room, rows)
    for flag, x, place in zip(flags, at, places, strict=True):
        _draw_line(axes, flag, place)
        if place is not None:
            _draw_words(axes, flag, place.left - x, place.row, theme)
    used = max((place.row + 1 for place in places if place is not None), default=0)
    return FlagsDrawn(used * _ROW_PT + 3.0, sum(place is None for place in places))


def _draw_line(axes: Axes, flag: Flag, place: FlagPlace | None) -> None:
    x = day_number(flag.at)
    style = _DOTTED if flag.dotted else "-"
    axes.plot(
        [x, x],
        [flag.foot, 1.0],
        transform=axes.get_xaxis_transform(),
        color=flag.colour,
        linestyle=style,
        linewidth=1.2,
        scalex=False,
        scaley=False,
        zorder=2.5,
    )
    if place is not None:
        axes.annotate(
            "",
            xy=(x, 1.0),
            xycoords=axes.get_xaxis_transform(),
            xytext=(0.0, place.row * _ROW_PT + 3.0),
            textcoords="offset points",
            arrowprops={
                "arrowstyle": "-",
                "color": flag.colour,
                "linestyle": style,
                "linewidth": 1.2,
                "shrinkA": 0,
                "shrinkB": 0,
            },
            annotation_clip=False,
        )


def _draw_words(axes: Axes, flag: Flag, shift: float, row: int, theme: Theme) -> None:
    axes.annotate(
        flag.words,
        xy=(day_number(flag.at), 1.0),
        xycoords=axes.get_xaxis_transform(),
        xytext=(shift + 3.0, row * _ROW_PT + 3.0),
        textcoords="offset points",
        ha="left",
        va="bottom",
        fontsize=SMALL_PT,
        color=theme.text,
        annotation_clip=False,
        bbox={"facecolor": theme.panel, "edgecolor": "none", "pad": 0.6},
    )
