"""Outcomes and what they go with, in plain words that claim no more than was counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from shellcoat.forecast.pour_odds import PouredShell, Share, Split, Trait, Verdict, split_by
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.shop import Outcome, PourResult
from shellcoat.units import Quantity

NO_OUTCOMES = (
    "No pour is logged yet. After a pour open the shell's page and press More, “Outcome…”."
)
CAUTION = (
    "These are counts of this shop's own shells, with 95 % intervals (Wilson 1927). Shells that "
    "share one thing mostly share others, so none of this says why a shell failed; wall, dryness "
    "and core water are estimates themselves."
)
SIDES: dict[Trait, tuple[str, str]] = {
    Trait.THICKNESS: ("wall below its target", "wall at its target or above"),
    Trait.INTERVAL: ("a dip before the safe time", "every dip after the safe time"),
    Trait.CORE_WATER: ("a core not dry at the end", "all cores dry at the end"),
    Trait.AIR: ("room swung past the limit", "room within the limit"),
}
HEADS: dict[Trait, str] = {
    Trait.THICKNESS: "Wall thickness",
    Trait.INTERVAL: "Shortest interval",
    Trait.CORE_WATER: "Core water",
    Trait.AIR: "Air over the prime coats",
}
UNKNOWN: dict[Trait, str] = {
    Trait.THICKNESS: "Without a coat in the book",
    Trait.INTERVAL: "With fewer than two coats in the book",
    Trait.CORE_WATER: "Without a core",
    Trait.AIR: "With no prime coat whose air was measured",
}


def all_splits(shells: Sequence[PouredShell]) -> list[Split]:
    """Every trait in its order."""
    return [split_by(trait, shells) for trait in Trait]


def write_percent(share: float) -> str:
    """A share as whole per cent."""
    return f"{100.0 * share:.0f} %"


def write_share(share: Share) -> str:
    """Faults of shells, and between which shares the truth may lie."""
    low, high = share.interval
    return f"{share.faults} of {share.count} not sound ({100.0 * low:.0f} to {100.0 * high:.0f} %)"


def write_verdict(split: Split) -> str:
    """What the two groups can tell, and no more."""
    match split.verdict:
        case Verdict.NOTHING_TO_COMPARE:
            return "Only one kind so far: nothing to compare."
        case Verdict.TOO_FEW:
            return "The intervals overlap: n is too small to say."
        case Verdict.APART:
            return "The intervals lie apart: these shells differed. Why, the counts do not say."


def write_split(split: Split) -> str:
    """One trait in a few sentences."""
    shares = zip(SIDES[split.trait], (split.worse, split.better), strict=True)
    sides = [f"{words}: {write_share(share)}" for words, share in shares if share.count]
    if not sides:
        return f"{HEADS[split.trait]}: known for no shell."
    said = "; ".join(sides)
    unknown = f" {UNKNOWN[split.trait]}: {split.unknown}." if split.unknown else ""
    return f"{HEADS[split.trait]}. {said[0].upper()}{said[1:]}.{unknown} {write_verdict(split)}"


def write_counts(outcomes: Sequence[Outcome]) -> str:
    """How many shells were poured, and what became of them."""
    if not outcomes:
        return NO_OUTCOMES
    counted = Counter(outcome.result for outcome in outcomes)
    kinds = ", ".join(f"{counted[kind]} {kind.value}" for kind in PourResult if counted[kind])
    faults = len(outcomes) - counted[PourResult.SOUND]
    return f"Poured: {len(outcomes)} – {kinds}. {write_share(Share(faults, len(outcomes)))}."


def write_temps(outcome: Outcome, writer: CheckWriter) -> str:
    """Metal and shell temperature and the metal poured, as far as they were measured."""
    parts = []
    if outcome.metal_temp_c is not None:
        parts.append(f"metal {writer.write(outcome.metal_temp_c, Quantity.TEMPERATURE, 0)}")
    if outcome.shell_temp_c is not None:
        parts.append(f"shell {writer.write(outcome.shell_temp_c, Quantity.TEMPERATURE, 0)}")
    if outcome.metal_mass_kg is not None:
        parts.append(writer.write(outcome.metal_mass_kg, Quantity.MASS))
    return ", ".join(parts)


def write_outcome(outcome: Outcome, writer: CheckWriter) -> str:
    """One outcome in a sentence."""
    where = f", {outcome.where}" if outcome.where else ""
    temps = write_temps(outcome, writer)
    return f"{outcome.result.value}{where}{f' ({temps})' if temps else ''}"
