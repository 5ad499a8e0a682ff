"""Cores through their coats: which hollow dries, which does not, and what would help.

A core's wall takes water at every dip like the face does, but gives it off only through its
openings, which every coat narrows. Its unknown is the vent factor, which takes the place of the
air film's in the lanes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.answers import ActionKind, CoreAction, CoreAnswer
from shellcoat.forecast.core_vents import (
    CoreVents,
    Period,
    changed_from,
    closing_coats,
    core_vents,
    is_closed,
    periods,
    widest_m,
)
from shellcoat.forecast.drying import AirStack, CoatBatch
from shellcoat.forecast.history import DryingRules, ShellChain, Way, follow_next
from shellcoat.forecast.lanes import TENTHS, fine_samples, quantiles
from shellcoat.forecast.thickness import built_thickness
from shellcoat.forecast.times import seconds
from shellcoat.physics.cavity import steam_volume
from shellcoat.shop import Band, Core, CoreCare

Floats = NDArray[np.float64]

NOTHING_KG_M2 = 1e-9
"""Stands for no water [kg/m2] where a logarithm or a share is taken of it."""

BLOW_M3_S = tuple(litres / 60_000.0 for litres in (5.0, 10.0, 20.0))
"""Air flows tried [m3/s]: what an aquarium pump, a small and a large one give; common practice."""

WIDEN = (1.5, 2.0)
"""Widenings tried, as multiples of the widest opening's clear width."""


@dataclass(slots=True)
class CoreChain(ShellChain):
    """One core on its way through the coats of its shell."""

    core: Core = field(kw_only=True)
    care: tuple[CoreCare, ...] = field(kw_only=True, default=())
    extra: Period | None = field(kw_only=True, default=None)
    extra_from_s: float = field(kw_only=True, default=0.0)
    gap_m: float = field(kw_only=True)

    def new_water(self, rules: DryingRules) -> float:
        """Water the next coat brings [kg/m2]: none to speak of into a core that is shut."""
        dipped = seconds(self.next_coat.dipped_at)
        plugged = periods(self.core, self.care, dipped, dipped + 1.0)[0].shut
        closed = is_closed(self.core, self.wall_m, self.gap_m)
        if plugged or closed:
            return NOTHING_KG_M2
        return rules.figures(self.next_coat.step).water_kg_m2.likely

    def belief(self, rules: DryingRules) -> Floats:
        """What is believed of the next coat's factors in this core [SAMPLES]."""
        place = (self.shell.id, len(self.answers), self.core.id)
        return rules.knowledge.core_weights(self.core.id, self.next_coat.step, place)


def core_chains(chain: ShellChain, care: Sequence[CoreCare], gap_m: float) -> list[CoreChain]:
    """A fresh chain for each core of a shell; `gap_m` [m] is the width that slurry bridges."""
    return [
        CoreChain(chain.shell, chain.coats, core=core, care=tuple(care), gap_m=gap_m)
        for core in chain.shell.cores
    ]


def core_rules(rules: DryingRules) -> DryingRules:
    """The rules of the face with the vent factor in place of the film's."""
    return replace(rules, lanes=rules.values.core.spreads.lanes())


def follow_cores(
    chains: Sequence[CoreChain],
    query_s: Sequence[float],
    air: AirStack,
    rules: DryingRules,
    *,
    hold_air: bool = False,
) -> None:
    """Dry the next coat in every core; `query_s` [s] is the next dip, or now."""
    if chains:
        way = core_way(chains, query_s, air, rules, hold_air=hold_air)
        follow_next(chains, query_s, air, rules, hold_air=hold_air, way=way)


def core_way(
    chains: Sequence[CoreChain],
    query_s: Sequence[float],
    air: AirStack,
    rules: DryingRules,
    *,
    hold_air: bool,
) -> Way:
    """How vapour gets out of these cores; parameters as in `follow_cores`."""

    def way(batch: CoatBatch) -> CoreVents:
        ends = [air.end_s] * len(chains)
        schedule = [_schedule(chain, end) for chain, end in zip(chains, ends, strict=True)]
        walls = [_wall_after(chain, rules) for chain in chains]
        cores = [chain.core for chain in chains]
        # What was dipped over must not breathe by the air that came later.
        known_s = query_s if hold_air else ends
        values = rules.values.core
        return core_vents(cores, walls, schedule, air, batch, known_s, rules.lanes, values)

    return way


def _schedule(chain: CoreChain, end_s: float) -> list[Period]:
    start = seconds(chain.next_coat.dipped_at)
    base = periods(chain.core, chain.care, start, end_s)
    return changed_from(base, chain.extra_from_s, chain.extra) if chain.extra else base


def _wall_after(chain: CoreChain, rules: DryingRules) -> float:
    """Wall in the opening once the next coat is on [m]."""
    on_dry, loss = rules.figures(chain.next_coat.step).thickness_m, rules.values.loss_on_wet
    return chain.wall_m + built_thickness(on_dry, chain.left_share, loss).likely


@dataclass(frozen=True, slots=True)
class CoreLook:
    """What an answer needs besides the chains; `due_s` [s] is when the face is safely dry."""

    air: AirStack
    rules: DryingRules
    now: datetime
    due_s: float | None


