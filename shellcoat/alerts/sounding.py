"""When the sound is due: at once, again every few minutes until seen, and never in quiet hours.

Quiet hours and muting hold the sound, not the alert: what is still unseen when they end sounds
then. What has been seen or put off is silent.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from shellcoat.alerts.life import Alert, AlertKind, AlertState
from shellcoat.shop import AlertHabits, Shop


class Sounding:
    """Decides what sounds, from the shop's habits and what nobody has seen yet."""

    def __init__(self) -> None:
        self.muted_until: datetime | None = None
        self._last: datetime | None = None
        self._fresh: set[AlertKind] = set()

    def tell(self, kinds: Iterable[AlertKind]) -> None:
        """Something was told just now; it sounds with the next look."""
        self._fresh |= set(kinds)

    def is_held(self, shop: Shop, now: datetime) -> bool:
        """Whether a sound would be kept back now."""
        muted = self.muted_until is not None and now < self.muted_until
        return not shop.sound or muted or is_quiet(shop.alerts, now, shop.clock)

    def look(self, alerts: Iterable[Alert], shop: Shop, now: datetime) -> AlertKind | None:
        """Say which sound is to be played now, and take it as played.

        An alarm outdoes a prompt: both at once would be noise.
        """
        unseen = {alert.kind for alert in alerts if alert.state is AlertState.TOLD}
        self._fresh &= unseen
        if not unseen or self.is_held(shop, now):
            return None
        if not self._fresh and not self._is_time(shop.alerts, now):
            return None
        kinds = self._fresh or unseen
        self._fresh, self._last = set(), now
        return AlertKind.ALARM if AlertKind.ALARM in kinds else AlertKind.PROMPT

    def _is_time(self, habits: AlertHabits, now: datetime) -> bool:
        if self._last is None:
            return True
        if not habits.repeat_min:
            return False
        # A clock that was set back must not silence it until it has caught up.
        return now < self._last or now - self._last >= timedelta(minutes=habits.repeat_min)


def is_quiet(habits: AlertHabits, now: datetime, zone: ZoneInfo) -> bool:
    """Whether these are quiet hours on the shop's wall clock."""
    return habits.is_quiet(now.astimezone(zone).time())
