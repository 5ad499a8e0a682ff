"""What the code on a printed label says, and how a misread one is told from a label.

A scanner types what it reads and ends with Enter. On a keyboard set for another language it
mistypes all but capitals, digits and, mostly, the hyphen, so a label made of these carries its
code as the label in capitals, two hyphens, and a check character: `WB-08--7`. Any other label
stands in its code as it is, without a check.
"""

from __future__ import annotations

import re

from shellcoat.errors import MendableError

CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CHECKABLE = re.compile(r"[0-9A-Z](?:-?[0-9A-Z])*")
"""Single hyphens inside only, so that nothing checkable looks like a code with its check."""

CODE = re.compile(r"(?P<label>[0-9A-Z](?:-?[0-9A-Z])*)--(?P<check>[0-9A-Z])")


class MisreadCodeError(MendableError):
    """A code whose check character does not fit what was read before it."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} was read wrongly: its last character does not fit the others. "
            "Scan the label again, or type what is printed on it."
        )


def code_text(label: str) -> str:
    """Give what the code of a label holds."""
    plain = " ".join(label.split())  # a line end would be taken for Enter
    capitals = plain.upper()
    if not plain.isascii() or CHECKABLE.fullmatch(capitals) is None:
        return plain
    return f"{capitals}--{check_character(capitals)}"


def check_character(label: str) -> str:
    """Work out the check character of capitals and digits; hyphens do not count.

    MOD 37,36 of ISO/IEC 7064:2003, which finds every single wrong character and nearly every
    pair that was exchanged.
    """
    total = 36
    for character in label.replace("-", ""):
        total = (total + CHARACTERS.index(character)) % 36 or 36
        total = total * 2 % 37
    return CHARACTERS[(37 - total) % 36]


def is_misread(text: str) -> bool:
    """Tell whether a text has the form of a code but not its check character."""
    found = CODE.fullmatch(text.strip().upper())
    return found is not None and check_character(found["label"]) != found["check"]
