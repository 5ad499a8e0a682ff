"""The drying curve of the present coat, for the plot on the shell page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from shellcoat.forecast.answers import CoatAnswer, DryingCurve
from shellcoat.forecast.history import DryingRules, ShellChain
from shellcoat.forecast.times import from_seconds, seconds
from shellcoat.shop import Band

LOOKS = 60
"""Points of the curve; the plot draws straight lines between them."""

BEYOND = 1.15
"""The curve runs on a little past the safe time, so that its end is seen."""

BLIND_S = 86400.0
"""Where no safe time is in sight the curve shows the coming day [s]."""


def curve_times(dipped_s: float, answer: CoatAnswer, now_s: float, end_s: float) -> list[float]:
    """Times [s] from the dip to past the safe time, with one of them at `now_s`."""
    safe = seconds(answer.safe_at) if answer.safe_at else now_s + BLIND_S
    last = min(dipped_s + BEYOND * (max(safe, now_s) - dipped_s), end_s - 1.0)
    even = np.linspace(dipped_s, last, LOOKS)
    times = np.unique(np.append(even, np.clip(now_s, dipped_s, last)))
    return [float(time) for time in times]


def drying_curve(
    times: Sequence[float],
    shares: Sequence[Band],
    chain: ShellChain,
    rules: DryingRules,
    now: datetime,
) -> DryingCurve:
    """Put the looks together; `dry_share` is the coat's own water allowed, over all in the wall."""
    own = rules.figures(chain.coats[-1].step).water_kg_m2.likely
    return DryingCurve(
        at=tuple(from_seconds(time) for time in times),
        low=_falling([share.low for share in shares]),
        likely=_falling([share.likely for share in shares]),
        high=_falling([share.high for share in shares]),
        now_index=max(int(np.searchsorted(times, seconds(now), side="right")) - 1, 0),
        dry_share=rules.dry_share * own / chain.answers[-1].water_kg_m2,
    )


def _falling(shares: Sequence[float]) -> tuple[float, ...]:
    """Water never comes back; what little the reading between the lanes adds is taken off."""
    return tuple(np.minimum.accumulate(shares).tolist())
