"""What a scanner read, and which shell it means."""

from __future__ import annotations

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import NoSuchShellError, find_shell
from shellcoat.shop import Shell
from shellcoat.shop.label_code import CODE, code_text


class UncheckedScanError(MendableError):
    """A scan without a check character where only checked ones are wanted."""


def shell_scanned(opened: OpenShop, text: str, *, checked: bool = False) -> Shell:
    """The shell whose code, label or name was scanned; first letters alone are no scan.

    With `checked` only a code with its check character will do.
    """
    plain = " ".join(text.split())
    if checked and CODE.fullmatch(plain.upper()) is None:
        raise UncheckedScanError(
            f"{plain!r} carries no check character. Scan a label printed by this program, or "
            "let the station take scans without one: Set up."
        )
    shell = find_shell(opened, plain)
    called = {shell.label, shell.name, code_text(shell.label)}
    if plain.casefold() not in {name.casefold() for name in called}:
        raise NoSuchShellError(
            f"No shell is called {plain!r}. Look at the rack for names and labels."
        )
    return shell
