"""Moving a story in time, so that an invented shop stands as if it were today."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields, is_dataclass, replace
from datetime import datetime, timedelta
from typing import Any, cast
from zoneinfo import ZoneInfo

from shellcoat.book.codec import from_milliseconds, to_milliseconds
from shellcoat.book.journal import Line
from shellcoat.book.readings import ReadingColumns
from shellcoat.errors import MendableError
from shellcoat.shop import Coat, Entry, Ledger, ReadingBatch, Shop

Shift = Callable[[datetime], datetime]


def shifted(lines: Iterable[Line], shift: Shift | None, until: datetime | None) -> list[Line]:
    """Move every time, and leave out what was recorded, or read, after `until`.

    What no longer fits without the part left out goes as well: corrections of it, and coats on
    a shell that is not there.
    """
    lines = list(lines)
    zone = _zone_of(lines)
    ledger = Ledger()
    kept = []
    for line in lines:
        moved = _moved(line, shift, zone) if shift else line
        left = _cut(moved, until) if until else moved
        if left is not None and _fits(left.entry, ledger):
            ledger.apply(left.entry)
            kept.append(left)
    return kept


def _fits(entry: Entry, ledger: Ledger) -> bool:
    try:
        ledger.check(entry)
    except MendableError:
        return False
    return True


def _zone_of(lines: Iterable[Line]) -> ZoneInfo | None:
    shops = [line.entry.record for line in lines if isinstance(line.entry.record, Shop)]
    return shops[-1].clock if shops else None


def _moved(line: Line, shift: Shift, zone: ZoneInfo | None) -> Line:
    entry: Entry = _with_times_moved(line.entry, shift)
    if isinstance(line.entry.record, Coat) and isinstance(entry.record, Coat):
        offset = _offset_moved(line.entry.record, entry.record.dipped_at, zone)
        entry = replace(entry, record=replace(entry.record, utc_offset_min=offset))
    if line.readings is None:
        return Line(entry, line.slot)
    told = line.readings
    at_ms = [to_milliseconds(shift(from_milliseconds(at))) for at in told.at_ms.tolist()]
    return _with_readings(Line(entry, line.slot), ReadingColumns.of(at_ms, told.temp_c, told.rh))


def _with_times_moved(value: Any, shift: Shift) -> Any:
    """Move every time inside a record, however deep."""
    if isinstance(value, datetime):
        return shift(value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    old = {field.name: getattr(value, field.name) for field in fields(value)}
    new = {name: _with_times_moved(part, shift) for name, part in old.items()}
    changed = {name: part for name, part in new.items() if part is not old[name]}
    return replace(value, **changed) if changed else value


def _offset_moved(coat: Coat, dipped_at: datetime, zone: ZoneInfo | None) -> int:
    """Read the shop's wall clock anew, where it is by that clock that the coat was timed."""
    if zone is None or coat.utc_offset_min != _offset_min(coat.dipped_at, zone):
        return coat.utc_offset_min
    return _offset_min(dipped_at, zone)


def _offset_min(moment: datetime, zone: ZoneInfo) -> int:
    return (moment.astimezone(zone).utcoffset() or timedelta()) // timedelta(minutes=1)


def _cut(line: Line, until: datetime) -> Line | None:
    """Leave out what lies after `until`; nothing may be left."""
    if line.entry.recorded_at > until:
        return None
    told = line.readings
    if told is None or told.at_ms[-1] <= to_milliseconds(until):
        return line
    early = told.at_ms <= to_milliseconds(until)
    if not early.any():
        return None
    left = ReadingColumns(told.at_ms[early], told.temp_c[early], told.rh[early])
    return _with_readings(line, left)


def _with_readings(line: Line, readings: ReadingColumns) -> Line:
    """Put other readings in a batch, and let its head vouch for them."""
    batch = cast("ReadingBatch", line.entry.record)
    head = readings.head(
        batch_id=batch.id,
        room_id=batch.room_id,
        import_id=batch.import_id,
        source_name=batch.source_name,
    )
    return Line(replace(line.entry, record=head), line.slot, readings)
