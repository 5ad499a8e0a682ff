"""The plots, without a window: what is drawn, where, in which words, and that none is cut."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import combinations
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.text import Text
from walls import START, a_curve, a_forecast, a_shell, some_coats

from shellcoat.desk.plots.air import describe_air, draw_air, with_gaps
from shellcoat.desk.plots.drying import describe_drying_curve, draw_drying_curve
from shellcoat.desk.plots.flags import place_flags
from shellcoat.desk.plots.history import describe_coat_history, draw_coat_history, grow
from shellcoat.desk.plots.local_time import LocalTimeFormatter, LocalTimeLocator, place_ticks
from shellcoat.desk.theme import DARK, LIGHT
from shellcoat.forecast.answers import DryingCurve

MADRID = ZoneInfo("Europe/Madrid")
UTC_ZONE = ZoneInfo("UTC")
NOW = START + timedelta(hours=3)
LIKELY, SAFE = START + timedelta(hours=5.8), START + timedelta(hours=9.2)
BACK = datetime(2026, 10, 24, 22, 0, tzinfo=UTC)
"""Local midnight before the European clocks go back."""


def a_figure(width: float = 7.0, height: float = 3.6) -> Figure:
    """A figure that can be measured without a window."""
    figure = Figure(figsize=(width, height), dpi=100, layout="constrained")
    FigureCanvasAgg(figure)
    return figure


def draw_curve(axes: Axes, curve: DryingCurve, **about: object) -> None:
    """Draw a drying curve with the usual moments."""
    usual = {"likely_at": LIKELY, "safe_at": SAFE, "now": NOW, "zone": MADRID, "theme": LIGHT}
    draw_drying_curve(axes, curve, **{**usual, **about})


def all_words(axes: Axes) -> str:
    """All texts of the axes, spaces plain."""
    legend = axes.get_legend()
    texts = [*axes.texts, *(legend.get_texts() if legend else [])]
    return "\n".join(text.get_text() for text in texts).replace("\u00a0", " ")


def assert_texts_clear(figure: Figure) -> None:
    """Assert that no text is cut off or covers another."""
    figure.canvas.draw()
    spare = _spare_labels(figure)
    texts = [text for text in figure.findobj(Text) if text.get_text().strip()]
    boxes = [(text.get_text(), text.get_window_extent()) for text in texts if text not in spare]
    boxes = [(words, box) for words, box in boxes if box.width > 0]
    assert len(boxes) > 1
    for words, box in boxes:
        assert box.x0 >= -1.5, words
        assert box.y0 >= -1.5, words
        assert box.x1 <= figure.bbox.x1 + 1.5, words
        assert box.y1 <= figure.bbox.y1 + 1.5, words
    for (one, here), (other, there) in combinations(boxes, 2):
        wide = min(here.x1, there.x1) - max(here.x0, there.x0)
        high = min(here.y1, there.y1) - max(here.y0, there.y0)
        assert wide < 1.5 or high < 1.5, (one, other)


def _spare_labels(figure: Figure) -> set[Text]:
    """Labels matplotlib keeps but does not draw: of hidden axes and of ticks out of view."""
    spare: set[Text] = set()
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            for tick in axis.get_major_ticks():
                labels = {tick.label1, tick.label2}
                drawn = {label for label in labels if label.get_visible()}
                in_view = low <= tick.get_loc() <= high and axes.axison
                spare |= labels - drawn if in_view else labels
    return spare


# The drying curve


def test_curve_is_drawn_in_percent_over_time():
    axes = a_figure().subplots()
    curve = a_curve()
    draw_curve(axes, curve)
    so_far = next(line for line in axes.lines if line.get_label() == "likely, so far")
    ahead = next(line for line in axes.lines if line.get_label() == "likely, ahead")
    assert so_far.get_ydata() == pytest.approx(100 * np.array(curve.likely[:19]))
    assert so_far.get_xdata()[-1] == pytest.approx(float(date2num(NOW)))
    assert ahead.get_xdata()[0] == pytest.approx(float(date2num(NOW)))
    assert len(so_far.get_xdata()) + len(ahead.get_xdata()) == len(curve.at) + 1


def test_likely_and_safe_stand_on_the_threshold_with_shapes_of_their_own():
    axes = a_figure().subplots()
    draw_curve(axes, a_curve())
    marks = {line.get_marker(): line for line in axes.lines if line.get_marker() in ("o", "v")}
    assert marks["o"].get_xdata()[0] == pytest.approx(float(date2num(LIKELY)))
    assert marks["v"].get_xdata()[0] == pytest.approx(float(date2num(SAFE)))
    assert {float(mark.get_ydata()[0]) for mark in marks.values()} == {10.0}
    words = all_words(axes)
    assert "likely dry Mon 9 Feb 14:18" in words
    assert "safe time Mon 9 Feb 17:42" in words
    assert "now Mon 9 Feb 11:30" in words
    assert "dry below\n10 %" in words


def test_times_beyond_the_curve_are_still_in_view():
    axes = a_figure().subplots()
    late = START + timedelta(hours=30)
    draw_curve(axes, a_curve(), safe_at=late)
    assert axes.get_xlim()[1] > float(date2num(late))


def test_coat_that_will_not_dry_says_so():
    axes = a_figure().subplots()
    draw_curve(axes, a_curve(), likely_at=None, safe_at=None)
    assert "not dry by then in this air" in all_words(axes)
    words = describe_drying_curve(a_curve(), likely_at=None, safe_at=None, zone=MADRID)
    assert "not dry by" in words


def test_no_curve_says_what_to_do():
    axes = a_figure().subplots()
    nothing = DryingCurve(at=(), low=(), likely=(), high=(), now_index=0, dry_share=0.1)
    draw_curve(axes, nothing)
    assert "Log a dip" in all_words(axes)
    assert not axes.lines
    assert "Log a dip" in describe_drying_curve(nothing, likely_at=None, safe_at=None, zone=MADRID)


@pytest.mark.parametrize("now_index", [-1, 0, 72, 500])
def test_now_outside_the_curve_does_no_harm(now_index: int):
    axes = a_figure().subplots()
    curve = a_curve()
    odd = DryingCurve(
        at=curve.at, low=curve.low, likely=curve.likely, high=curve.high,
        now_index=now_index, dry_share=0.1,
    )  # fmt: skip
    draw_curve(axes, odd)
    assert axes.lines


def test_curve_of_a_single_moment():
    figure = a_figure()
    axes = figure.subplots()
    one = DryingCurve(
        at=(START,), low=(1.0,), likely=(1.0,), high=(1.0,), now_index=0, dry_share=0.1
    )
    draw_curve(axes, one, likely_at=None, safe_at=None, now=START)
    figure.canvas.draw()
    low, high = axes.get_xlim()
    assert low < float(date2num(START)) < high


def test_curve_in_words():
    words = describe_drying_curve(a_curve(), likely_at=LIKELY, safe_at=SAFE, zone=MADRID)
    # exp(-0.4 * 3) = 0.30, exp(-0.6 * 3) = 0.17, exp(-0.25 * 3) = 0.47.
    assert words.replace("\u00a0", " ") == (
        "30 % of the water left now, 17 to 47 %; likely dry Mon 9 Feb 14:18, "
        "safe time Mon 9 Feb 17:42."
    )


# The growth of the wall


def test_growth_ends_on_the_forecasts_totals():
    shell = a_shell(9)
    forecast = a_forecast(shell, some_coats(shell, 5))
    growth = grow(forecast)
    assert growth.likely[0] == growth.low[0] == growth.high[0] == 0.0
    for index, total in ((5, forecast.thickness_m), (9, forecast.thickness_at_end_m)):
        assert growth.low[index] == pytest.approx(total.low)
        assert growth.likely[index] == pytest.approx(total.likely)
        assert growth.high[index] == pytest.approx(total.high)
    assert (np.diff(growth.likely) > 0).all()
    assert (growth.low <= growth.likely).all()
    assert (growth.likely <= growth.high).all()


@given(st.integers(4, 40), st.data())
def test_growth_has_a_point_for_each_coat(coats: int, data: st.DataObject):
    shell = a_shell(coats)
    on = data.draw(st.integers(0, coats))
    growth = grow(a_forecast(shell, some_coats(shell, on)))
    assert growth.likely.size == coats + 1
    assert np.isfinite(growth.low).all()
    assert (growth.high - growth.low >= -1e-12).all()


def draw_history(axes: Axes, on: int, *, unit: str = "mm", early: tuple[int, ...] = ()) -> None:
    """Draw the history of a wall of nine coats with so many on."""
    shell = a_shell(9)
    coats = some_coats(shell, on)
    forecast = a_forecast(shell, coats, early=early)
    draw_coat_history(
        axes, shell, forecast, zone=MADRID, theme=LIGHT, length_unit=unit, coats=coats
    )


def test_history_has_a_filled_mark_per_coat_and_an_open_one_per_coat_to_come():
    axes = a_figure().subplots()
    draw_history(axes, 5)
    on = next(line for line in axes.lines if str(line.get_label()).startswith("on the shell"))
    ahead = next(line for line in axes.lines if str(line.get_label()).startswith("to come"))
    assert list(on.get_xdata()) == [0, 1, 2, 3, 4, 5]
    assert list(on.get_ydata()) == pytest.approx([0, 0.45, 0.9, 1.65, 2.85, 4.05])
    assert list(ahead.get_xdata()) == [5, 6, 7, 8, 9]
    assert ahead.get_markerfacecolor() == LIGHT.panel
    assert on.get_markerfacecolor() != LIGHT.panel


def test_history_can_be_read_in_inches():
    axes = a_figure().subplots()
    draw_history(axes, 5, unit="in")
    on = next(line for line in axes.lines if str(line.get_label()).startswith("on the shell"))
    assert on.get_ydata()[-1] == pytest.approx(4.05 / 25.4)
    assert "target\n0.315 in" in all_words(axes)
    assert axes.get_ylabel() == "thickness, in"


def test_history_shows_target_count_dates_and_early_dips():
    figure = a_figure()
    axes = figure.subplots()
    draw_history(axes, 5, early=(4,))
    figure.canvas.draw()
    words = all_words(axes)
    assert "target\n8.00 mm" in words
    assert "9 coats planned" in words
    assert "on the shell, 4.05 mm (3.24–4.86)" in words
    early = next(line for line in axes.lines if line.get_label() == "dipped early")
    assert list(early.get_xdata()) == [4]
    ticks = [label.get_text().replace("\u00a0", " ") for label in axes.get_xticklabels()]
    # Nine hours apart from Monday 9 February 08:30 on the shop's clock.
    assert ticks[:6] == ["1\n9 Feb", "2\n9 Feb", "3\n10 Feb", "4\n10 Feb", "5\n10 Feb", "6"]


def test_history_of_bare_wax_shows_the_plan():
    axes = a_figure().subplots()
    draw_history(axes, 0)
    assert "no coat on the shell yet" in all_words(axes)


def test_history_in_words():
    shell = a_shell(9)
    forecast = a_forecast(shell, some_coats(shell, 5), early=(2, 4))
    words = describe_coat_history(shell, forecast, length_unit="mm").replace("\u00a0", " ")
    assert words == (
        "5 of 9 coats on, target 8.00 mm; on the shell, 4.05 mm (3.24–4.86); "
        "to come, 7.85 mm (6.28–9.42) at the end; dipped early: 2, 4."
    )


# The air


def a_log(start: datetime, minutes: list[int]) -> tuple[list[datetime], list[float], list[float]]:
    """Times, temperature and humidity of a day's swing, read at these minutes."""
    at = [start + timedelta(minutes=minute) for minute in minutes]
    turn = [math.tau * minute / 1440 for minute in minutes]
    return at, [21 + 1.5 * math.sin(x) for x in turn], [0.5 - 0.1 * math.sin(x) for x in turn]


