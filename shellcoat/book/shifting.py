"""Moving a story in time, so that an invented shop stands as if it were today."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import datetime, timedelta
from typing import Any, cast
from zoneinfo import ZoneInfo

from shellcoat.book.codec import from_milliseconds, to_milliseconds
from shellcoat.book.journal import Line
from shellcoat.book.readings import ReadingColumns
from shellcoat.errors import MendableError
from shellcoat.shop import Coat, Entry, Ledger, ReadingBatch, Record, Shop

Shift = Callable[[datetime], datetime]


@dataclass(frozen=True, slots=True)
class Move:
    """Where a story goes: how its times move, from which wall clock, and to which."""

    shift: Shift
    old_clock: ZoneInfo | None
    new_clock: ZoneInfo | None


def shifted(
    lines: Iterable[Line],
    shift: Shift | None,
    until: datetime | None,
    clock: ZoneInfo | None = None,
) -> list[Line]:
    """Move every time, and leave out what was recorded, or read, after `until`.

    `clock` is the wall clock the shop gets, its own where it is not given. What no longer fits
    without the part left out goes as well: corrections of it, and coats on a shell that is not
    there.
    """
    lines = list(lines)
    old = _zone_of(lines)
    move = Move(shift, old, clock or old) if shift else None
    ledger = Ledger()
    kept = []
    for line in lines:
        moved = _moved(line, move) if move else line
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


def _moved(line: Line, move: Move) -> Line:
    entry: Entry = _with_times_moved(line.entry, move.shift)
    record = _on_new_clock(line.entry.record, entry.record, move)
    entry = replace(entry, record=record) if record is not entry.record else entry
    if line.readings is None:
        return Line(entry, line.slot, pictures=line.pictures)
    told = line.readings
    at_ms = [to_milliseconds(move.shift(from_milliseconds(at))) for at in told.at_ms.tolist()]
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


def _on_new_clock(before: Record, moved: Record, move: Move) -> Record:
    """Read the new wall clock where the record was timed by the shop's old one."""
    if move.old_clock is None or move.new_clock is None:
        return moved
    if isinstance(moved, Shop):
        changes = move.new_clock != move.old_clock
        return replace(moved, zone=move.new_clock.key) if changes else moved
    if not isinstance(before, Coat) or not isinstance(moved, Coat):
        return moved
    if before.utc_offset_min != _offset_min(before.dipped_at, move.old_clock):
        return moved
    return replace(moved, utc_offset_min=_offset_min(moved.dipped_at, move.new_clock))


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
