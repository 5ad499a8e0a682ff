"""Cores: what is done to dry or close them, logged as it happens, and what could be done."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from math import ceil
from uuid import UUID, uuid4

from shellcoat.errors import MendableError
from shellcoat.forecast.answers import ActionKind, CoreAction, CoreAnswer
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.wording import write_chance, write_little_water, write_time
from shellcoat.shop import CareKind, CoreCare
from shellcoat.units import Quantity, UnitPreferences, write_duration, write_quantity


class CareInFutureError(MendableError):
    """Something that has not been done yet."""


def log_care(
    opened: OpenShop,
    shell_id: UUID,
    core_id: UUID | None,
    kind: CareKind,
    at: datetime,
    now: datetime,
    *,
    until: datetime | None = None,
    flow_m3_s: float | None = None,
    note: str = "",
) -> CoreCare:
    """Log what was done to a core: blown, plugged, opened; or to the shell: turned."""
    if at > now + AHEAD_ALLOWED:
        raise CareInFutureError(
            f"Time: {write_time(at, opened.zone, now)} has not come yet. Give the time it was done."
        )
    care = CoreCare(
        id=uuid4(),
        shell_id=shell_id,
        core_id=core_id,
        kind=kind,
        at=at,
        until=until,
        flow_m3_s=flow_m3_s,
        note=note,
    )
    opened.record(care, now)
    return care


def stop_blowing(opened: OpenShop, care: CoreCare, now: datetime) -> CoreCare:
    """End the blowing that goes on."""
    ended = replace(care, until=max(now, care.at))
    opened.amend(ended, now, "the air was taken off")
    return ended


def blowing_now(opened: OpenShop, core_id: UUID, now: datetime) -> CoreCare | None:
    """The blowing into a core that goes on now, if any."""
    acts = [act for acts in opened.ledger.care().values() for act in acts]
    going = [
        act
        for act in acts
        if act.core_id == core_id
        and act.kind is CareKind.BLOW
        and act.at <= now
        and (act.until > now if act.until else not _dipped_since(opened, act, now))
    ]
    return going[-1] if going else None


def _dipped_since(opened: OpenShop, act: CoreCare, now: datetime) -> bool:
    """Whether the shell was dipped after this was done: a hose comes off for that."""
    return any(act.at < coat.dipped_at <= now for coat in opened.ledger.coats(act.shell_id))


def write_core(core: CoreAnswer, opened: OpenShop, now: datetime) -> str:
    """A core's state in plain words with its numbers."""
    units = opened.units
    water = write_little_water(core.water_kg.likely, units)
    litres = round(core.steam_l.likely)
    steam = f"{litres} litre{'' if litres == 1 else 's'}"
    held = f"about {water} of water held, which would make {steam} of steam"
    if core.closed or core.plugged:
        state = "closed" if core.closed else "plugged"
        return (
            f"{core.name}: {state}; {held if core.water_kg.high > core.dry_kg else 'dry inside'}."
        )
    if core.safe_at is None:
        return f"{core.name}: will not be safely dry within a week; {held}."
    safe = write_time(core.safe_at, opened.zone, now)
    if core.safe_at <= now:
        return f"{core.name}: dry since {safe}."
    return (
        f"{core.name}: safely dry {safe}, by the time the shell is due with a chance of "
        f"{write_chance(core.chance_by_due)}; {held}."
    )


def write_closing(core: CoreAnswer) -> str:
    """At which coat the last opening closes, with its spread; empty where it stays open."""
    early, likely, late = core.closes_at
    if early is None:
        return ""
    if likely is None:
        return f"May close at coat {early}."
    if late is None:
        return f"Closes at about coat {likely}, perhaps at {early}."
    return f"Closes at coat {likely}." if early == late else f"Closes at coat {early} to {late}."


def write_action(action: CoreAction, units: UnitPreferences) -> str:
    """One thing to do and what it gains."""
    gain = write_duration(round(action.gain_s / 1800.0) * 1800.0)
    done = _DONE[action.kind].format(amount=_amount(action, units))
    if action.lasts_s is not None:
        done = f"{done} for {write_duration(ceil(action.lasts_s / 1800.0) * 1800.0)}"
    if action.gain_s <= 0:
        return f"{done}."
    if action.kind is ActionKind.PLUG:
        least = "at least " if action.at_least else ""
        return f"{done}: another coat in it would take {least}{gain} more to dry."
    return f"{done}: dry {'at least ' if action.at_least else ''}{gain} sooner."


_DONE = {
    ActionKind.BLOW: "Blow {amount} into it",
    ActionKind.TURN: "Turn the shell upside down",
    ActionKind.WIDEN: "Widen its opening to {amount}",
    ActionKind.PLUG: "Plug it once dry, after coat {amount}",
    ActionKind.WAIT: "Wait {amount}",
}


def _amount(action: CoreAction, units: UnitPreferences) -> str:
    if action.amount is None:
        return ""
    if action.kind is ActionKind.WAIT:
        return write_duration(round(action.amount / 600.0) * 600.0)
    if action.kind is ActionKind.PLUG:
        return f"{action.amount:.0f}"
    blown = action.kind is ActionKind.BLOW
    return write_quantity(action.amount, Quantity.FLOW if blown else Quantity.LENGTH, units)
