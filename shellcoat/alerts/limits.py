"""The limits alerts go by, read from the table with their sources."""

from __future__ import annotations

import tomllib
from datetime import timedelta
from functools import cache

from shellcoat.errors import WorldError
from shellcoat.places import resources_dir


class AlertLimitsError(WorldError):
    """The table of the limits is missing a figure or its source."""


def latest_after_prime() -> timedelta:
    """How long after its dip a prime coat may wait for the next coat."""
    return timedelta(hours=_figure("prime", "latest_dip_h"))


def longest_put_off() -> timedelta:
    """For how long an alert can be put off."""
    return timedelta(days=_figure("put_off", "longest_days"))


def calendar_steady() -> timedelta:
    """By how much a due time has to move before its event in the calendar moves."""
    return timedelta(minutes=_figure("calendar", "steady_min"))


@cache
def _figure(section: str, key: str) -> float:
    path = resources_dir() / "materials" / "alerts.toml"
    try:
        row = tomllib.loads(path.read_text(encoding="utf-8"))[section][key]
        row["source"]
        return float(row["value"])
    except (KeyError, TypeError, ValueError) as cause:
        raise AlertLimitsError(
            f"{path.name}: [{section}] {key} needs a value and a source. Restore the file from "
            "the installation."
        ) from cause
