"""From nothing to a painted rack, against a bare window with a table in it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import shellcoat
from shellcoat.operations.demo import open_demo
from tests.bench.machine import Figure, alternating, median, milliseconds, seconds_of

AIM = 2.5
ROUNDS = 5

PAINTED = """
from PySide6.QtCore import QEvent, QObject, QTimer

class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: os._exit(0))
            watched.removeEventFilter(self)
        return False

def end_when_painted():
    # Were it painted already, this paints it once more.
    table.viewport().installEventFilter(painted)
    table.viewport().update()

painted = Painted()
"""

OURS = f"""
import os, sys
from pathlib import Path
import shellcoat.cli.main, shellcoat.cli.window
import shellcoat.operations.open_shop, shellcoat.operations.rack  # before Qt, as the command does
from shellcoat.desk.app import Desk, make_application
{PAINTED}
app = make_application()
desk = Desk(app)
desk.open(Path(sys.argv[1]))
table = desk.window.show_page("rack").table
assert table.model().rowCount() > 20
session = desk.window.session
if sys.argv[2] == "first" or session.forecasts:
    end_when_painted()
else:
    session.forecasts_changed.connect(end_when_painted)
app.exec()
"""

BARE = f"""
import os, sys
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
{PAINTED}
app = QApplication([])
model = QStandardItemModel(40, 7)
for row in range(40):
    for column in range(7):
        model.setItem(row, column, QStandardItem(f"shell {{row}}, {{column}}"))
window, table = QMainWindow(), QTableView()
table.setModel(model)
window.setCentralWidget(table)
window.resize(1366, 768)
window.show()
end_when_painted()
app.exec()
"""


def environment(home: Path) -> dict[str, str]:
    """A person's first start on this machine: no settings, no data."""
    return {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(home),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_DATA_HOME": str(home / "data"),
        "PYTHONPATH": str(Path(shellcoat.__file__).parents[1]),
    }


def start(home: Path, code: str, *arguments: str, options: tuple[str, ...] = ()) -> str:
    """Run code until its window is painted; gives what it said on the side."""
    done = subprocess.run(
        [sys.executable, *options, "-c", code, *arguments],
        env=environment(home),
        cwd=home,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return done.stderr


def run(folder: Path) -> Iterator[Figure]:
    """Measure, after one start of each for the caches of the disk."""
    book = str(open_demo("art-foundry", datetime.now(UTC), folder))
    bare = partial(start, folder, BARE)
    for what, when in (("the rack", "first"), ("the rack with its times", "told")):
        ours = partial(start, folder, OURS, book, when)
        ours(), bare()
        times, anchors = alternating(partial(seconds_of, ours), partial(seconds_of, bare), ROUNDS)
        ratio = median(times) / median(anchors)
        yield Figure(
            f"{what} / bare Qt window",
            f"{ratio:.2f}",
            f"≤ {AIM}",
            ratio <= AIM,
            f"{milliseconds(median(times))} from the start of the process until the art foundry's "
            f"is painted, bare {milliseconds(median(anchors))}; median of {ROUNDS}, in turn",
        )
