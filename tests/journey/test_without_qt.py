"""The core knows no Qt: it is imported, and works, where PySide6 cannot be."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import shellcoat

BLOCKED = """
import importlib, pkgutil, sys

class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ("PySide6", "shiboken6"):
            raise ImportError(f"{name} is blocked here")

sys.meta_path.insert(0, NoQt())
"""

IMPORTS = """
rooms = ["units", "physics", "shop", "forecast", "book", "feeds", "operations", "alerts", "cli"]
names = []
for room in rooms:
    package = importlib.import_module(f"shellcoat.{room}")
    for found in pkgutil.walk_packages(package.__path__, f"shellcoat.{room}."):
        importlib.import_module(found.name)
        names.append(found.name)
print(len(names))
"""

USES = """
from shellcoat.cli.main import main
sys.exit(main(sys.argv[1:]))
"""

DESK = "import shellcoat.desk.main_window"


def without_qt(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run code in a process in which Qt cannot be imported."""
    root = str(Path(shellcoat.__file__).parents[1])
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", BLOCKED + code, *arguments],
        env={**os.environ, "PYTHONPATH": root},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_every_module_of_the_core_is_imported_without_qt() -> None:
    done = without_qt(IMPORTS)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 100


def test_the_block_is_one_that_holds() -> None:
    """The same block stops the desk; else the test above could not fail."""
    done = without_qt(DESK)
    assert done.returncode == 1
    assert "is blocked here" in done.stderr


def test_commands_work_without_qt(tmp_path: Path) -> None:
    book = str(tmp_path / "studio.shellbook")
    made = without_qt(USES, "new", book, "--name", "Reed Studio", "--zone", "UTC")
    assert made.returncode == 0, made.stderr
    read = without_qt(USES, "read", book, "21 C", "48 %")
    assert read.returncode == 0, read.stderr
    rack = without_qt(USES, "rack", book)
    assert (rack.returncode, rack.stdout.strip()) == (0, "The rack is empty."), rack.stderr
