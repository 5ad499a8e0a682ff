"""Reads the published tables beside these tests; the first line of each names its source."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """Every row of a table as text, keyed by column."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def source_line(name: str) -> str:
    """The first line, which says where the table comes from."""
    return (DATA / name).read_text(encoding="utf-8").splitlines()[0]


def columns(name: str, *wanted: str) -> list[tuple[float, ...]]:
    """The wanted columns of every row as numbers."""
    return [tuple(float(row[column]) for column in wanted) for row in rows(name)]
