"""A new shop: its book with the first entries in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import uuid4

from shellcoat.book import SUFFIX, create_book
from shellcoat.book.faults import BookExistsError, NotSavedError
from shellcoat.book.opening import refuse_network
from shellcoat.shop import AirMovement, DipSequence, Entry, Record, Room, Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class NewShop:
    """What a shop starts with; `units` is kept with the shop as it is."""

    path: Path
    shop_name: str
    who: str
    zone: str
    units: Mapping[str, str]
    room_name: str
    movement: AirMovement
    sequences: tuple[DipSequence, ...]

    def records(self) -> Iterable[Record]:
        """The first records of the book."""
        yield Shop(id=uuid4(), name=self.shop_name, zone=self.zone, units=dict(self.units))
        yield Room(id=uuid4(), name=self.room_name, movement=self.movement)
        yield from self.sequences


def create_shop(new: NewShop, now: datetime) -> Path:
    """Write the book of a new shop and tell where it is; a missing folder is made."""
    entries = [
        Entry(id=uuid4(), recorded_at=now, who=new.who, record=record) for record in new.records()
    ]
    path = book_path(new.path)
    check_place(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as cause:
        raise NotSavedError(path, str(cause)) from cause
    with create_book(path, entries, now=now) as book:
        return book.path


def book_path(path: Path) -> Path:
    """The path with a book's suffix, "~" written out."""
    path = path.expanduser()
    return path if path.suffix.lower() == SUFFIX else path.with_name(path.name + SUFFIX)


def check_place(path: Path) -> None:
    """Refuse a path where no new book can stand."""
    if path.exists():
        raise BookExistsError(path)
    refuse_network(path)
