"""Keeping labels clear of each other along a line."""

from __future__ import annotations

from collections.abc import Sequence


def spread_apart(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Move rising places so that neighbours stand `gap` apart between `low` and `high`.

    Each stays as near to where it was as the others let it, in least squares. Where there is no
    room for all, the gap shrinks rather than the order breaking.
    """
    gap = min(gap, (high - low) / max(len(places) - 1, 1))
    # Taking the gaps out leaves places that need only rise: pool those that fall.
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(places):
        mean, count = place - index * gap, 1
        while pools and pools[-1][0] > mean:
            before, weight = pools.pop()
            mean = (mean * count + before * weight) / (count + weight)
            count += weight
        pools.append((mean, count))
    level = [mean for mean, count in pools for _ in range(count)]
    top = high - gap * (len(places) - 1)
    return [min(max(mean, low), top) + index * gap for index, mean in enumerate(level)]
