"""A new shop: its first book."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from shop_cases import NOW

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.book.faults import BookExistsError, NotSavedError
from shellcoat.errors import MendableError
from shellcoat.operations.new_shop import NewShop, create_shop
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.shop import AirMovement
from shellcoat.shop.shop import UnknownZoneError
from shellcoat.units import UnitSystem


@pytest.fixture
def wish(tmp_path: Path) -> NewShop:
    return NewShop(
        path=tmp_path / "teal.shellbook",
        shop_name="Teal Lane",
        who="Ana",
        zone="America/St_Johns",
        units={"system": "us"},
        room_name="Loft",
        movement=AirMovement.FAN_IN_ROOM,
        sequences=starters(),
    )


def test_a_new_shop_is_as_it_was_wished_for(wish: NewShop) -> None:
    path = create_shop(wish, NOW)
    assert path == wish.path
    with open_book(path, read_only=True) as book:
        shop = OpenShop(book, who="Ana")
        assert (shop.shop.name, shop.zone.key) == ("Teal Lane", "America/St_Johns")
        assert shop.units.system is UnitSystem.US
        assert [(room.name, room.movement) for room in book.ledger.rooms] == [
            ("Loft", AirMovement.FAN_IN_ROOM)
        ]
        assert book.ledger.sequences == list(starters())
        assert book.ledger.shells == []
        assert {entry.who for entry in book.ledger.entries.values()} == {"Ana"}
    assert check_book(path).sound


@pytest.mark.parametrize("given", ["teal", "teal.shellbook", "TEAL.SHELLBOOK", "teal.v2"])
def test_a_book_ends_in_its_suffix(wish: NewShop, given: str) -> None:
    path = create_shop(replace(wish, path=wish.path.with_name(given)), NOW)
    assert path.suffix.lower() == ".shellbook"
    assert path.name.startswith(given)
    assert path.is_file()


def test_a_missing_folder_is_made(wish: NewShop) -> None:
    path = wish.path.parent / "documents" / "shop" / "teal.shellbook"
    assert create_shop(replace(wish, path=path), NOW).is_file()


def test_nothing_is_overwritten(wish: NewShop) -> None:
    wish.path.write_text("somebody's shopping list", encoding="utf-8")
    with pytest.raises(BookExistsError):
        create_shop(wish, NOW)
    assert wish.path.read_text(encoding="utf-8") == "somebody's shopping list"


def test_a_folder_that_cannot_be_made_is_told(wish: NewShop) -> None:
    (wish.path.parent / "file").write_text("no folder", encoding="utf-8")
    with pytest.raises((NotSavedError, MendableError)):
        create_shop(replace(wish, path=wish.path.parent / "file" / "teal"), NOW)


def test_a_zone_no_clock_knows_leaves_no_file(wish: NewShop) -> None:
    with pytest.raises(UnknownZoneError, match="Mars/Olympus"):
        create_shop(replace(wish, zone="Mars/Olympus"), NOW)
    assert list(wish.path.parent.iterdir()) == []


@pytest.mark.parametrize("field", ["shop_name", "room_name"])
def test_an_empty_name_leaves_no_file(wish: NewShop, field: str) -> None:
    empty: dict[str, Any] = {field: "  "}
    with pytest.raises(MendableError, match="is empty"):
        create_shop(replace(wish, **empty), NOW)
    assert list(wish.path.parent.iterdir()) == []
