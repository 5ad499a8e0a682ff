"""No table without a source, no row that no test reads."""

from __future__ import annotations

from pathlib import Path

import pytest
from reference_tables import DATA, rows, source_line

TABLES = sorted(path.name for path in DATA.glob("*.csv"))


@pytest.mark.parametrize("name", TABLES)
def test_table_names_its_source(name: str) -> None:
    line = source_line(name)
    assert line.startswith("# ")
    # "READ" in a named work, or "COMPUTED"/"recomputed" with a named tool.
    assert any(word in line.upper() for word in ("READ", "COMPUTED", "SOURCE", "STATUS"))
    assert rows(name)


@pytest.mark.parametrize("name", TABLES)
def test_table_is_read_by_a_test(name: str) -> None:
    tests = [
        path
        for folder in ("reference", "physics")
        for path in (Path(__file__).parents[1] / folder).glob("test_*.py")
        if path.name != Path(__file__).name
    ]
    assert any(name in path.read_text(encoding="utf-8") for path in tests)


def test_every_textbook_case_names_book_and_standing() -> None:
    for row in rows("textbook_cases.csv"):
        assert row["source"].strip(), row["id"]
        assert row["status"] in {"READ", "COMPUTED"}, row["id"]
