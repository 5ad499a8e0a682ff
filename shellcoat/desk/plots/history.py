"""How a wall has grown: thickness after each coat against the target and the plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import FixedFormatter, FixedLocator
from numpy.typing import NDArray
from PySide6.QtCore import QCoreApplication

from shellcoat.desk.moments import write_date
from shellcoat.desk.plots.dress import (
    LINE_PT,
    SMALL_PT,
    TEXT_PT,
    dress,
    height_pt,
    legend_below,
    name_axis,
    settle_layout,
    words_width,
)
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import ShellForecast
from shellcoat.shop import Band, Coat, Shell
from shellcoat.units.displays import DisplayUnit, display_unit
from shellcoat.units.quantities import Quantity

translate = QCoreApplication.translate

_LABEL_GAP_PT = 4.0
_LEGEND_DROP_PT = 38.0
_DATE_PT = 14.0


@dataclass(frozen=True, slots=True)
class Growth:
    """Thickness [m] after 0, 1, 2, … coats, low, likely and high; the last ones are planned."""

    low: NDArray[np.float64]
    likely: NDArray[np.float64]
    high: NDArray[np.float64]
    on: int


def grow(forecast: ShellForecast) -> Growth:
    """Add the coats up, so that they end on the forecast's totals now and at the end.

    Between, the spread grows as the root of the squares, as that of coats which err each in its
    own way; it is only for the eye, the totals are the forecast's.
    """
    on = [answer.thickness_m for answer in forecast.coats]
    to_come = list(forecast.coming_m)
    zero = Band(0.0, 0.0, 0.0)
    parts = [_run(on, zero, forecast.thickness_m)]
    if to_come:
        parts.append(_run(to_come, forecast.thickness_m, forecast.thickness_at_end_m))
    rows = np.vstack([np.zeros((1, 3)), *parts])
    return Growth(low=rows[:, 0], likely=rows[:, 1], high=rows[:, 2], on=len(on))


def _run(coats: list[Band], start: Band, end: Band) -> NDArray[np.float64]:
    """Return low, likely and high after each coat of a run that leads from `start` to `end`."""
    likely = np.cumsum([coat.likely for coat in coats])
    below = np.cumsum([(coat.likely - coat.low) ** 2 for coat in coats])
    above = np.cumsum([(coat.high - coat.likely) ** 2 for coat in coats])
    middle = _led(start.likely, end.likely, likely)
    return np.column_stack(
        [
            middle - _led(start.likely - start.low, end.likely - end.low, below, root=True),
            middle,
            middle + _led(start.high - start.likely, end.high - end.likely, above, root=True),
        ]
    )


def _led(
    start: float, end: float, growth: NDArray[np.float64], *, root: bool = False
) -> NDArray[np.float64]:
    """Lead from `start` to `end` in proportion to a growing sum, or to its squares."""
    if growth.size == 0 or growth[-1] <= 0.0:
        return np.full(growth.size, end)
    share = growth / growth[-1]
    led = start**2 + (end**2 - start**2) * share if root else start + (end - start) * share
    return np.asarray(np.sqrt(np.maximum(led, 0.0)) if root else led)


def draw_coat_history(
    axes: Axes,
    shell: Shell,
    forecast: ShellForecast,
    *,
    zone: ZoneInfo,
    theme: Theme,
    length_unit: str,
    coats: Iterable[Coat] = (),
) -> None:
    """Draw the wall coat by coat; `coats` as logged give each number its date."""
    growth = grow(forecast)
    unit = display_unit(Quantity.THICKNESS, length_unit)
    dress(axes, theme)
    _draw_growth(axes, growth, forecast, unit, theme)
    _draw_early(axes, growth, forecast, unit.factor, theme)
    _draw_target(axes, shell, unit, theme)
    _set_limits(axes, growth, shell.sequence.target_thickness_m, unit.factor)
    dates = _dates(forecast, coats, zone)
    axes.set_ylabel(length_unit)
    axes.set_xlabel(translate("Plots", "coat"), fontsize=TEXT_PT)
    settle_layout(axes)
    _number_coats(axes, growth, dates)
    drop = _LEGEND_DROP_PT + (_DATE_PT if dates else 0.0)
    room = height_pt(axes) - legend_below(axes, theme, drop)
    words = translate("Plots", "thickness, {unit}").format(unit=length_unit)
    name_axis(axes, words, length_unit, room)


def _draw_growth(
    axes: Axes, growth: Growth, forecast: ShellForecast, unit: DisplayUnit, theme: Theme
) -> None:
    number = np.arange(growth.likely.size)
    low, likely, high = (each / unit.factor for each in (growth.low, growth.likely, growth.high))
    on = slice(0, growth.on + 1)
    ahead = slice(growth.on, None)
    axes.fill_between(
        number,
        low,
        high,
        color=theme.accent,
        alpha=0.18,
        linewidth=0.0,
        label=translate("Plots", "low to high"),
    )
    axes.plot(
        number[on],
        likely[on],
        color=theme.accent,
        linewidth=LINE_PT,
        marker="o",
        markersize=6.0,
        markevery=slice(1, None),
        label=_now_words(forecast, unit),
    )
    if growth.likely.size > growth.on + 1:
        axes.plot(
            number[ahead],
            likely[ahead],
            color=theme.accent,
            linewidth=1.2,
            linestyle=(0, (4, 2)),
            marker="o",
            markersize=6.0,
            markerfacecolor=theme.panel,
            markevery=slice(1, None),
            label=_end_words(forecast, unit),
        )


def _draw_early(
    axes: Axes, growth: Growth, forecast: ShellForecast, unit_m: float, theme: Theme
) -> None:
    """Mark coats that went on before the one below was dry."""
    early = [answer.number for answer in forecast.coats if answer.dipped_early]
    if early:
        axes.plot(
            early,
            growth.likely[early] / unit_m,
            linestyle="none",
            marker="^",
            markersize=11.0,
            markerfacecolor=theme.fill_trouble,
            markeredgecolor=theme.text,
            label=translate("Plots", "dipped early"),
        )


def _draw_target(axes: Axes, shell: Shell, unit: DisplayUnit, theme: Theme) -> None:
    target = unit.shown(shell.sequence.target_thickness_m)
    count = len(shell.sequence.steps)
    axes.axhline(target, color=theme.warm, linewidth=1.5, linestyle=(0, (7, 3)))
    axes.axvline(count, color=theme.line, linewidth=1.0, linestyle=(0, (1, 2)))
    axes.annotate(
        translate("Plots", "target\n{length}").format(length=_write(target, unit)),
        xy=(1.0, target),
        xycoords=axes.get_yaxis_transform(),
        xytext=(5.0, 0.0),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=theme.text,
        va="center",
    )
    axes.annotate(
        translate("Plots", "{count} coats planned").format(count=count),
        xy=(count, 1.0),
        xycoords=axes.get_xaxis_transform(),
        xytext=(0.0, 4.0),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=theme.text,
        ha="right" if count > 1 else "center",
        va="bottom",
    )


def _set_limits(axes: Axes, growth: Growth, target_m: float, unit_m: float) -> None:
    last = growth.likely.size - 1
    axes.set_xlim(0.0, last + 0.6)
    top = max(float(np.max(growth.high)), target_m) / unit_m
    axes.set_ylim(0.0, 1.08 * top)


def _dates(forecast: ShellForecast, coats: Iterable[Coat], zone: ZoneInfo) -> dict[int, str]:
    dipped: dict[object, datetime] = {coat.id: coat.dipped_at for coat in coats}
    return {
        answer.number: write_date(dipped[answer.coat_id].astimezone(zone))
        for answer in forecast.coats
        if answer.coat_id in dipped
    }


def _number_coats(axes: Axes, growth: Growth, dates: dict[int, str]) -> None:
    """Number every coat, or every second, fifth, … where there is no room."""
    last = growth.likely.size - 1
    label_pt = max(words_width(date) for date in (*dates.values(), "00")) * TEXT_PT / SMALL_PT
    low, high = axes.get_xlim()
    coat_pt = axes.bbox.width * 72.0 / axes.figure.dpi / (high - low)
    step = next((each for each in (1, 2, 5, 10) if each * coat_pt >= label_pt + _LABEL_GAP_PT), 20)
    numbers = [number for number in range(1, last + 1) if number % step == 0]
    labels = [f"{number}\n{dates.get(number, '')}".rstrip() for number in numbers]
    axes.xaxis.set_major_locator(FixedLocator(numbers))
    axes.xaxis.set_major_formatter(FixedFormatter(labels))


def _write(shown: float, unit: DisplayUnit) -> str:
    return f"{shown:.{unit.decimals}f}\u00a0{unit.symbol}"


def _write_total(total: Band, unit: DisplayUnit) -> str:
    """Write a thickness with its spread, the unit once."""
    low, high = (f"{unit.shown(end):.{unit.decimals}f}" for end in (total.low, total.high))
    return f"{_write(unit.shown(total.likely), unit)} ({low}–{high})"


def _now_words(forecast: ShellForecast, unit: DisplayUnit) -> str:
    if not forecast.coats:
        return translate("Plots", "no coat on the shell yet")
    return translate("Plots", "on the shell, {total}").format(
        total=_write_total(forecast.thickness_m, unit)
    )


def _end_words(forecast: ShellForecast, unit: DisplayUnit) -> str:
    return translate("Plots", "to come, {total} at the end").format(
        total=_write_total(forecast.thickness_at_end_m, unit)
    )


def describe_coat_history(shell: Shell, forecast: ShellForecast, *, length_unit: str) -> str:
    """Say in words what the plot shows."""
    unit = display_unit(Quantity.THICKNESS, length_unit)
    target = _write(unit.shown(shell.sequence.target_thickness_m), unit)
    count = translate("Plots", "{on} of {planned} coats on, target {target}").format(
        on=forecast.coats_on, planned=forecast.coats_planned, target=target
    )
    early = [str(answer.number) for answer in forecast.coats if answer.dipped_early]
    words = [count, _now_words(forecast, unit)]
    if forecast.coats_planned > forecast.coats_on:
        words.append(_end_words(forecast, unit))
    if early:
        words.append(translate("Plots", "dipped early: {coats}").format(coats=", ".join(early)))
    return "; ".join(words) + "."
