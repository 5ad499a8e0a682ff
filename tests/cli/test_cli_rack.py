"""`rack`: the same shells as a table and as data."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid5

import pytest
import time_machine
from cli_shop import FINE, NAMESPACE, NOW, Ran, Run, entries_in, make_book

from shellcoat.book import open_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import set_state
from shellcoat.shop import ShellState


def rows_of(ran: Ran) -> list[str]:
    """The lines of the table, one a shell."""
    return ran.out.split("\n\n")[0].splitlines()[2:]


def test_the_table_and_the_data_agree(book: Path, run: Run) -> None:
    run("dip", book, "H-1", "--at", "11:00")
    table, data = run("rack", book), run("rack", book, "--json")
    assert (table.code, data.code) == (FINE, FINE)
    shells = json.loads(data.out)["shells"]
    rows = rows_of(table)
    assert len(rows) == len(shells) == 2
    for row, shell in zip(rows, shells, strict=True):
        assert row.startswith(shell["state"])
        for words in (
            shell["label"],
            shell["name"],
            shell["rack_place"],
            f"{shell['coats_on']} of {shell['coats_planned']}",
        ):
            assert words in row


def test_times_are_the_shops_in_the_table_and_utc_in_the_data(book: Path, run: Run) -> None:
    run("dip", book, "standing")
    (shell,) = [
        one
        for one in json.loads(run("rack", book, "--json").out)["shells"]
        if one["label"] == "H-1"
    ]
    safe_at = datetime.fromisoformat(shell["safe_at"])
    assert safe_at.utcoffset() == timedelta(0)
    assert NOW < safe_at < NOW + timedelta(days=2)
    (row,) = [row for row in rows_of(run("rack", book)) if "H-1" in row]
    in_madrid = safe_at + timedelta(hours=1)
    assert f"{in_madrid:%H:%M}" in row


def test_looking_writes_nothing(book: Path, run: Run) -> None:
    before = entries_in(book)
    assert run("rack", book).code == FINE
    assert run("rack", book, "--json", "--all").code == FINE
    assert entries_in(book) == before


@pytest.mark.parametrize("state", [ShellState.FINISHED, ShellState.SCRAPPED])
def test_finished_and_scrapped_shells_show_when_asked_for(
    book: Path, run: Run, state: ShellState
) -> None:
    with open_book(book) as opened:
        set_state(OpenShop(opened, who="ana"), uuid5(NAMESPACE, "B-1"), state, NOW)
    assert "B-1" not in run("rack", book).out
    assert "B-1" in run("rack", book, "--all").out
    told = json.loads(run("rack", book, "--all", "--json").out)["shells"]
    assert {shell["label"]: shell["state"] for shell in told}["B-1"] == state.value


def test_the_most_pressing_shell_is_on_top(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    run("dip", book, "ship")
    assert "H-1" in rows_of(run("rack", book))[0]
    clock.move_to(NOW + timedelta(days=2))
    top = rows_of(run("rack", book))[0]
    assert "B-1" in top
    assert top.startswith("dry – dip due")


def test_an_empty_rack(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "new.shellbook"
    run("new", path, "--name", "Teal Lane")
    assert run("rack", path).out.strip() == "The rack is empty."
    assert json.loads(run("rack", path, "--json").out)["shells"] == []


def test_a_shop_in_inches(tmp_path: Path, run: Run) -> None:
    path = make_book(tmp_path / "us.shellbook", units="us")
    run("dip", path, "standing")
    (row,) = [row for row in rows_of(run("rack", path)) if "H-1" in row]
    assert "\u00a0in" in row
    assert "mm" not in row
