"""Checks: what was found out about a shell or a slurry, and whether the program learns from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TypeVar
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.wording import write_time
from shellcoat.shop import ShellCheck, SlurryTest, StuccoGrain

Check = TypeVar("Check", bound=ShellCheck | SlurryTest)


class CheckInFutureError(MendableError):
    """A check that has not been made yet."""


class NoReasonError(MendableError):
    """A check left out without a reason."""


def log_check(opened: OpenShop, check: Check, now: datetime) -> Check:
    """Keep a check as it was made; asked twice for the same one, the one kept is given back."""
    kept = _kept(opened, check)
    if kept is not None:
        return kept
    _refuse_future(opened, check, now)
    opened.record(check, now)
    return check


def correct_check(opened: OpenShop, check: Check, now: datetime, reason: str) -> Check:
    """Write a corrected check in place of the one with the same id."""
    _refuse_future(opened, check, now)
    opened.amend(check, now, reason)
    return check


def leave_out(opened: OpenShop, check: Check, now: datetime, reason: str) -> Check:
    """Keep a check but learn nothing from it; the reason stands beside it."""
    why = reason.strip()
    if not why:
        raise NoReasonError("Say why this check is left out, so that it can be judged later.")
    return _marked(opened, check, now, why, why)


def take_in(opened: OpenShop, check: Check, now: datetime) -> Check:
    """Learn from a check again that had been left out."""
    return _marked(opened, check, now, "", "taken in again")


def take_back_check(opened: OpenShop, check_id: UUID, now: datetime, reason: str) -> None:
    """Take back a check that was never made; the book keeps it, marked as taken back."""
    opened.withdraw(check_id, now, reason)


def _marked(opened: OpenShop, check: Check, now: datetime, left_out: str, reason: str) -> Check:
    """Mark the check as it stands: a page may still show it as it was before a correction."""
    kept = _kept(opened, check)
    marked = replace(kept or check, left_out=left_out)
    if marked != kept:
        opened.amend(marked, now, reason)
    return marked


def _kept(opened: OpenShop, check: Check) -> Check | None:
    """The check of this id as it stands in the book."""
    entry = opened.ledger.live.get(check.id)
    if entry is None or not isinstance(entry.record, type(check)):
        return None
    return entry.record


def _refuse_future(opened: OpenShop, check: ShellCheck | SlurryTest, now: datetime) -> None:
    if isinstance(check, StuccoGrain):  # as bought, at no time of its own
        return
    if check.at > now + AHEAD_ALLOWED:
        raise CheckInFutureError(
            f"Time of the check: {write_time(check.at, opened.zone, now)} has not come yet. "
            "Give the time it was made."
        )
