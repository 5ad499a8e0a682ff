"""An open book with its forecast: what the window and the command line both work on."""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from shellcoat.book import Book
from shellcoat.errors import MendableError
from shellcoat.forecast.answers import CoreAction, DryingCurve, ShellForecast
from shellcoat.forecast.times import from_seconds, seconds
from shellcoat.shop import (
    AirReading,
    Entry,
    Ledger,
    ReadingBatch,
    Record,
    Shell,
    ShellCheck,
    ShellState,
    Shop,
    SlurryTest,
    StuccoGrain,
)
from shellcoat.shop.entry import Withdrawal
from shellcoat.units import UnitPreferences, UnitSystem

# The forecaster brings numpy, which takes longer to load than a book to open. A window shows the
# rack before it forecasts, so the methods that do load it themselves.
if TYPE_CHECKING:
    from shellcoat.forecast.air_track import AirLog
    from shellcoat.forecast.check_looks import TaughtCase
    from shellcoat.forecast.forecaster import Forecaster, ShellCase
    from shellcoat.forecast.learned import Learned, Lesson
    from shellcoat.forecast.wall_answers import WallAnswer

FORECAST_STATES = (ShellState.IN_WORK, ShellState.ON_HOLD)
"""Only these dry on: a finished shell is on its way to the furnace, a scrapped one in the bin."""


AHEAD_ALLOWED = timedelta(minutes=2)
"""What is logged may lie this far ahead of the clock: two clocks in a shop never agree."""


class TakenBackError(MendableError):
    """A change to what has been taken back, or was never there."""

    def __init__(self, by: str = "nobody known") -> None:
        super().__init__(f"This was taken back by {by}. Log it anew if it did happen.")


class UnnamedShopError(MendableError):
    """A book without a shop in it."""


@dataclass(frozen=True, slots=True)
class ForecastInput:
    """Everything a forecast needs, frozen, so that it can be made in another thread."""

    shop: Shop
    cases: tuple[ShellCase, ...]
    logs: Mapping[UUID, AirLog]
    now: datetime
    lessons: LessonInput


@dataclass(frozen=True, slots=True)
class LessonInput:
    """Everything the forecast learns from: checked shells in any state, and slurry tests.

    `readings` names the entries of the air that stand, since a look at a check changes with them;
    `silent` are the checks that teach nothing, and why; `newest_first` names all checks by time.
    """

    cases: tuple[TaughtCase, ...]
    tests: tuple[SlurryTest, ...]
    readings: frozenset[UUID]
    silent: tuple[Lesson, ...]
    newest_first: tuple[UUID, ...]


