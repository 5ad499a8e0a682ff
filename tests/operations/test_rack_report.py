"""The rack as text and as data: both tell the same, in the units each promises."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from shop_cases import (
    HOUR,
    NOW,
    PRIME,
    a_wax,
    at,
    at_the_book,
    dip,
    on_rack,
    shop_book,
    steady_air,
    typed_reading,
)

from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow, rack_rows
from shellcoat.operations.rack_report import rack_json, rack_table
from shellcoat.operations.shells import set_state, start_shell
from shellcoat.shop import Shell, ShellState

NO_BREAK_SPACE = "\u00a0"


def rows_of(opened: OpenShop, now: datetime = NOW) -> list[RackRow]:
    return rack_rows(opened, opened.forecasts(now), now, gone=True)


def columns_of(table: str) -> list[list[str]]:
    """Cut a table's lines where the rule beneath the headings says."""
    lines = table.splitlines()
    edges, start = [], 0
    for dashes in lines[1].split("  "):
        edges.append((start, start + len(dashes)))
        start += len(dashes) + 2
    return [[line[a:b].strip() for a, b in edges] for line in [lines[0], *lines[2:]] if line]


def test_an_empty_rack_says_so(opened: OpenShop) -> None:
    assert rack_table(opened, [], NOW) == "The rack is empty."
    assert rack_json(opened, [], NOW)["shells"] == []


def test_the_table_has_a_row_a_shell_under_its_headings(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.55)
    dip(opened, heron, at(-2))
    on_rack(opened, "teal", rack_place="A 3")
    head, *rows = columns_of(rack_table(opened, rows_of(opened), NOW))
    assert head[:3] == ["State", "Label", "Shell"]
    cells = {row[1]: dict(zip(head, row, strict=True)) for row in rows}
    assert cells["W-teal"]["Place"] == "A 3"
    assert cells["W-teal"]["Coat"] == "0 of 3"
    assert cells["W-teal"]["Safe"] == "–"
    assert cells["W-heron"]["Coat"] == "1 of 3"
    # One prime coat of 0.3 to 0.6 mm, with what all coats share of error.
    assert cells["W-heron"]["Wall"] == f"0.30–0.60{NO_BREAK_SPACE}mm"
    assert cells["W-heron"]["Next coat"] == "fused silica backup"


def test_a_name_of_two_hundred_letters_leaves_the_table_readable(opened: OpenShop) -> None:
    long = replace(a_wax(), name="bust of the bell\nringer " * 8)
    start_shell(opened, long, NOW)
    table = rack_table(opened, rows_of(opened), NOW)
    assert len(table.splitlines()) == 3
    assert max(map(len, table.splitlines())) < 200
    assert "bust of the bell ringer" in table
    assert "…" in table


def test_inches_for_a_shop_that_works_in_inches(tmp_path: Path) -> None:
    path = shop_book(tmp_path / "us.shellbook", units={"system": "us"})
    with at_the_book(path) as shop:
        heron = on_rack(shop)
        typed_reading(shop, at(-2), 22.0, 0.55)
        dip(shop, heron, at(-2))
        rows = rows_of(shop)
        table, data = rack_table(shop, rows, NOW), rack_json(shop, rows, NOW)
    assert f"{NO_BREAK_SPACE}in" in table
    assert f"{NO_BREAK_SPACE}mm" not in table
    # 0.3 mm is 0.0118 in; the data stay in metres whatever the shop reads.
    assert "0.012" in table
    assert data["shells"][0]["thickness_m"]["low"] == pytest.approx(0.3e-3, rel=1e-3)


def test_the_data_are_si_and_utc_and_can_be_written_as_json(opened: OpenShop, heron: Shell) -> None:
    steady_air(opened, 0.55)
    dip(opened, heron, at(-2))
    set_state(opened, on_rack(opened, "gone").id, ShellState.FINISHED, NOW)
    rows = rows_of(opened)
    data = json.loads(json.dumps(rack_json(opened, rows, NOW)))
    assert data["shop"] == "Heron Yard"
    assert datetime.fromisoformat(data["made_at"]) == NOW
    wet, gone = data["shells"]
    assert (wet["label"], wet["coats_on"], wet["coats_planned"]) == ("W-heron", 1, 3)
    assert wet["state"] in {"wet", "likely dry"}
    forecast = rows[0].forecast
    assert forecast is not None
    assert datetime.fromisoformat(wet["safe_at"]) == forecast.safe_at
    assert wet["safe_at"].endswith("+00:00")
    assert 0.0 <= wet["chance_dry"] <= 1.0
    low, likely, high = (wet["thickness_m"][name] for name in ("low", "likely", "high"))
    assert low <= likely <= high
    assert likely == pytest.approx(PRIME.thickness_m.likely)
    assert "safe_at" not in gone


def test_warnings_stand_beneath_with_the_shell_they_are_about(
    opened: OpenShop, heron: Shell
) -> None:
    dip(opened, heron, at(-0.5))
    dip(opened, heron, NOW)
    now = NOW + HOUR
    rows = rows_of(opened, now)
    table = rack_table(opened, rows, now)
    looks = table.split("\n\nLook:\n")[1].splitlines()
    assert all(line.startswith("W-heron Water bird, heron: ") for line in looks)
    assert any("Coat 2 went on before the wall was safely dry" in line for line in looks)
    assert any("has not been read yet" in line for line in looks)
    told = rack_json(opened, rows, now)["shells"][0]["warnings"]
    assert [line.removeprefix("W-heron Water bird, heron: ") for line in looks] == told
