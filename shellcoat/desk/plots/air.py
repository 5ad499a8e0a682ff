"""The air of a room: temperature, dew point and wet bulb above, humidity below, dips marked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray
from PySide6.QtCore import QCoreApplication

from shellcoat.desk.moments import write_moment
from shellcoat.desk.plots.dress import (
    LINE_PT,
    SMALL_PT,
    dress,
    height_pt,
    name_axis,
    say_instead,
    settle_layout,
)
from shellcoat.desk.plots.flags import Flag, draw_flags
from shellcoat.desk.plots.local_time import day_number, day_numbers, dress_time_axis
from shellcoat.desk.spacing import spread_apart
from shellcoat.desk.theme import Theme
from shellcoat.units.displays import DisplayUnit, display_unit
from shellcoat.units.quantities import Quantity

translate = QCoreApplication.translate

Floats = NDArray[np.float64]

LEAST_GAP = timedelta(minutes=30)
USUAL_STEPS = 4.0
"""A pause longer than both is shown as a gap: nobody knows what the air did meanwhile."""

_FEW_POINTS = 60
_FLAG_ROWS = 3
_TICK_FOOT = 0.92
_LABEL_GAP_EM = 1.35
_LEAST_SPAN_K = 4.0


def with_gaps(at: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Put a missing value into each pause of a log, so that no line is drawn across it.

    `at` are rising date numbers [d].
    """
    if at.size < 2:
        return at, values
    steps = np.diff(at)
    longest = max(USUAL_STEPS * float(np.median(steps)), LEAST_GAP / timedelta(days=1))
    after = np.flatnonzero(steps > longest) + 1
    middles = 0.5 * (at[after - 1] + at[after])
    return np.insert(at, after, middles), np.insert(values, after, np.nan)


def draw_air(
    axes_pair: tuple[Axes, Axes],
    at: Sequence[datetime],
    temp_c: Sequence[float],
    rh: Sequence[float],
    dew_point_c: Sequence[float],
    wet_bulb_c: Sequence[float],
    dips: Sequence[tuple[datetime, str]],
    *,
    zone: ZoneInfo,
    theme: Theme,
    temp_unit: str,
) -> None:
    """Draw a log of the air; `dips` are the moments of dips with the shell's label."""
    upper, lower = axes_pair
    if not at:
        say_instead(upper, _no_readings(), theme)
        lower.set_axis_off()
        return
    unit = display_unit(Quantity.TEMPERATURE, temp_unit)
    days = day_numbers(at)
    for axes in axes_pair:
        dress(axes, theme)
        dress_time_axis(axes, zone)
        axes.set_xlim(*_limits(days, dips))
    upper.tick_params(labelbottom=False)
    _draw_temperatures(upper, days, (temp_c, dew_point_c, wet_bulb_c), unit, theme)
    _draw_humidity(lower, days, rh, theme)
    upper.set_ylabel(temp_unit)
    lower.set_ylabel("%")
    settle_layout(upper)
    # What the flags take comes off both plots alike.
    room = height_pt(upper) - 0.5 * _draw_dips(axes_pair, dips, theme)
    words = translate("Plots", "temperature, {unit}").format(unit=temp_unit)
    name_axis(upper, words, temp_unit, room)
    name_axis(lower, translate("Plots", "humidity, %"), "%", room)


def _no_readings() -> str:
    return translate("Plots", "No air readings yet. Type one in, or bring in the file of a logger.")


def _limits(days: Floats, dips: Sequence[tuple[datetime, str]]) -> tuple[float, float]:
    moments = [float(days[0]), float(days[-1]), *(day_number(at) for at, _ in dips)]
    spare = max(0.01 * (max(moments) - min(moments)), 1.0 / 1440.0)
    return min(moments) - spare, max(moments) + spare


def _draw_temperatures(
    axes: Axes,
    days: Floats,
    temperatures_c: tuple[Sequence[float], ...],
    unit: DisplayUnit,
    theme: Theme,
) -> None:
    looks = (
        (translate("Plots", "air"), theme.warm, "-"),
        (translate("Plots", "dew point"), theme.cool, (0, (5, 2))),
        (translate("Plots", "wet bulb"), theme.leaf, (0, (1, 1.2))),
    )
    ends: list[tuple[float, str, str]] = []
    for (name, colour, style), values_c in zip(looks, temperatures_c, strict=True):
        shown = (np.asarray(values_c, dtype=np.float64) - unit.offset) / unit.factor
        x, y = with_gaps(days, shown)
        axes.plot(x, y, color=colour, linestyle=style, label=name, **_line_look(days))
        known = shown[np.isfinite(shown)]
        if known.size:
            ends.append((float(known[-1]), f"{name} {known[-1]:.1f}", colour))
    _widen(axes, _LEAST_SPAN_K / unit.factor)
    _label_ends(axes, ends, theme)


