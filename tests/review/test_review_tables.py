"""The tables of the review: every figure beside its source, and in step with the other tables."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from shellcoat.forecast.strength_values import strength_values
from shellcoat.places import resources_dir
from shellcoat.review.values import (
    ReviewTableError,
    melting_ranges,
    melts_between,
    read_review_values,
)

MATERIALS = resources_dir() / "materials"


def figures(table: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every figure: a table that holds a value or a band."""
    if "value" in table or "likely" in table:
        yield table
        return
    for part in table.values():
        yield from figures(part)


def test_every_figure_has_a_source() -> None:
    text = (MATERIALS / "review.toml").read_text(encoding="utf-8")
    found = list(figures(tomllib.loads(text)))
    assert len(found) == 13
    kinds = ("published", "common practice", "from memory", "computed", "the program's own choice")
    for figure in found:
        assert figure["source"].startswith(kinds), figure


def test_a_figure_without_its_source_is_refused(tmp_path: Path) -> None:
    text = (MATERIALS / "review.toml").read_text(encoding="utf-8")
    cut = tmp_path / "review.toml"
    cut.write_text(text.replace("to_go = { value = 0.05, source", "to_go = { value = 0.05, from"))
    with pytest.raises(ReviewTableError, match="source is missing"):
        read_review_values(cut)


def test_every_row_of_alloys_names_its_source() -> None:
    lines = (MATERIALS / "alloys_and_waxes.csv").read_text(encoding="utf-8").splitlines()
    rows = [line for line in lines if not line.startswith("#")][1:]
    assert len(rows) == 10
    for row in rows:
        assert "published" in row or "from memory" in row


def test_alloys_begin_to_melt_before_they_are_molten() -> None:
    assert len(melting_ranges()) == 4
    assert all(row.solidus_c < row.liquidus_c for row in melting_ranges())


@pytest.mark.parametrize(
    ("metal", "between"),
    [("silicon bronze", (821, 971)), ("Tin bronze", (818, 1000)), ("aluminium", None)],
)
def test_the_widest_range_of_a_name_is_told(
    metal: str, between: tuple[float, float] | None
) -> None:
    """Data sheets of C87200, C87300, C90300 and C90900, as in the table."""
    assert melts_between(metal) == between


def test_densities_agree_with_the_table_of_metals() -> None:
    """The pressure of the metal and its mass come from the same densities."""
    text = (MATERIALS / "alloys_and_waxes.csv").read_text(encoding="utf-8")
    for metal in strength_values().metals:
        assert f",{metal.density_kg_m3:.0f}," in text, metal.name
