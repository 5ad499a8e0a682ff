"""The demo shops open at any hour, in any zone, as if they were of today."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.operations import demo
from shellcoat.operations.demo import (
    NoSuchDemoError,
    demo_names,
    local_zone,
    open_demo,
    story_shift,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import rack_rows
from shellcoat.places import demos_dir
from shellcoat.shop import Coat, Ledger

ZONES = ("Europe/Madrid", "Asia/Kolkata", "America/St_Johns", "Pacific/Auckland")
PLAIN_DAY = date(2026, 7, 15)
# The days on which the clocks of these zones change in 2026, after the IANA database.
CHANGES = {
    "Europe/Madrid": (date(2026, 3, 29), date(2026, 10, 25)),
    "America/St_Johns": (date(2026, 3, 8), date(2026, 11, 1)),
    "Pacific/Auckland": (date(2026, 4, 5), date(2026, 9, 27)),
}
# The demo benches: from 7:30 to 18:45 in the foundry, before and after work in the garage.
FIRST_DIP, LAST_DIP = time(7, 0), time(20, 30)


class Opened(NamedTuple):
    """A demo's working copy and the moment at which it was made."""

    path: Path
    ledger: Ledger
    now: datetime
    zone: ZoneInfo

    @property
    def coats(self) -> list[Coat]:
        return [coat for coats in self.ledger.coats_by_shell.values() for coat in coats]


Opener = Callable[..., Opened]


