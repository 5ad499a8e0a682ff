"""A screen that exists only in memory, with a hand on its keyboard and mouse.

The picture is read from the file that Xvfb keeps its frame buffer in, so no other program is
needed to look at it. Its layout is that of an X window dump (X11/XWDFile.h).
"""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from threading import Event
from time import monotonic
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

SIZE = (1366, 768)
PATIENCE_S = 30.0
LOOK_EVERY_S = 0.05

Seen = TypeVar("Seen")


class Box(NamedTuple):
    """A rectangle on the screen [px], right and bottom outside of it."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def height(self) -> int:
        """How tall it is [px]."""
        return self.bottom - self.top

    @property
    def middle(self) -> tuple[int, int]:
        """Where one would click it."""
        return (self.left + self.right) // 2, (self.top + self.bottom) // 2


def missing_programs() -> list[str]:
    """What is needed and not there; a window manager is good to have."""
    return [name for name in ("Xvfb", "xdotool") if shutil.which(name) is None]


def wait_for(look: Callable[[], Seen | None], what: str) -> Seen:
    """Look again and again until there is something to see."""
    until = monotonic() + PATIENCE_S
    while monotonic() < until:
        seen = look()
        if seen:
            return seen
        Event().wait(LOOK_EVERY_S)
    raise TimeoutError(f"{what}: not seen within {PATIENCE_S:g} s")


class VirtualScreen:
    """One running virtual screen."""

    def __init__(self, display: str, picture: Path) -> None:
        self.display = display
        self._picture = picture

    def environment(self) -> dict[str, str]:
        """What a program needs to find this screen."""
        return {"DISPLAY": self.display, "PATH": os.environ["PATH"]}

    def hand(self, *words: object) -> str:
        """Let xdotool do something."""
        done = subprocess.run(
            ["xdotool", *map(str, words)],
            env=self.environment(),
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=True,
        )
        return done.stdout.strip()

    def press(self, keys: str) -> None:
        """Press keys, such as "ctrl+Return"."""
        self.hand("key", "--clearmodifiers", keys)

    def click(self, place: tuple[int, int]) -> None:
        """Go there with the mouse and press its first button."""
        self.hand("mousemove", "--sync", *place)
        self.hand("click", 1)

    def window(self, title: str) -> str:
        """Wait for a window of that title, give it the keyboard, and tell its id."""
        found = self.hand("search", "--sync", "--onlyvisible", "--name", title).splitlines()[0]
        self.hand("windowfocus", found)
        wait_for(lambda: self.hand("getwindowfocus", "-f") == found, "the keyboard at the window")
        return found

    def pixels(self) -> NDArray[np.uint8]:
        """The screen as rows of red, green and blue."""
        raw = self._picture.read_bytes()
        header_bytes, *_ = struct.unpack_from(">I", raw)
        width, height = struct.unpack_from(">2I", raw, 16)
        bits, line_bytes = struct.unpack_from(">2I", raw, 44)
        (colours,) = struct.unpack_from(">I", raw, 76)
        if bits != 32:
            raise ValueError(f"a screen of {bits} bits a pixel cannot be read here")
        start = header_bytes + 12 * colours
        lines = np.frombuffer(raw, np.uint8, line_bytes * height, start).reshape(height, -1, 4)
        return lines[:, :width, 2::-1]

    def area(self, colour: str, *, right_of: int = 0, wide: int = 60) -> Box | None:
        """The tallest area in which every line has at least so many pixels of that colour."""
        wanted = np.frombuffer(bytes.fromhex(colour.removeprefix("#")), np.uint8)
        mask = (self.pixels() == wanted).all(axis=2)
        mask[:, :right_of] = False
        lines = np.flatnonzero(mask.sum(axis=1) >= wide)
        if not lines.size:
            return None
        runs = np.split(lines, np.flatnonzero(np.diff(lines) > 1) + 1)
        top, bottom = max(((run[0], run[-1]) for run in runs), key=lambda run: run[1] - run[0])
        across = np.flatnonzero(mask[top : bottom + 1].any(axis=0))
        return Box(int(across[0]), int(top), int(across[-1]) + 1, int(bottom) + 1)


@contextmanager
def virtual_screen(folder: Path) -> Iterator[VirtualScreen]:
    """Start a screen and, where there is one, a window manager; end both afterwards."""
    width, height = SIZE
    server = subprocess.Popen(
        [
            *("Xvfb", "-displayfd", "1", "-screen", "0", f"{width}x{height}x24"),
            *("-fbdir", str(folder), "-nolisten", "tcp"),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    with ExitStack() as stack:
        stack.callback(end, server)
        if server.stdout is None:
            raise RuntimeError("the screen's own words were not asked for")
        number = server.stdout.readline().strip()  # the whole line, before the pipe is let go
        server.stdout.close()
        if not number:
            raise RuntimeError("Xvfb did not start")
        screen = VirtualScreen(f":{number}", folder / "Xvfb_screen0")
        manager = shutil.which("openbox")
        if manager:
            kept = {"HOME": str(folder), **screen.environment()}
            stack.callback(end, quietly([manager], kept))
        yield screen


def quietly(command: list[str], environment: Mapping[str, str]) -> subprocess.Popen[bytes]:
    """Start a program whose words nobody wants."""
    return subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def end(process: subprocess.Popen[bytes] | subprocess.Popen[str]) -> None:
    """End a program that was started here."""
    process.terminate()
    try:
        process.wait(timeout=10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
