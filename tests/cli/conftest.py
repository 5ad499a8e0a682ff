"""A book, a standing clock, and the command line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import time_machine
from cli_shop import NOW, Ran, Run, make_book

from shellcoat.cli.main import main


@pytest.fixture(autouse=True)
def clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[time_machine.Traveller]:
    """The clock stands at NOW until a test moves it; ana is at the machine."""
    monkeypatch.setenv("LOGNAME", "ana")
    with time_machine.travel(NOW, tick=False) as traveller:
        yield traveller


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A shop with one room and two waxes on the rack, closed."""
    return make_book(tmp_path / "heron yard.shellbook")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run one command; what it printed comes back with its exit code."""

    def run_one(*arguments: object) -> Ran:
        capsys.readouterr()
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as leaving:  # the parser's own way out
            code = leaving.code if isinstance(leaving.code, int) else -1
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return run_one
