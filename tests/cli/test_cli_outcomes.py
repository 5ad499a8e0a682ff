"""Outcomes from the command line."""

from __future__ import annotations

import json
from pathlib import Path

from cli_shop import FINE, MEND, USAGE, Run, entries_in

from shellcoat.book import open_book
from shellcoat.shop import PourResult, ShellState


def test_an_outcome_is_logged_with_what_was_measured(run: Run, book: Path) -> None:
    done = run(
        "outcome", book, "H-1", "run-out", "--finish", "--where", "gate", "--metal", "2048 F",
        "--shell-temp", "650", "--mass", "4.2 kg", "--note", "second melt", "--at", "13:30",
    )  # fmt: skip
    assert done.code == FINE
    said = done.out.replace("\u00a0", " ")
    assert said.startswith("Logged for Standing heron, poured 13:30: run-out, gate (metal 1120")
    with open_book(book, read_only=True) as opened:
        (outcome,) = opened.ledger.outcomes.values()
        assert outcome.result is PourResult.RUN_OUT
        assert (outcome.shell_temp_c, outcome.note) == (650.0, "second melt")
        assert opened.ledger.shell(outcome.shell_id).state is ShellState.FINISHED


def test_the_code_of_a_label_names_the_shell(run: Run, book: Path) -> None:
    assert run("outcome", book, "B-1--S", "sound", "--finish").out.startswith("Logged for Ship")
    misread = run("outcome", book, "H-1--K", "sound", "--finish")
    assert (misread.code, "Scan the label again" in misread.err) == (MEND, True)


def test_a_shell_in_work_is_not_finished_unasked(run: Run, book: Path) -> None:
    before = entries_in(book)
    done = run("outcome", book, "H-1", "sound")
    assert done.code == MEND
    assert "is in work" in done.err
    assert entries_in(book) == before


def test_a_second_outcome_and_an_odd_figure_are_refused(run: Run, book: Path) -> None:
    assert run("outcome", book, "H-1", "sound", "--finish").code == FINE
    again = run("outcome", book, "H-1", "leak")
    assert (again.code, "poured already" in again.err) == (MEND, True)
    hot = run("outcome", book, "B-1", "sound", "--finish", "--metal", "5000 C")
    assert (hot.code, "Metal temperature" in hot.err) == (MEND, True)
    assert run("outcome", book, "B-1", "fine").code == USAGE


def test_outcomes_are_told_as_text_and_as_data(run: Run, book: Path) -> None:
    assert "No pour is logged yet" in run("outcomes", book).out
    run("outcome", book, "H-1", "leak", "--finish")
    run("outcome", book, "B-1", "sound", "--finish")
    text = run("outcomes", book).out
    assert text.startswith("Poured: 2 – 1 sound, 1 leak.")
    assert "95 % intervals (Wilson 1927)" in text
    told = json.loads(run("outcomes", book, "--json").out)
    assert {outcome["result"] for outcome in told["outcomes"]} == {"leak", "sound"}
    assert [split["trait"] for split in told["splits"]] == [
        "thickness",
        "interval",
        "core_water",
        "air",
    ]
