"""The air of a room: readings typed by hand, and the log made ready for a screen."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from shop_cases import (
    DIPPING,
    DRYING,
    HOUR,
    MINUTE,
    NOW,
    at,
    dip,
    log_column,
    on_rack,
    typed_reading,
)

from shellcoat.book import open_book
from shellcoat.errors import ValueOutOfRangeError
from shellcoat.forecast.answers import ShellForecast
from shellcoat.operations.air import MOST_POINTS, ReadingInFutureError, log_reading, room_air
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import AirAtDip, Shell


def test_a_typed_reading_is_in_the_book(path: Path, opened: OpenShop) -> None:
    reading = log_reading(opened, DIPPING, at(-0.5), 21.5, 0.48, NOW, note="by the door")
    with open_book(path, read_only=True) as again:
        assert again.ledger.typed_readings == [reading]
        assert again.last_reading(DIPPING) == AirAtDip(temp_c=21.5, rh=0.48, read_at=at(-0.5))
        assert again.last_reading(DRYING) is None
    assert (reading.note, reading.room_id) == ("by the door", DIPPING)


def test_a_reading_to_come_is_refused(opened: OpenShop) -> None:
    with pytest.raises(ReadingInFutureError, match=r"15:00 has not come yet"):
        log_reading(opened, DIPPING, NOW + HOUR, 21.5, 0.48, NOW)
    log_reading(opened, DIPPING, NOW + 2 * MINUTE, 21.5, 0.48, NOW)
    assert len(opened.ledger.typed_readings) == 1


@pytest.mark.parametrize(
    ("temp_c", "rh", "field"),
    [
        (-31.0, 0.5, "Air temperature"),
        (71.0, 0.5, "Air temperature"),
        (float("nan"), 0.5, "Air temperature"),
        (21.0, 1.01, "Relative humidity"),
        (21.0, -0.01, "Relative humidity"),
        (21.0, float("nan"), "Relative humidity"),
    ],
)
def test_a_reading_no_shop_can_have_names_its_field(
    opened: OpenShop, temp_c: float, rh: float, field: str
) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        log_reading(opened, DIPPING, NOW, temp_c, rh, NOW)
    assert opened.ledger.typed_readings == []


def test_a_reading_makes_the_forecast_surer(opened: OpenShop, heron: Shell) -> None:
    """An unread room is a guess between dry and damp; a look at the instrument narrows it."""
    dip(opened, heron, NOW)
    guessed = opened.forecast_shell(heron, NOW)
    log_reading(opened, DIPPING, NOW, 22.0, 0.5, NOW)
    read = opened.forecast_shell(heron, NOW)
    assert width_of(read) < width_of(guessed)


def width_of(forecast: ShellForecast) -> timedelta:
    """From the likely to the safe time."""
    if forecast.likely_at is None or forecast.safe_at is None:
        raise LookupError("this coat does not dry")
    return forecast.safe_at - forecast.likely_at


# The log as a screen shows it.


TWO_DAYS_AGO = at(-48)


def every(minutes: float, count: int, first: datetime = TWO_DAYS_AGO) -> list[datetime]:
    return [first + timedelta(minutes=minutes) * number for number in range(count)]


def test_a_short_log_is_shown_as_it_is(opened: OpenShop) -> None:
    times = every(10, 30)
    log_column(opened, times, np.linspace(18, 24, 30), np.linspace(0.3, 0.6, 30))
    view = room_air(opened, DIPPING, at(-60), NOW)
    assert view.at_s.tolist() == [moment.timestamp() for moment in times]
    np.testing.assert_allclose(view.temp_c, np.linspace(18, 24, 30))
    np.testing.assert_allclose(view.rh, np.linspace(0.3, 0.6, 30))
    assert view.readings == 30


def test_dew_point_and_wet_bulb_at_a_table_point(opened: OpenShop) -> None:
    """20 °C and 50 %: dew point 9.3 °C, wet bulb 13.8 °C (any psychrometric chart at sea level;
    the shop stands 650 m up, where the wet bulb is a tenth or two lower)."""
    typed_reading(opened, NOW, 20.0, 0.5)
    view = room_air(opened, DIPPING, at(-1), at(1))
    assert view.dew_point_c[0] == pytest.approx(9.3, abs=0.1)
    assert view.wet_bulb_c[0] == pytest.approx(13.6, abs=0.3)


def test_bone_dry_air_has_no_dew_point_but_is_shown(opened: OpenShop) -> None:
    typed_reading(opened, NOW, 20.0, 0.0)
    view = room_air(opened, DIPPING, at(-1), at(1))
    assert view.temp_c.tolist() == [20.0]
    assert np.isnan(view.dew_point_c[0])
    assert view.wet_bulb_c[0] < 20.0


def test_an_unread_room_is_an_empty_picture(opened: OpenShop) -> None:
    view = room_air(opened, DRYING, at(-24), NOW)
    assert (view.readings, view.at_s.size, view.dips) == (0, 0, ())


@pytest.mark.parametrize("count", [MOST_POINTS + 1, 2 * MOST_POINTS, 3 * MOST_POINTS + 17])
def test_thinning_keeps_the_means(opened: OpenShop, count: int) -> None:
    """Each point is the mean of its neighbours, none counted twice; the newest stands alone."""
    rng = np.random.default_rng(count)
    temp, rh = rng.uniform(10, 30, count), rng.uniform(0.2, 0.9, count)
    times = every(0.5, count)
    log_column(opened, times, temp, rh)
    view = room_air(opened, DIPPING, times[0], times[-1])
    assert view.readings == count
    means = view.at_s.size - 1
    assert MOST_POINTS / 2 < means <= MOST_POINTS
    run = -(-count // means)
    runs = [slice(start, start + run) for start in range(0, count, run)]
    seconds = np.array([moment.timestamp() for moment in times])
    for shown, column in ((view.temp_c, temp), (view.rh, rh), (view.at_s, seconds)):
        np.testing.assert_allclose(shown[:-1], [column[part].mean() for part in runs])
        assert shown[-1] == pytest.approx(column[-1])


def test_a_silent_logger_is_a_gap_and_no_line(opened: OpenShop) -> None:
    times = [*every(10, 60), *every(10, 60, at(-24))]
    log_column(opened, times, [20.0] * 60 + [25.0] * 60, [0.5] * 120)
    view = room_air(opened, DIPPING, at(-60), NOW)
    broken = np.isnan(view.temp_c)
    assert broken.sum() == 1
    (gap,) = np.flatnonzero(broken)
    assert np.isnan(view.rh[gap])
    assert np.isnan(view.dew_point_c[gap])
    assert np.isnan(view.wet_bulb_c[gap])
    assert times[59].timestamp() < view.at_s[gap] < times[60].timestamp()
    assert np.all(np.diff(view.at_s) > 0)
    assert view.readings == 120


def test_three_looks_a_day_are_no_gaps(opened: OpenShop) -> None:
    for day in range(4):
        for hour in (-6.0, -1.5, 3.0):
            typed_reading(opened, at(24 * day - 96 + hour), 20.0, 0.5)
    view = room_air(opened, DIPPING, at(-120), at(24))
    # The nights last fifteen hours, and yet the line runs on: that is how often one looks.
    assert np.isfinite(view.temp_c).tolist() == [True] * 12


@pytest.mark.parametrize("odd", [1, 2, 3])
def test_thinning_invents_no_reading_inside_a_gap(opened: OpenShop, odd: int) -> None:
    """Wherever the silence falls among the readings, nothing is drawn in the middle of it."""
    before, after = every(1, MOST_POINTS + odd, at(-200)), every(1, 2 * MOST_POINTS, at(-72))
    temps = [15.0] * len(before) + [30.0] * len(after)
    log_column(opened, [*before, *after], temps, [0.5] * len(temps))
    view = room_air(opened, DIPPING, at(-240), NOW)
    known = np.isfinite(view.temp_c)
    silent = (view.at_s > before[-1].timestamp()) & (view.at_s < after[0].timestamp())
    assert not np.any(silent & known)
    assert set(view.temp_c[known].round(6).tolist()) == {15.0, 30.0}


# Dips on the air's axis.


def test_the_dips_of_a_room_are_marked_with_shell_and_number(
    opened: OpenShop, heron: Shell
) -> None:
    crane = on_rack(opened, "crane")
    dip(opened, heron, at(-30), room_id=DIPPING)
    dip(opened, crane, at(-20), room_id=DIPPING)
    dip(opened, heron, at(-10), room_id=DIPPING)
    dip(opened, crane, at(-5), room_id=DRYING)
    marks = room_air(opened, DIPPING, at(-25), NOW).dips
    assert [(mark.shell.id, mark.number, mark.coat.dipped_at) for mark in marks] == [
        (crane.id, 1, at(-20)),
        (heron.id, 2, at(-10)),
    ]
    assert [mark.number for mark in room_air(opened, DRYING, at(-25), NOW).dips] == [2]
