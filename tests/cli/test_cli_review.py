"""The review on the command line: words, data, paper; it writes nothing into the book."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from cli_shop import FINE, MEND, NOW, WORLD, Run, entries_in, process

VERDICTS = {"fine", "look", "stop"}


@pytest.fixture
def dipped(book: Path, run: Run, clock: time_machine.Traveller) -> Path:
    """The heron with a coat, six hours old."""
    assert run("dip", book, "H-1").code == FINE
    clock.shift(timedelta(hours=6))
    return book


def test_the_evidence_is_told_check_by_check(dipped: Path, run: Run) -> None:
    ran = run("review", dipped, "standing")
    assert (ran.code, ran.err) == (FINE, "")
    assert ran.out.startswith("H-1 Standing heron (")
    assert "[STOP] Coats against the sequence" in ran.out
    assert "1 of 9 planned coats are on." in ran.out
    assert "a person decides" in ran.out
    assert "safe to" not in ran.out.casefold()


def test_the_evidence_is_data_with_the_hash_of_the_book(dipped: Path, run: Run) -> None:
    ran = run("review", dipped, "H-1", "--json")
    data = json.loads(ran.out)
    assert (data["label"], data["name"]) == ("H-1", "Standing heron")
    assert datetime.fromisoformat(data["made_at"]) == NOW + timedelta(hours=6)
    assert len(data["head"]) == 64
    assert data["book_entries"] == entries_in(dipped)
    assert {line["verdict"] for line in data["lines"]} <= VERDICTS
    assert all(line["seen"] and line["would_change"] for line in data["lines"])


def test_looking_writes_nothing(dipped: Path, run: Run) -> None:
    before = entries_in(dipped)
    run("review", dipped, "H-1")
    run("review", dipped, "H-1", "--json")
    assert entries_in(dipped) == before


def test_a_bare_wax_has_evidence_too(book: Path, run: Run) -> None:
    ran = run("review", book, "B-1")
    assert ran.code == FINE, ran.err
    assert "No coat is on." in ran.out


def test_a_shell_nobody_knows_is_named(book: Path, run: Run) -> None:
    ran = run("review", book, "crane")
    assert (ran.code, ran.out) == (MEND, "")
    assert "No shell is called 'crane'" in ran.err


def test_paper_needs_no_display(dipped: Path, tmp_path: Path) -> None:
    """A process of its own, as a server would run it: no screen, no other Qt in it."""
    target = tmp_path / "heron.pdf"
    ran = process("review", dipped, "H-1", "--pdf", target, home=tmp_path)
    assert ran.code == FINE, ran.err
    assert target.read_bytes().startswith(b"%PDF-")
    assert f"Written to {target}." in ran.err
    assert "H-1 Standing heron" in ran.out


def test_paper_that_cannot_be_written_is_a_fault_outside(dipped: Path, tmp_path: Path) -> None:
    target = tmp_path / "nowhere" / "heron.pdf"
    ran = process("review", dipped, "H-1", "--pdf", target, home=tmp_path)
    assert ran.code == WORLD
    assert "Choose another place" in ran.err
