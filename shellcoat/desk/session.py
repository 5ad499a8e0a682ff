"""The open shop as the pages see it: its forecast kept fresh, its changes told by signals."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from functools import partial
from typing import TypeVar
from uuid import UUID

from PySide6.QtCore import QLocale, QObject, Qt, QTimer, Signal, Slot

from shellcoat.desk.operation_runner import OperationRunner
from shellcoat.errors import ShellcoatError
from shellcoat.forecast.answers import ShellForecast
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Entry
from shellcoat.units import Quantity, write_band, write_quantity

log = logging.getLogger(__name__)

Result = TypeVar("Result")

FORECAST_EVERY_MS = 60_000
LOOK_FOR_NEWS_EVERY_MS = 1_500


def system_now() -> datetime:
    """The time on the machine's clock."""
    return datetime.now(UTC)


class DeskSession(QObject):
    """One open book for all pages. Pages read here, and write through `attempt`.

    Signals
    -------
    changed : entries that are now safely in the book, whoever wrote them
    forecasts_changed : `forecasts` has been made anew
    failed : a message a person should read
    """

    changed = Signal(object)
    forecasts_changed = Signal()
    failed = Signal(str)
    _kept = Signal(object)

    def __init__(
        self,
        opened: OpenShop,
        *,
        now: Callable[[], datetime] = system_now,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.opened = opened
        self.now = now
        self.forecasts: Mapping[UUID, ShellForecast] = {}
        self.runner = OperationRunner(threads=2, parent=self)
        self._forecast_runner = OperationRunner(parent=self)
        self._closed = False
        self._wanted = False
        self._running = False
        self._runs = 0
        opened.book.listeners.append(self._kept.emit)
        self._kept.connect(self._on_kept, Qt.ConnectionType.AutoConnection)
        self._timers = [
            self._every(FORECAST_EVERY_MS, self.refresh_forecasts),
            self._every(LOOK_FOR_NEWS_EVERY_MS, self.look_for_news),
        ]

    def _every(self, interval_ms: int, slot: Callable[[], None]) -> QTimer:
        timer = QTimer(self)
        timer.setInterval(interval_ms)
        timer.timeout.connect(slot)
        timer.start()
        return timer

    @Slot(object)
    def _on_kept(self, entries: tuple[Entry, ...]) -> None:
        if self._closed:
            return
        self.changed.emit(entries)
        self.refresh_forecasts()

    @Slot()
    def look_for_news(self) -> None:
        """Take in what other programs wrote into the same book."""
        try:
            self.opened.book.refresh()
        except ShellcoatError as error:
            log.warning("looking for news in the book failed: %s", error)

    @Slot()
    def begin(self) -> None:
        """Forecast for the first time, unless that has been done or is under way."""
        if not self._runs:
            self.refresh_forecasts()

    @Slot()
    def refresh_forecasts(self) -> None:
        """Forecast all shells anew in the background; asked twice, it runs once more at the end."""
        if self._running:
            self._wanted = True
            return
        try:
            given = self.opened.forecast_input(self.now())
        except ShellcoatError as error:
            self.failed.emit(str(error))
            return
        self._running = True
        self._runs += 1
        run = self._runs
        self._forecast_runner.run(
            lambda: self.opened.forecast(given), partial(self._take, run), self._give_up
        )

    def forecast_now(self) -> None:
        """Forecast at once on this thread: for the first picture after opening."""
        self._runs += 1  # whatever is still under way is older than this
        self.forecasts = self.opened.forecasts(self.now())
        self.forecasts_changed.emit()

    def _take(self, run: int, forecasts: dict[UUID, ShellForecast]) -> None:
        fresh = run == self._runs
        if fresh:
            self.forecasts = forecasts
        self._end_run()
        if fresh:
            self.forecasts_changed.emit()

    def _give_up(self, message: str) -> None:
        self._end_run()
        self.failed.emit(message)

    def _end_run(self) -> None:
        self._running = False
        if self._wanted:
            self._wanted = False
            self.refresh_forecasts()

    def attempt(self, act: Callable[[], Result]) -> Result | None:
        """Do something a person asked for; what goes wrong is told, and None comes back."""
        try:
            return act()
        except ShellcoatError as error:
            self.failed.emit(str(error))
            return None

    @property
    def decimal_mark(self) -> str:
        """The decimal mark of the person's locale, a comma or a point."""
        mark = QLocale().decimalPoint()
        return mark if mark in {",", "."} else "."

    def write(self, value: float, quantity: Quantity, decimals: int | None = None) -> str:
        """A value in the shop's units, such as "0.90 mm"."""
        return write_quantity(
            value, quantity, self.opened.units, decimals=decimals, decimal_mark=self.decimal_mark
        )

    def write_band(self, low: float, high: float, quantity: Quantity) -> str:
        """A spread in the shop's units, such as "0.80–1.50 mm"."""
        return write_band(low, high, quantity, self.opened.units, decimal_mark=self.decimal_mark)

    def close(self) -> None:
        """Stop the timers and the workers, then close the book."""
        self._closed = True
        for timer in self._timers:
            timer.stop()
        self.opened.book.listeners.clear()
        self.runner.close()
        self._forecast_runner.close()
        self.opened.book.close()
