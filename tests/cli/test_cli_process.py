"""The command line as another program meets it: processes, pipes, encodings, and races."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_shop import (
    FINE,
    MEND,
    USAGE,
    WORLD,
    coats_of,
    process,
    process_environment,
)

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.shop import Coat


def test_a_day_at_the_bench_without_a_window(book: Path, tmp_path: Path) -> None:
    """One run of `python -m shellcoat` after the other, on the machine's real clock."""
    assert process("read", book, "21.5 C", "48 %", home=tmp_path).code == FINE
    dipped = process("dip", book, "H-1", home=tmp_path)
    assert dipped.code == FINE, dipped.err
    with open_book(book, read_only=True) as opened:
        entry = list(opened.ledger.entries.values())[-1]
    assert isinstance(entry.record, Coat)
    assert (entry.who, entry.recorded_at) == ("ana", entry.record.dipped_at)
    told = json.loads(process("rack", book, "--json", home=tmp_path).out)
    assert {shell["label"]: shell["coats_on"] for shell in told["shells"]} == {"H-1": 1, "B-1": 0}
    refused = process("dip", book, "H-1", home=tmp_path)
    assert refused.code == MEND
    assert "Nothing was logged twice" in refused.err
    assert process("check", book, home=tmp_path).code == FINE


def test_two_people_press_at_the_same_moment(book: Path, tmp_path: Path) -> None:
    """Whatever the order in which the processes reach the file, one coat goes on."""
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "shellcoat", "dip", str(book), "H-1", "--note", str(number)],
            env=process_environment(tmp_path, LOGNAME=f"person{number}"),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for number in range(3)
    ]
    said = [one.communicate(timeout=60) for one in running]
    codes = [one.returncode for one in running]
    assert sorted(codes) == [FINE, MEND, MEND], said
    (coat,) = coats_of(book, "H-1")
    assert codes[int(coat.note)] == FINE
    for (_, err), code in zip(said, codes, strict=True):
        if code == MEND:
            assert "less than a minute from this one" in err or (
                f"person{coat.note} has logged this already" in err
            )
    assert check_book(book).sound


@pytest.mark.skipif(sys.platform == "win32", reason="pipes break otherwise there")
def test_a_reader_that_has_gone_is_no_fault(book: Path, tmp_path: Path) -> None:
    """As in `shellcoat rack BOOK | head -0`, where all that is said fits one buffer."""
    read_end, write_end = os.pipe()
    os.close(read_end)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "shellcoat", "rack", str(book)],
            env=process_environment(tmp_path),
            stdout=write_end,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    finally:
        os.close(write_end)
    assert (done.returncode, done.stderr) == (FINE, "")


def test_a_terminal_that_knows_only_ascii(book: Path, tmp_path: Path) -> None:
    """Degree signs and dashes come out as question marks; nothing fails."""
    for command in (("rack", book), ("read", book, "21 °C", "48 %"), ("dip", book, "H-1")):
        ran = process(*command, home=tmp_path, PYTHONIOENCODING="ascii")
        assert ran.code == FINE, ran.err
        assert "Traceback" not in ran.err


def test_without_a_display_the_window_says_so(book: Path, tmp_path: Path) -> None:
    if sys.platform in ("win32", "darwin"):
        pytest.skip("there is always a display there")
    ran = process("window", book, home=tmp_path)
    assert ran.code == WORLD
    assert "There is no display here" in ran.err


def test_a_book_alone_means_the_window(book: Path, tmp_path: Path) -> None:
    if sys.platform in ("win32", "darwin"):
        pytest.skip("there is always a display there")
    assert process(book, home=tmp_path).code == WORLD
    assert process(book.with_suffix(".txt"), home=tmp_path).code == USAGE


def test_a_person_the_machine_does_not_know(book: Path, tmp_path: Path) -> None:
    """A container whose user has no name: the entry says so, and is kept."""
    if sys.platform == "win32":
        pytest.skip("every user has a name there")
    code = (
        "import getpass, sys\n"
        "def unknown(): raise OSError('no such user')\n"
        "getpass.getuser = unknown\n"
        "from shellcoat.cli.main import main\n"
        "sys.exit(main(sys.argv[1:]))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "dip", str(book), "H-1"],
        env=process_environment(tmp_path, LOGNAME=""),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == FINE, done.stderr
    assert len(coats_of(book, "H-1")) == 1
