"""The exported book: one JSON document that people can read and programs can check."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Annotated, Any, Literal
from uuid import UUID

import msgspec
import numpy as np

from shellcoat.book import journal
from shellcoat.book.codec import canonical, decode, encode, to_milliseconds
from shellcoat.book.pictures import (
    LARGEST_PICTURE_BYTES,
    LARGEST_THUMBNAIL_BYTES,
    Pictures,
)
from shellcoat.book.readings import ReadingColumns
from shellcoat.errors import MendableError
from shellcoat.shop import Entry, Photo, Record

FORMAT: Literal["shellcoat book"] = "shellcoat book"
VERSION = 1

Zoned = Annotated[datetime, msgspec.Meta(tz=True)]

_encoder = msgspec.json.Encoder()
_PATH = re.compile(r"(?P<what>.*) - at `\$(?P<path>.*)`", re.DOTALL)
_ENTRY_IN_PATH = re.compile(r"\.entries\[(\d+)\]")


class BadDocumentError(MendableError):
    """A document that is no exported book, or one that does not hold together."""

    def __init__(self, place: str, what: str) -> None:
        super().__init__(f"{place}: {what}")
        self.place = place
        self.what = what


class Frame(msgspec.Struct):
    """What every version of the format has, read before anything else."""

    format: str = ""
    version: int = 0


class Identity(msgspec.Struct, forbid_unknown_fields=True):
    """Which book it is, and when it was begun."""

    id: UUID
    created_at: Zoned


class Readings(msgspec.Struct, forbid_unknown_fields=True):
    """Logger readings in columns of one length: time, °C, relative humidity from 0 to 1."""

    at: list[Zoned]
    temp_c: list[float]
    rh: list[float]


class PictureLine(msgspec.Struct, forbid_unknown_fields=True):
    """A photo's bytes in base64: the picture, and a thumbnail of it."""

    image: Annotated[bytes, msgspec.Meta(min_length=1, max_length=LARGEST_PICTURE_BYTES)]
    thumbnail: Annotated[bytes, msgspec.Meta(min_length=1, max_length=LARGEST_THUMBNAIL_BYTES)]


class EntryLine(msgspec.Struct, forbid_unknown_fields=True):
    """One entry with its envelope, in the order of the book."""

    id: UUID
    kind: str
    recorded_at: Zoned
    who: str
    record: msgspec.Raw
    station: str = ""
    replaces: UUID | None = None
    reason: str = ""
    slot: str | None = None
    readings: Readings | None = None
    pictures: PictureLine | None = None


class Document(msgspec.Struct, forbid_unknown_fields=True):
    """A whole book. `head` is the hash of its last entry and vouches for all of it."""

    format: Literal["shellcoat book"]
    version: int
    book: Identity
    entries: list[EntryLine]
    head: str | None = None


def read(data: bytes) -> Document:
    """Read a document, or say where it is wrong."""
    with _placed("document"):
        frame = msgspec.json.decode(data, type=Frame)
        if frame.format != FORMAT:
            raise BadDocumentError("document", f'this is no book: "format" is not "{FORMAT}".')
        if frame.version != VERSION:
            raise BadDocumentError(
                "document",
                f"it has the version {frame.version}, this program reads version {VERSION}. "
                "Read it with the program that wrote it or a newer one.",
            )
        return msgspec.json.decode(data, type=Document)


def line_of(number: int, told: EntryLine) -> journal.Line:
    """Turn the entry at a place of the document, counted from 1, into a line of a book."""
    with placed(number, told.kind):
        record = _record(told)
        entry = Entry(
            id=told.id,
            recorded_at=told.recorded_at,
            who=told.who,
            record=record,
            station=told.station,
            replaces=told.replaces,
            reason=told.reason,
        )
        body = canonical(msgspec.json.decode(told.record)).decode()
        line = journal.Line(
            entry, told.slot, _columns(told.readings), body, _pictures(told.pictures)
        )
        line.check()
    return line


def write(
    book: Identity,
    head: str,
    lines: Sequence[journal.Line],
    pictures_of: Callable[[Photo], Pictures],
) -> Iterator[str]:
    """Write a document piece by piece, one field a line, readings in short rows.

    Each photo's pictures are asked for when it is their turn.
    """
    frame = {"format": FORMAT, "version": VERSION, "book": book, "head": head}
    yield _indented(frame, 0).removesuffix("\n}") + ',\n  "entries": ['
    for number, line in enumerate(lines):
        yield ("," if number else "") + "\n    "
        photo = line.new_photo
        yield from _written(line, pictures_of(photo) if photo is not None else None)
    yield ("\n  ]" if lines else "]") + "\n}\n"


