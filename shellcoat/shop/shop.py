"""The shop itself: its name, its clock, and the choices that hold for every shell."""

from __future__ import annotations

from dataclasses import dataclass, field
from uuid import UUID
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shellcoat.errors import MendableError
from shellcoat.shop.alert_habits import AlertHabits
from shellcoat.shop.checks import check_name, check_number


class UnknownZoneError(MendableError):
    """A time zone no clock knows."""


def clock_of(name: str) -> ZoneInfo:
    """The wall clock of a time zone, by its name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as cause:
        raise UnknownZoneError(
            f"Time zone {name!r} is not known. Write it like Europe/Madrid or UTC."
        ) from cause


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Name, zone, altitude [m] and the shop's choices.

    `dry_share` is the share of a coat's water below which it counts as dry, `safe_quantile` the
    certainty of the safe time. `units` holds the shop's chosen units in plain words,
    `alerts` when and how its people are called.
    """

    id: UUID
    name: str
    zone: str = "UTC"
    altitude_m: float = 0.0
    dry_share: float = 0.10
    safe_quantile: float = 0.90
    sound: bool = True
    units: dict[str, str] = field(default_factory=dict)
    alerts: AlertHabits = field(default_factory=AlertHabits)

    def __post_init__(self) -> None:
        check_name("Shop name", self.name)
        check_number("Altitude", self.altitude_m, -430, 5000, "m")
        check_number("Water left when dry", self.dry_share, 0.01, 0.5, "(as a fraction)")
        check_number("Certainty of the safe time", self.safe_quantile, 0.5, 0.99, "")
        clock_of(self.zone)

    @property
    def clock(self) -> ZoneInfo:
        """The zone of the shop's wall clock."""
        return ZoneInfo(self.zone)
