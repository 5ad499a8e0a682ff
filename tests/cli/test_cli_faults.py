"""Exit codes and messages for what is wrong outside: files that are missing, odd or damaged."""

from __future__ import annotations

import ctypes
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from cli_shop import (
    FINE,
    MEND,
    UNSOUND,
    USAGE,
    WORLD,
    Ran,
    Run,
    entries_in,
    process_environment,
)

from shellcoat.book import lock, tables

LOOKS = (("rack",), ("check",), ("learned",), ("wall", "H-1"), ("backup",))
WRITES = (("dip", "H-1"), ("undo", "H-1"), ("read", "21", "48"), ("check", "H-1", "dry"))


def at(book: Path, command: tuple[str, ...]) -> tuple[object, ...]:
    """A command with the book in its place."""
    name, *rest = command
    return (name, book, *rest)


def by_hand(path: Path, statement: str) -> None:
    """Do with a book's file what another program might do to it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(statement)


def garble(path: Path, page: int) -> None:
    """Turn over every bit of one page of 4096 bytes."""
    content = bytearray(path.read_bytes())
    for place in range((page - 1) * 4096, page * 4096):
        content[place] ^= 0xFF
    path.write_bytes(content)


@pytest.mark.parametrize("command", [*LOOKS, *WRITES], ids=lambda command: command[0])
def test_a_missing_book_is_named(tmp_path: Path, run: Run, command: tuple[str, ...]) -> None:
    path = tmp_path / "nothing.shellbook"
    ran = run(*at(path, command))
    assert (ran.code, ran.out) == (MEND, "")
    assert f"{path} does not exist" in ran.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", [*LOOKS, *WRITES], ids=lambda command: command[0])
def test_another_kind_of_file_is_left_as_it_is(
    tmp_path: Path, run: Run, command: tuple[str, ...]
) -> None:
    path = tmp_path / "list.shellbook"
    path.write_text("eggs, wax, flour\n" * 99, encoding="utf-8")
    before = path.read_bytes()
    ran = run(*at(path, command))
    assert (ran.code, ran.out) == (MEND, "")
    assert "is not a book of this program" in ran.err
    assert path.read_bytes() == before


@pytest.mark.parametrize("command", [*LOOKS, *WRITES], ids=lambda command: command[0])
def test_a_book_of_a_newer_program(book: Path, run: Run, command: tuple[str, ...]) -> None:
    by_hand(book, f"PRAGMA user_version = {tables.SCHEMA_VERSION + 1}")
    ran = run(*at(book, command))
    assert (ran.code, ran.out) == (WORLD, "")
    assert "Install the newer program" in ran.err


@pytest.mark.parametrize("command", [("rack",), *WRITES], ids=lambda command: command[0])
def test_a_damaged_book(book: Path, run: Run, command: tuple[str, ...]) -> None:
    garble(book, page=3)
    before = book.read_bytes()
    ran = run(*at(book, command))
    assert (ran.code, ran.out) == (WORLD, "")
    assert "is damaged" in ran.err
    assert "Restore the last backup" in ran.err
    assert book.read_bytes() == before


def test_a_damaged_book_is_not_sound(book: Path, run: Run) -> None:
    garble(book, page=3)
    ran = run("check", book)
    assert ran.code == UNSOUND
    assert "is not sound" in ran.out
    assert "Restore the last backup" in ran.out


def test_a_book_altered_by_another_program_is_not_sound(book: Path, run: Run) -> None:
    """The file is whole and every command works on it; only the chain of hashes tells."""
    for guard in tables.GUARDS:
        by_hand(book, f'DROP TRIGGER "{guard}"')
    by_hand(book, "UPDATE entry SET who = 'eve' WHERE seq = 2")
    ran = run("check", book)
    assert ran.code == UNSOUND
    assert "entry 2: was changed after it was kept" in ran.out
    assert "guards against change are missing" in ran.out


def test_a_command_that_is_none(run: Run) -> None:
    ran = run("dpi", "book")
    assert ran.code == USAGE
    assert "invalid choice" in ran.err


@pytest.mark.skipif(sys.platform == "win32", reason="permissions are kept otherwise there")
@pytest.mark.parametrize("command", WRITES, ids=lambda command: command[0])
def test_a_write_protected_book(book: Path, command: tuple[str, ...]) -> None:
    ran = write_protected(book, command)
    assert (ran.code, ran.out) == (WORLD, "")
    assert "cannot be written" in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.skipif(sys.platform == "win32", reason="permissions are kept otherwise there")
def test_a_write_protected_book_can_be_looked_at(book: Path) -> None:
    ran = write_protected(book, ("rack",))
    assert ran.code == FINE, ran.err
    assert "Standing heron" in ran.out


def write_protected(book: Path, command: tuple[str, ...]) -> Ran:
    """Run a command on the book when neither file nor folder may be written."""
    place = book.parent / "protected" / book.name
    place.parent.mkdir()
    place.write_bytes(book.read_bytes())
    place.chmod(0o444)
    place.parent.chmod(0o555)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "shellcoat", *map(str, at(place, command))],
            env=process_environment(book.parent),
            preexec_fn=without_privilege(),
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    finally:
        place.parent.chmod(0o755)
    return Ran(done.returncode, done.stdout, done.stderr)


def without_privilege() -> Callable[[], None] | None:
    """Have a superuser's process mind permissions like anybody's; others do so already."""
    if os.geteuid() != 0:
        return None
    if not sys.platform.startswith("linux"):
        pytest.skip("a superuser minds no permissions, and here cannot be made to")
    prctl = ctypes.CDLL(None, use_errno=True).prctl
    drop_from_bounding_set, dac_override = 24, 1  # linux/prctl.h, linux/capability.h

    def drop() -> None:
        if prctl(drop_from_bounding_set, dac_override, 0, 0, 0):
            raise OSError(ctypes.get_errno(), "the privilege cannot be given up")

    return drop


def test_a_book_that_somebody_else_is_writing(
    book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program holds the file longer than anybody should wait."""
    monkeypatch.setattr(lock, "PATIENCE_S", 0.0)
    before = entries_in(book)
    with closing(lock.WriteLock(book)) as other, other.held():
        ran = run("dip", book, "H-1")
    assert ran.code == WORLD
    assert "is being written by" in ran.err
    assert "try again" in ran.err
    assert entries_in(book) == before
