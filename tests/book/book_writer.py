"""Another program at the same book: logs readings one by one and says each id once it is kept."""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4

from shellcoat.book import open_book
from shellcoat.shop import AirReading, Entry

START = datetime(2026, 3, 2, tzinfo=UTC)


def main(path: str, room_id: str, who: str, count: str) -> None:
    """Write `count` entries and say so one by one."""
    with open_book(Path(path)) as book:
        for number in range(int(count)):
            moment = START + timedelta(minutes=number)
            record = AirReading(
                id=uuid4(), room_id=UUID(room_id), read_at=moment, temp_c=20.0, rh=0.5
            )
            entry = Entry(id=uuid4(), recorded_at=moment, who=who, record=record)
            book.append([entry], slots={entry.id: f"reading:{who}:{number}"})
            print(entry.id, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