def _written(line: journal.Line, pictures: Pictures | None) -> Iterator[str]:
    entry = line.entry
    told: dict[str, object] = {
        "id": entry.id,
        "kind": entry.kind,
        "recorded_at": entry.recorded_at,
        "who": entry.who,
        "station": entry.station,
        "replaces": entry.replaces,
        "reason": entry.reason,
        "slot": line.slot,
        "record": msgspec.Raw(line.body or encode(entry.record)),
    }
    if pictures is not None:
        told["pictures"] = PictureLine(pictures.image, pictures.thumbnail)
    text = _indented(told, 4)
    if line.readings is None:
        yield text
        return
    yield text.removesuffix("\n    }") + ',\n      "readings": {\n'
    yield ",\n".join(_rows_of_columns(line.readings))
    yield "\n      }\n    }"


def _indented(value: object, depth: int) -> str:
    text = msgspec.json.format(_encoder.encode(value), indent=2).decode()
    return text.replace("\n", "\n" + " " * depth)  # a line end inside a text is written \n


def _rows_of_columns(readings: ReadingColumns) -> Iterator[str]:
    moments = np.datetime_as_string(readings.at_ms.astype("datetime64[ms]"), timezone="UTC")
    columns = {"at": moments.tolist(), "temp_c": readings.temp_c.tolist()}
    for name, column in (columns | {"rh": readings.rh.tolist()}).items():
        cells = _encoder.encode(column).decode()[1:-1].split(",")
        per_row = 3 if name == "at" else 12
        rows = [", ".join(cells[i : i + per_row]) for i in range(0, len(cells), per_row)]
        inner = ",\n          ".join(rows)
        yield f'        "{name}": [\n          {inner}\n        ]'


def _columns(told: Readings | None) -> ReadingColumns | None:
    if told is None:
        return None
    at_ms = [to_milliseconds(moment) for moment in told.at]
    return ReadingColumns.of(at_ms, told.temp_c, told.rh)


def _pictures(told: PictureLine | None) -> Pictures | None:
    return None if told is None else Pictures(told.image, told.thumbnail)


def _record(told: EntryLine) -> Record:
    raw = bytes(told.record)
    record = decode(told.kind, raw)
    for field in _unknown_fields(msgspec.json.decode(raw), msgspec.to_builtins(record)):
        raise BadDocumentError(f"record{field}", "this field is not known here. Take it out.")
    return record


def _unknown_fields(told: Any, known: Any, path: str = "") -> Iterator[str]:
    if isinstance(told, dict):
        for name, value in told.items():
            if name in known:
                yield from _unknown_fields(value, known[name], f"{path}.{name}")
            else:
                yield f"{path}.{name}"
    elif isinstance(told, list):
        for number, (value, other) in enumerate(zip(told, known, strict=True)):
            yield from _unknown_fields(value, other, f"{path}[{number}]")


@contextmanager
def placed(number: int, kind: str) -> Iterator[None]:
    """Let errors inside say which entry they are about."""
    with _placed(f"entry {number} ({kind})"):
        yield


@contextmanager
def _placed(place: str) -> Iterator[None]:
    try:
        yield
    except msgspec.ValidationError as cause:
        raise BadDocumentError(*_place_of(place, str(cause))) from cause
    except (msgspec.DecodeError, UnicodeDecodeError) as cause:
        raise BadDocumentError(place, f"this is not whole JSON text ({cause}).") from cause
    except RecursionError as cause:
        raise BadDocumentError(place, "it is nested far too deep.") from cause
    except BadDocumentError as cause:
        if place == "document":
            raise
        raise BadDocumentError(f"{place}, {cause.place}", cause.what) from cause
    except (MendableError, OverflowError) as cause:
        raise BadDocumentError(place, str(cause)) from cause


def _place_of(place: str, message: str) -> tuple[str, str]:
    found = _PATH.fullmatch(message)
    if found is None:
        return place, f"{message}."
    path = found["path"]
    entry = _ENTRY_IN_PATH.match(path)
    if entry is not None:
        place, path = f"entry {int(entry[1]) + 1}", path[entry.end() :]
    elif place != "document":
        path = f"record{path}"
    path = path.removeprefix(".")
    return (f"{place}, {path}" if path else place), f"{found['what']}."
