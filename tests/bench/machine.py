"""What a figure was measured on, and how it is printed."""

from __future__ import annotations

import os
import platform
import sqlite3
import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from time import perf_counter

LIBRARIES = ("PySide6-Essentials", "numpy", "SQLAlchemy", "matplotlib")


@dataclass(frozen=True)
class Figure:
    """One result: what was measured, the ratio or time, the aim, and how it came about."""

    name: str
    value: str
    aim: str
    reached: bool
    detail: str

    def line(self) -> str:
        """Write it in one line."""
        mark = "reached" if self.reached else "MISSED"
        return f"{self.name:34} {self.value:>12}  aim {self.aim:10} {mark:8} {self.detail}"


def machine_line() -> str:
    """Say what this machine is, and which versions run on it."""
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return (
        f"{_processor()}, {os.cpu_count()} cores, {platform.system()} {platform.release()}; "
        f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {libraries}; "
        f"load {_load()}"
    )


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    return next(
        (line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")),
        platform.machine(),
    )


def _load() -> str:
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "unknown"


def seconds_of(act: Callable[[], object]) -> float:
    """How long something takes [s]."""
    start = perf_counter()
    act()
    return perf_counter() - start


def alternating(
    ours: Callable[[], float], anchor: Callable[[], float], rounds: int
) -> tuple[list[float], list[float]]:
    """Measure both in turn, so that a busy moment of the machine falls on both."""
    pairs = [(ours(), anchor()) for _ in range(rounds)]
    return [pair[0] for pair in pairs], [pair[1] for pair in pairs]


def median(times: Sequence[float]) -> float:
    """The middle of the times."""
    return statistics.median(times)


def percentile(times: Sequence[float], share: float) -> float:
    """The time that this share of all stays below."""
    return sorted(times)[min(int(share * len(times)), len(times) - 1)]


def milliseconds(seconds: float) -> str:
    """Write a time in milliseconds."""
    return f"{seconds * 1000:.1f} ms" if seconds < 0.1 else f"{seconds * 1000:.0f} ms"
