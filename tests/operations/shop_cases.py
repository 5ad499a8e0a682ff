"""A small invented shop for the tests of the operations: two rooms, short walls, set times."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4, uuid5

import numpy as np
from numpy.typing import ArrayLike

from shellcoat.book import ReadingColumns, create_book, open_book
from shellcoat.operations.dips import DipOrder, log_dip, order_from, propose_dip
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import (
    AirLimits,
    AirMovement,
    AirReading,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    DipSequence,
    Entry,
    Record,
    Room,
    Shell,
    Shop,
)

NAMESPACE = UUID("3d0c5f0a-5f9a-4b7e-8f0e-6a1d9c2b7e44")
NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
"""A Thursday; 14:00 on the shop's clock in Madrid."""

ZONE = "Europe/Madrid"
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


DIPPING, DRYING = an_id("dipping room"), an_id("drying room")

PRIME = CoatStep(
    kind=CoatKind.PRIME,
    slurry="zircon prime",
    stucco="zircon sand",
    thickness_m=Band(0.3e-3, 0.45e-3, 0.6e-3),
    water_kg_m2=Band(0.12, 0.15, 0.18),
    air=AirLimits(rh_low=0.50, rh_high=0.65, swing_k=1.7),
)
BACKUP = CoatStep(
    kind=CoatKind.BACKUP,
    slurry="fused silica backup",
    stucco="fused silica 16-30 mesh",
    thickness_m=Band(0.8e-3, 1.2e-3, 1.5e-3),
    water_kg_m2=Band(0.20, 0.25, 0.30),
)
SEAL = CoatStep(
    kind=CoatKind.SEAL,
    slurry="fused silica backup",
    thickness_m=Band(0.2e-3, 0.3e-3, 0.4e-3),
    water_kg_m2=Band(0.10, 0.12, 0.15),
)
SHORT_WALL = DipSequence(
    id=an_id("short wall"),
    name="Short wall",
    steps=(PRIME, BACKUP, SEAL),
    target_thickness_m=2e-3,
    final_hold_s=86_400.0,
)


def at(hours: float) -> datetime:
    """The time so many hours after Thursday 14:00 on the shop's clock."""
    return NOW + timedelta(hours=hours)


def an_entry(record: Record, recorded_at: datetime = NOW) -> Entry:
    """A record in its envelope."""
    return Entry(id=uuid4(), recorded_at=recorded_at, who="Ana", record=record)


def first_records(**choices: Any) -> list[Record]:
    """The shop, two rooms, the starters and one short wall."""
    shop: dict[str, Any] = {
        "id": an_id("shop"),
        "name": "Heron Yard",
        "zone": ZONE,
        "altitude_m": 650.0,
    }
    return [
        Shop(**(shop | choices)),
        Room(id=DIPPING, name="Dipping room", movement=AirMovement.STILL_ROOM),
        Room(id=DRYING, name="Drying room", movement=AirMovement.FAN_ON_SHELL),
        *starters(),
        SHORT_WALL,
    ]


def shop_book(path: Path, **choices: Any) -> Path:
    """A fresh book of the shop, closed again."""
    entries = [an_entry(record, at(-24 * 30)) for record in first_records(**choices)]
    create_book(path, entries, now=at(-24 * 30)).close()
    return path


@contextmanager
def at_the_book(path: Path, who: str = "Ana", station: str = "bench") -> Iterator[OpenShop]:
    """One more person at a book that others may have open."""
    with open_book(path) as book:
        yield OpenShop(book, who=who, station=station)


def a_wax(name: str = "heron", **changes: Any) -> Shell:
    """A wax assembly that is not on the rack yet."""
    plain: dict[str, Any] = {
        "id": an_id(("shell", name)),
        "name": f"Water bird, {name}",
        "label": f"W-{name}",
        "sequence": SHORT_WALL,
        "room_id": DIPPING,
        "started_at": at(-48),
    }
    return Shell(**(plain | changes))


def on_rack(opened: OpenShop, name: str = "heron", **changes: Any) -> Shell:
    """A wax put on the rack."""
    return start_shell(opened, a_wax(name, **changes), at(-48))


def an_order(opened: OpenShop, shell: Shell, when: datetime, **changes: Any) -> DipOrder:
    """The next dip of a shell as it is proposed, with some of it changed."""
    proposal = propose_dip(opened, shell, opened.forecast_shell(shell, when))
    order = order_from(proposal, when)
    if order is None:
        raise LookupError(f"{shell.name} has all its coats")
    return replace(order, **changes)


def dip(opened: OpenShop, shell: Shell, when: datetime, **changes: Any) -> Coat:
    """Log the next dip of a shell at the moment it happens."""
    return log_dip(opened, an_order(opened, shell, when, **changes), when)


def an_extra(shell: Shell, when: datetime) -> DipOrder:
    """A dip that somebody fills in by hand: one more backup coat."""
    return DipOrder(
        coat_id=uuid4(),
        shell_id=shell.id,
        step=BACKUP,
        dipped_at=when,
        room_id=DRYING,
        movement=AirMovement.FAN_ON_SHELL,
    )


def numbered(opened: OpenShop, shell: Shell) -> list[datetime]:
    """When each coat of a shell went on, by its number."""
    return [coat.dipped_at for coat in opened.ledger.coats(shell.id)]


def typed_reading(
    opened: OpenShop, when: datetime, temp_c: float, rh: float, room_id: UUID = DIPPING
) -> AirReading:
    """A reading that stands in the book, whatever the clock says."""
    reading = AirReading(id=uuid4(), room_id=room_id, read_at=when, temp_c=temp_c, rh=rh)
    opened.record(reading, when)
    return reading


def steady_air(
    opened: OpenShop, rh: float, *, temp_c: float = 22.0, room_id: UUID = DIPPING
) -> None:
    """A logger that shows the same air from two days before to two days after NOW."""
    times = [at(-48 + half / 2.0) for half in range(192)]
    log_column(opened, times, [temp_c] * 192, [rh] * 192, room_id)


def log_column(
    opened: OpenShop,
    times: list[datetime],
    temp_c: ArrayLike,
    rh: ArrayLike,
    room_id: UUID = DIPPING,
) -> None:
    """One batch of a logger's readings."""
    at_ms = np.array([round(moment.timestamp() * 1000) for moment in times])
    columns = ReadingColumns.of(at_ms, temp_c, rh)
    head = columns.head(
        batch_id=uuid4(), room_id=room_id, import_id=uuid4(), source_name="logger.csv"
    )
    opened.book.add_readings(an_entry(head), columns.at_ms, columns.temp_c, columns.rh)
