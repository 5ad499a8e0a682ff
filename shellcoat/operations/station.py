"""The dipping station without its window: what stands on it, in which words, for which shell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum
from uuid import UUID

from shellcoat.forecast.answers import CoreAnswer, DryState, ShellForecast
from shellcoat.operations.dips import DipProposal
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.rack import RackRow, RackState
from shellcoat.operations.wording import write_ago, write_chance, write_time, write_warnings
from shellcoat.shop import Coat, CoatKind, CoatStep
from shellcoat.units import Quantity, UnitPreferences, write_quantity

EXPECTED = (
    RackState.DIP_DUE,
    RackState.BARE,
    RackState.LIKELY_DRY,
    RackState.WET,
    RackState.WILL_NOT_DRY,
)
"""Which shell is offered first: one that waits for its dip, then what has to be dipped early."""

FINE_OPENING_M = 0.006
"""A core's opening narrower than this wants an eye at every dip; common practice, from memory:
a backup coat builds about 1.2 mm on either side, so that two more may close it."""


class LineKind(Enum):
    """What a large line is about."""

    COAT = "coat"
    SLURRY = "slurry"
    STUCCO = "stucco"
    STATE = "state"
    DRY = "dry"
    TIMER = "timer"


@dataclass(frozen=True, slots=True)
class BigLine:
    """One line in capitals; `short` says the same with less where room is scarce."""

    kind: LineKind
    text: str
    short: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """What the station shows: whose, in large lines, with notes; `state` chooses the mark."""

    name: str = ""
    lines: tuple[BigLine, ...] = ()
    notes: tuple[str, ...] = ()
    state: DryState | None = None
    early: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Several shells that get the same coat, one after the other.

    `waiting` are the shells still to dip, in order; `done` pairs each dipped shell with its coat.
    """

    waiting: tuple[UUID, ...]
    done: tuple[tuple[UUID, UUID], ...] = ()

    @property
    def current(self) -> UUID | None:
        """The shell whose turn it is."""
        return self.waiting[0] if self.waiting else None

    @property
    def size(self) -> int:
        """How many shells are in it."""
        return len(self.waiting) + len(self.done)

    def dipped(self, coat: Coat) -> Batch:
        """After a dip: the shell is through with its coat."""
        rest = tuple(one for one in self.waiting if one != coat.shell_id)
        return replace(self, waiting=rest, done=(*self.done, (coat.shell_id, coat.id)))

    def skipped(self) -> Batch:
        """The shell whose turn it is comes last."""
        return replace(self, waiting=(*self.waiting[1:], *self.waiting[:1]))

    def undone(self) -> Batch:
        """The last dip is taken back: its shell is next again."""
        if not self.done:
            return self
        return replace(self, waiting=(self.done[-1][0], *self.waiting), done=self.done[:-1])


def expected_row(rows: Sequence[RackRow]) -> RackRow | None:
    """The shell whose dip is next: the one that waits longest, or the next to be dry."""
    open_rows = [row for row in rows if _next_step(row) is not None and row.state in EXPECTED]
    return min(open_rows, key=lambda row: EXPECTED.index(row.state), default=None)


def same_step_rows(rows: Sequence[RackRow], step: CoatStep) -> list[RackRow]:
    """The shells whose next coat is of the same kind, slurry and stucco, in the rack's order."""
    wanted = (step.kind, step.slurry, step.stucco)
    found = [row for row in rows if row.state in EXPECTED and _key(_next_step(row)) == wanted]
    return sorted(found, key=lambda row: EXPECTED.index(row.state))


def _next_step(row: RackRow) -> CoatStep | None:
    return row.forecast.next_step if row.forecast else None


def _key(step: CoatStep | None) -> tuple[CoatKind, str, str] | None:
    return (step.kind, step.slurry, step.stucco) if step else None


def is_due(row: RackRow) -> bool:
    """Whether nothing speaks against dipping this shell now."""
    return row.state in (RackState.DIP_DUE, RackState.BARE)


def find_rows(rows: Sequence[RackRow], typed: str) -> list[RackRow]:
    """The shells whose label, name, or a word of it begins with what was typed, labels first."""
    wanted = typed.strip().casefold()
    return sorted(
        (row for row in rows if any(part.startswith(wanted) for part in _parts(row))),
        key=lambda row: not row.shell.label.casefold().startswith(wanted),
    )


def _parts(row: RackRow) -> tuple[str, ...]:
    label, name = row.shell.label.casefold(), row.shell.name.casefold()
    # A label such as WB-08 is found by its number too: that is all a number pad can type.
    number = "".join(filter(str.isdigit, label))
    return (label, number, number.lstrip("0"), name, *name.split())


def board_before(proposal: DipProposal, opened: OpenShop, now: datetime) -> Board:
    """What to see before a dip: the coat, its tank and stucco, the state, what to watch."""
    shell, step, forecast = proposal.shell, proposal.step, proposal.forecast
    name = f"{shell.label}  {shell.name}"
    if step is None:
        through = f"ALL {len(shell.sequence.steps)} COATS ARE ON"
        return Board(name=name, lines=(BigLine(LineKind.COAT, through),), state=forecast.state)
    return Board(
        name=name,
        lines=(*_step_lines(proposal, step), state_line(forecast, opened, now)),
        notes=(
            *_early_notes(forecast, opened, now),
            *watch_notes(proposal, opened.units),
            *_since_notes(forecast, opened, now),
            *write_warnings(forecast, opened.units),
        ),
        state=forecast.state,
        early=proposal.early,
    )


