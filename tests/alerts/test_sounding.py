"""When the sound is played: at once, again until seen, held in quiet hours and while muted."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from uuid import UUID

import pytest
from alert_cases import HOUR, MINUTE, alert

from shellcoat.alerts.life import AlertKind, AlertState, AlertWhat
from shellcoat.alerts.sounding import Sounding
from shellcoat.shop import AlertHabits, Shop
from shellcoat.shop.alert_habits import BrokerTopicError, QuietHoursError

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)
PROMPT, ALARM = AlertKind.PROMPT, AlertKind.ALARM
DRY = alert(1, state=AlertState.TOLD)
SWING = alert(2, state=AlertState.TOLD, what=AlertWhat.ROOM_SWING)
NIGHT = {"quiet_from": time(22), "quiet_until": time(6)}


def shop(zone="UTC", *, sound=True, **habits):
    return Shop(id=UUID(int=9), name="Yard", zone=zone, sound=sound, alerts=AlertHabits(**habits))


def played(sounding, minutes, alerts=(DRY,), start=NOON, **habits):
    """The minutes at which something sounds, looked at once a minute."""
    of = shop(**habits)
    looks = range(minutes + 1)
    return [n for n in looks if sounding.look(alerts, of, start + n * MINUTE)]


def test_it_sounds_at_once_and_again_until_somebody_has_seen_it():
    sounding = Sounding()
    sounding.tell([PROMPT])
    assert played(sounding, 12) == [0, 5, 10]
    for state in (AlertState.SEEN, AlertState.PUT_OFF, AlertState.DONE):
        assert played(sounding, 30, [alert(state=state)], NOON + HOUR) == []


def test_it_sounds_once_where_the_shop_wants_it_so_and_for_each_new_one():
    sounding = Sounding()
    sounding.tell([PROMPT])
    assert played(sounding, 60, repeat_min=0) == [0]
    sounding.tell([PROMPT])
    assert played(sounding, 60, start=NOON + 2 * HOUR, repeat_min=0) == [0]


def test_a_new_one_does_not_wait_for_the_turn_of_the_old():
    sounding = Sounding()
    sounding.tell([PROMPT])
    assert sounding.look([DRY], shop(), NOON) is PROMPT
    sounding.tell([ALARM])
    assert sounding.look([DRY, SWING], shop(), NOON + MINUTE) is ALARM


def test_an_alarm_outdoes_a_prompt_for_as_long_as_it_is_unseen():
    sounding = Sounding()
    sounding.tell([PROMPT, ALARM])
    heard = [sounding.look([DRY, SWING], shop(), NOON + n * 5 * MINUTE) for n in range(3)]
    assert heard == [ALARM] * 3
    assert sounding.look([DRY], shop(), NOON + 15 * MINUTE) is PROMPT


def test_quiet_hours_hold_the_sound_and_not_the_alert():
    sounding = Sounding()
    sounding.tell([PROMPT])
    start = datetime(2026, 6, 10, 21, 58, tzinfo=UTC)
    heard = played(sounding, 10 * 60, start=start, **NIGHT)
    assert heard[0] == 0
    assert min(n for n in heard if n) == 8 * 60 + 2  # six in the morning


def test_what_was_told_in_quiet_hours_sounds_when_they_end_and_seen_meanwhile_it_does_not():
    night = datetime(2026, 6, 11, 2, 0, tzinfo=UTC)
    sounding = Sounding()
    sounding.tell([PROMPT])
    assert played(sounding, 240, start=night, repeat_min=0, **NIGHT) == [240]
    sounding.tell([PROMPT])
    assert played(sounding, 60, start=night, **NIGHT) == []
    seen = alert(state=AlertState.SEEN)
    assert played(sounding, 300, [seen], night + HOUR, **NIGHT) == []


# Europe/Berlin 2026 (tz database): 29 March 02:00 to 03:00, 25 October 03:00 to 02:00, at 01:00
# UTC. Quiet until six on the wall is until 04:00 UTC in summer, 05:00 UTC in winter.
@pytest.mark.parametrize(
    ("evening", "hours"),
    [(datetime(2026, 3, 28, 21, 0, tzinfo=UTC), 7), (datetime(2026, 10, 24, 20, 0, tzinfo=UTC), 9)],
    ids=["the short night", "the long night"],
)
def test_quiet_hours_follow_the_wall_clock_through_both_changes(evening, hours):
    sounding = Sounding()
    sounding.tell([PROMPT])
    heard = played(sounding, 12 * 60, start=evening, zone="Europe/Berlin", **NIGHT)
    assert heard[0] == hours * 60


def test_muting_holds_it_until_its_end():
    sounding = Sounding()
    sounding.tell([ALARM])
    sounding.muted_until = NOON + HOUR
    assert played(sounding, 70, [SWING])[0] == 60


def test_a_shop_without_sound_stays_silent():
    sounding = Sounding()
    sounding.tell([ALARM])
    assert played(sounding, 60, [SWING], sound=False) == []


def test_a_clock_set_back_does_not_silence_it():
    sounding = Sounding()
    sounding.tell([PROMPT])
    assert sounding.look([DRY], shop(), NOON) is PROMPT
    assert sounding.look([DRY], shop(), NOON - 5 * HOUR) is PROMPT
    assert sounding.look([DRY], shop(), NOON - 5 * HOUR + MINUTE) is None


@pytest.mark.parametrize(
    ("at", "quiet"),
    [
        (time(21, 59), False),
        (time(22), True),
        (time(0), True),
        (time(5, 59), True),
        (time(6), False),
    ],
)
def test_quiet_hours_reach_over_midnight(at, quiet):
    assert AlertHabits(**NIGHT).is_quiet(at) is quiet
    day = AlertHabits(quiet_from=time(6), quiet_until=time(22))
    assert day.is_quiet(at) is not quiet


def test_quiet_hours_need_both_ends_and_a_length():
    for wrong in (
        {"quiet_from": time(22)},
        {"quiet_until": time(6)},
        {"quiet_from": time(6), "quiet_until": time(6)},
    ):
        with pytest.raises(QuietHoursError):
            AlertHabits(**wrong)


@pytest.mark.parametrize("topic", ["shop/#", "shop/+/alerts", "a\0b"])
def test_a_pattern_is_no_topic(topic):
    from shellcoat.errors import MendableError
    from shellcoat.shop import Broker

    with pytest.raises(MendableError) as told:
        Broker(host="localhost", topic=topic)
    assert isinstance(told.value, BrokerTopicError) or "\0" in topic


def test_a_shop_of_an_older_book_has_the_usual_habits():
    from shellcoat.book.codec import decode

    body = (
        '{"id":"00000000-0000-0000-0000-000000000001","name":"Studio","zone":"UTC",'
        '"altitude_m":0.0,"dry_share":0.1,"safe_quantile":0.9,"sound":true,"units":{}}'
    )
    kept = decode("shop", body)
    assert kept.alerts == AlertHabits()
    assert timedelta(seconds=kept.alerts.reading_limit_s) == timedelta(days=1)
