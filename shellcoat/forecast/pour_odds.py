"""How often shells did not stand the pour, in two groups side by side, with the spread of each.

Nothing here says why: shells that share one thing mostly share others too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from uuid import UUID

Z_95 = 1.959963984540054
"""The standard normal quantile at 0.975, for two-sided intervals of 95 %."""


class Trait(Enum):
    """What shells are told apart by."""

    THICKNESS = "wall against target"
    INTERVAL = "shortest interval against the safe time"
    CORE_WATER = "core water at the end"
    AIR = "room swing over prime coats"


@dataclass(frozen=True, slots=True, kw_only=True)
class PouredShell:
    """What is known of one shell that was poured.

    Each trait is a ratio to its own limit, None where it is not known or the shell has no such
    thing: wall to target, shortest interval to the time it took to be safely dry, water in the
    wettest core to what a dry one may hold, largest swing over a prime coat to its limit.
    """

    shell_id: UUID
    sound: bool
    traits: dict[Trait, float | None]


@dataclass(frozen=True, slots=True)
class Share:
    """`faults` of `count` shells were not sound."""

    faults: int
    count: int

    @property
    def value(self) -> float:
        """The share seen; zero for no shells."""
        return self.faults / self.count if self.count else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """The interval that holds the true share 19 times in 20."""
        return wilson_interval(self.faults, self.count)


class Verdict(Enum):
    """What two shares side by side can tell."""

    NOTHING_TO_COMPARE = "nothing to compare"
    TOO_FEW = "n is too small to say"
    APART = "apart"


@dataclass(frozen=True, slots=True)
class Split:
    """Shells on the worse and on the better side of a trait's limit; `unknown` are in neither."""

    trait: Trait
    worse: Share
    better: Share
    unknown: int

    @property
    def verdict(self) -> Verdict:
        """Whether the two intervals lie apart; most tests of a difference ask for less."""
        if not self.worse.count or not self.better.count:
            return Verdict.NOTHING_TO_COMPARE
        (low, high), (other_low, other_high) = self.worse.interval, self.better.interval
        apart = low > other_high or other_low > high
        return Verdict.APART if apart else Verdict.TOO_FEW


def wilson_interval(faults: int, count: int, z: float = Z_95) -> tuple[float, float]:
    """Bound a share from `faults` out of `count`; from 0 to 1 where nothing was counted.

    Notes
    -----
    The score interval, which stays within 0 and 1 and holds up for few shells and for no faults.

    References
    ----------
    E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal
    of the American Statistical Association 22 (158), 209-212, 1927.

    Examples
    --------
    >>> [round(bound, 4) for bound in wilson_interval(1, 29)]
    [0.0061, 0.1718]
    """
    if not 0 <= faults <= count:
        raise ValueError(f"{faults} of {count} is no share")
    if not count:
        return 0.0, 1.0
    share, spread = faults / count, z * z / count
    middle = share + spread / 2.0
    half = z * math.sqrt(share * (1.0 - share) / count + spread / (4.0 * count))
    low, high = ((middle + side * half) / (1.0 + spread) for side in (-1.0, 1.0))
    # At the ends rounding would leave a hair more or less than none or all.
    return (0.0 if not faults else low), (1.0 if faults == count else high)


_WORSE: dict[Trait, Callable[[float], bool]] = {
    Trait.THICKNESS: lambda ratio: ratio < 1.0,
    Trait.INTERVAL: lambda ratio: ratio < 1.0,
    Trait.CORE_WATER: lambda ratio: ratio > 1.0,
    Trait.AIR: lambda ratio: ratio > 1.0,
}


def split_by(trait: Trait, shells: Iterable[PouredShell]) -> Split:
    """Tell shells apart by one trait and count the faults on either side."""
    groups: dict[bool | None, list[bool]] = {True: [], False: [], None: []}
    for shell in shells:
        ratio = shell.traits.get(trait)
        groups[None if ratio is None else _WORSE[trait](ratio)].append(not shell.sound)
    worse, better = (Share(sum(groups[side]), len(groups[side])) for side in (True, False))
    return Split(trait, worse, better, len(groups[None]))
