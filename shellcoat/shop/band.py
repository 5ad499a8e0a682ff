"""A value with its spread."""

from __future__ import annotations

from dataclasses import dataclass

from shellcoat.errors import MendableError
from shellcoat.shop.checks import check_number


class DisorderedBandError(MendableError):
    """A band whose low, likely and high values are out of order."""


@dataclass(frozen=True, slots=True)
class Band:
    """A likely value between a low and a high one, in SI units.

    Low and high stand for about the 10th and the 90th percentile of what a shop sees.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        for name in ("low", "likely", "high"):
            check_number(name, getattr(self, name), 0.0, 1e9, "")
        if not self.low <= self.likely <= self.high:
            raise DisorderedBandError(
                f"low {self.low:g}, likely {self.likely:g} and high {self.high:g} "
                "must rise in this order."
            )

    @property
    def relative_spread(self) -> float:
        """Half the width over the likely value."""
        return 0.5 * (self.high - self.low) / self.likely if self.likely else 0.0
