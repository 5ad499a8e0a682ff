"""Whether a record still stands as it did when a dialog was opened on it."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.wording import write_time


class OvertakenError(MendableError):
    """A record that somebody else has changed meanwhile."""


class Standing:
    """The entry a dialog was opened on; a change by somebody else is not written over."""

    def __init__(self, opened: OpenShop, record_id: UUID) -> None:
        self._opened, self._record_id = opened, record_id
        self._entry_id = opened.ledger.live[record_id].id

    def check(self, now: datetime) -> None:
        """Refuse to go on when another entry has taken its place."""
        by = self._opened.ledger.replaced_by.get(self._entry_id)
        if by is None:
            return
        newer = self._opened.ledger.entries[by]
        at = write_time(newer.recorded_at, self._opened.zone, now)
        raise OvertakenError(
            f"{newer.who} changed this at {at}, while it stood open here. Nothing was saved. "
            "Close this, open it again and look at the change first."
        )