def draw_log(figure: Figure, at, temp, rh, dips=(), unit: str = "°C", theme=LIGHT):
    """Draw a log with a dew point and a wet bulb below its temperature."""
    upper, lower = figure.subplots(2, 1, sharex=True)
    draw_air(
        (upper, lower), at, temp, rh, [t - 10 for t in temp], [t - 5 for t in temp], list(dips),
        zone=MADRID, theme=theme, temp_unit=unit,
    )  # fmt: skip
    return upper, lower


def test_pause_in_the_log_is_a_gap():
    minutes = [*range(0, 300, 10), *range(600, 900, 10)]
    upper, lower = draw_log(a_figure(), *a_log(START, minutes))
    for axes in (upper, lower):
        y = np.asarray(axes.lines[0].get_ydata(), dtype=float)
        assert y.size == len(minutes) + 1
        assert np.flatnonzero(np.isnan(y)).tolist() == [30]


def test_readings_by_hand_every_few_hours_are_no_gaps():
    upper, _ = draw_log(a_figure(), *a_log(START, [0, 240, 500, 700, 960]))
    assert not np.isnan(np.asarray(upper.lines[0].get_ydata(), dtype=float)).any()


@given(st.lists(st.integers(1, 600), min_size=0, max_size=40))
def test_gaps_keep_every_reading(steps: list[int]):
    at = np.cumsum([0.0, *steps]) / 1440.0
    values = np.arange(at.size, dtype=float)
    x, y = with_gaps(at, values)
    known = ~np.isnan(y)
    assert (y[known] == values).all()
    assert (x[known] == at).all()
    assert (np.diff(x) > 0).all()