class OpenShop:
    """A book, the person at it, and the forecast of what stands in it."""

    def __init__(self, book: Book, *, who: str, station: str = "") -> None:
        self.book = book
        self.who = who
        self.station = station
        self._forecaster: tuple[Shop, Forecaster] | None = None
        self._taught: LessonInput | None = None
        self._forecasting = threading.Lock()

    @property
    def ledger(self) -> Ledger:
        """What stands in the book."""
        return self.book.ledger

    @property
    def shop(self) -> Shop:
        """The shop's own record."""
        shop = self.ledger.shop
        if shop is None:
            raise UnnamedShopError(
                f"{self.book.path.name} names no shop. Restore a backup of it or start a new book."
            )
        return shop

    @property
    def zone(self) -> ZoneInfo:
        """The zone of the shop's wall clock."""
        return self.shop.clock

    @property
    def units(self) -> UnitPreferences:
        """The shop's chosen units."""
        return unit_preferences(self.shop)

    def record(
        self,
        record: Record,
        now: datetime,
        *,
        replaces: UUID | None = None,
        reason: str = "",
        slot: str | None = None,
    ) -> Entry:
        """Write one record into the book; when this returns it is kept."""
        entry = self.entry(record, now, replaces=replaces, reason=reason)
        self.book.append([entry], slots={entry.id: slot} if slot else None)
        return entry

    def entry(
        self, record: Record, now: datetime, *, replaces: UUID | None = None, reason: str = ""
    ) -> Entry:
        """Put a record into its envelope."""
        return Entry(
            id=uuid4(),
            recorded_at=now,
            who=self.who,
            station=self.station,
            record=record,
            replaces=replaces,
            reason=reason,
        )

    def amend(self, record: Record, now: datetime, reason: str = "") -> Entry:
        """Write a new version of a record that stands in the book."""
        standing = self._standing(record.id)
        return self.record(record, now, replaces=standing.id, reason=reason)

    def withdraw(self, record_id: UUID, now: datetime, reason: str) -> Entry:
        """Take a record back; it stays in the book, with who took it back and why."""
        standing = self._standing(record_id)
        return self.record(Withdrawal(id=record_id), now, replaces=standing.id, reason=reason)

    def _standing(self, record_id: UUID) -> Entry:
        """The entry that stands for a record, or who took it back and when."""
        entry = self.ledger.live.get(record_id)
        if entry is None:
            raise TakenBackError(
                *(
                    f"{last.who} at {self.ledger.on_the_clock(last.recorded_at)}"
                    for last in self.ledger.history(record_id)[-1:]
                )
            )
        return entry

    def forecast_input(self, now: datetime, shells: Sequence[Shell] | None = None) -> ForecastInput:
        """Freeze what stands now; all shells that still dry unless some are named."""
        from shellcoat.forecast.forecaster import ShellCase

        chosen = shells if shells is not None else self._drying_shells()
        care, checks = self.ledger.care(), self.ledger.checks()
        cases = tuple(
            ShellCase(
                shell,
                self.ledger.coats(shell.id),
                # A clock that was set back leaves acts in the book that have not happened yet.
                tuple(act for act in care.get(shell.id, ()) if act.at <= now),
                tuple(check for check in checks.get(shell.id, ()) if check.at <= now),
            )
            for shell in chosen
        )
        dips = [seconds(case.coats[0].dipped_at) for case in cases if case.coats]
        logs = self._logs(min([*dips, seconds(now)]), now)
        return ForecastInput(self.shop, cases, logs, now, self._lesson_input(now))

    def _lesson_input(self, now: datetime) -> LessonInput:
        """Freeze what there is to learn from."""
        from shellcoat.operations.lessons import sort_checks

        tests = tuple(test for test in self.ledger.slurry_tests if _counts(test, now))
        cases, silent = sort_checks(self.ledger, now)
        # The air matters to the looks at checks alone.
        readings = self._readings() if cases else frozenset()
        return LessonInput(cases, tests, readings, silent, self._checks_newest_first())

    def _checks_newest_first(self) -> tuple[UUID, ...]:
        """All checks by time; those of one moment by when they were entered."""
        live = [entry.record for entry in list(self.ledger.live.values())]
        checks = [record for record in live if isinstance(record, ShellCheck)]
        return tuple(check.id for check in sorted(checks, key=lambda one: one.at)[::-1])

    def _readings(self) -> frozenset[UUID]:
        live = list(self.ledger.live.values())
        return frozenset(e.id for e in live if isinstance(e.record, AirReading | ReadingBatch))

    def _drying_shells(self) -> list[Shell]:
        return [shell for shell in self.ledger.shells if shell.state in FORECAST_STATES]

    def _logs(self, first_s: float, now: datetime) -> dict[UUID, AirLog]:
        """Readings of every room, from long enough before the first coat of interest [s]."""
        from shellcoat.forecast.air_ahead import LOOK_BACK_S

        first = from_seconds(first_s - LOOK_BACK_S)
        return {room.id: self._log(room.id, first, now) for room in self.ledger.rooms}

    def _log(self, room_id: UUID, first: datetime, now: datetime) -> AirLog:
        from shellcoat.forecast.air_track import AirLog

        columns = self.book.readings(room_id, first, now)
        return AirLog.of(columns.at_ms / 1000.0, columns.temp_c, columns.rh)

    def forecast(self, given: ForecastInput) -> dict[UUID, ShellForecast]:
        """Forecast, from any thread; a second one waits for the first."""
        with self._forecasting:
            return self._forecaster_for(given).forecast(given.cases, given.logs, given.now)

    def forecasts(self, now: datetime) -> dict[UUID, ShellForecast]:
        """Forecast every shell that still dries."""
        return self.forecast(self.forecast_input(now))

    def forecast_shell(self, shell: Shell, now: datetime) -> ShellForecast:
        """Forecast one shell, whatever its state."""
        return self.forecast(self.forecast_input(now, [shell]))[shell.id]

    def curve(self, given: ForecastInput) -> DryingCurve | None:
        """The drying curve of the one shell in `given`."""
        (case,) = given.cases
        with self._forecasting:
            return self._forecaster_for(given).curve(case, given.logs, given.now)

    def core_actions(self, given: ForecastInput) -> dict[UUID, tuple[CoreAction, ...]]:
        """What could be done now about the cores of the one shell in `given`."""
        (case,) = given.cases
        with self._forecasting:
            return self._forecaster_for(given).core_actions(case, given.logs, given.now)

    def wall(self, given: ForecastInput) -> WallAnswer:
        """How thick the wall of the one shell in `given` is, and what moved the estimate."""
        (case,) = given.cases
        with self._forecasting:
            return self._forecaster_for(given).wall(case, given.logs, given.now)

    def learned(self, given: ForecastInput) -> Learned:
        """What the shop's checks have taught, check by check; from any thread."""
        with self._forecasting:
            taught = self._forecaster_for(given).learned()
        place = {check_id: number for number, check_id in enumerate(given.lessons.newest_first)}
        lessons = [*taught.lessons, *given.lessons.silent]
        newest_first = sorted(lessons, key=lambda one: place[one.check_id])
        return replace(taught, lessons=tuple(newest_first))

    def _forecaster_for(self, given: ForecastInput) -> Forecaster:
        """The forecaster, with everything learned that there is to learn from."""
        from shellcoat.forecast.forecaster import Forecaster
        from shellcoat.forecast.starting_values import starting_values

        if self._forecaster is None or self._forecaster[0] is not given.shop:
            self._forecaster = given.shop, Forecaster(given.shop, starting_values())
            self._taught = None
        if self._taught != given.lessons:
            self._teach(self._forecaster[1], given)
        return self._forecaster[1]

    def _teach(self, forecaster: Forecaster, given: ForecastInput) -> None:
        cases, tests = given.lessons.cases, given.lessons.tests
        if self._taught is not None or cases or tests:
            dips = [seconds(case.coats[0].dipped_at) for case in cases]
            logs = self._logs(min(dips), given.now) if dips else {}
            forecaster.learn(cases, tests, logs, given.now)
        self._taught = given.lessons


def _counts(test: SlurryTest, now: datetime) -> bool:
    """Whether a test is to be learned from; a clock set back leaves later ones in the book."""
    return not test.left_out and (isinstance(test, StuccoGrain) or test.at <= now)


def unit_preferences(shop: Shop) -> UnitPreferences:
    """Read the shop's units from its record."""
    chosen = {name: unit for name, unit in shop.units.items() if name != "system"}
    system = shop.units.get("system", UnitSystem.METRIC.value)
    return UnitPreferences.from_plain({"system": system, "chosen": chosen})
