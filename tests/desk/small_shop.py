"""Names and times of the small shop the page tests share."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

NAMESPACE = UUID("9a6f3d3e-3c55-4f0f-8b5e-5a0d4d0d7c21")
NOW = datetime(2026, 3, 5, 13, 0, tzinfo=UTC)
"""A Thursday; 14:00 on the shop's clock."""

ZONE = "Europe/Madrid"


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


ROOM = an_id("dipping room")


class SetClock:
    """A clock that stands where a test puts it; call it for the time."""

    def __init__(self, moment: datetime = NOW) -> None:
        self.moment = moment

    def __call__(self) -> datetime:
        return self.moment

    def to(self, moment: datetime) -> None:
        """Put the clock at a moment."""
        self.moment = moment

    def forward(self, **span: float) -> None:
        """Put the clock on, as in `forward(hours=3)`."""
        self.moment += timedelta(**span)
