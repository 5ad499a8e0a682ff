"""Alarms: what calls for one, about what, since when, and that it ends with its cause."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from alert_cases import (
    BACKUP,
    HOUR,
    PRIME,
    ROOM,
    START,
    Bell,
    DisklessBook,
    Pen,
    clock_words,
    coat,
    forecast,
    shell,
)

from shellcoat.alerts.alarms import BackupFault
from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.folding import fold
from shellcoat.alerts.life import AlertKind, AlertState, AlertWhat
from shellcoat.alerts.telling import Teller
from shellcoat.forecast.answers import DryState, ShellWarning, WarningKind
from shellcoat.shop import AlertHabits, Ledger, ShellState, Shop

HERON = shell(1)
PRIMED = coat(1, HERON, START, PRIME)
SHOP = Shop(id=UUID(int=7), name="Studio")
SAFE = {PRIMED.id: START + 4 * HOUR}
NOW = START + HOUR


def warned(kind, number=1, core=""):
    return ShellWarning(kind, number, 0.1, 0.2, core)


def alarms(now=NOW, *, heron=HERON, coats=(PRIMED,), safe=SAFE, backup=None, shop=None, **seen):
    """The alarms of a book in which the heron has these coats."""
    records = [*([shop] if shop else []), ROOM, heron, *coats]
    answer = forecast(heron, coats, safe, now, **seen)
    found = alerts_of({heron.id: answer}, Ledger.of(map(Pen(), records)), now, backup=backup)
    return [one for one in found if one.kind is AlertKind.ALARM]


def whats(**given):
    return [one.what for one in alarms(**given) if one.state is not AlertState.PENDING]


CORE = "belly"
CASES = [
    ([warned(WarningKind.CORE_WET, core=CORE)], AlertWhat.CORE_NOT_DRYING),
    (
        [warned(WarningKind.CORE_WET, core=CORE), warned(WarningKind.CORE_CLOSING, 2, CORE)],
        AlertWhat.CORE_CLOSING,
    ),
    ([warned(WarningKind.CORE_LOCKED, core=CORE)], AlertWhat.CORE_LOCKED),
    ([warned(WarningKind.NOT_DRYING)], AlertWhat.COAT_NOT_DRYING),
    ([warned(WarningKind.ROOM_SWING)], AlertWhat.ROOM_SWING),
]


@pytest.mark.parametrize(("warnings", "what"), CASES, ids=[what.value for _, what in CASES])
def test_what_the_forecast_warns_of_and_asks_an_act_for_is_an_alarm(warnings, what):
    (alarm,) = [one for one in alarms(warnings=warnings) if one.state is AlertState.DUE]
    assert (alarm.what, alarm.due_at, alarm.shell_id) == (what, NOW, HERON.id)
    assert alarm.subject == (CORE if warnings[0].core else "")
    assert whats(warnings=()) == []


def test_a_dry_core_that_closes_and_an_early_dip_ask_for_nothing_more():
    closing = warned(WarningKind.CORE_CLOSING, 2, CORE)
    early, damp = warned(WarningKind.DIPPED_EARLY), warned(WarningKind.AIR_TOO_HUMID)
    assert whats(warnings=[closing, early, damp]) == []


def test_a_swing_over_a_coat_that_is_covered_is_no_alarm_any_more():
    second = coat(2, HERON, START + 5 * HOUR, BACKUP)
    safe = SAFE | {second.id: None}
    old = warned(WarningKind.ROOM_SWING, 1)
    assert whats(coats=(PRIMED, second), safe=safe, warnings=[old]) == []


def test_two_cores_are_two_alarms():
    wet = [warned(WarningKind.CORE_WET, core=name) for name in ("belly", "neck")]
    found = [one for one in alarms(warnings=wet) if one.state is AlertState.DUE]
    assert {one.subject for one in found} == {"belly", "neck"}
    assert len({one.about for one in found}) == 2


def test_a_shell_on_hold_suppresses_its_alarms():
    held = replace(HERON, state=ShellState.ON_HOLD)
    swing = [warned(WarningKind.ROOM_SWING)]
    assert whats(heron=held, warnings=swing, now=START + 60 * HOUR) == []


# 48 h: resources/materials/alerts.toml, from memory.
@pytest.mark.parametrize(
    ("hours", "due"), [(47.9, False), (48.0, True), (90.0, True)], ids=["before", "at", "after"]
)
def test_a_prime_coat_has_a_latest_dip(hours, due):
    found = alarms(START + hours * HOUR)
    (alarm,) = [one for one in found if one.what is AlertWhat.PAST_LATEST_DIP]
    assert alarm.due_at == START + 48 * HOUR
    assert (alarm.state is AlertState.DUE) == due


def test_a_prime_coat_that_dries_later_than_that_waits_until_it_is_dry():
    (alarm,) = alarms(safe={PRIMED.id: START + 70 * HOUR})
    assert alarm.due_at == START + 70 * HOUR
    (alarm,) = alarms(safe={PRIMED.id: None})
    assert alarm.due_at == START + 48 * HOUR


def test_a_backup_coat_and_a_last_coat_have_none():
    backup = coat(1, HERON, START, BACKUP)
    assert alarms(START + 99 * HOUR, coats=(backup,), safe={backup.id: START}) == []
    single = replace(HERON, sequence=replace(HERON.sequence, steps=(PRIME,)))
    assert alarms(START + 99 * HOUR, heron=single) == []


def test_a_room_nobody_reads_any_more_calls_after_the_shops_limit():
    read = START - 2 * HOUR
    shop = Shop(id=SHOP.id, name="Studio", alerts=AlertHabits(reading_limit_s=6 * 3600.0))
    for hours, state in ((3.9, AlertState.PENDING), (4.0, AlertState.DUE)):
        found = alarms(START + hours * HOUR, shop=shop, last_reading_at=read)
        (alarm,) = [one for one in found if one.what is AlertWhat.NO_READING]
        assert (alarm.state, alarm.due_at) == (state, read + 6 * HOUR)
        assert (alarm.subject, alarm.since, alarm.shell_id) == ("Loft", read, None)


def test_without_a_choice_of_the_shop_the_limit_is_a_day():
    (alarm,) = [one for one in alarms(last_reading_at=START) if one.what is AlertWhat.NO_READING]
    assert alarm.due_at == START + 24 * HOUR


def test_a_room_with_nothing_wet_in_it_and_one_never_read_call_nobody():
    late = START + 40 * HOUR
    assert whats(now=late, last_reading_at=None) == []
    answer = replace(
        forecast(HERON, [PRIMED], SAFE, late, last_reading_at=START), state=DryState.DRY
    )
    ledger = Ledger.of(map(Pen(), [ROOM, HERON, PRIMED]))
    found = alerts_of({HERON.id: answer}, ledger, late)
    assert AlertWhat.NO_READING not in {one.what for one in found}


def test_a_new_silence_is_a_new_alarm():
    first = alarms(START + 30 * HOUR, last_reading_at=START)
    second = alarms(START + 60 * HOUR, last_reading_at=START + 31 * HOUR)
    ids = [
        {one.about for one in found if one.what is AlertWhat.NO_READING}
        for found in (first, second)
    ]
    assert len(ids[0] | ids[1]) == 2


def test_backups_that_fail_are_one_alarm_until_there_is_a_good_copy_again():
    good = START - 24 * HOUR
    faults = [BackupFault(why=why, last_good_at=good) for why in ("disk full", "still full")]
    found = [alarms(NOW + n * HOUR, shop=SHOP, backup=one)[0] for n, one in enumerate(faults)]
    assert [one.what for one in found] == [AlertWhat.BACKUP] * 2
    assert found[0].about == found[1].about
    later = alarms(shop=SHOP, backup=BackupFault(why="disk full", last_good_at=START))
    assert later[0].about != found[0].about
    assert AlertWhat.BACKUP not in whats(shop=SHOP)


def test_prompts_and_alarms_are_told_apart_and_an_alarm_that_flickers_once():
    book, bell = DisklessBook(list(map(Pen(), [ROOM, HERON, PRIMED]))), Bell()
    teller = Teller(book, "", [bell], clock_words)
    for n in range(4):
        at = NOW + 4 * HOUR + n * timedelta(minutes=1)
        swing = [warned(WarningKind.ROOM_SWING)] if n % 2 == 0 else []
        answer = forecast(HERON, [PRIMED], SAFE, at, warnings=swing)
        teller.tell(alerts_of({HERON.id: answer}, book.ledger, at), at, "R. Vale")
    assert sorted(line.kind.value for line in bell.lines) == ["alarm", "prompt"]


def test_every_kind_of_alarm_is_said_in_plain_words_with_its_place():
    now = datetime(2016, 3, 16, 9, 0, tzinfo=UTC)
    said = {}
    for warnings, what in CASES:
        found = [one for one in alarms(now, warnings=warnings) if one.what is what]
        said[what] = fold(found, now, clock_words)[0].text
    assert said[AlertWhat.CORE_NOT_DRYING] == (
        "Heron (B3): core “belly” will not be dry when the shell is due; blow air in, turn it, "
        "or wait"
    )
    assert said[AlertWhat.ROOM_SWING].startswith("Heron (B3): the room swung while prime coat 1")
    silent = alarms(now, last_reading_at=START, shop=SHOP)
    texts = [line.text for line in fold(silent, now, clock_words)]
    assert "Loft: air last read 08:00; read it, or look at the logger" in texts
    assert (
        "Heron (B3): prime coat 1 of 3 past its latest sensible dip since 08:00, 1 h ago; "
        "dip it, or look for dust and lifting"
    ) in texts
    never = alarms(now, shop=SHOP, backup=BackupFault(why="disk full", last_good_at=None))
    texts = [line.text for line in fold(never, now, clock_words)]
    assert "The book: not backed up; last good copy: never. disk full" in texts
