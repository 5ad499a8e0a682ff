"""Dips: what goes on next, logging it once, putting it right, taking it back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import chain
from uuid import UUID, uuid4, uuid5

from shellcoat.errors import MendableError
from shellcoat.forecast.answers import DryState, ShellForecast
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.wording import write_time
from shellcoat.shop import AirAtDip, AirMovement, AirReading, Coat, CoatStep, Shell, ShellState

DOUBLE_WITHIN = timedelta(seconds=60)
"""Two dips of one shell closer than this are one dip and a second press."""


class DipInFutureError(MendableError):
    """A dip that has not happened yet."""


class DoubleDipError(MendableError):
    """The same dip, pressed twice."""


class ShellDoneError(MendableError):
    """A dip on a shell that has left the rack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DipProposal:
    """What the dip page shows and fills in before a dip.

    `step` is None when the sequence is through; `early` says that the coat before is not safely
    dry. `air` is the latest reading of the room, however old.
    """

    shell: Shell
    number: int
    step: CoatStep | None
    room_id: UUID
    movement: AirMovement
    tank: str
    air: AirAtDip | None
    forecast: ShellForecast
    early: bool
    coats_ever: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DipOrder:
    """A dip as the person has it: everything prefilled, everything correctable.

    `coat_id` is made by whoever asks, so that asking twice is seen to be the same dip; and
    `coats_ever` is the slot it was proposed for, so that a dip another station logged meanwhile
    is not logged again. `fresh_air` says that its reading was taken just now and is to be kept
    as one.
    """

    coat_id: UUID
    shell_id: UUID
    step: CoatStep
    dipped_at: datetime
    room_id: UUID
    movement: AirMovement
    tank: str = ""
    air: AirAtDip | None = None
    note: str = ""
    reason: str = ""
    warnings: tuple[str, ...] = ()
    coats_ever: int | None = None
    fresh_air: bool = False


def propose_dip(opened: OpenShop, shell: Shell, forecast: ShellForecast) -> DipProposal:
    """Fill in the next dip of a shell from what is known."""
    coats_on = len(opened.ledger.coats(shell.id))
    step = shell.next_step(coats_on)
    room_id = _usual_room(opened, shell, step)
    return DipProposal(
        shell=shell,
        number=coats_on + 1,
        step=step,
        room_id=room_id,
        movement=opened.ledger.room(room_id).movement,
        tank=_usual_tank(opened, step),
        air=opened.book.last_reading(room_id),
        forecast=forecast,
        early=forecast.state not in (DryState.BARE, DryState.DRY),
        coats_ever=opened.ledger.coats_ever.get(shell.id, 0),
    )


def _usual_room(opened: OpenShop, shell: Shell, step: CoatStep | None) -> UUID:
    """Where the shop last hung a coat of this kind to dry; the shell's own room before that."""
    same = [coat for coat in _all_coats(opened) if step is not None and coat.step.kind is step.kind]
    return max(same, key=_dipped_at).room_id if same else shell.room_id


def _usual_tank(opened: OpenShop, step: CoatStep | None) -> str:
    """The tank this slurry was last taken from."""
    same = [
        coat
        for coat in _all_coats(opened)
        if step is not None and coat.step.slurry == step.slurry and coat.tank
    ]
    return max(same, key=_dipped_at).tank if same else ""


def _all_coats(opened: OpenShop) -> Iterator[Coat]:
    return chain.from_iterable(opened.ledger.coats_by_shell.values())


def _dipped_at(coat: Coat) -> datetime:
    return coat.dipped_at


def order_from(proposal: DipProposal, now: datetime) -> DipOrder | None:
    """The dip as proposed, at this moment; None when the sequence is through."""
    if proposal.step is None:
        return None
    return DipOrder(
        coat_id=uuid4(),
        shell_id=proposal.shell.id,
        step=proposal.step,
        dipped_at=now,
        room_id=proposal.room_id,
        movement=proposal.movement,
        tank=proposal.tank,
        air=proposal.air,
        coats_ever=proposal.coats_ever,
    )


def log_dip(opened: OpenShop, order: DipOrder, now: datetime) -> Coat:
    """Log a dip; when this returns the coat is in the book, once."""
    standing = opened.ledger.live.get(order.coat_id)
    if standing is not None and isinstance(standing.record, Coat):
        return standing.record
    shell = opened.ledger.shell(order.shell_id)
    _check_order(opened, shell, order.dipped_at, now)
    coat = Coat(
        id=order.coat_id,
        shell_id=order.shell_id,
        step=order.step,
        dipped_at=order.dipped_at,
        utc_offset_min=utc_offset_min(opened, order.dipped_at),
        room_id=order.room_id,
        movement=order.movement,
        tank=order.tank,
        air=order.air,
        note=order.note,
        warnings=order.warnings,
        reason=order.reason,
    )
    ever = order.coats_ever
    if ever is None:
        ever = opened.ledger.coats_ever.get(shell.id, 0)
    entry = opened.entry(coat, now)
    readings = [opened.entry(reading, now) for reading in _reading_of(order)]
    opened.book.append([entry, *readings], slots={entry.id: f"coat:{shell.id}:{ever}"})
    return coat


def _reading_of(order: DipOrder) -> tuple[AirReading, ...]:
    """The reading typed with the dip, kept with it or not at all."""
    if not order.fresh_air or order.air is None:
        return ()
    air = order.air
    return (
        AirReading(
            id=uuid5(order.coat_id, "air"),
            room_id=order.room_id,
            read_at=air.read_at,
            temp_c=air.temp_c,
            rh=air.rh,
        ),
    )


def utc_offset_min(opened: OpenShop, moment: datetime) -> int:
    """What the shop's wall clock was ahead of UTC at that moment [min]."""
    offset = moment.astimezone(opened.zone).utcoffset()
    return round(offset.total_seconds() / 60) if offset is not None else 0


def _check_order(opened: OpenShop, shell: Shell, dipped_at: datetime, now: datetime) -> None:
    if shell.state in (ShellState.FINISHED, ShellState.SCRAPPED):
        raise ShellDoneError(
            f"{shell.name} is {shell.state.value}. "
            "Put it back in work on its page, then log the dip."
        )
    _check_past(opened, dipped_at, now)
    for number, coat in enumerate(opened.ledger.coats(shell.id), start=1):
        if abs(coat.dipped_at - dipped_at) < DOUBLE_WITHIN:
            raise DoubleDipError(
                f"Coat {number} went on {shell.name} at "
                f"{write_time(coat.dipped_at, opened.zone, now)}, less than a minute from this "
                "one. Nothing was logged twice."
            )


def _check_past(opened: OpenShop, dipped_at: datetime, now: datetime) -> None:
    if dipped_at > now + AHEAD_ALLOWED:
        raise DipInFutureError(
            f"Time of the dip: {write_time(dipped_at, opened.zone, now)} has not come yet. "
            "Give the time the shell left the slurry."
        )


def correct_coat(opened: OpenShop, coat: Coat, now: datetime, reason: str) -> Coat:
    """Write a corrected coat in place of the one with the same id."""
    _check_past(opened, coat.dipped_at, now)
    offset = utc_offset_min(opened, coat.dipped_at)
    corrected = replace(coat, utc_offset_min=offset)
    opened.amend(corrected, now, reason)
    return corrected


def undo_coat(opened: OpenShop, coat_id: UUID, now: datetime, reason: str = "undone") -> None:
    """Take a coat back; the book keeps it, marked as taken back."""
    opened.withdraw(coat_id, now, reason)
