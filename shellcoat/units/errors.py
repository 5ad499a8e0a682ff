"""What can be wrong with a typed quantity or a choice of units, each said so it can be mended."""

from __future__ import annotations

from shellcoat.errors import MendableError


class UnreadableQuantityError(MendableError):
    """A typed text that is not one number with a unit that fits."""

    def __init__(self, field: str, text: str, problem: str, advice: str) -> None:
        super().__init__(f'{field}: "{text}" {problem}. {advice}')
        self.field = field
        self.text = text
        self.problem = problem
        self.advice = advice


class WrongQuantityError(UnreadableQuantityError):
    """A typed quantity of another kind than was asked for, such as a mass for a length."""

    def __init__(self, field: str, text: str, found: str, wanted: str, advice: str) -> None:
        super().__init__(field, text, f"is {found}, not {wanted}", advice)
        self.found = found
        self.wanted = wanted


class AmbiguousNumberError(UnreadableQuantityError):
    """A typed text that two people may read as two different values."""

    def __init__(self, field: str, text: str, ways: tuple[str, ...]) -> None:
        advice = f"Write {' or '.join(ways)}."
        super().__init__(field, text, "can be read in more than one way", advice)
        self.ways = ways
