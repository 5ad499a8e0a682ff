"""Opens a demo shop; without a display it writes what the window would show as files."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

from shellcoat.cli.window import has_display, show_window
from shellcoat.operations.demo import demo_names, open_demo

FINE = 0
FILES_FOLDER = "demo_output"


def run_demo_command(options: argparse.Namespace) -> int:
    """Run the demo command."""
    if options.list:
        for name, title in demo_names().items():
            print(f"{name:16} {title}")
        return FINE
    now = datetime.now(UTC)
    if options.no_window or not has_display():
        if not options.no_window:
            print("There is no display here, so the demo is written as files instead.")
        return _write_files(options.name, options.out or Path(FILES_FOLDER), now)
    path = open_demo(options.name, now)
    print(f"The demo's working copy is {path}.")
    return show_window(path)


def _write_files(name: str, folder: Path, now: datetime) -> int:
    from shellcoat.desk.files import write_files

    path = open_demo(name, now, folder / "book")
    for written in write_files(path, folder, now):
        print(f"wrote {written}")
    print(f"Everything is in {folder.resolve()}.")
    return FINE
