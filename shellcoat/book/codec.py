"""Records to text and back, in one canonical form that can be hashed.

Canonical means sorted keys, UTF-8, times in UTC, ids and enums as text, numbers in the
shortest form that reads back to the same bits. A record is refused when it would not come
back as it went in; NaN, which JSON does not know, is one such case.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING
from dataclasses import fields as dataclass_fields
from datetime import UTC, datetime, timedelta
from functools import cache, lru_cache
from typing import Any, cast, get_type_hints

import msgspec

from shellcoat.book.faults import UnknownKindError, UnstorableRecordError
from shellcoat.shop import CoatStep, DipSequence, Record
from shellcoat.shop.entry import KINDS, NAMES

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MICROSECOND = timedelta(microseconds=1)
MILLISECOND = timedelta(milliseconds=1)

_encoder = msgspec.json.Encoder(order="sorted")


def canonical(value: object) -> bytes:
    """Write anything made of plain values in the one form that is hashed."""
    return _encoder.encode(value)


# Every coat carries its step and every shell its sequence, nearly always one seen before. They
# never change, so what was read once serves all: half the time and memory of opening a book.
SHARED: dict[str, tuple[str, type[Any]]] = {
    "coat": ("step", CoatStep),
    "shell": ("sequence", DipSequence),
}
MOST_SHARED = 4096

Reader = Callable[[str | bytes], Any]


def _sharing_reader(kind: type[Any], name: str, part: type[Any]) -> Reader:
    """Make a reader that reads one field of a record only where its text is new."""
    hints = get_type_hints(kind) | {name: msgspec.Raw}
    fields: list[Any] = [
        (field.name, hints[field.name])
        if field.default is MISSING
        else (field.name, hints[field.name], field.default)
        for field in dataclass_fields(kind)
    ]
    outline = msgspec.defstruct(kind.__name__, fields, kw_only=True)
    read_outline = msgspec.json.Decoder(outline).decode
    read_part = lru_cache(MOST_SHARED)(msgspec.json.Decoder(part).decode)

    def read(body: str | bytes) -> Any:
        values = msgspec.structs.asdict(read_outline(body))
        values[name] = read_part(bytes(values[name]))
        return kind(**values)

    return read


@cache
def _readers(kind: str) -> tuple[Reader, Reader]:
    """Give the quick reader of a kind, and the one that can name the place of a fault."""
    if kind not in KINDS:
        raise UnknownKindError(kind)
    plain: Reader = msgspec.json.Decoder(KINDS[kind]).decode
    return (_sharing_reader(KINDS[kind], *SHARED[kind]) if kind in SHARED else plain), plain


def decode(kind: str, body: str | bytes) -> Record:
    """Read a record back; its own checks run again on the way."""
    quick, plain = _readers(kind)
    try:
        return cast("Record", quick(body))
    except msgspec.ValidationError:
        return cast("Record", plain(body))


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
