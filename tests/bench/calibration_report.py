"""The table and the plot of the calibration study."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

Floats = NDArray[np.float64]

AIM = (0.88, 0.93)
SHORTER_AIM = 0.25
NINETY_FIVE = 1.96

OFFSET = 0.15
"""Puts the marks of different stories side by side [checks]."""

MARKERS = "osD^vPX*"
LINES = ("-", "--", "-.", ":", "-", "--", "-.", ":")


@dataclass(frozen=True)
class Outcome:
    """Judged coats [..., coats]: truth, likely and safe time, and the first safe time, all in s."""

    true: Floats
    likely: Floats
    safe: Floats
    first_safe: Floats

    @classmethod
    def of(cls, shops: Sequence[Outcome]) -> Outcome:
        """The coats of several shops [shops, coats]."""
        names = ("true", "likely", "safe", "first_safe")
        return cls(*(np.stack([getattr(shop, name) for shop in shops]) for name in names))

    @property
    def kept(self) -> Floats:
        """Share of each shop's coats that are dry by their safe time [shops]."""
        return (self.true <= self.safe).mean(axis=-1)

    @property
    def kept_likely(self) -> Floats:
        """The same by the likely time."""
        return (self.true <= self.likely).mean(axis=-1)

    @property
    def shorter(self) -> Floats:
        """By what share the safe time is shorter than before any check, mean of each shop."""
        return 1.0 - (self.safe / self.first_safe).mean(axis=-1)

    @property
    def margin(self) -> Floats:
        """How far the safe time lies beyond the likely one, as a share of that, by shop."""
        return (self.safe / self.likely - 1.0).mean(axis=-1)

    @property
    def waiting(self) -> Floats:
        """Time between dry and safe as a share of the time to dry, mean of each shop."""
        return (self.safe / self.true - 1.0).mean(axis=-1)


def mean_and_error(by_shop: Floats) -> tuple[float, float]:
    """Mean over shops and half its 95 % interval; the coats of one shop are not independent."""
    error = NINETY_FIVE * by_shop.std(ddof=1) / np.sqrt(by_shop.size)
    return float(by_shop.mean()), float(error)


def binomial_error(share: float, count: int) -> float:
    """Half the 95 % interval of a share of so many independent coats."""
    return float(NINETY_FIVE * np.sqrt(share * (1.0 - share) / count))


@dataclass(frozen=True)
class Row:
    """One story after some number of checks; -1 stands for a program told the truth."""

    story: str
    checks: int
    outcome: Outcome
    season: str = ""

    def cells(self) -> list[str]:
        """Write the row."""
        found = self.outcome
        return [
            f"{self.story}, {self.season}" if self.season else self.story,
            "knowing all" if self.checks < 0 else f"{self.checks}",
            _percent(found.kept),
            _percent(found.kept_likely),
            _percent(found.shorter),
            _percent(found.margin),
            _percent(found.waiting),
        ]


def _percent(by_shop: Floats) -> str:
    mean, error = mean_and_error(by_shop)
    return f"{100 * mean:.1f} ± {100 * error:.1f}"


HEADS = (
    "shops",
    "checks",
    "dry by safe [%]",
    "dry by likely [%]",
    "safe time shorter [%]",
    "safe beyond likely [%]",
    "needless wait [% of dry time]",
)


def table(rows: Sequence[Row]) -> str:
    """All rows as a Markdown table; ± is 95 % of the mean over shops."""
    lines = [HEADS, ["---"] + ["---:"] * (len(HEADS) - 1), *(row.cells() for row in rows)]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def write_report(rows: Sequence[Row], folder: Path) -> str:
    """Write table and plot into a folder; returns the table."""
    folder.mkdir(parents=True, exist_ok=True)
    text = table(rows)
    (folder / "calibration.md").write_text(text + "\n", encoding="utf-8")
    figure = Figure(figsize=(12.0, 5.0), layout="constrained")
    coverage, sharpness = figure.subplots(1, 2)
    draw_coverage(coverage, rows)
    draw_sharpness(sharpness, rows)
    figure.savefig(folder / "calibration.png", dpi=150)
    return text


def draw_coverage(axes: Axes, rows: Sequence[Row]) -> None:
    """Share of coats dry by their safe time, with two intervals: over coats and over shops."""
    axes.axhspan(100 * AIM[0], 100 * AIM[1], color="0.9", label="aim after ten checks")
    axes.axhline(90.0, color="0.5", linewidth=0.8)
    for place, (story, own) in enumerate(_by_story(rows)):
        shares, by_shops = np.array([mean_and_error(row.outcome.kept) for row in own]).T
        coats = own[0].outcome.true.size
        by_coats = np.array([binomial_error(share, coats) for share in shares])
        x = np.array([row.checks for row in own]) + OFFSET * place
        axes.errorbar(x, 100 * shares, 100 * by_shops, elinewidth=0.8, label=story, **_look(place))
        plain = {"fmt": "none", "ecolor": f"C{place}", "elinewidth": 3.0}
        axes.errorbar(x, 100 * shares, 100 * by_coats, **plain)
    axes.set(xlabel="checks", ylabel="dry by the safe time [%]")
    axes.set_title("Thick: binomial over coats; thin: over shops; 95 %", fontsize="small")


def draw_sharpness(axes: Axes, rows: Sequence[Row]) -> None:
    """How much shorter the safe time is than before any check, and where the truth told leads."""
    for row in rows:
        if row.checks < 0 and not row.season:
            best, _ = mean_and_error(row.outcome.shorter)
            axes.axhline(100 * best, color="C0", linestyle=":", label="knowing all")
    axes.axhline(100 * SHORTER_AIM, color="0.8", linewidth=4.0, label="aim after ten checks")
    for place, (story, own) in enumerate(_by_story(rows)):
        found = np.array([mean_and_error(row.outcome.shorter) for row in own]).T
        x = np.array([row.checks for row in own]) + OFFSET * place
        axes.errorbar(x, *(100 * found), elinewidth=0.8, label=story, **_look(place))
    axes.set(xlabel="checks", ylabel="safe time shorter by [%]")
    axes.set_title("Mean over shops and its 95 % interval", fontsize="small")
    axes.legend(fontsize="x-small", loc="upper left", bbox_to_anchor=(1.0, 1.0))


def _look(place: int) -> dict[str, str]:
    """Stories differ by mark and line as well as by colour."""
    return {"color": f"C{place}", "marker": MARKERS[place], "linestyle": LINES[place]}


def _by_story(rows: Sequence[Row]) -> list[tuple[str, list[Row]]]:
    """The rows with a number of checks, story by story; only those of all seasons together."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        if not row.season and row.checks >= 0:
            found.setdefault(row.story, []).append(row)
    return list(found.items())
