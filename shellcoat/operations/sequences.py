"""Dip sequences of the shop: copying, changing, adding, retiring."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from uuid import UUID, uuid4

from shellcoat.operations.open_shop import OpenShop
from shellcoat.places import resources_dir
from shellcoat.shop import DipSequence
from shellcoat.shop.starters import starter_sequences


def starters() -> tuple[DipSequence, ...]:
    """The sequences that come with the program."""
    return starter_sequences(resources_dir() / "sequences")


def sequences_in_use(opened: OpenShop) -> list[DipSequence]:
    """The shop's sequences that are not retired."""
    return [sequence for sequence in opened.ledger.sequences if not sequence.retired]


def copy_sequence(opened: OpenShop, sequence_id: UUID, now: datetime) -> DipSequence:
    """Start a new sequence from an old one, under a name of its own."""
    original = next(s for s in opened.ledger.sequences if s.id == sequence_id)
    copied = replace(original, id=uuid4(), name=_free_name(opened, original.name), retired=False)
    opened.record(copied, now)
    return copied


def _free_name(opened: OpenShop, name: str) -> str:
    taken = {sequence.name for sequence in opened.ledger.sequences}
    stem = f"{name[:180]} (copy"
    candidates = [f"{stem})", *(f"{stem} {number})" for number in range(2, len(taken) + 3))]
    return next(candidate for candidate in candidates if candidate not in taken)


def save_sequence(opened: OpenShop, sequence: DipSequence, now: datetime) -> DipSequence:
    """Keep a new or changed sequence; shells in work keep the one they were started with."""
    if sequence.id in opened.ledger.live:
        opened.amend(sequence, now)
    else:
        opened.record(sequence, now)
    return sequence


def retire_sequence(
    opened: OpenShop, sequence_id: UUID, now: datetime, *, retired: bool = True
) -> DipSequence:
    """Take a sequence out of the lists, or put it back; nothing is lost."""
    original = next(s for s in opened.ledger.sequences if s.id == sequence_id)
    return save_sequence(opened, replace(original, retired=retired), now)
