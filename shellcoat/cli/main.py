"""The command line: opens the window, or does the same work without one."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from shellcoat import __version__
from shellcoat.errors import MendableError, ShellcoatError

FINE, MEND, USAGE, WORLD, UNSOUND = 0, 1, 2, 3, 4

EPILOG = """\
exit codes
  0  done
  1  something you gave, a value or a path, has to be put right; the message says what
  2  the command line itself was not understood
  3  a fault outside: a locked, damaged, newer or read-only file, or no display
  4  the book was checked and is not sound

times
  --at takes the shop's wall clock: "14:05" today, or "2026-02-09 14:05".

Times, thicknesses and dryness are estimates with a spread. Local codes, safety sheets and
experienced practice come first.
"""


def build_parser() -> argparse.ArgumentParser:
    """All commands with their help."""
    parser = argparse.ArgumentParser(
        prog="shellcoat",
        description="Keeps every coat of lost-wax ceramic shells and says when each is dry.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"shellcoat {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    _window_commands(commands)
    _look_commands(commands)
    _check_command(commands)
    _outcome_commands(commands)
    _log_commands(commands)
    _book_commands(commands)
    return parser


_Commands = argparse._SubParsersAction


def _window_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    window = commands.add_parser("window", help="open the window (also without any command)")
    window.add_argument("book", type=Path, nargs="?", help="book to open; else the last one")
    window.add_argument("--read-only", action="store_true", help="look, but write nothing")
    demo = commands.add_parser("demo", help="open an invented shop in a fresh working copy")
    demo.add_argument("name", nargs="?", default="art-foundry", help="which demo (%(default)s)")
    demo.add_argument("--list", action="store_true", help="list the demos and end")
    demo.add_argument(
        "--no-window", action="store_true", help="write rack, plots and tables as files instead"
    )
    demo.add_argument("--out", type=Path, help="folder for those files")


def _look_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    rack = commands.add_parser("rack", help="list the shells, the most pressing first")
    rack.add_argument("book", type=Path)
    rack.add_argument("--json", action="store_true", help="as JSON, times in UTC, SI units")
    rack.add_argument("--all", action="store_true", help="finished and scrapped shells too")
    learned = commands.add_parser("learned", help="tell what the shop's checks have taught")
    learned.add_argument("book", type=Path)
    learned.add_argument("--json", action="store_true", help="as JSON, times in UTC, SI units")
    wall = commands.add_parser("wall", help="tell how thick a wall is by place, and by what")
    wall.add_argument("book", type=Path)
    wall.add_argument("shell", help="label, name, or its first letters")
    wall.add_argument("--json", action="store_true", help="as JSON, times in UTC, SI units")
    review = commands.add_parser(
        "review",
        help="tell the evidence before burnout; a person decides, in the window",
        description="Tell what the book knows of a shell before burnout, check by check: fine, "
        "look or stop, and what would change it. It decides nothing.",
    )
    review.add_argument("book", type=Path)
    review.add_argument("shell", help="label, name, or its first letters")
    review.add_argument("--json", action="store_true", help="as JSON, times in UTC")
    review.add_argument("--pdf", type=Path, metavar="FILE", help="write it as a PDF as well")


def _check_command(commands: _Commands[argparse.ArgumentParser]) -> None:
    # Values and places by their words here: what reads them loads more than the help needs.
    check = commands.add_parser(
        "check",
        help="log what a check of a shell found; without a shell, check the book itself",
        description="Log what a touch, an infrared thermometer, a scale or a caliper found on a "
        "shell. Without a shell: check that the book is whole and unaltered.",
    )
    check.add_argument("book", type=Path)
    check.add_argument("shell", nargs="?", help="label, name, or its first letters")
    check.add_argument(
        "finding",
        nargs="?",
        metavar="finding",
        choices=("dry", "wet", "infrared", "weigh", "wall"),
        help="dry, wet (to the touch), infrared, weigh or wall; the last three want a value",
    )
    check.add_argument("value", nargs="?", help='what was read, such as "19.5C", "12.4kg", "5.2mm"')
    check.add_argument("--at", metavar="TIME", help="when it was made (now)")
    check.add_argument("--note", help="a note")
    check.add_argument("--core", metavar="NAME", help="dry, wet: the core looked into")
    check.add_argument(
        "--air", metavar="TEMP", help="infrared: what it read on something beside it"
    )
    check.add_argument("--place", choices=("flat", "edge", "corner"), help="wall: where (flat)")
    check.add_argument("--where", metavar="TEXT", help="wall: where, in your words")


def _outcome_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    outcome = commands.add_parser("outcome", help="log how a shell stood the pour")
    outcome.add_argument("book", type=Path)
    outcome.add_argument("shell", help="label, name, or its first letters")
    outcome.add_argument(
        "result",
        metavar="result",
        choices=("sound", "leak", "crack", "run-out", "other"),
        help="sound, leak, crack, run-out or other",
    )
    outcome.add_argument("--at", metavar="TIME", help="when it was poured (now)")
    outcome.add_argument("--where", default="", metavar="TEXT", help="where the fault was")
    outcome.add_argument("--metal", metavar="TEMP", help='temperature of the metal, "1120 C"')
    outcome.add_argument("--shell-temp", metavar="TEMP", help='temperature of the shell, "650 C"')
    outcome.add_argument("--mass", help='metal poured, such as "12.4 kg"')
    outcome.add_argument("--note", default="", help="a note")
    outcome.add_argument(
        "--finish", action="store_true", help="mark the shell as finished where it is not"
    )
    outcomes = commands.add_parser("outcomes", help="tell how the pours of the shop went")
    outcomes.add_argument("book", type=Path)
    outcomes.add_argument("--json", action="store_true", help="as JSON, times in UTC, SI units")


def _log_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    dip = commands.add_parser("dip", help="log a dip")
    dip.add_argument("book", type=Path)
    dip.add_argument("shell", help="label, name, or its first letters")
    dip.add_argument("--at", metavar="TIME", help="when it left the slurry (now)")
    dip.add_argument("--tank", help="tank (the one this slurry last came from)")
    dip.add_argument("--stucco", help="stucco (as planned)")
    dip.add_argument("--room", help="room it dries in (the usual one)")
    dip.add_argument("--note", default="", help="a note")
    dip.add_argument("--reason", default="", help="why it was dipped early")
    undo = commands.add_parser("undo", help="take back the last dip of a shell")
    undo.add_argument("book", type=Path)
    undo.add_argument("shell", help="label, name, or its first letters")
    undo.add_argument("--reason", default="undone", help="why (%(default)s)")
    read = commands.add_parser("read", help="log a reading of the air")
    read.add_argument("book", type=Path)
    read.add_argument("temperature", help='such as "21.5 C" or "72F"')
    read.add_argument("humidity", help='such as "48 %%"')
    read.add_argument("--at", metavar="TIME", help="when it was read (now)")
    read.add_argument("--room", help="room (needed where there are several)")
    air = commands.add_parser("import-air", help="import a logger's CSV file")
    air.add_argument("book", type=Path)
    air.add_argument("file", type=Path)
    air.add_argument("--room", help="room (needed where there are several)")
    air.add_argument("--zone", help="zone of the logger's clock (the shop's)")
    air.add_argument("--look", action="store_true", help="say what was understood, import nothing")


def _book_commands(commands: _Commands[argparse.ArgumentParser]) -> None:
    new = commands.add_parser("new", help="start a book for a shop")
    new.add_argument("book", type=Path)
    new.add_argument("--name", required=True, help="name of the shop")
    new.add_argument("--zone", default="", help="zone of its clock (this machine's)")
    new.add_argument(
        "--units", choices=("metric", "us"), default="metric", help="units to show (%(default)s)"
    )
    new.add_argument("--room", default="Shop", help="name of its room (%(default)s)")
    export = commands.add_parser("export", help="write a whole book as one JSON document")
    export.add_argument("book", type=Path)
    export.add_argument("file", type=Path)
    take = commands.add_parser("import", help="make a book from such a document")
    take.add_argument("file", type=Path)
    take.add_argument("book", type=Path)
    backup = commands.add_parser("backup", help="copy a book now, checked and dated")
    backup.add_argument("book", type=Path)
    backup.add_argument("--folder", type=Path, help="where to (beside the book)")
    restore = commands.add_parser("restore", help="put a backup back; the present file is kept")
    restore.add_argument("backup", type=Path)
    restore.add_argument("book", type=Path)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    given = list(sys.argv[1:] if arguments is None else arguments)
    options = build_parser().parse_args(_window_first(given))
    try:
        code = _run(options)
        sys.stdout.flush()
    except MendableError as error:
        print(f"shellcoat: {error}", file=sys.stderr)
        return MEND
    except ShellcoatError as error:
        print(f"shellcoat: {error}", file=sys.stderr)
        return WORLD
    except BrokenPipeError:
        # Whoever read has seen enough; the interpreter's own last flush must not complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    return code


def _window_first(given: list[str]) -> list[str]:
    """Without a command, or with a book alone, the window is meant."""
    if not given:
        return ["window"]
    if len(given) == 1 and given[0].endswith(".shellbook"):
        return ["window", *given]
    return given


def _run(options: argparse.Namespace) -> int:
    """Load only what the command needs: a rack on a terminal wants no Qt."""
    if options.command == "window":
        from shellcoat.cli.window import run_window_command

        return run_window_command(options)
    if options.command == "demo":
        from shellcoat.cli.demo import run_demo_command

        return run_demo_command(options)
    from shellcoat.cli.commands import COMMANDS

    return COMMANDS[options.command](options)


def open_window() -> int:
    """Entry point of the window."""
    return main()
