"""Opens the window, where there is a display for it."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from shellcoat.errors import WorldError


class NoDisplayError(WorldError):
    """No screen to open a window on."""


def has_display() -> bool:
    """Whether a window can be opened here: always on Windows and macOS."""
    if sys.platform in ("win32", "darwin"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def run_window_command(options: argparse.Namespace) -> int:
    """Open the window on a book."""
    if not has_display():
        raise NoDisplayError(
            "There is no display here. Use the commands instead: shellcoat --help lists them."
        )
    return show_window(options.book, read_only=options.read_only)


def show_window(book: Path | None, *, read_only: bool = False) -> int:
    """Load the window and run it."""
    # Loaded before Qt: its import hook reads the source of every module that comes after it.
    import shellcoat.operations.open_shop
    import shellcoat.operations.rack  # noqa: F401
    from shellcoat.desk.app import run_window

    return run_window(book, read_only=read_only)
