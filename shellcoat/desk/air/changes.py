"""What the page changes in the book beside typed readings: rooms, and taking air back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Room
from shellcoat.shop.entry import Withdrawal


class RoomNameTakenError(MendableError):
    """A name that another room has."""

    def __init__(self, name: str) -> None:
        super().__init__(f"Room name: {name} is another room's already. Give this one its own.")


class NoReasonError(MendableError):
    """Something to be taken back without a word why."""

    def __init__(self) -> None:
        super().__init__("Reason: it is empty. Say in a few words why; it stays in the book.")


def save_room(opened: OpenShop, room: Room, now: datetime) -> Room:
    """Keep a new or changed room; coats logged in it keep the air movement they were logged in."""
    for other in opened.ledger.rooms:
        if other.id != room.id and other.name.casefold() == room.name.casefold():
            raise RoomNameTakenError(room.name)
    if room.id in opened.ledger.live:
        opened.amend(room, now)
    else:
        opened.record(room, now)
    return room


def take_back(opened: OpenShop, record_ids: Sequence[UUID], now: datetime, reason: str) -> None:
    """Take records back, all of them or none; the book keeps them with who and why."""
    if not reason.strip():
        raise NoReasonError
    live = opened.ledger.live
    opened.book.append(
        [
            opened.entry(
                Withdrawal(id=record_id), now, replaces=live[record_id].id, reason=reason.strip()
            )
            for record_id in record_ids
            if record_id in live
        ]
    )
