"""The real window on a virtual screen: two coats logged, one by keyboard and one by mouse."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid5

import pytest
from virtual_screen import Box, VirtualScreen, end, missing_programs, virtual_screen, wait_for

import shellcoat
from shellcoat.book import Book, open_book
from shellcoat.book.check import check_book
from shellcoat.desk.theme import LIGHT
from shellcoat.operations.new_shop import NewShop, create_shop
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.operations.shells import start_shell
from shellcoat.shop import AirMovement, Coat, Shell

RAIL_PX = 110
"""Left of this are the page buttons, whose frames have the accent's colour too."""

LARGE_PX = 55
"""Only the button that logs a coat is taller than this."""

BELL, HERON = (uuid5(UUID("7f1b3f2c-1f0d-4f6e-8f4e-7c6b5a493827"), name) for name in "BH")

pytestmark = [
    pytest.mark.window,
    pytest.mark.skipif(
        not sys.platform.startswith("linux"), reason="the virtual screen is one of X11"
    ),
    pytest.mark.skipif(
        bool(missing_programs()), reason=f"not installed: {', '.join(missing_programs())}"
    ),
]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A shop with two bare waxes on the rack, the bell above the heron."""
    now = datetime.now(UTC)
    path = create_shop(
        NewShop(
            path=tmp_path / "yard.shellbook",
            shop_name="Heron Yard",
            who="ana",
            zone="Europe/Madrid",
            units={"system": "metric"},
            room_name="Dipping room",
            movement=AirMovement.FAN_IN_ROOM,
            sequences=starters(),
        ),
        now - timedelta(days=1),
    )
    with open_book(path) as opened:
        shop = OpenShop(opened, who="ana")
        for shell_id, label, name in ((BELL, "B-1", "Bell"), (HERON, "H-1", "Heron")):
            wax = Shell(
                id=shell_id,
                name=name,
                label=label,
                sequence=starters()[0],
                room_id=shop.ledger.rooms[0].id,
                started_at=now - timedelta(hours=20),
            )
            start_shell(shop, wax, now - timedelta(hours=20))
    return path


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[VirtualScreen]:
    """A screen of its own."""
    folder = tmp_path / "screen"
    folder.mkdir()
    with virtual_screen(folder) as running:
        yield running


@contextmanager
def window_on(book: Path, screen: VirtualScreen, home: Path) -> Iterator[subprocess.Popen[str]]:
    """The program as a person starts it, with settings and data of its own."""
    log = home / "said.txt"
    environment = {
        **screen.environment(),
        "HOME": str(home),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_RUNTIME_DIR": str(home),
        "LOGNAME": "ana",
        "LANG": "C.UTF-8",
        "QT_QPA_PLATFORM": "xcb",
        "PYTHONPATH": str(Path(shellcoat.__file__).parents[1]),
    }
    home.mkdir(mode=0o700)
    with log.open("w", encoding="utf-8") as said:
        program = subprocess.Popen(
            [sys.executable, "-m", "shellcoat", "window", str(book)],
            env=environment,
            stdout=said,
            stderr=subprocess.STDOUT,
            text=True,
        )
        try:
            yield program
        finally:
            if program.poll() is None:
                end(program)


def coats_in(book: Path, shell_id: UUID) -> tuple[Coat, ...]:
    with open_book(book, read_only=True) as opened:
        return opened.ledger.coats(shell_id)


def large_button(screen: VirtualScreen) -> Box | None:
    """The button that logs a coat, while it can be pressed."""
    area = screen.area(LIGHT.accent, right_of=RAIL_PX)
    return area if area and area.height > LARGE_PX else None


def small_button(screen: VirtualScreen) -> Box | None:
    """The rack's "Dip this shell"."""
    area = screen.area(LIGHT.accent, right_of=RAIL_PX)
    return area if area and area.height <= LARGE_PX else None


def chosen_row(screen: VirtualScreen) -> Box | None:
    """The row of the rack that is chosen."""
    return screen.area(LIGHT.selection, right_of=RAIL_PX, wide=300)


def test_two_coats_by_keyboard_and_by_mouse(
    book: Path, screen: VirtualScreen, tmp_path: Path
) -> None:
    began = datetime.now(UTC)
    with window_on(book, screen, tmp_path / "home") as program:
        screen.window("Heron Yard")
        first_row = wait_for(lambda: chosen_row(screen), "the first row of the rack")

        # By keyboard: the chosen shell, its dip page, the dip.
        screen.press("Return")
        wait_for(lambda: large_button(screen), "the dip page")
        screen.press("ctrl+Return")
        wait_for(lambda: coats_in(book, BELL), "the bell's coat in the book")

        # By mouse: back on the rack the bell is wet now, and the heron stands above it.
        screen.press("ctrl+1")
        wait_for(lambda: small_button(screen), "the rack page")
        wait_for(
            lambda: (row := chosen_row(screen)) is not None and row.top >= first_row.bottom - 2,
            "the bell below the heron",
        )
        screen.click(first_row.middle)
        wait_for(
            lambda: (row := chosen_row(screen)) is not None and row.top < first_row.bottom - 2,
            "the heron chosen",
        )
        screen.click(wait_for(lambda: small_button(screen), "the button for a dip").middle)
        button = wait_for(lambda: large_button(screen), "the dip page again")
        screen.click(button.middle)
        wait_for(lambda: coats_in(book, HERON), "the heron's coat in the book")

        # The program ends as it should, by keyboard.
        screen.press("ctrl+q")
        assert program.wait(timeout=30) == 0
    ended = datetime.now(UTC)

    said = (tmp_path / "home" / "said.txt").read_text(encoding="utf-8")
    assert "Traceback" not in said, said
    assert check_book(book).problems == []
    with open_book(book, read_only=True) as opened:
        both_coats_are_there(opened, began, ended)


def both_coats_are_there(opened: Book, began: datetime, ended: datetime) -> None:
    """Exactly those two, by whom and when, and the bell's before the heron's."""
    ledger = opened.ledger
    entries = [entry for entry in ledger.entries.values() if isinstance(entry.record, Coat)]
    assert [entry.record for entry in entries] == [*ledger.coats(BELL), *ledger.coats(HERON)]
    assert len(entries) == 2
    assert all(entry.who == "ana" and entry.station for entry in entries)
    assert began < entries[0].recorded_at < entries[1].recorded_at < ended
    for entry in entries:
        coat = entry.record
        assert isinstance(coat, Coat)
        assert timedelta(0) <= entry.recorded_at - coat.dipped_at < timedelta(seconds=5)
        assert coat.step == starters()[0].steps[0]
        assert (
            timedelta(minutes=coat.utc_offset_min)
            == coat.dipped_at.astimezone(ledger.shop.clock if ledger.shop else UTC).utcoffset()
        )
