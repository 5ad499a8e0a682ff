"""The rack as plain text and as data, for people and scripts without a window."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from shellcoat.forecast.answers import ShellForecast
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow
from shellcoat.operations.wording import write_time, write_warnings
from shellcoat.units import Quantity, write_band

HEADINGS = ("State", "Label", "Shell", "Place", "Coat", "Likely dry", "Safe", "Wall", "Next coat")
WIDEST = 34


def rack_table(opened: OpenShop, rows: Sequence[RackRow], now: datetime) -> str:
    """The rack as a table of text, with the warnings beneath."""
    if not rows:
        return "The rack is empty."
    cells = [HEADINGS, *(_cells(opened, row, now) for row in rows)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(HEADINGS))]
    lines = [
        "  ".join(text.ljust(width) for text, width in zip(line, widths, strict=True)).rstrip()
        for line in cells
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join([*lines, *_looks(opened, rows)])


def _cells(opened: OpenShop, row: RackRow, now: datetime) -> tuple[str, ...]:
    shell, forecast = row.shell, row.forecast
    step = shell.next_step(row.coats_on)
    return (
        row.state.value,
        shell.label,
        _short(shell.name),
        _short(shell.rack_place),
        f"{row.coats_on} of {len(shell.sequence.steps)}",
        _time(opened, forecast.likely_at if forecast else None, now),
        _time(opened, forecast.safe_at if forecast else None, now),
        _wall(opened, forecast),
        _short(step.slurry if step else "all coats on"),
    )


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= WIDEST else plain[: WIDEST - 1] + "…"


def _time(opened: OpenShop, moment: datetime | None, now: datetime) -> str:
    return write_time(moment, opened.zone, now) if moment else "–"


def _wall(opened: OpenShop, forecast: ShellForecast | None) -> str:
    if forecast is None or not forecast.coats:
        return "–"
    band = forecast.thickness_m
    return write_band(band.low, band.high, Quantity.THICKNESS, opened.units)


def _looks(opened: OpenShop, rows: Sequence[RackRow]) -> list[str]:
    lines = [
        f"{row.shell.label} {_short(row.shell.name)}: {warning}"
        for row in rows
        if row.forecast
        for warning in write_warnings(row.forecast, opened.units)
    ]
    return ["", "Look:", *lines] if lines else []


def rack_json(opened: OpenShop, rows: Sequence[RackRow], now: datetime) -> dict[str, Any]:
    """The rack as plain data: UTC times in ISO form, lengths in metres, shares as fractions."""
    return {
        "shop": opened.shop.name,
        "made_at": now.isoformat(),
        "shells": [_plain(opened, row) for row in rows],
    }


def _plain(opened: OpenShop, row: RackRow) -> dict[str, Any]:
    shell, forecast = row.shell, row.forecast
    plain: dict[str, Any] = {
        "id": str(shell.id),
        "label": shell.label,
        "name": shell.name,
        "rack_place": shell.rack_place,
        "state": row.state.value,
        "coats_on": row.coats_on,
        "coats_planned": len(shell.sequence.steps),
    }
    if forecast is not None:
        plain |= {
            "likely_at": _iso(forecast.likely_at),
            "safe_at": _iso(forecast.safe_at),
            "due_at": _iso(forecast.due_at),
            "chance_dry": round(forecast.chance_dry, 4),
            "thickness_m": _band(forecast.thickness_m),
            "thickness_at_end_m": _band(forecast.thickness_at_end_m),
            "air": forecast.air_basis.value,
            "warnings": list(write_warnings(forecast, opened.units)),
        }
    return plain


def _iso(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment else None


def _band(band: Any) -> dict[str, float]:
    return {"low": band.low, "likely": band.likely, "high": band.high}
