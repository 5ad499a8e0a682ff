"""Many alerts as few lines: one telling folded by rack, and what came due while closed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from shellcoat.alerts import words
from shellcoat.alerts.life import Alert, AlertKind, AlertState, AlertWhat, to_tell
from shellcoat.alerts.words import SayTime

MOST_LINES = 10
"""More new alerts than this in ten minutes are a flood nobody can follow (EEMUA publication 191
and ANSI/ISA-18.2, alarm rates per operator)."""


@dataclass(frozen=True, slots=True)
class TellingLine:
    """One line to show or speak, and the alerts it stands for."""

    text: str
    alerts: tuple[Alert, ...]

    @property
    def kind(self) -> AlertKind:
        """Prompt or alarm; no line holds both."""
        return self.alerts[0].kind


@dataclass(frozen=True, slots=True)
class AwaySummary:
    """What a person should know first after a start.

    `came_due` fell due untold while the program was closed, oldest first; `unseen` had been
    told before but nobody has marked it as seen, so perhaps nobody was there to hear.
    """

    came_due: tuple[Alert, ...]
    unseen: tuple[Alert, ...]

    @property
    def dips(self) -> int:
        """How many coats became dry."""
        return sum(alert.what is AlertWhat.NEXT_DIP for alert in self.came_due)

    @property
    def reviews(self) -> int:
        """How many final holds ended."""
        return sum(alert.what is AlertWhat.REVIEW for alert in self.came_due)

    @property
    def alarms(self) -> int:
        """How many alarms there were."""
        return sum(alert.kind is AlertKind.ALARM for alert in self.came_due)

    def lines(self, now: datetime, say_time: SayTime) -> list[str]:
        """Say it; nothing where there is nothing to say."""
        said = []
        if self.came_due:
            said.append(words.came_due(self.dips, self.reviews, self.alarms))
            said.append(words.waits_longest(self.came_due[0], now, say_time))
        if self.unseen:
            said.append(words.not_seen(len(self.unseen)))
        return said


def summary(alerts: Sequence[Alert], now: datetime) -> AwaySummary:
    """Sum up alerts, oldest due first as `alerts_of` gives them, before the first telling."""
    unseen = tuple(alert for alert in alerts if alert.state is AlertState.TOLD)
    return AwaySummary(came_due=tuple(to_tell(alerts, now)), unseen=unseen)


def fold(
    alerts: Sequence[Alert], now: datetime, say_time: SayTime, lately: int = 0
) -> list[TellingLine]:
    """Put alerts into lines: each its own, or one for a rack where there are too many.

    `lately` is how many were told just before, which count as well.
    """
    if len(alerts) + lately <= MOST_LINES:
        return [TellingLine(words.one(alert, now, say_time), (alert,)) for alert in alerts]
    by_rack = _by_rack(alerts)
    if len(by_rack) <= MOST_LINES:
        return [_line(group, words.on_rack(rack), now, say_time) for (_, rack), group in by_rack]
    return list(_by_what(alerts, now, say_time))


def _by_rack(alerts: Iterable[Alert]) -> list[tuple[tuple[AlertWhat, str], list[Alert]]]:
    groups: dict[tuple[AlertWhat, str], list[Alert]] = {}
    for alert in alerts:
        groups.setdefault((alert.what, words.place_of(alert)), []).append(alert)
    return list(groups.items())


def _by_what(alerts: Iterable[Alert], now: datetime, say_time: SayTime) -> Iterable[TellingLine]:
    for what in AlertWhat:
        group = [alert for alert in alerts if alert.what is what]
        places = {words.place_of(alert) for alert in group}
        if group:
            yield _line(group, words.on_racks(len(places)), now, say_time)


def _line(group: Sequence[Alert], where: str, now: datetime, say_time: SayTime) -> TellingLine:
    """One line for a group; an alert that is alone in it keeps its name."""
    if len(group) == 1:
        return TellingLine(words.one(group[0], now, say_time), tuple(group))
    things = {alert.shell_id or alert.about for alert in group}
    return TellingLine(words.many(group[0].what, len(things), where), tuple(group))
