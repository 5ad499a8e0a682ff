"""Dips and the clocks of a shop: summer time, a clock that is set, a shop that moves house."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from shop_cases import (
    HOUR,
    MINUTE,
    NOW,
    an_extra,
    an_order,
    at_the_book,
    dip,
    numbered,
    on_rack,
    shop_book,
)

from shellcoat.book import open_book
from shellcoat.operations.dips import DoubleDipError, log_dip, utc_offset_min
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.wording import write_time
from shellcoat.shop import Shell

# Summer time in Spain in 2026, at 01:00 UTC (Directive 2000/84/EC).
SPRING, AUTUMN = datetime(2026, 3, 29, 1, tzinfo=UTC), datetime(2026, 10, 25, 1, tzinfo=UTC)


@pytest.mark.parametrize(("change", "before", "after"), [(SPRING, 60, 120), (AUTUMN, 120, 60)])
def test_each_coat_keeps_the_offset_of_its_own_moment(
    path: Path, opened: OpenShop, heron: Shell, change: datetime, before: int, after: int
) -> None:
    moments = [change - 90 * MINUTE, change - MINUTE, change, change + 90 * MINUTE]
    for moment in moments:
        log_dip(opened, an_extra(heron, moment), moment)
    with open_book(path, read_only=True) as again:
        coats = again.ledger.coats(heron.id)
    assert [coat.dipped_at for coat in coats] == moments
    assert [coat.utc_offset_min for coat in coats] == [before, before, after, after]


def test_the_two_half_past_twos_of_an_autumn_night_are_two_coats_in_order(
    opened: OpenShop, heron: Shell
) -> None:
    first, second = AUTUMN - 30 * MINUTE, AUTUMN + 30 * MINUTE
    dip(opened, heron, second)
    dip(opened, heron, first)
    assert numbered(opened, heron) == [first, second]
    coats = opened.ledger.coats(heron.id)
    walls = [
        (coat.dipped_at + timedelta(minutes=coat.utc_offset_min)).replace(tzinfo=None)
        for coat in coats
    ]
    assert walls == [datetime(2026, 10, 25, 2, 30), datetime(2026, 10, 25, 2, 30)]  # noqa: DTZ001
    words = [write_time(coat.dipped_at, opened.zone, second) for coat in coats]
    assert words == ["02:30 +02:00", "02:30 +01:00"]


def test_a_double_press_is_seen_across_the_change(opened: OpenShop, heron: Shell) -> None:
    """02:59:50 and 02:00:10 on the wall are twenty seconds apart."""
    dip(opened, heron, AUTUMN - timedelta(seconds=10))
    second = an_order(opened, heron, AUTUMN + timedelta(seconds=10))
    with pytest.raises(DoubleDipError, match=r"02:59 \+02:00"):
        log_dip(opened, second, AUTUMN + timedelta(seconds=10))


@pytest.mark.parametrize("change", [SPRING, AUTUMN])
def test_drying_knows_nothing_of_the_wall_clock(tmp_path: Path, change: datetime) -> None:
    """The same dips in a shop that keeps UTC are dry at the same moments."""
    answers = []
    for zone in ("Europe/Madrid", "UTC"):
        path = shop_book(tmp_path / f"{zone.replace('/', ' ')}.shellbook", zone=zone)
        with at_the_book(path) as shop:
            shell = on_rack(shop)
            dip(shop, shell, change - 4 * HOUR)
            dip(shop, shell, change - HOUR)
            forecast = shop.forecast_shell(shell, change + HOUR)
            answers.append((forecast.likely_at, forecast.safe_at, forecast.chance_dry))
    assert answers[0] == answers[1]
    assert answers[0][1] is not None


def test_a_clock_set_back_between_two_dips_loses_neither(opened: OpenShop, heron: Shell) -> None:
    """The machine ran an hour ahead; somebody set it right between two dips."""
    ahead = dip(opened, heron, NOW + HOUR)
    right = dip(opened, heron, NOW + 20 * MINUTE)
    assert numbered(opened, heron) == [NOW + 20 * MINUTE, NOW + HOUR]
    # What was entered first stays first in the book, whatever the clock said.
    order = [entry.record.id for entry in opened.ledger.entries.values()]
    assert order.index(ahead.id) < order.index(right.id)
    # A coat that the clock says is still to come can be forecast all the same.
    forecast = opened.forecast_shell(heron, NOW + 21 * MINUTE)
    assert forecast.coats_on == 2
    assert forecast.chance_dry == 0.0
    assert forecast.safe_at is not None
    assert forecast.safe_at > NOW + HOUR


def test_a_clock_set_back_does_not_hide_a_second_press(opened: OpenShop, heron: Shell) -> None:
    dip(opened, heron, NOW)
    order = an_order(opened, heron, NOW - timedelta(seconds=30))
    with pytest.raises(DoubleDipError):
        log_dip(opened, order, NOW - timedelta(seconds=30))


@pytest.mark.parametrize(
    ("zone", "moment", "minutes"),
    [
        ("Asia/Kolkata", NOW, 330),
        ("America/St_Johns", NOW, -210),
        ("America/St_Johns", datetime(2026, 7, 1, 12, tzinfo=UTC), -150),
        ("Australia/Lord_Howe", NOW, 660),
        ("Australia/Lord_Howe", datetime(2026, 7, 1, 12, tzinfo=UTC), 630),
        ("UTC", NOW, 0),
    ],
)
def test_offsets_of_zones_that_are_not_whole_hours(
    tmp_path: Path, zone: str, moment: datetime, minutes: int
) -> None:
    """Offsets after the IANA time zone database."""
    with at_the_book(shop_book(tmp_path / "far.shellbook", zone=zone)) as shop:
        assert utc_offset_min(shop, moment) == minutes
