"""What the demo stories have in common: the shop's clock, its air, and who writes the book.

Run by developers only, through `make_demos.py`; the program itself reads the finished books.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path
from random import Random
from typing import NamedTuple
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from shellcoat.book.readings import ReadingColumns
from shellcoat.places import resources_dir
from shellcoat.shop import AirAtDip, AirReading, DipSequence, Entry, Record, Withdrawal
from shellcoat.shop.starters import sequence_from_toml

DEMOS = Path(__file__).resolve().parent
OFFICE_AIR = DEMOS / "air_logs" / "office_air_2015-02.csv"
CLOCK = ZoneInfo("Europe/Madrid")
STORY_ENDS = datetime(2015, 2, 10, 9, 30, tzinfo=CLOCK).astimezone(UTC)
KEEP_EVERY = 5  # the log has a reading a minute; every fifth keeps the books small

_NAMESPACE = UUID("0f5f6a0e-2a51-4c8c-8d0a-3b1f9a7c5d02")


class Reading(NamedTuple):
    """One look at the air: when, temperature [°C], humidity as a fraction."""

    at: datetime
    temp_c: float
    rh: float


def wall(day: int, hour: int, minute: int = 0) -> datetime:
    """Give a time of the story, February 2015 by the shop's clock, in UTC."""
    return datetime(2015, 2, day, hour, minute, tzinfo=CLOCK).astimezone(UTC)


def on_wall(moment: datetime) -> datetime:
    """Give a moment as the shop's clock shows it."""
    return moment.astimezone(CLOCK)


def office_air() -> list[Reading]:
    """Read the real air log, every fifth reading; its local times are taken as the shop's.

    The header names one column fewer than the rows have, so columns are taken by place.
    """
    with OFFICE_AIR.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    readings = (
        Reading(
            datetime.fromisoformat(row[1]).replace(tzinfo=CLOCK).astimezone(UTC),
            float(row[2]),
            round(float(row[3]) / 100.0, 6),
        )
        for row in rows[::KEEP_EVERY]
    )
    return [reading for reading in readings if reading.at < STORY_ENDS]


def starter(stem: str) -> DipSequence:
    """Read one starter sequence by its file stem."""
    path = resources_dir() / "sequences" / f"{stem}.toml"
    return sequence_from_toml(path.read_text(encoding="utf-8"), stem)


@dataclass(frozen=True, slots=True)
class RoomAir:
    """What had been read in one room, to be looked up at the moment of a dip."""

    typed: list[Reading]
    logged: list[Reading]

    def known_at(self, moment: datetime) -> AirAtDip | None:
        """Give the latest reading that stood on the page, None before the first.

        Typing takes a minute; the logger hands over each hour when it is full.
        """
        full_hour = moment.replace(minute=0, second=0, microsecond=0)
        known = [one for one in self.typed if one.at < moment - timedelta(minutes=1)]
        known += [one for one in self.logged if one.at < full_hour]
        latest = max(known, default=None)
        if latest is None:
            return None
        return AirAtDip(temp_c=latest.temp_c, rh=latest.rh, read_at=latest.at)


@dataclass(frozen=True, slots=True)
class Story:
    """A told story: its folder, the entries oldest first, and the readings of each batch."""

    name: str
    entries: tuple[Entry, ...]
    readings: Mapping[UUID, ReadingColumns]


@dataclass(slots=True)
class Scribe:
    """Writes a story's entries: the first about a record logs it, each further corrects it."""

    name: str
    chance: Random
    entries: list[Entry] = field(default_factory=list)
    latest: dict[UUID, Entry] = field(default_factory=dict)
    readings: dict[UUID, ReadingColumns] = field(default_factory=dict)

    def id(self, *key: object) -> UUID:
        """Give the id that belongs to a key in this story, the same in every run."""
        return uuid5(_NAMESPACE, "/".join(map(str, (self.name, *key))))

    def write(
        self, at: datetime, who: str, record: Record, *, reason: str = "", station: str = ""
    ) -> None:
        """Enter a record about a minute after the act it tells of."""
        before = self.latest.get(record.id)
        entry = Entry(
            id=self.id("entry", len(self.entries)),
            recorded_at=at + timedelta(seconds=self.chance.randint(40, 90)),
            who=who,
            record=record,
            station=station,
            replaces=before.id if before else None,
            reason=reason,
        )
        self.entries.append(entry)
        self.latest[record.id] = entry

    def withdraw(self, at: datetime, who: str, record_id: UUID, reason: str) -> None:
        """Take a record back."""
        self.write(at, who, Withdrawal(id=record_id), reason=reason)

    def type_readings(self, who: str, room_id: UUID, readings: Iterable[Reading]) -> None:
        """Enter readings typed by hand."""
        for reading in readings:
            self.write(reading.at, who, self.typed(room_id, reading))

    def typed(self, room_id: UUID, reading: Reading, note: str = "") -> AirReading:
        """Make the record of a reading typed by hand."""
        return AirReading(
            id=self.id("reading", room_id, reading.at.isoformat()),
            room_id=room_id,
            read_at=reading.at,
            temp_c=reading.temp_c,
            rh=reading.rh,
            note=note,
        )

    def take_log(self, room_id: UUID, readings: Iterable[Reading]) -> None:
        """Enter logger readings as they came in, one batch an hour, one import a day."""
        for hour, batch in groupby(readings, key=lambda reading: f"{on_wall(reading.at):%d-%H}"):
            rows = list(batch)
            columns = ReadingColumns.of_rows(
                [(round(row.at.timestamp() * 1000), row.temp_c, row.rh) for row in rows]
            )
            head = columns.head(
                batch_id=self.id("batch", room_id, hour),
                room_id=room_id,
                import_id=self.id("import", room_id, hour[:2]),
                source_name=OFFICE_AIR.name,
            )
            self.readings[head.id] = columns
            self.write(rows[-1].at, "Logger", head)

    def story(self) -> Story:
        """Close the story: what was recorded by its end, oldest first."""
        told = (entry for entry in self.entries if entry.recorded_at <= STORY_ENDS)
        ordered = tuple(sorted(told, key=lambda entry: entry.recorded_at))
        return Story(self.name, ordered, self.readings_of(ordered))

    def readings_of(self, entries: Iterable[Entry]) -> dict[UUID, ReadingColumns]:
        """Give the readings whose batch is among the entries."""
        ids = (entry.record.id for entry in entries)
        return {one: self.readings[one] for one in ids if one in self.readings}


def three_a_day(days: Iterable[int], typical: Reading, chance: Random) -> Iterator[Reading]:
    """Invent readings at about 8, 13 and 18 o'clock, scattered around a typical one."""
    for day in days:
        for hour in (8, 13, 18):
            yield Reading(
                wall(day, hour, chance.randint(0, 12)),
                round(typical.temp_c + chance.uniform(-0.5, 0.5), 1),
                round(typical.rh + chance.uniform(-0.03, 0.03), 2),
            )
