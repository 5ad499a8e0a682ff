"""A reading comes in and three hundred shells are forecast anew; all at once, or one by one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from shellcoat.forecast.forecaster import Forecaster
from shellcoat.forecast.starting_values import starting_values
from shellcoat.operations.air import log_reading
from tests.bench.big_shop import NOW, ROOM, big_shop
from tests.bench.machine import Figure, alternating, median, milliseconds, percentile, seconds_of

SHELLS = 300
READINGS = 15
REDONE_WITHIN_S = 0.150
TIMES_FASTER = 4.0


def run(folder: Path) -> Iterator[Figure]:
    """Measure the first forecast, those after a reading, and the whole rack against each shell."""
    opened = big_shop(folder / "readings.shellbook", SHELLS)
    try:
        given = opened.forecast_input(NOW)
        first = seconds_of(lambda: opened.forecasts(NOW))

        def one_more(number: int) -> None:
            moment = NOW + timedelta(minutes=number)
            log_reading(opened, ROOM, moment, 21.0 + 0.1 * number, 0.48, moment)
            if len(opened.forecasts(moment)) != SHELLS:
                raise RuntimeError("a shell was not forecast")

        times = [seconds_of(lambda n=n: one_more(n)) for n in range(1, READINGS + 1)]  # type: ignore[misc]
        yield Figure(
            f"a reading, {SHELLS} shells forecast",
            milliseconds(median(times)),
            f"≤ {milliseconds(REDONE_WITHIN_S)}",
            median(times) <= REDONE_WITHIN_S,
            f"worst {milliseconds(max(times))} of {READINGS}; the first, with nothing kept, "
            f"{milliseconds(first)}",
        )
        shop = opened.shop

        def whole() -> float:
            fresh = Forecaster(shop, starting_values())
            return seconds_of(lambda: fresh.forecast(given.cases, given.logs, NOW))

        def one_by_one() -> float:
            fresh = Forecaster(shop, starting_values())
            return seconds_of(
                lambda: [fresh.forecast([case], given.logs, NOW) for case in given.cases]
            )

        together, apart = alternating(whole, one_by_one, 3)
    finally:
        opened.book.close()
    faster = median(apart) / median(together)
    yield Figure(
        "one by one / whole rack",
        f"{faster:.1f}",
        f"≥ {TIMES_FASTER:g}",
        faster >= TIMES_FASTER,
        f"{SHELLS} shells at once {milliseconds(median(together))}, one at a time "
        f"{milliseconds(median(apart))}, nothing kept from before; worst whole rack "
        f"{milliseconds(percentile(together, 1.0))}",
    )
