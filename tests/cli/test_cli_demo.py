"""`demo`: the shops that come with the program, listed, and written as files."""

from __future__ import annotations

import csv
import json
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from cli_shop import FINE, MEND, Ran, Run, process
from PIL import Image

from shellcoat.book import open_book
from shellcoat.book.check import check_book

WRITTEN = {
    "rack.txt",
    "rack.json",
    "rack.png",
    "shell_section.png",
    "shell_growth.png",
    "shell_drying.png",
    "shell_coats.csv",
}


def colours(path: Path) -> int:
    """How many colours a picture has, up to a few hundred."""
    with Image.open(path) as picture:
        small = picture.convert("RGB").resize((200, 120))
        return len(small.getcolors(maxcolors=200 * 120) or [])


@pytest.fixture(scope="module")
def foundry(tmp_path_factory: pytest.TempPathFactory) -> tuple[Ran, Path]:
    """The art foundry written as files by one process, offscreen."""
    home = tmp_path_factory.mktemp("home")
    out = home / "out"
    ran = process(
        "demo", "--no-window", "--out", out, home=home, QT_QPA_PLATFORM="offscreen", TZ="UTC"
    )
    return ran, out


def test_the_list_names_each_demo_with_its_title(run: Run) -> None:
    ran = run("demo", "--list")
    assert ran.code == FINE
    names = [line.split()[0] for line in ran.out.splitlines()]
    assert names == ["garage-studio", "art-foundry"]
    assert "forty shells" in ran.out


def test_everything_is_written_and_named(foundry: tuple[Ran, Path]) -> None:
    ran, out = foundry
    assert ran.code == FINE, ran.err
    assert {path.name for path in out.iterdir() if path.is_file()} == WRITTEN
    for name in WRITTEN:
        assert str(out / name) in ran.out
    assert "Traceback" not in ran.err


def test_the_pictures_show_something(foundry: tuple[Ran, Path]) -> None:
    _, out = foundry
    for path in out.glob("*.png"):
        assert colours(path) > 20, path.name
    with Image.open(out / "rack.png") as picture:
        assert picture.size == (1366, 768)


def test_table_data_and_book_tell_the_same(foundry: tuple[Ran, Path]) -> None:
    _, out = foundry
    data = json.loads((out / "rack.json").read_text(encoding="utf-8"))
    rows = (out / "rack.txt").read_text(encoding="utf-8").split("\n\n")[0].splitlines()[2:]
    assert [row.split("  ")[0] for row in rows] == [shell["state"] for shell in data["shells"]]
    (path,) = (out / "book").rglob("*.shellbook")
    assert check_book(path).problems == []
    made_at = datetime.fromisoformat(data["made_at"])
    with open_book(path, read_only=True) as book:
        on = {str(shell.id): len(book.ledger.coats(shell.id)) for shell in book.ledger.shells}
        assert all(entry.recorded_at <= made_at for entry in book.ledger.entries.values())
        assert book.ledger.shop is not None
        assert book.ledger.shop.zone == "UTC"
    assert {shell["id"]: shell["coats_on"] for shell in data["shells"]}.items() <= on.items()


def test_the_coats_table_is_a_csv_of_the_shell_with_most_to_show(
    foundry: tuple[Ran, Path],
) -> None:
    _, out = foundry
    data = json.loads((out / "rack.json").read_text(encoding="utf-8"))
    with (out / "shell_coats.csv").open(encoding="utf-8", newline="") as file:
        head, *rows = list(csv.reader(file))
    assert len(set(head)) == len(head) > 4
    assert all(len(row) == len(head) for row in rows)
    drying = [shell for shell in data["shells"] if shell["state"] in ("wet", "likely dry")]
    assert len(rows) == max(shell["coats_on"] for shell in drying or data["shells"])


def test_without_a_display_it_is_written_as_files_all_the_same(tmp_path: Path) -> None:
    if sys.platform in ("win32", "darwin"):
        pytest.skip("there is always a display there")
    ran = process("demo", "garage-studio", home=tmp_path, TZ="America/St_Johns")
    assert ran.code == FINE, ran.err
    assert ran.out.startswith("There is no display here")
    out = tmp_path / "demo_output"
    assert {path.name for path in out.iterdir() if path.is_file()} == WRITTEN
    data = json.loads((out / "rack.json").read_text(encoding="utf-8"))
    assert len(data["shells"]) >= 2
    assert datetime.fromisoformat(data["made_at"]).tzinfo == UTC


def test_an_unknown_demo_names_those_there_are(run: Run, tmp_path: Path) -> None:
    ran = run("demo", "cathedral", "--no-window", "--out", tmp_path / "out")
    assert ran.code == MEND
    assert "garage-studio, art-foundry" in ran.err
    assert not (tmp_path / "out").exists()
