"""Records to text and back, in one canonical form that can be hashed.

Canonical means sorted keys, UTF-8, times in UTC, ids and enums as text, numbers in the
shortest form that reads back to the same bits. A record is refused when it would not come
back as it went in; NaN, which JSON does not know, is one such case.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any, cast

import msgspec

from shellcoat.book.faults import UnknownKindError, UnstorableRecordError
from shellcoat.shop import Record
from shellcoat.shop.entry import KINDS, NAMES

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MICROSECOND = timedelta(microseconds=1)
MILLISECOND = timedelta(milliseconds=1)

_encoder = msgspec.json.Encoder(order="sorted")


def canonical(value: object) -> bytes:
    """Write anything made of plain values in the one form that is hashed."""
    return _encoder.encode(value)


@cache
def _decoder(kind: str) -> msgspec.json.Decoder[Any]:
    if kind not in KINDS:
        raise UnknownKindError(kind)
    return msgspec.json.Decoder(KINDS[kind])


def decode(kind: str, body: str | bytes) -> Record:
    """Read a record back; its own checks run again on the way."""
    return cast("Record", _decoder(kind).decode(body))


def encode(record: Record) -> str:
    """Write a record, and make sure that what was written reads back as the same record."""
    kind = NAMES[type(record)]
    try:
        back = decode(kind, canonical(record))
    except (msgspec.MsgspecError, TypeError, ValueError, OverflowError) as cause:
        raise UnstorableRecordError(f"{kind}: this cannot be kept ({cause}). Type it again.") from (
            cause
        )
    if back != record:
        raise UnstorableRecordError(f"{kind}: this would not be read back as it is. Type it again.")
    return canonical(back).decode()


def to_microseconds(moment: datetime) -> int:
    """Count the microseconds since 1970, exactly."""
    return (moment - EPOCH) // MICROSECOND


def from_microseconds(count: int) -> datetime:
    """Give the time that many microseconds after 1970."""
    return EPOCH + count * MICROSECOND


def to_milliseconds(moment: datetime) -> int:
    """Count the whole milliseconds since 1970; what is finer is cut off."""
    return (moment - EPOCH) // MILLISECOND


def from_milliseconds(count: int) -> datetime:
    """Give the time that many milliseconds after 1970."""
    return EPOCH + count * MILLISECOND
