"""Day first or month first: decided from the dates themselves where they tell it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from shellcoat.feeds.wall_times import TOLD, DateOrder, date_parts, plain, read_date

# How much smoother the dates must run under one order before it is taken without asking.
CLEARLY = 3
MOST_FAULTY = 0.2
HINTS = (
    (re.compile(r"\b[dtj]{1,2}[-./ ]?m{1,2}[-./ ]?[ayj]{2,4}\b"), DateOrder.DAY_FIRST),
    (re.compile(r"\bm{1,2}[-./ ]?[dtj]{1,2}[-./ ]?[ayj]{2,4}\b"), DateOrder.MONTH_FIRST),
    (re.compile(r"\b[ayj]{2,4}[-./ ]?m{1,2}[-./ ]?[dtj]{1,2}\b"), DateOrder.YEAR_FIRST),
)


def possible_orders(dates: Sequence[str], named: str) -> list[DateOrder]:
    """The orders these dates can be in, one if that is certain, none if they are no dates.

    `dates` stand in file order; `named` is what stands above the column.
    """
    texts = [text for text in dict.fromkeys(dates) if date_parts(text)]
    if not texts:
        return []
    told = TOLD.get((date_parts(texts[0]) or ("",))[-1])
    if told is not None:
        return [told]
    fitting = _fitting(texts)
    hint = _hint(named)
    if hint in fitting:
        return [hint]
    if "." in texts[0] and len(fitting) > 1:
        # Dates parted by dots have the day before the month; common practice.
        fitting.pop(DateOrder.MONTH_FIRST, None)
    return _smoothest(fitting)


def _hint(named: str) -> DateOrder | None:
    return next((order for pattern, order in HINTS if pattern.search(plain(named))), None)


def _fitting(texts: Sequence[str]) -> dict[DateOrder, list[int]]:
    """The dates as days under each order that turns the most of them into real dates."""
    days = {order: _days(texts, order) for order in DateOrder}
    most = max(map(len, days.values()))
    if most < (1 - MOST_FAULTY) * len(texts):
        return {}
    return {order: found for order, found in days.items() if len(found) == most}


def _days(texts: Sequence[str], order: DateOrder) -> list[int]:
    days = []
    for text in texts:
        try:
            days.append(read_date(text, order))
        except ValueError:
            continue
    return days


def _smoothest(fitting: dict[DateOrder, list[int]]) -> list[DateOrder]:
    """Keep the orders under which the dates follow each other best."""
    if len({tuple(days) for days in fitting.values()}) == 1:
        return list(fitting)[:1]
    travel = {order: _travel(days) for order, days in fitting.items()}
    best = min(travel.values(), default=0)
    return [order for order, way in travel.items() if way <= CLEARLY * best]


def _travel(days: Sequence[int]) -> int:
    """How many days are passed, back and forth, from date to date."""
    return sum(abs(after - before) for before, after in pairwise(days))
