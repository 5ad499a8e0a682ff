"""Records to text and back."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import msgspec
import pytest
from book_builders import STEP, a_coat, a_reading, at
from book_strategies import records, times
from hypothesis import given

from shellcoat.book.codec import (
    canonical,
    decode,
    encode,
    from_microseconds,
    from_milliseconds,
    to_microseconds,
    to_milliseconds,
)
from shellcoat.book.faults import UnknownKindError, UnstorableRecordError
from shellcoat.shop import Record
from shellcoat.shop.entry import KINDS, NAMES


@given(records)
def test_every_record_comes_back_as_it_went_in(record: Record) -> None:
    kind = NAMES[type(record)]
    back = decode(kind, encode(record))
    assert back == record
    assert type(back) is type(record)


@given(records)
def test_the_text_is_canonical(record: Record) -> None:
    text = encode(record)
    # The standard library as judge: keys sorted, no blanks, and the same text again from it.
    assert json.dumps(
        json.loads(text), sort_keys=True, ensure_ascii=False, separators=(",", ":")
    ) == json.dumps(json.loads(text), ensure_ascii=False, separators=(",", ":"))
    assert encode(decode(NAMES[type(record)], text)) == text


def test_every_kind_of_record_can_be_read() -> None:
    for kind in KINDS:
        with pytest.raises(Exception, match="missing required field"):
            decode(kind, "{}")


def test_steps_and_sequences_seen_before_are_shared() -> None:
    first, second = (decode("coat", encode(a_coat(hour))) for hour in (1, 2))
    assert first.step is second.step
    other = replace(a_coat(3), step=replace(STEP, slurry="Another slurry"))
    assert decode("coat", encode(other)) == other


def test_a_fault_deep_inside_is_named_with_its_place() -> None:
    text = encode(a_coat(1)).replace('"slurry":"Silica backup"', '"slurry":7')
    with pytest.raises(msgspec.ValidationError, match=r"`\$.step.slurry`"):
        decode("coat", text)


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(UnknownKindError, match="'kiln'"):
        decode("kiln", "{}")


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(number: float) -> None:
    reading = a_reading(0)
    object.__setattr__(reading, "temp_c", number)  # past the record's own check
    with pytest.raises(UnstorableRecordError):
        encode(reading)


def test_a_number_that_is_no_number_is_refused_where_it_may_be_unknown() -> None:
    coat = a_coat(1)
    object.__setattr__(coat.step.air, "swing_k", math.nan)
    try:
        with pytest.raises(UnstorableRecordError, match="read back"):
            encode(coat)
    finally:
        object.__setattr__(coat.step.air, "swing_k", None)


def test_half_a_character_is_refused() -> None:
    coat = a_coat(1, warnings=("a lone half: \ud800",))
    with pytest.raises(UnstorableRecordError):
        encode(coat)


def test_whole_numbers_are_written_like_the_numbers_they_are_read_as() -> None:
    assert encode(a_reading(0, temp_c=21)).count("21.0") == 1


def test_a_list_where_the_record_has_a_tuple_is_refused() -> None:
    with pytest.raises(UnstorableRecordError):
        encode(a_coat(1, warnings=["wet underneath"]))


def test_times_are_written_in_utc_whatever_the_clock_they_carry() -> None:
    reading = a_reading(0)
    same = replace(reading, read_at=reading.read_at.astimezone(ZoneInfo("UTC")))
    assert encode(same) == encode(reading)
    assert '"read_at":"2026-03-02T08:00:00Z"' in encode(reading)


@given(times)
def test_times_survive_to_the_microsecond(moment: datetime) -> None:
    assert from_microseconds(to_microseconds(moment)) == moment


@given(times)
def test_milliseconds_are_cut_never_rounded_up(moment: datetime) -> None:
    back = from_milliseconds(to_milliseconds(moment))
    assert timedelta(0) <= moment - back < timedelta(milliseconds=1)


def test_time_is_counted_from_1970() -> None:
    # 2026-03-02 08:00 UTC is day 20,514 since 1970 (56 years of 365 days, 14 leap days, 60 days).
    assert to_milliseconds(at(0)) == ((56 * 365 + 14 + 60) * 86400 + 8 * 3600) * 1000
    eastern = timezone(timedelta(hours=-5))
    assert to_microseconds(datetime(1969, 12, 31, 19, 0, 0, 1, eastern)) == 1


def test_canonical_text_does_not_depend_on_the_order_of_keys() -> None:
    assert (
        canonical({"b": 1, "a": "é"}) == canonical({"a": "é", "b": 1}) == '{"a":"é","b":1}'.encode()
    )
    assert canonical(datetime(2026, 3, 2, tzinfo=UTC)) == b'"2026-03-02T00:00:00Z"'