def test_air_is_drawn_in_the_persons_unit():
    at, temp, rh = a_log(START, list(range(0, 600, 10)))
    upper, lower = draw_log(a_figure(), at, temp, rh, unit="°F")
    assert upper.lines[0].get_ydata() == pytest.approx(1.8 * np.array(temp) + 32)
    assert lower.lines[0].get_ydata() == pytest.approx(100 * np.array(rh))
    assert "°F" in upper.get_ylabel()
    styles = [str(line._unscaled_dash_pattern) for line in upper.lines[:3]]
    assert len(set(styles)) == 3
    for name in ("air", "dew point", "wet bulb"):
        assert name in all_words(upper)


def test_dips_are_named_and_those_without_room_are_counted():
    dips = [(START + timedelta(minutes=minute), f"BELL-{minute}") for minute in range(0, 600, 10)]
    upper, lower = draw_log(a_figure(), *a_log(START, list(range(0, 600, 10))), dips)
    named = sum(text.get_text().startswith("BELL") for text in upper.texts)
    assert 3 <= named < 60
    assert lower.get_xlabel().startswith(f"{60 - named} more dips")


def test_no_air_says_what_to_do():
    upper, lower = draw_log(a_figure(), [], [], [])
    assert "No air readings yet" in all_words(upper)
    assert not lower.axison
    assert "No air readings" in describe_air([], [], [], [], zone=MADRID, temp_unit="°C")