def _step_lines(proposal: DipProposal, step: CoatStep) -> tuple[BigLine, ...]:
    planned = len(proposal.shell.sequence.steps)
    slurry = step.slurry.upper()
    tank = f"TANK {proposal.tank}".upper() if proposal.tank else ""
    return (
        BigLine(LineKind.COAT, f"COAT {proposal.number} OF {planned}", f"COAT {proposal.number}"),
        BigLine(LineKind.SLURRY, f"{tank}: {slurry}" if tank else slurry, slurry),
        BigLine(LineKind.STUCCO, step.stucco.upper() or "NO STUCCO"),
    )


def state_line(forecast: ShellForecast, opened: OpenShop, now: datetime) -> BigLine:
    """Whether the wall is dry, in capitals, with the spread of when it will be."""
    if forecast.state is DryState.BARE:
        return BigLine(LineKind.STATE, "BARE WAX")
    if forecast.safe_at is None or forecast.likely_at is None:
        return BigLine(LineKind.STATE, "EARLY: NOT DRY WITHIN A WEEK", "EARLY: NOT DRY")
    safe = write_time(forecast.safe_at, opened.zone, now).upper()
    if forecast.state is DryState.DRY:
        return BigLine(LineKind.STATE, f"DRY SINCE {safe}")
    likely = write_time(forecast.likely_at, opened.zone, now).upper()
    return BigLine(
        LineKind.STATE, f"EARLY: LIKELY DRY {likely}, SAFE {safe}", f"EARLY: SAFE {safe}"
    )


def _early_notes(forecast: ShellForecast, opened: OpenShop, now: datetime) -> tuple[str, ...]:
    """The warning that a dip would be early, with how sure that is; it never keeps anyone."""
    if forecast.state in (DryState.BARE, DryState.DRY):
        return ()
    chance = f"dry now with a chance of {write_chance(forecast.chance_dry)}"
    if forecast.likely_at is None or forecast.safe_at is None:
        return (f"Early: not safely dry within a week; {chance}.",)
    likely, safe = (
        write_time(moment, opened.zone, now) for moment in (forecast.likely_at, forecast.safe_at)
    )
    return (f"Early: likely dry {likely}, safe {safe}; {chance}.",)


def _since_notes(forecast: ShellForecast, opened: OpenShop, now: datetime) -> tuple[str, ...]:
    """Since when a dry coat was likely dry: the near end of the spread."""
    if forecast.state is not DryState.DRY or forecast.likely_at is None:
        return ()
    likely = write_time(forecast.likely_at, opened.zone, now)
    return (f"Likely dry since {likely} ({write_ago(forecast.likely_at, now)}).",)


def watch_notes(proposal: DipProposal, units: UnitPreferences) -> tuple[str, ...]:
    """What to watch at this dip: the step's own words, the prime's bubbles, the cores."""
    step = proposal.step
    if step is None:
        return ()
    prime = ("Blow the prime off gently, so that no bubble stays in a corner.",)
    return (
        *((step.watch,) if step.watch else ()),
        *(prime if step.kind is CoatKind.PRIME else ()),
        *(note for core in proposal.forecast.cores for note in _core_notes(core, proposal, units)),
    )


def _core_notes(core: CoreAnswer, proposal: DipProposal, units: UnitPreferences) -> tuple[str, ...]:
    if core.closed or core.plugged:
        return ()
    drain = f"Drain the core “{core.name}”."
    if core.width_m >= FINE_OPENING_M:
        return (drain,)
    width = write_quantity(core.width_m, Quantity.THICKNESS, units)
    early = core.closes_at[0]
    closing = " This coat may close it." if early is not None and early <= proposal.number else ""
    return (drain, f"Its opening is down to {width}: keep it clear.{closing}")


def board_after(
    opened: OpenShop, coat: Coat, forecast: ShellForecast | None, now: datetime
) -> Board:
    """What to see after a dip: which coat is on, and when it will be dry."""
    shell = opened.ledger.shell(coat.shell_id)
    numbers = {one.id: number for number, one in enumerate(opened.ledger.coats(shell.id), 1)}
    number = numbers.get(coat.id, 0)
    lines = (
        BigLine(LineKind.COAT, f"COAT {number} ON"),
        *_dry_lines(forecast, number, opened, now),
    )
    return Board(name=f"{shell.label}  {shell.name}", lines=lines)


def _dry_lines(
    forecast: ShellForecast | None, number: int, opened: OpenShop, now: datetime
) -> tuple[BigLine, ...]:
    if forecast is None or forecast.coats_on != number:
        return (BigLine(LineKind.DRY, "TIMES ON THEIR WAY"),)
    if forecast.likely_at is None or forecast.safe_at is None:
        return (BigLine(LineKind.DRY, "NOT SAFELY DRY WITHIN A WEEK", "NOT DRY WITHIN A WEEK"),)
    likely = write_time(forecast.likely_at, opened.zone, now).upper()
    safe = write_time(forecast.safe_at, opened.zone, now).upper()
    return (
        BigLine(LineKind.DRY, f"LIKELY DRY {likely}"),
        BigLine(LineKind.STATE, f"SAFE {safe}"),
    )