def _line_look(days: Floats) -> dict[str, Any]:
    marker = "." if days.size <= _FEW_POINTS else None
    return {"linewidth": LINE_PT, "marker": marker, "markersize": 5.0}


def _widen(axes: Axes, least: float) -> None:
    """Keep a steady room from looking wild by a scale that is too fine."""
    low, high = axes.get_ylim()
    if high - low < least:
        middle = 0.5 * (low + high)
        axes.set_ylim(middle - 0.5 * least, middle + 0.5 * least)
    else:
        axes.set_ylim(low, high)


def _label_ends(axes: Axes, ends: list[tuple[float, str, str]], theme: Theme) -> None:
    """Name each line at its right end, moved apart where the lines run together."""
    ends = sorted(ends)
    low, high = axes.get_ylim()
    height_pt = axes.bbox.height * 72.0 / axes.figure.dpi
    per_value = height_pt / (high - low)
    at = [(value - low) * per_value for value, _, _ in ends]
    places = spread_apart(at, _LABEL_GAP_EM * SMALL_PT, 0.0, height_pt)
    for (value, name, colour), was, place in zip(ends, at, places, strict=True):
        axes.annotate(
            name,
            xy=(1.0, value),
            xycoords=axes.get_yaxis_transform(),
            xytext=(16.0, place - was),
            textcoords="offset points",
            va="center",
            fontsize=SMALL_PT,
            color=theme.text,
            annotation_clip=False,
            arrowprops={"arrowstyle": "-", "color": colour, "linewidth": 1.2, "shrinkA": 0,
                        "shrinkB": 0, "relpos": (0.0, 0.5)},
        )  # fmt: skip


def _draw_humidity(axes: Axes, days: Floats, rh: Sequence[float], theme: Theme) -> None:
    percent = 100.0 * np.asarray(rh, dtype=np.float64)
    x, y = with_gaps(days, percent)
    axes.plot(x, y, color=theme.accent, **_line_look(days))
    axes.set_ylim(0.0, 100.0)
    axes.set_yticks([0, 25, 50, 75, 100])
    known = percent[np.isfinite(percent)]
    if known.size:
        _label_ends(axes, [(float(known[-1]), f"{known[-1]:.0f} %", theme.accent)], theme)


def _draw_dips(
    axes_pair: tuple[Axes, Axes], dips: Sequence[tuple[datetime, str]], theme: Theme
) -> float:
    """Mark each dip by a tick at the top and a faint line down both plots.

    Returns the height [pt] this takes off the plots.
    """
    for axes in axes_pair:
        for at, _ in dips:
            axes.axvline(day_number(at), color=theme.line, linewidth=0.9, linestyle=(0, (1, 3)))
    flags = [Flag(at, label, theme.text, foot=_TICK_FOOT) for at, label in dips]
    drawn = draw_flags(axes_pair[0], flags, theme, rows=_FLAG_ROWS)
    if not drawn.left_out:
        return drawn.height_pt
    words = translate("Plots", "{count} more dips, too close together for their labels")
    axes_pair[1].set_xlabel(
        words.format(count=drawn.left_out), fontsize=SMALL_PT, color=theme.muted
    )
    return drawn.height_pt + 2.0 * SMALL_PT


def describe_air(
    at: Sequence[datetime],
    temp_c: Sequence[float],
    rh: Sequence[float],
    dips: Sequence[tuple[datetime, str]],
    *,
    zone: ZoneInfo,
    temp_unit: str,
) -> str:
    """Say in words what the plot shows."""
    if not at:
        return _no_readings()
    unit = display_unit(Quantity.TEMPERATURE, temp_unit)
    return translate(
        "Plots",
        "Air from {first} to {last}: {cold} to {hot} {unit}, {dry} to {humid} % humidity; "
        "dips marked: {dips}.",
    ).format(
        first=write_moment(at[0], zone),
        last=write_moment(at[-1], zone),
        cold=f"{unit.shown(float(np.nanmin(temp_c))):.1f}",
        hot=f"{unit.shown(float(np.nanmax(temp_c))):.1f}",
        unit=temp_unit,
        dry=round(100 * float(np.nanmin(rh))),
        humid=round(100 * float(np.nanmax(rh))),
        dips=len(dips),
    )
