"""The help: every command has its own, every part of it is explained, and it fits a terminal."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

import pytest
from cli_shop import FINE, USAGE, Run

from shellcoat import __version__
from shellcoat.cli.commands import COMMANDS
from shellcoat.cli.main import build_parser

WITH_A_WINDOW = {"window", "demo"}


def subparsers() -> dict[str, argparse.ArgumentParser]:
    (group,) = [
        action
        for action in build_parser()._actions
        if isinstance(action, argparse._SubParsersAction)
    ]
    return dict(group.choices)


PARSERS = subparsers()
each_command = pytest.mark.parametrize("name", PARSERS)


def arguments_of(name: str) -> Iterator[argparse.Action]:
    return iter(PARSERS[name]._actions)


def test_the_commands_are_those_that_can_be_run() -> None:
    assert set(PARSERS) == set(COMMANDS) | WITH_A_WINDOW


def test_the_help_lists_every_command_with_a_word_about_it(run: Run) -> None:
    ran = run("--help")
    assert ran.code == FINE
    for name in PARSERS:
        # Behind a long name the words stand on the next line.
        assert re.search(rf"^ +{name}\s+\S+ \S+ \S+", ran.out, re.MULTILINE), name


def test_the_help_explains_every_exit_code_once(run: Run) -> None:
    text = run("--help").out.split("exit codes\n")[1].split("\n\n")[0]
    codes = [line.split()[0] for line in text.splitlines()]
    assert codes == ["0", "1", "2", "3", "4"]


def test_the_help_says_where_the_answers_end(run: Run) -> None:
    text = run("--help").out
    assert "estimates with a spread" in text
    assert "experienced" in text


@each_command
def test_each_command_has_a_help_that_fits_a_terminal(name: str, run: Run) -> None:
    ran = run(name, "--help")
    assert ran.code == FINE
    assert ran.err == ""
    assert ran.out.startswith(f"usage: shellcoat {name}")
    assert max(map(len, ran.out.splitlines())) <= 100
    for action in arguments_of(name):
        for option in action.option_strings or [action.dest]:
            assert option in ran.out


@each_command
def test_each_option_is_explained(name: str) -> None:
    for action in arguments_of(name):
        if action.option_strings:
            assert action.help, f"{name} {action.option_strings[0]}"


@each_command
def test_an_unknown_option_is_a_usage_error_that_shows_the_usage(name: str, run: Run) -> None:
    ran = run(name, *["x"] * 4, "--no-such-thing")
    assert ran.code == USAGE
    assert ran.out == ""
    assert f"usage: shellcoat {name}" in ran.err or "usage: shellcoat" in ran.err


def test_the_version(run: Run) -> None:
    ran = run("--version")
    assert (ran.code, ran.out.strip()) == (FINE, f"shellcoat {__version__}")
