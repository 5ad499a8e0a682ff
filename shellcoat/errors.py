"""The errors shellcoat raises, from what a person can mend to faults of the world.

Every class builds its message from facts: what was wrong, where, and what to do next.
"""

from __future__ import annotations


class ShellcoatError(Exception):
    """Root of all errors raised on purpose."""


class MendableError(ShellcoatError):
    """Something a person typed or chose that they can put right themselves."""


class WorldError(ShellcoatError):
    """A fault outside the program: disk, lock, a damaged or newer file."""


class ValueOutOfRangeError(MendableError):
    """A value that no real shop can have."""

    def __init__(self, field: str, value: object, allowed: str) -> None:
        super().__init__(f"{field}: {value} is not possible here. Give {allowed}.")
        self.field = field
        self.value = value
        self.allowed = allowed
