"""What a look at a room gathers: the ends of the span, the latest air, the list."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest
from small_shop import NOW, ROOM, an_id

from shellcoat.book import ReadingColumns
from shellcoat.desk.air.changes import (
    NoReasonError,
    RoomNameTakenError,
    save_room,
    take_back,
)
from shellcoat.desk.air.look import Span, look_at_air
from shellcoat.operations.air import log_reading
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import AirMovement, AirReading, Room, Shell

HOUR = timedelta(hours=1)


def bring_in(
    opened: OpenShop,
    first: datetime,
    *,
    import_id: str = "import",
    batch: str = "a",
    count: int = 60,
) -> UUID:
    """A batch of minutely readings as an import writes them."""
    at_ms = int(first.timestamp() * 1000) + 60_000 * np.arange(count)
    columns = ReadingColumns.of(at_ms, np.full(count, 20.0), np.full(count, 0.45))
    head = columns.head(
        batch_id=an_id((import_id, batch)),
        room_id=ROOM,
        import_id=an_id(import_id),
        source_name="logger.csv",
    )
    opened.book.add_readings(opened.entry(head, NOW), columns.at_ms, columns.temp_c, columns.rh)
    return head.id


def test_latest_air_agrees_with_the_psychrometric_table(opened: OpenShop) -> None:
    # 20 °C and 60 %: dew point 12.01 °C, wet bulb 15.14 °C at sea level (Herrmann, Kretzschmar
    # and Gatley 2009, ASHRAE RP-1485, as computed in tests/reference/data/psychrometrics.csv).
    # The room lies 650 m up, where thinner air evaporates more easily and cools a little deeper.
    log_reading(opened, ROOM, NOW - HOUR, 20.0, 0.60, NOW)
    latest = look_at_air(opened, ROOM, Span.TODAY, NOW).latest
    assert latest is not None
    assert latest.dew_point_c == pytest.approx(12.01, abs=0.05)
    assert 14.9 < latest.wet_bulb_c < 15.14


def test_bone_dry_air_has_no_dew_point(opened: OpenShop) -> None:
    log_reading(opened, ROOM, NOW - HOUR, 20.0, 0.0, NOW)
    latest = look_at_air(opened, ROOM, Span.TODAY, NOW).latest
    assert latest is not None
    assert latest.dew_point_c is None
    assert latest.wet_bulb_c < 20.0


def test_today_begins_at_midnight_on_the_shops_clock(opened: OpenShop) -> None:
    # 13:00 UTC on 5 March is 14:00 in Madrid, which is an hour ahead of UTC in winter.
    look = look_at_air(opened, ROOM, Span.TODAY, NOW)
    assert look.first == datetime(2026, 3, 4, 23, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("span", "readings"), [(Span.TODAY, 1), (Span.THREE_DAYS, 2), (Span.WEEK, 3), (Span.ALL, 4)]
)
def test_a_longer_span_shows_more(opened: OpenShop, span: Span, readings: int) -> None:
    for days in (0.1, 2, 5, 40):
        log_reading(opened, ROOM, NOW - timedelta(days=days), 21.0, 0.5, NOW)
    assert look_at_air(opened, ROOM, span, NOW).view.readings == readings


def test_an_old_log_is_shown_by_itself(opened: OpenShop) -> None:
    first = NOW - timedelta(days=400)
    bring_in(opened, first)
    look = look_at_air(opened, ROOM, Span.ALL, NOW)
    assert look.first == first
    assert look.last - look.first == timedelta(minutes=59)


def test_batches_of_one_import_are_one_line_the_latest_on_top(opened: OpenShop) -> None:
    first = NOW - timedelta(days=3)
    bring_in(opened, first, batch="a")
    bring_in(opened, first + HOUR, batch="b")
    bring_in(opened, first - 5 * HOUR, import_id="other", batch="a", count=3)
    log_reading(opened, ROOM, NOW - HOUR, 21.0, 0.5, NOW, "by the door")
    rows = look_at_air(opened, ROOM, Span.ALL, NOW).logged
    assert [row.count for row in rows] == [1, 120, 3]
    assert [row.imported for row in rows] == [False, True, True]
    assert rows[0].note == "by the door"
    assert (rows[1].first_at, rows[1].last_at) == (first, first + timedelta(minutes=119))


def test_air_and_list_of_another_room_stay_out(opened: OpenShop) -> None:
    loft = save_room(opened, Room(id=an_id("loft"), name="Loft"), NOW)
    log_reading(opened, loft.id, NOW - HOUR, 15.0, 0.7, NOW)
    look = look_at_air(opened, ROOM, Span.ALL, NOW)
    assert look.latest is None
    assert look.logged == ()


def test_dips_of_the_room_are_marked(opened: OpenShop, heron: Shell, read: AirReading) -> None:
    look = look_at_air(opened, ROOM, Span.THREE_DAYS, NOW)
    assert [mark.number for mark in look.view.dips] == [1, 2, 3]
    assert {mark.shell.label for mark in look.view.dips} == {heron.label}


def test_taking_an_import_back_takes_all_of_it_and_keeps_the_reason(opened: OpenShop) -> None:
    first = NOW - timedelta(days=3)
    ids = [bring_in(opened, first, batch="a"), bring_in(opened, first + HOUR, batch="b")]
    (row,) = look_at_air(opened, ROOM, Span.ALL, NOW).logged
    assert set(row.record_ids) == set(ids)
    take_back(opened, row.record_ids, NOW, "  wrong room ")
    look = look_at_air(opened, ROOM, Span.ALL, NOW)
    assert (look.logged, look.latest, look.view.readings) == ((), None, 0)
    histories = [opened.ledger.history(record_id) for record_id in ids]
    assert [history[-1].reason for history in histories] == ["wrong room", "wrong room"]


def test_nothing_is_taken_back_without_a_reason(opened: OpenShop) -> None:
    reading = log_reading(opened, ROOM, NOW - HOUR, 21.0, 0.5, NOW)
    with pytest.raises(NoReasonError, match="Reason"):
        take_back(opened, [reading.id], NOW, "   ")
    assert reading.id in opened.ledger.live


def test_taking_back_twice_is_as_good_as_once(opened: OpenShop) -> None:
    reading = log_reading(opened, ROOM, NOW - HOUR, 21.0, 0.5, NOW)
    take_back(opened, [reading.id], NOW, "misread")
    take_back(opened, [reading.id], NOW, "misread")
    assert len(opened.ledger.history(reading.id)) == 2


def test_two_rooms_cannot_share_a_name(opened: OpenShop) -> None:
    with pytest.raises(RoomNameTakenError, match="dipping ROOM"):
        save_room(opened, Room(id=an_id("loft"), name="dipping ROOM"), NOW)
    assert len(opened.ledger.rooms) == 1


def test_a_changed_room_keeps_its_history(opened: OpenShop) -> None:
    fan = Room(id=ROOM, name="Dipping room", movement=AirMovement.FAN_ON_SHELL)
    save_room(opened, fan, NOW)
    assert opened.ledger.room(ROOM) == fan
    assert len(opened.ledger.history(ROOM)) == 2
