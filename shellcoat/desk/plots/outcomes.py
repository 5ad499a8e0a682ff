"""Small multiples of pours: for each trait two groups of shells and how many were not sound."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from PySide6.QtCore import QCoreApplication

from shellcoat.desk.plots.dress import SMALL_PT, TEXT_PT, dress
from shellcoat.desk.theme import Theme
from shellcoat.forecast.pour_odds import Share, Split
from shellcoat.operations.outcome_wording import HEADS, SIDES

MARKS = ("o", "s")
"""Of the worse and the better side: told apart by shape, not by colour."""


def draw_outcomes(figure: Figure, splits: Sequence[Split], *, theme: Theme) -> None:
    """Draw a panel a trait, all on one scale."""
    panels = np.atleast_1d(figure.subplots(2, 2, sharex=True, squeeze=True)).flat
    for axes, split in zip(panels, splits, strict=True):
        _draw_split(axes, split, theme)
    for axes in figure.axes[2:]:
        words = QCoreApplication.translate("Plots", "not sound, %; with 95 % interval")
        axes.set_xlabel(words, fontsize=SMALL_PT)


def _draw_split(axes: Axes, split: Split, theme: Theme) -> None:
    dress(axes, theme)
    axes.set_title(HEADS[split.trait], loc="left", fontsize=TEXT_PT, color=theme.text)
    for row, (share, mark) in enumerate(zip((split.worse, split.better), MARKS, strict=True)):
        _draw_share(axes, share, 1.0 - row, mark, theme)
    axes.set_xlim(-3.0, 103.0)
    axes.set_ylim(-0.45, 1.7)
    axes.set_yticks([])
    for row, words in enumerate(SIDES[split.trait]):
        share = (split.worse, split.better)[row]
        axes.text(
            0.0,
            1.0 - row + 0.22,
            QCoreApplication.translate("Plots", "{side}, {faults} of {count}").format(
                side=words, faults=share.faults, count=share.count
            ),
            fontsize=SMALL_PT,
            color=theme.text if share.count else theme.muted,
            va="bottom",
        )


def _draw_share(axes: Axes, share: Share, row: float, mark: str, theme: Theme) -> None:
    if not share.count:
        return
    low, high = (100.0 * bound for bound in share.interval)
    axes.plot([low, high], [row, row], color=theme.accent, linewidth=3.0, solid_capstyle="butt")
    for bound in (low, high):
        axes.plot([bound, bound], [row - 0.12, row + 0.12], color=theme.accent, linewidth=1.8)
    axes.plot(
        [100.0 * share.value],
        [row],
        marker=mark,
        markersize=8.0,
        markerfacecolor=theme.panel,
        markeredgecolor=theme.text,
        markeredgewidth=1.8,
        linestyle="none",
    )
