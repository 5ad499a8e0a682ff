"""The dipping station on a virtual screen: two coats, one by the next key and one by a scanner."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
import test_window
from test_window import BELL, HERON, coats_in, window_on
from virtual_screen import VirtualScreen, missing_programs, wait_for

from shellcoat.book.check import check_book
from shellcoat.desk.theme import LIGHT

pytestmark = [
    pytest.mark.window,
    pytest.mark.skipif(
        not sys.platform.startswith("linux"), reason="the virtual screen is one of X11"
    ),
    pytest.mark.skipif(
        bool(missing_programs()), reason=f"not installed: {', '.join(missing_programs())}"
    ),
]

book, screen = test_window.book, test_window.screen
"""The same shop with two bare waxes, on a screen of its own."""


def next_button(screen: VirtualScreen) -> bool:
    """The large button of the next step can be pressed, at the foot of the screen."""
    area = screen.area(LIGHT.accent, wide=200)
    return area is not None and area.top > 600


def test_two_coats_at_the_station(book: Path, screen: VirtualScreen, tmp_path: Path) -> None:
    began = datetime.now(UTC)
    with window_on(book, screen, tmp_path / "home") as program:
        screen.window("Heron Yard")
        wait_for(lambda: screen.area(LIGHT.selection, wide=300), "the rack")
        screen.press("F11")
        wait_for(lambda: next_button(screen), "the station over the whole screen")
        screen.window("Dipping station")
        screen.press("Return")  # the outline of the card fits

        screen.press("Return")
        wait_for(lambda: next_button(screen), "the shell taken up")
        press_until_logged(screen, book)

        # A scanner types the other label, faster than fingers, and ends with Enter.
        wait_for(lambda: next_button(screen), "the next shell offered")
        screen.hand("type", "--delay", 2, "H-1\n")
        wait_for(lambda: next_button(screen), "the scanned shell taken up")
        wait_for(lambda: (screen.press("Return"), coats_in(book, HERON))[1], "the heron's coat")

        screen.press("Escape")
        wait_for(lambda: screen.area(LIGHT.selection, wide=300), "the rack again")
        screen.window("Heron Yard")
        screen.press("ctrl+q")
        assert program.wait(timeout=30) == 0

    said = (tmp_path / "home" / "said.txt").read_text(encoding="utf-8")
    assert "Traceback" not in said, said
    assert check_book(book).problems == []
    (bell,), (heron,) = coats_in(book, BELL), coats_in(book, HERON)
    assert began < bell.dipped_at < heron.dipped_at


def press_until_logged(screen: VirtualScreen, book: Path) -> None:
    """Go on pressing, as somebody does who is not sure; one coat comes of it."""
    wait_for(lambda: (screen.press("Return"), coats_in(book, BELL))[1], "the bell's coat")
    screen.press("Return")
    assert len(coats_in(book, BELL)) == 1
