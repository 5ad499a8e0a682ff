"""A small shop for the tests of the command line, and a way to run commands at it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid5

import shellcoat
from shellcoat.book import open_book
from shellcoat.operations.new_shop import NewShop, create_shop
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import AirMovement, Coat, Room, Shell

NAMESPACE = UUID("b6c6f1d2-0a5e-4f0e-9a6c-1f3c5d7e9b20")
NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
"""A Thursday; 14:00 on the shop's clock in Madrid."""

FINE, MEND, USAGE, WORLD, UNSOUND = 0, 1, 2, 3, 4


@dataclass(frozen=True)
class Ran:
    """What a command left behind."""

    code: int
    out: str
    err: str


Run = Callable[..., Ran]


def a_shell(label: str, name: str, room: Room, *, coats: int = 9) -> Shell:
    """A wax with one of the starter walls."""
    sequence = next(one for one in starters() if len(one.steps) == coats)
    return Shell(
        id=uuid5(NAMESPACE, label),
        name=name,
        label=label,
        sequence=sequence,
        room_id=room.id,
        started_at=NOW - timedelta(days=2),
        rack_place="A 2",
    )


def make_book(path: Path, *, zone: str = "Europe/Madrid", units: str = "metric") -> Path:
    """A shop with one room and two waxes on the rack."""
    new = NewShop(
        path=path,
        shop_name="Heron Yard",
        who="ana",
        zone=zone,
        units={"system": units},
        room_name="Dipping room",
        movement=AirMovement.FAN_IN_ROOM,
        sequences=starters(),
    )
    create_shop(new, NOW - timedelta(days=3))
    with open_book(path) as book:
        shop = OpenShop(book, who="ana")
        (room,) = shop.ledger.rooms
        for shell in (a_shell("H-1", "Standing heron", room), a_shell("B-1", "Ship's bell", room)):
            start_shell(shop, shell, NOW - timedelta(days=2))
    return path


def add_room(path: Path, name: str) -> None:
    """One more room."""
    with open_book(path) as book:
        room = Room(id=uuid5(NAMESPACE, name), name=name, movement=AirMovement.FAN_ON_SHELL)
        OpenShop(book, who="ana").record(room, NOW)


def coats_of(path: Path, label: str) -> tuple[Coat, ...]:
    """The coats of a shell as they stand in the file."""
    with open_book(path, read_only=True) as book:
        return book.ledger.coats(uuid5(NAMESPACE, label))


def entries_in(path: Path) -> int:
    """How many entries the file holds."""
    with open_book(path, read_only=True) as book:
        return len(book.ledger.entries)


def process(
    *arguments: str | Path, home: Path, input_bytes: bytes | None = None, **environment: str
) -> Ran:
    """Run `python -m shellcoat` as a person's shell would, at home nowhere but in `home`."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "shellcoat", *map(str, arguments)],
        env=process_environment(home, **environment),
        cwd=home,
        capture_output=True,
        input=input_bytes,
        timeout=60,
        check=False,
    )
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())


def process_environment(home: Path, **environment: str) -> dict[str, str]:
    """The variables of such a process; an empty one is left out."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT") if name in os.environ}
    plain = {
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_RUNTIME_DIR": str(home),
        "PYTHONPATH": str(Path(shellcoat.__file__).parents[1]),
        "PYTHONIOENCODING": "utf-8",
        "LOGNAME": "ana",
    }
    return {name: value for name, value in (kept | plain | environment).items() if value}