def core_answer(chain: CoreChain, look: CoreLook) -> CoreAnswer:
    """What to say of a core whose present coat has been dried."""
    core, last, rules = chain.core, chain.answers[-1], look.rules
    gap = rules.values.core.bridging_gap_m
    held = fine_samples(chain.left * core.area_m2)
    kilograms = np.sort(quantiles(held, TENTHS, chain.weights))
    water = Band(*np.maximum(kilograms, 0.0).tolist())
    by_due = chain.chance if look.due_s is None else chain.chance_by(look.due_s)
    here = seconds(look.now)
    return CoreAnswer(
        core_id=core.id,
        name=core.name,
        likely_at=last.likely_at,
        safe_at=last.safe_at,
        chance_dry=chain.chance,
        chance_by_due=by_due,
        water_kg=water,
        dry_kg=rules.dry_share
        * rules.figures(chain.coats[-1].step).water_kg_m2.likely
        * core.area_m2,
        steam_l=Band(*(float(steam_volume(kg)) for kg in (water.low, water.likely, water.high))),
        width_m=widest_m(core, chain.wall_m),
        closes_at=_closing(chain, rules),
        closed=is_closed(core, chain.wall_m, gap),
        plugged=periods(core, chain.care, here, here + 1.0)[0].shut,
    )


def _closing(chain: CoreChain, rules: DryingRules) -> tuple[int | None, int | None, int | None]:
    """The coat that bridges the last opening with thick, likely and thin coats."""
    gap = rules.values.core.bridging_gap_m
    coats = [answer.thickness_m for answer in chain.answers]
    planned = chain.shell.sequence.steps[len(coats) :]
    coats += [rules.figures(step).thickness_m for step in planned]
    found = (
        closing_coats(chain.core, [getattr(band, name) for band in coats], gap)
        for name in ("high", "likely", "low")
    )
    early, likely, late = found
    return early, likely, late


def core_actions(
    before: CoreChain, safe_at: datetime | None, look: CoreLook
) -> Iterator[CoreAction]:
    """Everything that could be tried now, the largest gain first; each dried anew.

    `before` is the core's chain up to its present coat, `safe_at` its safe time if nothing is
    done.
    """
    here = seconds(look.now)
    blown = periods(before.core, before.care, here, here + 1.0)[0].flow_m3_s
    tried = [*_trials(before, _wall_after(before, look.rules), blown)]
    chains = [replace(before.copy(), extra=change, extra_from_s=here) for _, _, change in tried]
    follow_cores(chains, [here] * len(chains), look.air, look.rules)
    none = seconds(safe_at) if safe_at else look.air.end_s
    found = [
        CoreAction(
            kind=kind,
            amount=amount,
            safe_at=chain.answers[-1].safe_at,
            at_least=safe_at is None,
            gain_s=none
            - (seconds(chain.answers[-1].safe_at) if chain.answers[-1].safe_at else none),
            lasts_s=_lasts(kind, chain.answers[-1].safe_at, look.now),
        )
        for (kind, amount, _), chain in zip(tried, chains, strict=True)
    ]
    if safe_at is not None and safe_at > look.now:
        found += _plugging(before, safe_at, look)
    helpful = [action for action in found if action.gain_s > 600.0]
    yield from sorted(helpful, key=lambda action: -action.gain_s)
    if safe_at is not None and safe_at > look.now:
        wait = (safe_at - look.now).total_seconds()
        yield CoreAction(kind=ActionKind.WAIT, amount=wait, safe_at=safe_at, gain_s=0.0)


def _lasts(kind: ActionKind, safe_at: datetime | None, now: datetime) -> float | None:
    """How long air has to be blown in [s]: until the core is safely dry."""
    if kind is not ActionKind.BLOW or safe_at is None:
        return None
    return (safe_at - now).total_seconds()


def _plugging(before: CoreChain, safe_at: datetime, look: CoreLook) -> list[CoreAction]:
    """Plug the core once it is dry: what it gains is what the next dip would cost it.

    That dip is taken to be made then, and its coat to dry in this core as it would.
    """
    step = before.shell.next_step(len(before.coats))
    here = seconds(safe_at)
    if step is None or periods(before.core, before.care, here, here + 1.0)[0].shut:
        return []
    coming = replace(before.coats[-1], step=step, dipped_at=safe_at)
    chain = replace(before.copy(), coats=(*before.coats, coming))
    for _ in range(2):
        follow_cores([chain], [here], look.air, look.rules)
    later = chain.answers[-1].safe_at
    return [
        CoreAction(
            kind=ActionKind.PLUG,
            amount=float(len(before.coats)),
            safe_at=safe_at,
            gain_s=(seconds(later) if later else look.air.end_s) - here,
            at_least=later is None,
        )
    ]


def _trials(
    before: CoreChain, wall_m: float, blown_m3_s: float
) -> Iterator[tuple[ActionKind, float | None, Period]]:
    """What could be tried; of the air flows only those above what is blown in already."""
    yield ActionKind.TURN, None, Period(np.inf, turned=True)
    for flow in BLOW_M3_S:
        if flow > blown_m3_s:
            yield ActionKind.BLOW, flow, Period(np.inf, flow_m3_s=flow - blown_m3_s)
    width = widest_m(before.core, wall_m)
    for times in WIDEN:
        yield ActionKind.WIDEN, width * times, Period(np.inf, widened_m=width * (times - 1.0))
