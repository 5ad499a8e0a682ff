"""Shells: putting a new wax on the rack, changing what is known of it, taking it off."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Shell, ShellState
from shellcoat.shop.label_code import MisreadCodeError, code_text, is_misread


class LabelTakenError(MendableError):
    """A label that another shell on the rack carries."""


class NoSuchShellError(MendableError):
    """A name or label that no shell carries."""


def start_shell(opened: OpenShop, shell: Shell, now: datetime) -> Shell:
    """Put a new shell on the rack."""
    _check_label(opened, shell)
    opened.record(shell, now)
    return shell


def edit_shell(opened: OpenShop, shell: Shell, now: datetime, reason: str = "") -> Shell:
    """Write what is now known of a shell; what was known before stays in the book."""
    _check_label(opened, shell)
    opened.amend(shell, now, reason)
    return shell


def set_state(
    opened: OpenShop, shell_id: UUID, state: ShellState, now: datetime, reason: str = ""
) -> Shell:
    """Put a shell on hold, back in work, finished, or scrapped."""
    return edit_shell(opened, replace(opened.ledger.shell(shell_id), state=state), now, reason)


def _check_label(opened: OpenShop, shell: Shell) -> None:
    for other in opened.ledger.shells:
        same = other.label.casefold() == shell.label.casefold()
        if same and other.id != shell.id and other.state is not ShellState.SCRAPPED:
            raise LabelTakenError(
                f"Label {shell.label} hangs on {other.name} already. "
                f"Take another one, for example {free_label(opened)}."
            )


def free_label(opened: OpenShop) -> str:
    """The next number that no shell carries."""
    numbers = [
        int(found[0])
        for shell in opened.ledger.shells
        if (found := re.findall(r"(\d{1,9})$", shell.label))
    ]
    return f"{max(numbers, default=0) + 1:03d}"


def find_shell(opened: OpenShop, text: str) -> Shell:
    """The shell of that label, name or id; labels win, then names, then first letters.

    A label's code, as a scanner reads it, stands for the label.
    """
    wanted = text.strip().casefold()
    shells = [shell for shell in opened.ledger.shells if shell.state is not ShellState.SCRAPPED]
    for match in (
        lambda shell: wanted in (*_called_by_label(shell), str(shell.id)),
        lambda shell: shell.name.casefold() == wanted,
        lambda shell: shell.name.casefold().startswith(wanted),
    ):
        found = [shell for shell in shells if wanted and match(shell)]
        if len(found) == 1:
            return found[0]
        if found:
            names = ", ".join(f"{shell.label} {shell.name}" for shell in found[:6])
            raise NoSuchShellError(f"{text!r} fits several shells: {names}. Give the label.")
    if is_misread(text):
        raise MisreadCodeError(text.strip())
    raise NoSuchShellError(f"No shell is called {text!r}. Look at the rack for names and labels.")


def _called_by_label(shell: Shell) -> tuple[str, str]:
    return shell.label.casefold(), code_text(shell.label).casefold()
