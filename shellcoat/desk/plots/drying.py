"""The drying curve of the present coat: share of its water left, with its spread."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from matplotlib.axes import Axes
from PySide6.QtCore import QCoreApplication

from shellcoat.desk.moments import write_moment
from shellcoat.desk.plots.dress import (
    LINE_PT,
    SMALL_PT,
    dress,
    height_pt,
    legend_below,
    name_axis,
    say_instead,
    settle_layout,
)
from shellcoat.desk.plots.flags import Flag, draw_flags
from shellcoat.desk.plots.local_time import day_number, day_numbers, dress_time_axis
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import DryingCurve

translate = QCoreApplication.translate

_TOP_PERCENT = 104.0
_LEGEND_DROP_PT = 36.0


def draw_drying_curve(
    axes: Axes,
    curve: DryingCurve,
    *,
    likely_at: datetime | None,
    safe_at: datetime | None,
    now: datetime,
    zone: ZoneInfo,
    theme: Theme,
) -> None:
    """Draw past and forecast, the share below which the coat is dry, and when it gets there."""
    if not curve.at:
        say_instead(axes, _no_curve(), theme)
        return
    dress(axes, theme)
    dress_time_axis(axes, zone)
    _draw_lines(axes, curve, theme)
    _draw_threshold(axes, curve, theme)
    moments = [curve.at[0], curve.at[-1], now, *filter(None, (likely_at, safe_at))]
    spare = (max(moments) - min(moments)) * 0.02 + timedelta(minutes=1)
    axes.set_xlim(day_number(min(moments) - spare), day_number(max(moments) + spare))
    axes.set_ylim(0.0, _TOP_PERCENT)
    _draw_marks(axes, curve, likely_at, safe_at, theme)
    axes.set_ylabel("%")
    settle_layout(axes)
    flags = _flags(curve, likely_at, safe_at, now, zone, theme)
    drawn = draw_flags(axes, flags, theme, rows=3)
    room = height_pt(axes) - drawn.height_pt - legend_below(axes, theme, _LEGEND_DROP_PT)
    name_axis(axes, translate("Plots", "water left, %"), "%", room)


def _no_curve() -> str:
    return translate("Plots", "No coat is drying on this shell. Log a dip to see its curve.")


def _draw_lines(axes: Axes, curve: DryingCurve, theme: Theme) -> None:
    at = day_numbers(curve.at)
    low, likely, high = (100.0 * np.asarray(part) for part in (curve.low, curve.likely, curve.high))
    axes.fill_between(
        at,
        low,
        high,
        color=theme.cool,
        alpha=0.22,
        linewidth=0.0,
        label=translate("Plots", "low to high"),
    )
    for edge in (low, high):
        axes.plot(at, edge, color=theme.cool, linewidth=0.8, alpha=0.8)
    split = min(max(curve.now_index, 0), len(at) - 1)
    axes.plot(
        at[: split + 1],
        likely[: split + 1],
        color=theme.cool,
        linewidth=LINE_PT + 0.4,
        label=translate("Plots", "likely, so far"),
    )
    axes.plot(
        at[split:],
        likely[split:],
        color=theme.cool,
        linewidth=LINE_PT,
        linestyle=(0, (4, 2)),
        label=translate("Plots", "likely, ahead"),
    )


def _draw_threshold(axes: Axes, curve: DryingCurve, theme: Theme) -> None:
    percent = 100.0 * curve.dry_share
    axes.axhline(percent, color=theme.leaf, linewidth=1.3, linestyle=(0, (7, 3)))
    axes.annotate(
        translate("Plots", "dry below\n{percent} %").format(percent=f"{percent:g}"),
        xy=(1.0, percent),
        xycoords=axes.get_yaxis_transform(),
        xytext=(5.0, 0.0),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=theme.text,
        va="center",
    )


def _draw_marks(
    axes: Axes,
    curve: DryingCurve,
    likely_at: datetime | None,
    safe_at: datetime | None,
    theme: Theme,
) -> None:
    """Mark likely and safe on the threshold with the shapes of the state marks."""
    percent = 100.0 * curve.dry_share
    marks = ((likely_at, "o", theme.fill_likely, "left"), (safe_at, "v", theme.fill_due, "full"))
    for at, shape, fill, style in marks:
        if at is not None:
            axes.plot(
                [day_number(at)],
                [percent],
                linestyle="none",
                marker=shape,
                fillstyle=style,
                markersize=10.0,
                markerfacecolor=theme.ink if style == "left" else fill,
                markerfacecoloralt=fill,
                markeredgecolor=theme.text,
                zorder=5,
                clip_on=False,
            )


def _flags(
    curve: DryingCurve,
    likely_at: datetime | None,
    safe_at: datetime | None,
    now: datetime,
    zone: ZoneInfo,
    theme: Theme,
) -> list[Flag]:
    foot = curve.dry_share * 100.0 / _TOP_PERCENT
    flags = [Flag(now, _now_words(now, zone), theme.muted)]
    for at, words in (
        (likely_at, translate("Plots", "likely dry")),
        (safe_at, translate("Plots", "safe time")),
    ):
        if at is not None:
            text = f"{words} {write_moment(at, zone)}"
            flags.append(Flag(at, text, theme.leaf, dotted=True, foot=foot))
    if likely_at is None:
        flags.append(Flag(curve.at[-1], _out_of_sight(), theme.warm, dotted=True))
    return flags


def _now_words(now: datetime, zone: ZoneInfo) -> str:
    return translate("Plots", "now {moment}").format(moment=write_moment(now, zone))


def _out_of_sight() -> str:
    return translate("Plots", "not dry by then in this air")


def describe_drying_curve(
    curve: DryingCurve,
    *,
    likely_at: datetime | None,
    safe_at: datetime | None,
    zone: ZoneInfo,
) -> str:
    """Say in words what the plot shows."""
    if not curve.at:
        return _no_curve()
    index = min(max(curve.now_index, 0), len(curve.at) - 1)
    left = translate("Plots", "{likely} % of the water left now, {low} to {high} %").format(
        likely=round(100 * curve.likely[index]),
        low=round(100 * curve.low[index]),
        high=round(100 * curve.high[index]),
    )
    if likely_at is None:
        end = write_moment(curve.at[-1], zone)
        when = translate("Plots", "not dry by {moment} in this air").format(moment=end)
        return f"{left}; {when}."
    when = translate("Plots", "likely dry {moment}").format(moment=write_moment(likely_at, zone))
    if safe_at is None:
        return f"{left}; {when}."
    safe = translate("Plots", "safe time {moment}").format(moment=write_moment(safe_at, zone))
    return f"{left}; {when}, {safe}."
