"""How the pours went, as text for people and as plain data for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from shellcoat.forecast.pour_odds import PouredShell, Split
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.outcome_wording import (
    CAUTION,
    all_splits,
    write_counts,
    write_outcome,
    write_split,
)
from shellcoat.operations.plain_data import plain
from shellcoat.operations.wording import write_time
from shellcoat.shop import Outcome


def newest_first(opened: OpenShop) -> list[Outcome]:
    """Every outcome that stands, the latest pour first."""
    found = opened.ledger.outcomes.values()
    return sorted(found, key=lambda one: (one.poured_at, one.id), reverse=True)


def outcomes_text(opened: OpenShop, shells: Sequence[PouredShell], now: datetime) -> str:
    """The counts, what they go with, and each pour."""
    outcomes, writer = newest_first(opened), CheckWriter(opened.units)
    lines = [write_counts(outcomes)]
    if outcomes:
        lines += ["", *(write_split(split) for split in all_splits(shells)), "", CAUTION, ""]
    for outcome in outcomes:
        shell = opened.ledger.shell(outcome.shell_id)
        at = write_time(outcome.poured_at, opened.zone, now)
        lines.append(f"{at}  {shell.label}  {shell.name}: {write_outcome(outcome, writer)}")
    return "\n".join(lines)


def outcomes_json(opened: OpenShop, shells: Sequence[PouredShell]) -> dict[str, Any]:
    """The same as data: outcomes as kept, traits as shares of their limits, counts with bounds."""
    traits = {
        str(shell.shell_id): {trait.name.lower(): ratio for trait, ratio in shell.traits.items()}
        for shell in shells
    }
    return {
        "outcomes": [plain(outcome) for outcome in newest_first(opened)],
        "traits": traits,
        "splits": [_split_json(split) for split in all_splits(shells)],
    }


def _split_json(split: Split) -> dict[str, Any]:
    groups = {
        name: {
            "not_sound": share.faults,
            "shells": share.count,
            "low": share.interval[0],
            "high": share.interval[1],
        }
        for name, share in (("worse", split.worse), ("better", split.better))
    }
    return {
        "trait": split.trait.name.lower(),
        **groups,
        "unknown": split.unknown,
        "verdict": split.verdict.value,
    }
