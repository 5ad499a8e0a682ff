"""When and how the people of a shop are called: the same for every station that opens its book.

Quiet hours are the shop's and not a machine's, since its neighbours and its sleepers hear every
station alike, and they follow the shop's wall clock. So does the broker, because whichever
station tells first tells alone. Passwords are never kept here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from shellcoat.errors import MendableError
from shellcoat.shop.checks import check_name, check_number, check_text

DAY_S = 86_400.0
MOST_REPEAT_MIN = 240
MOST_READING_LIMIT_S = 14 * DAY_S


class QuietHoursError(MendableError):
    """Quiet hours with one end, or with none at all."""


class BrokerTopicError(MendableError):
    """A topic no message can be sent to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broker:
    """Where messages go: an MQTT broker's host, port and topic, and who the shop is to it."""

    host: str
    port: int = 1883
    topic: str = "shellcoat/alerts"
    user: str = ""
    encrypted: bool = False

    def __post_init__(self) -> None:
        check_name("Host of the broker", self.host)
        check_number("Port of the broker", self.port, 1, 65535, "")
        check_name("Topic", self.topic)
        check_text("User of the broker", self.user)
        if any(letter in self.topic for letter in "+#\0"):
            raise BrokerTopicError(
                f"Topic: {self.topic!r} is a pattern to listen with. Give one without + and #."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertHabits:
    """What a shop has chosen about its alerts.

    `repeat_min` [min] between two soundings until somebody has seen it, 0 for once; no sound from
    `quiet_from` to `quiet_until` on the shop's wall clock; `reading_limit_s` [s] without an air
    reading from which on it is an alarm (default: common practice, somebody reads the air on each
    working day).
    """

    repeat_min: int = 5
    quiet_from: time | None = None
    quiet_until: time | None = None
    reading_limit_s: float = DAY_S
    broker: Broker | None = None

    def __post_init__(self) -> None:
        check_number("Minutes between two soundings", self.repeat_min, 0, MOST_REPEAT_MIN, "min")
        check_number(
            "Longest time without a reading", self.reading_limit_s, 600.0, MOST_READING_LIMIT_S, "s"
        )
        if (self.quiet_from is None) != (self.quiet_until is None):
            raise QuietHoursError("Quiet hours: give both their beginning and their end.")
        if self.quiet_from is not None and self.quiet_from == self.quiet_until:
            raise QuietHoursError(
                "Quiet hours: beginning and end are the same time. For no sound at all, switch "
                "the sound off."
            )

    def is_quiet(self, clock: time) -> bool:
        """Whether a time on the shop's wall clock lies in the quiet hours, midnight or not."""
        start, end = self.quiet_from, self.quiet_until
        if start is None or end is None:
            return False
        bare = clock.replace(tzinfo=None, fold=0)
        if start < end:
            return start <= bare < end
        return bare >= start or bare < end