def test_single_reading_can_be_seen():
    upper, lower = draw_log(a_figure(), *a_log(START, [0]))
    assert upper.lines[0].get_marker() == "."
    low, high = upper.get_ylim()
    assert high - low >= 4.0
    assert lower.get_ylim() == (0.0, 100.0)


def test_air_in_words():
    at, temp, rh = a_log(START, list(range(0, 1440, 10)))
    words = describe_air(at, temp, rh, [(START, "014")], zone=MADRID, temp_unit="°C")
    assert words.replace("\u00a0", " ") == (
        "Air from Mon 9 Feb 08:30 to Tue 10 Feb 08:20: 19.5 to 22.5 °C, 40 to 60 % humidity; "
        "dips marked: 1."
    )


# The time axis


def test_ticks_stand_on_round_times_of_the_shops_clock():
    ticks = place_ticks(START, START + timedelta(hours=12), MADRID, 8)
    assert [tick.astimezone(MADRID).strftime("%H:%M") for tick in ticks] == [
        "10:00", "12:00", "14:00", "16:00", "18:00", "20:00",
    ]  # fmt: skip


def test_hour_that_comes_twice_has_both_its_ticks():
    ticks = place_ticks(BACK, BACK + timedelta(hours=6), MADRID, 8)
    assert ticks == [BACK + timedelta(hours=hour) for hour in range(7)]
    words = LocalTimeFormatter(MADRID).format_ticks([float(date2num(tick)) for tick in ticks])
    assert [word.replace("\u00a0", " ") for word in words] == [
        "00:00\nSun 25 Oct", "01:00", "02:00\nUTC+2", "02:00\nUTC+1", "03:00", "04:00", "05:00",
    ]  # fmt: skip


