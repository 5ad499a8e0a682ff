"""The care of a book: new, export and import, backup and restore, check."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli_shop import (
    FINE,
    MEND,
    NOW,
    USAGE,
    WORLD,
    Run,
    coats_of,
    entries_in,
)

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.units import UnitSystem

# New.


def test_a_new_book_is_a_shop_ready_for_its_first_wax(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "teal.shellbook"
    ran = run(
        "new", path, "--name", "Teal Lane", "--zone", "Asia/Kolkata", "--units", "us",
        "--room", "Loft",
    )  # fmt: skip
    assert ran.code == FINE, ran.err
    assert str(path) in ran.out
    with open_book(path, read_only=True) as book:
        shop = OpenShop(book, who="ana")
        assert (shop.shop.name, shop.zone.key) == ("Teal Lane", "Asia/Kolkata")
        assert shop.units.system is UnitSystem.US
        assert [room.name for room in book.ledger.rooms] == ["Loft"]
        assert book.ledger.sequences
        assert book.created_at == NOW
    assert run("check", path).code == FINE


def test_a_new_book_gets_its_suffix_and_folder(tmp_path: Path, run: Run) -> None:
    assert run("new", tmp_path / "books" / "teal", "--name", "Teal Lane").code == FINE
    assert (tmp_path / "books" / "teal.shellbook").is_file()


def test_a_new_book_overwrites_nothing(book: Path, run: Run) -> None:
    before = entries_in(book)
    ran = run("new", book, "--name", "Teal Lane")
    assert ran.code == MEND
    assert "exists already" in ran.err
    assert entries_in(book) == before


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        ((), USAGE, "--name"),
        (("--name", "Teal", "--units", "cubits"), USAGE, "metric"),
        (("--name", "Teal", "--zone", "Mars/Olympus"), MEND, "Mars/Olympus"),
        (("--name", "  "), MEND, "Shop name is empty"),
        (("--name", "Teal", "--room", ""), MEND, "Room name is empty"),
    ],
)
def test_a_new_book_that_cannot_be_leaves_no_file(
    tmp_path: Path, run: Run, arguments: tuple[str, ...], code: int, said: str
) -> None:
    ran = run("new", tmp_path / "teal.shellbook", *arguments)
    assert ran.code == code
    assert said in ran.err
    assert list(tmp_path.iterdir()) == []


# Export and import.


def test_a_book_goes_out_and_comes_back_the_same(book: Path, run: Run, tmp_path: Path) -> None:
    run("dip", book, "H-1", "--at", "09:00", "--note", "drained 40 s — gut")
    run("dip", book, "H-1")
    run("undo", book, "H-1")
    run("read", book, "21 C", "48 %")
    document, again = tmp_path / "out.json", tmp_path / "again.shellbook"
    assert run("export", book, document).code == FINE
    told = json.loads(document.read_text(encoding="utf-8"))
    assert len(told["entries"]) == entries_in(book)
    assert run("import", document, again).code == FINE
    assert coats_of(again, "H-1") == coats_of(book, "H-1")
    assert run("rack", again).out == run("rack", book).out
    assert check_book(again).head == check_book(book).head
    twice = tmp_path / "twice.json"
    run("export", again, twice)
    assert twice.read_bytes() == document.read_bytes()


def test_an_import_overwrites_no_book(book: Path, run: Run, tmp_path: Path) -> None:
    run("export", book, tmp_path / "out.json")
    ran = run("import", tmp_path / "out.json", book)
    assert ran.code == MEND
    assert "exists already" in ran.err


def test_an_altered_document_makes_no_book(book: Path, run: Run, tmp_path: Path) -> None:
    document, again = tmp_path / "out.json", tmp_path / "again.shellbook"
    run("dip", book, "H-1", "--tank", "P1")
    run("export", book, document)
    text = document.read_text(encoding="utf-8")
    assert '"P1"' in text
    document.write_text(text.replace('"P1"', '"P2"'), encoding="utf-8")
    ran = run("import", document, again)
    assert ran.code == MEND
    assert "changed" in ran.err
    assert not again.exists()


@pytest.mark.parametrize("content", ["", "{", "[]", '{"entries": 3}'])
def test_what_is_no_document_makes_no_book(run: Run, tmp_path: Path, content: str) -> None:
    path = tmp_path / "odd.json"
    path.write_text(content, encoding="utf-8")
    ran = run("import", path, tmp_path / "again.shellbook")
    assert ran.code == MEND
    assert ran.err.startswith("shellcoat: ")
    assert not (tmp_path / "again.shellbook").exists()


def test_an_export_into_no_folder_is_told(book: Path, run: Run, tmp_path: Path) -> None:
    ran = run("export", book, tmp_path / "nowhere" / "out.json")
    assert ran.code == WORLD
    assert "out.json" in ran.err


# Backup and restore.


def test_a_backup_is_a_whole_book_with_its_date(book: Path, run: Run) -> None:
    run("dip", book, "H-1")
    ran = run("backup", book)
    assert ran.code == FINE
    made = Path(ran.out.removeprefix("Backed up to ").strip().removesuffix("."))
    assert made.is_file()
    assert "2026-03-05 130000Z" in made.name
    assert made.parent.parent == book.parent
    assert check_book(made).head == check_book(book).head


def test_a_backup_goes_where_it_is_told(book: Path, run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "stick" / "copies"
    assert run("backup", book, "--folder", folder).code == FINE
    assert run("backup", book, "--folder", folder).code == FINE
    copies = list(folder.glob("*.shellbook"))
    assert len(copies) == 2, "a second copy of the same second overwrites none"


def test_a_restore_puts_the_copy_back_and_keeps_what_was_there(book: Path, run: Run) -> None:
    run("dip", book, "H-1", "--at", "09:00")
    made = run("backup", book).out.removeprefix("Backed up to ").strip().removesuffix(".")
    run("dip", book, "H-1")
    ran = run("restore", made, book)
    assert ran.code == FINE, ran.err
    assert len(coats_of(book, "H-1")) == 1
    aside = Path(ran.out.splitlines()[1].removeprefix("What was there before is kept as ")[:-1])
    assert len(coats_of(aside, "H-1")) == 2
    assert check_book(book).sound
    assert check_book(aside).sound


def test_a_book_that_is_gone_can_be_restored(book: Path, run: Run) -> None:
    made = run("backup", book).out.removeprefix("Backed up to ").strip().removesuffix(".")
    for path in book.parent.glob("heron yard.shellbook*"):
        path.unlink()
    ran = run("restore", made, book)
    assert ran.code == FINE
    assert len(ran.out.splitlines()) == 1
    assert entries_in(book) == entries_in(Path(made))


def test_a_book_in_use_is_not_put_aside(book: Path, run: Run) -> None:
    made = run("backup", book).out.removeprefix("Backed up to ").strip().removesuffix(".")
    with open_book(book) as opened:
        ran = run("restore", made, book)
        assert ran.code == WORLD
        assert "open in another window or program" in ran.err
        assert opened.ledger.shells


def test_what_is_no_backup_is_not_put_back(book: Path, run: Run, tmp_path: Path) -> None:
    odd = tmp_path / "odd.shellbook"
    odd.write_text("a shopping list", encoding="utf-8")
    before = book.read_bytes()
    assert run("restore", odd, book).code == MEND
    assert book.read_bytes() == before


# Check.


def test_a_sound_book_says_how_much_it_holds(book: Path, run: Run) -> None:
    run("dip", book, "H-1")
    ran = run("check", book)
    assert ran.code == FINE
    assert f"is sound: {entries_in(book):,} entries" in ran.out
    assert check_book(book).head in ran.out
