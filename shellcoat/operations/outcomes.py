"""Outcomes: logging how a shell stood the pour, once, and putting it right."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.shells import set_state
from shellcoat.operations.wording import write_time
from shellcoat.shop import Outcome, ShellState


class NotFinishedError(MendableError):
    """A pour of a shell that is still in work."""


class PouredAlreadyError(MendableError):
    """A second outcome of one shell."""


class PourTimeError(MendableError):
    """A pour that has not happened yet, or before the shell's last coat."""


def log_outcome(
    opened: OpenShop, outcome: Outcome, now: datetime, *, finish: bool = False
) -> Outcome:
    """Keep an outcome; `finish` marks the shell as finished where it is not.

    Asked twice for the same one, the one kept is given back.
    """
    kept = opened.ledger.live.get(outcome.id)
    if kept is not None and isinstance(kept.record, Outcome):
        return kept.record
    shell = opened.ledger.shell(outcome.shell_id)
    if shell.id in opened.ledger.outcomes:
        raise PouredAlreadyError(
            f"{shell.name} was poured already. Correct that outcome, or take it back first."
        )
    _check_time(opened, outcome, now)
    if shell.state is not ShellState.FINISHED and not finish:
        raise NotFinishedError(
            f"{shell.name} is {shell.state.value}. Mark it as finished together with the outcome, "
            "or choose another shell."
        )
    entries = list(opened.ledger.entries.values())
    ever = sum(isinstance(e.record, Outcome) and e.record.shell_id == shell.id for e in entries)
    opened.record(outcome, now, slot=f"outcome:{shell.id}:{ever}")
    if shell.state is not ShellState.FINISHED:
        set_state(opened, shell.id, ShellState.FINISHED, now, "poured")
    return outcome


def correct_outcome(opened: OpenShop, outcome: Outcome, now: datetime, reason: str) -> Outcome:
    """Write a corrected outcome in place of the one with the same id."""
    _check_time(opened, outcome, now)
    opened.amend(outcome, now, reason)
    return outcome


def take_back_outcome(opened: OpenShop, outcome_id: UUID, now: datetime, reason: str) -> None:
    """Take an outcome back; the book keeps it, marked as taken back."""
    opened.withdraw(outcome_id, now, reason)


def _check_time(opened: OpenShop, outcome: Outcome, now: datetime) -> None:
    at = write_time(outcome.poured_at, opened.zone, now)
    if outcome.poured_at > now + AHEAD_ALLOWED:
        raise PourTimeError(
            f"Time of the pour: {at} has not come yet. Give the time it was poured."
        )
    coats = opened.ledger.coats(outcome.shell_id)
    if coats and outcome.poured_at < coats[-1].dipped_at:
        last = write_time(coats[-1].dipped_at, opened.zone, now)
        raise PourTimeError(
            f"Time of the pour: {at} is before the last coat, which went on {last}. "
            "Put one of the two times right."
        )
