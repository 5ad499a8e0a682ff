"""Run the benches: `python -m tests.bench [--folder FOLDER] [NAME ...]` from the checkout.

Each prints a line a figure, with its aim. Nothing fails: figures are for people to judge.
"""

from __future__ import annotations

import argparse
import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.bench import (
    a_million_readings,
    bench_air_ahead,
    drying_speed,
    one_dip,
    readings_and_forecasts,
    start_up,
)
from tests.bench.machine import Figure, machine_line

BENCHES: dict[str, Callable[[Path], Iterator[Figure]]] = {
    "start-up": start_up.run,
    "forecasts": readings_and_forecasts.run,
    "dip": one_dip.run,
    "import": a_million_readings.run,
    "air": bench_air_ahead.run,
    "drying": drying_speed.run,
}


def main() -> None:
    """Run all benches, or those that are named."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(BENCHES)}")
    parser.add_argument("--folder", type=Path, help="on the disk to measure (the temporary one)")
    options = parser.parse_args()
    unknown = set(options.names) - set(BENCHES)
    if unknown:
        parser.error(f"there is no bench {', '.join(sorted(unknown))}")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    print(machine_line(), flush=True)
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        for name in options.names or BENCHES:
            for figure in BENCHES[name](Path(folder)):
                print(figure.line(), flush=True)


if __name__ == "__main__":
    main()
