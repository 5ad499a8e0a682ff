"""How plots of the desk look: the theme's colours, quiet frames, a sentence where data lack."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from matplotlib.transforms import ScaledTranslation

from shellcoat.desk.theme import Theme

TEXT_PT = 9.5
SMALL_PT = 8.5
LINE_PT = 1.8
_HANDLE_EM = 4.6
_LEGEND_ROW_PT = 1.6 * SMALL_PT


def dress(axes: Axes, theme: Theme) -> None:
    """Colour frame, ticks and grid."""
    axes.set_facecolor(theme.panel)
    axes.grid(visible=True, color=theme.faint, linewidth=0.8)
    axes.set_axisbelow(True)
    axes.tick_params(colors=theme.text, labelsize=TEXT_PT, color=theme.line)
    for side, spine in axes.spines.items():
        spine.set_color(theme.line)
        spine.set_visible(side in {"left", "bottom"})
    axes.xaxis.label.set_color(theme.text)
    axes.yaxis.label.set_color(theme.text)


def name_axis(axes: Axes, words: str, unit: str, room_pt: float) -> None:
    """Name the upright axis, by its unit alone where `room_pt` is too short for the words."""
    fits = words_width(words) * TEXT_PT / SMALL_PT <= room_pt
    axes.set_ylabel(words if fits else unit, fontsize=TEXT_PT)


def height_pt(axes: Axes) -> float:
    """Return how high the plot is as laid out so far [pt]."""
    return float(axes.bbox.height) * 72.0 / axes.figure.dpi


def legend_below(axes: Axes, theme: Theme, drop_pt: float) -> float:
    """Add the legend under the ticks, where no curve can ever run into it.

    `drop_pt` is how far below the plot it begins. It takes as many columns as the width allows,
    which must be laid out. Returns how high its rows are [pt].
    """
    down = ScaledTranslation(0.0, -drop_pt / 72.0, axes.figure.dpi_scale_trans)
    _, names = axes.get_legend_handles_labels()
    columns = _columns(axes, names)
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(0.0, 0.0),
        bbox_transform=axes.transAxes + down,
        ncols=columns,
        fontsize=SMALL_PT,
        frameon=False,
        borderpad=0.0,
        borderaxespad=0.0,
        handlelength=2.2,
        columnspacing=1.6,
        labelcolor=theme.text,
    )
    return -(-len(names) // columns) * _LEGEND_ROW_PT


def _columns(axes: Axes, names: list[str]) -> int:
    """Count the columns the entries can be set in, filled downwards."""
    room = axes.bbox.width * 72.0 / axes.figure.dpi
    widths = np.array([words_width(name) + _HANDLE_EM * SMALL_PT for name in names])
    for columns in range(len(names), 1, -1):
        # Matplotlib fills the columns as evenly as array_split does.
        if sum(float(column.max()) for column in np.array_split(widths, columns)) <= room:
            return columns
    return 1


def words_width(words: str) -> float:
    """Return how wide small words are [pt], whatever they are drawn on."""
    width, _, _ = text_to_path.get_text_width_height_descent(
        words, FontProperties(size=SMALL_PT), ismath=False
    )
    return float(width)


def settle_layout(axes: Axes) -> None:
    """Let the figure take the shape it will have, before labels are laid out in its width."""
    figure = axes.figure
    engine = figure.get_layout_engine()
    if engine is not None and isinstance(figure, Figure):
        engine.execute(figure)


def say_instead(axes: Axes, sentence: str, theme: Theme) -> None:
    """Write a sentence in the middle of empty axes, saying what to do first."""
    dress(axes, theme)
    axes.set_axis_off()
    axes.text(
        0.5,
        0.5,
        sentence,
        transform=axes.transAxes,
        ha="center",
        va="center",
        wrap=True,
        color=theme.muted,
        fontsize=TEXT_PT + 1,
    )
