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

from shellcoat.alerts.life import AlertKind
from shellcoat.alerts.putting_off import HOUR
from shellcoat.book import open_book
from shellcoat.desk.alerts.panel import AlertPanel
from shellcoat.desk.alerts.trial_dialog import TrialDialog
from shellcoat.desk.alerts.ways_dialog import AlertWaysDialog
from shellcoat.desk.app import make_application
from shellcoat.desk.main_window import PAGES, MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.station.ruler import MM_PER_INCH, Ruler, keep_measure
from shellcoat.desk.theme import Scheme, apply_theme
from shellcoat.operations.demo import open_demo
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackState, rack_rows
from shellcoat.operations.review import due_for_burnout
from shellcoat.shop import Shell

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
            end = f"_{scheme}_{size[0]}" if every else ""
            yield _grab_station(app, window, size, out / f"station{end}.png")
            yield from _grab_alerts(app, window, out, end)
        window.close()


def _window(app: QApplication, demo: str, folder: Path, scheme: Scheme) -> MainWindow:
    book = open_book(open_demo(demo, AFTERNOON, folder))
    session = DeskSession(OpenShop(book, who="R. Vale"), now=lambda: AFTERNOON)
    session.forecast_now()
    window = MainWindow(session, apply_theme(app, scheme), scheme)
    window.show()
    return window


def _grab(app: QApplication, window: MainWindow, name: str, path: Path) -> Path:
    telling = _reviewed(window) if name == "review" else _telling(window, drying=name == "shell")
    window.show_page(name).show_shell(telling)
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


def _grab_alerts(app: QApplication, window: MainWindow, out: Path, end: str) -> Iterator[Path]:
    """What is open, how the shop is called, and the walk through every way of telling."""
    alerts, session = window.alerts, window.session
    session.forecasts_changed.emit()  # tells what fell due while the shop was closed
    alerts.mark_seen(alerts.open_alerts(AlertKind.PROMPT)[:1])
    alerts.put_off(alerts.open_alerts(AlertKind.PROMPT)[1:2], AFTERNOON + HOUR)
    dialogs = {"alerts": AlertPanel, "alert_ways": AlertWaysDialog, "alert_test": TrialDialog}
    for name, kind in dialogs.items():
        dialog, path = kind(session, alerts, window), out / f"{name}{end}.png"
        dialog.show()
        _settle(app)
        dialog.grab().save(str(path))
        dialog.close()
        yield path
    for banner in (window.alert_banner, window.alarm_banner):
        banner.clear()


def _grab_station(app: QApplication, window: MainWindow, size: tuple[int, int], path: Path) -> Path:
    """The dipping station with the next shell taken up, as on a screen of 96 dots an inch."""
    keep_measure(window.screen(), Ruler(96 / MM_PER_INCH))
    window.open_station()
    station = window.station.window
    if station is not None:
        station.showNormal()  # a full screen keeps the size of a screen that is not there
        station.resize(*size)
        station.next_step()
        _settle(app)
        station.grab().save(str(path))
        station.work.back()
        station.close()
    return path


def _telling(window: MainWindow, *, drying: bool) -> UUID:
    """The first shell of the rack, or the drying one with the most coats."""
    session = window.session
    rows = rack_rows(session.opened, session.forecasts, session.now())
    wet = [row for row in rows if row.state in (RackState.WET, RackState.LIKELY_DRY)]
    chosen = max(wet, key=lambda row: row.coats_on) if drying and wet else rows[0]
    return chosen.shell.id


def _reviewed(window: MainWindow) -> UUID:
    """The shell due for burnout with most to look at: one with a core and checks."""
    opened = window.session.opened
    checks = opened.ledger.checks()

    def to_tell(shell: Shell) -> tuple[int, int]:
        return len(shell.cores), len(checks.get(shell.id, ()))

    return max(due_for_burnout(opened), key=to_tell).id


def _settle(app: QApplication) -> None:
    clock = QElapsedTimer()
    clock.start()
    while clock.elapsed() < SETTLE_MS:
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)


if __name__ == "__main__":
    main()