def test_hour_that_is_left_out_has_no_tick():
    # The European clocks go forward on 29 March 2026 at 01:00 UTC.
    night = datetime(2026, 3, 28, 23, 0, tzinfo=UTC)
    ticks = place_ticks(night, night + timedelta(hours=5), MADRID, 8)
    assert [tick.astimezone(MADRID).hour for tick in ticks] == [0, 1, 3, 4, 5, 6]


@given(
    st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)),  # noqa: DTZ001
    st.floats(2.0, 3e6),
    st.sampled_from(["UTC", "Europe/Madrid", "America/St_Johns", "Australia/Lord_Howe"]),
    st.integers(2, 12),
)
def test_ticks_are_few_rising_and_inside(first: datetime, minutes: float, zone: str, most: int):
    first = first.replace(tzinfo=UTC)
    last = first + timedelta(minutes=minutes)
    ticks = place_ticks(first, last, ZoneInfo(zone), most)
    assert ticks == sorted(set(ticks))
    assert all(first <= tick <= last for tick in ticks)
    if minutes < 364 * 1440 * most:
        # An hour that comes twice may add its own.
        assert len(ticks) <= most + 3


def test_degenerate_axis_has_no_ticks():
    assert LocalTimeLocator(UTC_ZONE).tick_values(5.0, 5.0) == []
    assert LocalTimeLocator(UTC_ZONE)() == []


# Flags


@given(
    st.lists(st.tuples(st.floats(0, 400), st.floats(5, 150)), max_size=25),
    st.integers(1, 4),
)
def test_flags_never_cover_one_another(flags: list[tuple[float, float]], rows: int):
    at, widths = [flag[0] for flag in flags], [flag[1] for flag in flags]
    places = place_flags(at, widths, 400.0, rows)
    shown = [
        (place, width) for place, width in zip(places, widths, strict=True) if place is not None
    ]
    for (one, wide), (other, broad) in combinations(shown, 2):
        apart = one.left + wide <= other.left or other.left + broad <= one.left
        assert apart or one.row != other.row
    assert all(place.left >= 0 for place, _ in shown)


def test_three_flags_in_three_rows_are_all_shown():
    assert None not in place_flags([1.0, 2.0, 3.0], [200.0] * 3, 300.0, 3)


# How it looks


@pytest.mark.parametrize("size", [(7.0, 3.6), (3.6, 2.6), (14.0, 6.0)])
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("which", ["dry", "never", "clock back", "wall", "bare", "air", "flood"])
def test_no_text_is_cut_or_covers_another(which: str, theme, size):
    figure = a_figure(*size)
    figure.set_facecolor(theme.panel)
    _PICTURES[which](figure, theme)
    assert_texts_clear(figure)


def _history(figure: Figure, on: int, early: tuple[int, ...]) -> None:
    draw_history(figure.subplots(), on, early=early)


def _air(figure: Figure, count: int, theme) -> None:
    dips = [(START + timedelta(hours=3 * dip), f"HERON-{dip}") for dip in range(count)]
    draw_log(figure, *a_log(START, list(range(0, 4000, 20))), dips, theme=theme)


_PICTURES: dict[str, Callable[..., None]] = {
    "dry": lambda figure, theme: draw_curve(figure.subplots(), a_curve(), theme=theme),
    "never": lambda figure, theme: draw_curve(
        figure.subplots(), a_curve(), likely_at=None, safe_at=None, theme=theme
    ),
    "clock back": lambda figure, theme: draw_curve(
        figure.subplots(), a_curve(BACK, hours=6), theme=theme,
        likely_at=BACK + timedelta(hours=2.6), safe_at=BACK + timedelta(hours=3.2),
        now=BACK + timedelta(hours=2),
    ),
    "wall": lambda figure, theme: _history(figure, 5, (4,)),
    "bare": lambda figure, theme: _history(figure, 0, ()),
    "air": lambda figure, theme: _air(figure, 4, theme),
    "flood": lambda figure, theme: _air(figure, 22, theme),
}  # fmt: skip


def test_importing_the_desk_loads_no_matplotlib():
    code = (
        "import sys, shellcoat.desk, shellcoat.desk.plots, shellcoat.desk.section; "
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
