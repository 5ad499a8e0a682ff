"""What the window would show, written as files: for machines without a display."""

from __future__ import annotations

import csv
import json
import os
from collections.abc import Iterator
from datetime import datetime
from io import StringIO
from pathlib import Path

from matplotlib.figure import Figure
from PySide6.QtCore import Qt

from shellcoat.book import open_book
from shellcoat.desk.app import make_application
from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.plots.drying import draw_drying_curve
from shellcoat.desk.plots.history import draw_coat_history
from shellcoat.desk.section import SectionView, section_picture
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.coat_log import CoatLogModel, coat_lines
from shellcoat.desk.theme import Theme, apply_theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow, RackState, rack_rows
from shellcoat.operations.rack_report import rack_json, rack_table
from shellcoat.units import Quantity

WINDOW = (1366, 768)
SECTION = (1100, 620)
PLOT_INCHES = (9.0, 5.0)


def write_files(path: Path, folder: Path, now: datetime) -> Iterator[Path]:
    """Write the rack as text, data and picture, and one shell's section, plots and log."""
    folder.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = make_application()
    theme = apply_theme(app, "light")
    session = DeskSession(
        OpenShop(open_book(path, read_only=True), who="shellcoat"), now=lambda: now
    )
    session.forecast_now()
    opened = session.opened
    rows = rack_rows(opened, session.forecasts, now)
    yield _write(folder / "rack.txt", rack_table(opened, rows, now))
    data = json.dumps(rack_json(opened, rows, now), indent=2, ensure_ascii=False)
    yield _write(folder / "rack.json", data)
    if rows:
        yield from _shell_files(session, _telling(rows), theme, folder, now)
    window = MainWindow(session, theme, "light")
    window.resize(*WINDOW)
    window.show()
    app.processEvents()
    window.grab().save(str(folder / "rack.png"))
    yield folder / "rack.png"
    window.close()


def _write(path: Path, text: str) -> Path:
    path.write_text(text.rstrip() + "\n", encoding="utf-8")
    return path


def _telling(rows: list[RackRow]) -> RackRow:
    """The shell with most to show: drying, with the most coats on."""
    drying = [row for row in rows if row.state in (RackState.WET, RackState.LIKELY_DRY)]
    return max(drying or rows, key=lambda row: row.coats_on)


def _shell_files(
    session: DeskSession, row: RackRow, theme: Theme, folder: Path, now: datetime
) -> Iterator[Path]:
    opened, shell = session.opened, row.shell
    forecast = session.forecasts.get(shell.id) or opened.forecast_shell(shell, now)
    coats = opened.ledger.coats(shell.id)
    unit = opened.units.unit_for(Quantity.THICKNESS)
    view = SectionView(
        theme, lambda m: session.write(m, Quantity.THICKNESS), detail=True, length_unit=unit
    )
    view.show_picture(section_picture(shell, forecast, coats))
    view.resize(*SECTION)
    view.grab().save(str(folder / "shell_section.png"))
    yield folder / "shell_section.png"
    figure = _figure(theme)
    draw_coat_history(
        figure.subplots(),
        shell,
        forecast,
        zone=opened.zone,
        theme=theme,
        length_unit=unit,
        coats=coats,
    )
    yield _save(figure, folder / "shell_growth.png")
    curve = opened.curve(opened.forecast_input(now, [shell]))
    if curve is not None:
        figure = _figure(theme)
        draw_drying_curve(
            figure.subplots(),
            curve,
            likely_at=forecast.likely_at,
            safe_at=forecast.safe_at,
            now=now,
            zone=opened.zone,
            theme=theme,
        )
        yield _save(figure, folder / "shell_drying.png")
    model = CoatLogModel(session)
    model.set_lines(coat_lines(session, shell.id, forecast))
    yield _write(folder / "shell_coats.csv", _as_csv(model))


def _figure(theme: Theme) -> Figure:
    return Figure(figsize=PLOT_INCHES, layout="constrained", facecolor=theme.panel)


def _save(figure: Figure, path: Path) -> Path:
    figure.savefig(path, dpi=110)
    return path


def _as_csv(model: CoatLogModel) -> str:
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    columns = range(model.columnCount())
    writer.writerow([model.headerData(c, Qt.Orientation.Horizontal) for c in columns])
    for row in range(model.rowCount()):
        writer.writerow([model.index(row, c).data() for c in columns])
    return out.getvalue()
