"""Takes pictures of every page of a demo shop: `python -m demo_projects.take_pictures`.

The README's pictures come from here; give `--all` for every page in both themes at both usual
screen sizes, to look at after a change. Without a display the pages are painted off screen.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_LOGGING_RULES", "qt.multimedia.*=false")

from PySide6.QtCore import QElapsedTimer, QEventLoop, QSettings
from PySide6.QtWidgets import QApplication

from shellcoat.book import open_book
from shellcoat.desk.app import make_application
from shellcoat.desk.main_window import PAGES, MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import Scheme, apply_theme
from shellcoat.operations.demo import open_demo
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackState, rack_rows

AFTERNOON = datetime(2026, 11, 25, 15, 40, tzinfo=UTC)
"""A moment at which the demo shows shells in most states."""

README_PICTURES = Path(__file__).resolve().parent / "pictures"
TABS = (
    ("WB-08", "cores"),
    ("PB-05", "strength"),
    ("BL-04", "wall"),
    ("PB-02", "checks"),
)
"""Shells of the foundry and the tab of the Shell page on which they have something to tell."""

SIZES = ((1366, 768), (1920, 1080))
SETTLE_MS = 700


def main() -> None:
    """Take the pictures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--all", action="store_true", help="both themes, both sizes")
    parser.add_argument("--demo", default="art-foundry")
    parser.add_argument("--out", type=Path, default=README_PICTURES)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    with TemporaryDirectory() as folder:
        QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, folder)
        for path in take(options.demo, options.out, Path(folder), every=options.all):
            print(path)  # noqa: T201 - a command's answer


def take(demo: str, out: Path, folder: Path, *, every: bool) -> Iterator[Path]:
    """Grab each page, in both themes and sizes if `every` is wanted."""
    app = make_application()
    schemes: tuple[Scheme, ...] = ("light", "dark") if every else ("light",)
    for scheme in schemes:
        window = _window(app, demo, folder / scheme, scheme)
        for size in SIZES if every else SIZES[:1]:
            window.resize(*size)
            for name in PAGES:
                end = f"_{scheme}_{size[0]}" if every else ""
                yield _grab(app, window, name, out / f"{name}{end}.png")
            for label, tab in TABS:
                end = f"_{scheme}_{size[0]}" if every else ""
                yield _grab_tab(app, window, label, tab, out / f"{tab}{end}.png")
        window.close()


def _window(app: QApplication, demo: str, folder: Path, scheme: Scheme) -> MainWindow:
    book = open_book(open_demo(demo, AFTERNOON, folder))
    session = DeskSession(OpenShop(book, who="R. Vale"), now=lambda: AFTERNOON)
    session.forecast_now()
    window = MainWindow(session, apply_theme(app, scheme), scheme)
    window.show()
    return window


def _grab(app: QApplication, window: MainWindow, name: str, path: Path) -> Path:
    window.show_page(name).show_shell(_telling(window, drying=name == "shell"))
    _settle(app)
    while window.session.runner.busy:  # what was learned takes longer than a picture
        _settle(app)
    window.grab().save(str(path))
    return path


def _grab_tab(app: QApplication, window: MainWindow, label: str, tab: str, path: Path) -> Path:
    """The shell page with one of its tabs in front."""
    shells = window.session.opened.ledger.shells
    shell = next(one for one in shells if one.label == label)
    page = window.show_page("shell")
    page.show_shell(shell.id)
    if isinstance(page, ShellPage):
        page.plots.setCurrentWidget(getattr(page, tab))
    for _ in range(4):
        _settle(app)
    window.grab().save(str(path))
    if isinstance(page, ShellPage):
        page.plots.setCurrentIndex(0)
    return path


def _telling(window: MainWindow, *, drying: bool) -> UUID:
    """The first shell of the rack, or the drying one with the most coats."""
    session = window.session
    rows = rack_rows(session.opened, session.forecasts, session.now())
    wet = [row for row in rows if row.state in (RackState.WET, RackState.LIKELY_DRY)]
    chosen = max(wet, key=lambda row: row.coats_on) if drying and wet else rows[0]
    return chosen.shell.id


def _settle(app: QApplication) -> None:
    clock = QElapsedTimer()
    clock.start()
    while clock.elapsed() < SETTLE_MS:
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)


if __name__ == "__main__":
    main()