@pytest.fixture
def opening(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Opener:
    """Open a demo on a machine of that zone at an hour of its wall clock."""

    def open_at(name: str, zone: str, day: date, hour: int, minute: int = 20) -> Opened:
        monkeypatch.setattr(demo, "get_localzone_name", lambda: zone)
        clock = ZoneInfo(zone)
        now = datetime.combine(day, time(hour, minute, 31), clock).astimezone(UTC)
        path = open_demo(name, now, tmp_path)
        with open_book(path, read_only=True) as book:
            return Opened(path, book.ledger, now, clock)

    return open_at


def nothing_lies_ahead(opened: Opened) -> None:
    ledger, now = opened.ledger, opened.now
    assert all(entry.recorded_at <= now for entry in ledger.entries.values())
    assert all(coat.dipped_at <= now for coat in opened.coats)
    assert all(reading.read_at <= now for reading in ledger.typed_readings)
    assert all(batch.last_at <= now for batch in ledger.batches)
    assert all(shell.started_at <= now for shell in ledger.shells)


def dips_at_working_hours(opened: Opened, slack: timedelta = timedelta(0)) -> None:
    for coat in opened.coats:
        local = coat.dipped_at.astimezone(opened.zone)
        day = local.replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
        first, last = (datetime.combine(day, edge) for edge in (FIRST_DIP, LAST_DIP))
        assert first - slack <= local.replace(tzinfo=None) <= last + slack, local


def the_story_is_of_today(opened: Opened, first_day: int) -> None:
    """It began so many days before the ninth, and the shop was at work until just now."""
    last = max(coat.dipped_at for coat in opened.coats)
    assert opened.now - last < timedelta(hours=25)
    wall = [coat.dipped_at.astimezone(opened.zone).date() for coat in opened.coats]
    today = opened.now.astimezone(opened.zone).date()
    assert (today - min(wall)).days == 9 - first_day


@pytest.mark.parametrize("hour", range(24))
def test_the_garage_opens_at_every_hour_of_a_day(opening: Opener, hour: int) -> None:
    opened = opening("garage-studio", ZONES[hour % len(ZONES)], PLAIN_DAY, hour)
    nothing_lies_ahead(opened)
    dips_at_working_hours(opened)
    the_story_is_of_today(opened, first_day=5)
    assert len(opened.ledger.shells) == 3
    assert opened.ledger.shop is not None
    assert opened.ledger.shop.clock == opened.zone


@pytest.mark.parametrize("hour", [0, 9, 14, 23])
def test_the_foundry_opens_and_is_sound(opening: Opener, hour: int) -> None:
    opened = opening("art-foundry", ZONES[hour % len(ZONES)], PLAIN_DAY, hour)
    nothing_lies_ahead(opened)
    dips_at_working_hours(opened)
    the_story_is_of_today(opened, first_day=2)
    report = check_book(opened.path)
    assert report.problems == []
    assert report.readings == sum(batch.count for batch in opened.ledger.batches) > 1000


@pytest.mark.parametrize(
    ("zone", "day", "hour"),
    [(zone, day, hour) for zone, days in CHANGES.items() for day in days for hour in (1, 3, 13)],
)
def test_on_the_days_on_which_the_clock_changes(
    opening: Opener, zone: str, day: date, hour: int
) -> None:
    """One span moves the whole story, so the days before the change may be an hour off."""
    opened = opening("garage-studio", zone, day, hour)
    nothing_lies_ahead(opened)
    dips_at_working_hours(opened, slack=timedelta(hours=1))
    assert check_book(opened.path).problems == []
    with open_book(opened.path, read_only=True) as book:
        shop = OpenShop(book, who="Ana")
        rows = rack_rows(shop, shop.forecasts(opened.now), opened.now, gone=True)
    assert len(rows) == len(opened.ledger.shells) > 0


@pytest.mark.parametrize("zone", ZONES)
def test_every_coat_keeps_the_wall_clock_of_the_shop(opening: Opener, zone: str) -> None:
    opened = opening("garage-studio", zone, PLAIN_DAY, 20)
    for coat in opened.coats:
        offset = coat.dipped_at.astimezone(opened.zone).utcoffset()
        assert timedelta(minutes=coat.utc_offset_min) == offset


def test_the_hours_of_the_day_stay_what_they_were(opening: Opener) -> None:
    """The same dips at the same wall times, whether read in Madrid or in Kolkata."""
    walls = []
    for zone in ("Europe/Madrid", "Asia/Kolkata"):
        opened = opening("garage-studio", zone, PLAIN_DAY, 20)
        walls.append(
            sorted(coat.dipped_at.astimezone(opened.zone).replace(tzinfo=None)
                   for coat in opened.coats)
        )  # fmt: skip
    assert walls[0] == walls[1]


def test_a_copy_made_again_is_fresh(opening: Opener) -> None:
    opened = opening("garage-studio", "Europe/Madrid", PLAIN_DAY, 14)
    stray = opened.path.with_name("stray.txt")
    stray.write_text("left over", encoding="utf-8")
    with open_book(opened.path) as book:
        shop = OpenShop(book, who="Ana")
        coat = opened.coats[0]
        shop.withdraw(coat.id, opened.now, "played with")
    again = opening("garage-studio", "Europe/Madrid", PLAIN_DAY, 14)
    assert again.path == opened.path
    assert len(again.coats) == len(opened.coats)
    assert not stray.exists()


def test_the_books_that_came_with_the_program_are_left_as_they_are(opening: Opener) -> None:
    source = demos_dir() / "garage-studio" / "book.json"
    before = source.read_bytes()
    opening("garage-studio", "Asia/Kolkata", PLAIN_DAY, 14)
    assert source.read_bytes() == before
    assert json.loads(before)["entries"]


def test_a_copy_is_a_book_of_its_own(opening: Opener) -> None:
    ids = set()
    for _ in range(2):
        opened = opening("garage-studio", "Europe/Madrid", PLAIN_DAY, 14)
        with open_book(opened.path, read_only=True) as book:
            ids.add(book.id)
    assert len(ids) == 2


def test_the_demos_have_titles_and_an_unknown_one_names_them() -> None:
    assert set(demo_names()) == {"garage-studio", "art-foundry"}
    assert all(demo_names().values())
    with pytest.raises(NoSuchDemoError, match=r"garage-studio, art-foundry"):
        open_demo("../etc", datetime(2026, 7, 15, tzinfo=UTC), Path("nowhere"))


@pytest.mark.parametrize("fault", ["Not/AZone", ""])
def test_a_machine_that_does_not_know_its_zone_keeps_utc(
    monkeypatch: pytest.MonkeyPatch, fault: str
) -> None:
    monkeypatch.setattr(demo, "get_localzone_name", lambda: fault)
    assert local_zone().key == "UTC"


@pytest.mark.parametrize("zone", ZONES)
def test_the_shift_puts_the_present_into_the_storys_day(zone: str) -> None:
    """What the story did at nine on its ninth of February it does at nine today."""
    clock, now = ZoneInfo(zone), datetime(2026, 7, 15, 17, 5, 9, 123, tzinfo=UTC)
    nine = datetime(2015, 2, 9, 9, 0, tzinfo=ZoneInfo("Europe/Madrid")).astimezone(UTC)
    moved = (nine + story_shift(now, clock)).astimezone(clock)
    assert (moved.hour, moved.minute, moved.second) == (9, 0, 0)
    assert moved.date() == now.astimezone(clock).date()
