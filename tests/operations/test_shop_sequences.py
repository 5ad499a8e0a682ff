"""Dip sequences: copied, changed, retired; a shell in work keeps the one it was started with."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from shop_cases import BACKUP, NOW, SHORT_WALL, an_id, dip, on_rack

from shellcoat.book import open_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import (
    copy_sequence,
    retire_sequence,
    save_sequence,
    sequences_in_use,
    starters,
)
from shellcoat.shop import DipSequence, Shell

LONGER = (*SHORT_WALL.steps, BACKUP)


def in_book(opened: OpenShop, sequence: DipSequence) -> DipSequence:
    (found,) = [one for one in opened.ledger.sequences if one.id == sequence.id]
    return found


def test_the_starters_are_in_the_shop(opened: OpenShop) -> None:
    assert sequences_in_use(opened) == [*starters(), SHORT_WALL]


def test_a_copy_differs_in_name_and_id_alone(path: Path, opened: OpenShop) -> None:
    copied = copy_sequence(opened, SHORT_WALL.id, NOW)
    assert copied.id != SHORT_WALL.id
    assert copied.name == "Short wall (copy)"
    assert replace(copied, id=SHORT_WALL.id, name=SHORT_WALL.name) == SHORT_WALL
    with open_book(path, read_only=True) as again:
        assert copied in again.ledger.sequences


def test_copies_of_copies_have_names_of_their_own(opened: OpenShop) -> None:
    copies = [copy_sequence(opened, SHORT_WALL.id, NOW) for _ in range(3)]
    copies.append(copy_sequence(opened, copies[0].id, NOW))
    names = [sequence.name for sequence in opened.ledger.sequences]
    assert len(set(names)) == len(names)
    assert [copy.name for copy in copies[:3]] == [
        "Short wall (copy)",
        "Short wall (copy 2)",
        "Short wall (copy 3)",
    ]


def test_a_sequence_with_the_longest_name_can_be_copied(opened: OpenShop) -> None:
    long = save_sequence(opened, replace(SHORT_WALL, id=an_id("long"), name="w" * 200), NOW)
    first, second = copy_sequence(opened, long.id, NOW), copy_sequence(opened, long.id, NOW)
    assert len({long.name, first.name, second.name}) == 3


def test_a_change_reaches_the_shop_and_no_shell_in_work(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    dip(opened, heron, NOW)
    before = opened.forecast_shell(heron, NOW)
    save_sequence(opened, replace(SHORT_WALL, steps=LONGER, target_thickness_m=4e-3), NOW)
    with open_book(path, read_only=True) as again:
        (standing,) = [one for one in again.ledger.sequences if one.id == SHORT_WALL.id]
        assert again.ledger.shell(heron.id).sequence == SHORT_WALL
    assert standing.steps == LONGER
    assert opened.forecast_shell(opened.ledger.shell(heron.id), NOW) == before
    teal = on_rack(opened, "teal", sequence=in_book(opened, SHORT_WALL))
    assert opened.forecast_shell(teal, NOW).coats_planned == 4


def test_what_a_sequence_was_before_stays_in_the_book(opened: OpenShop) -> None:
    save_sequence(opened, replace(SHORT_WALL, steps=LONGER), NOW)
    old, new = opened.ledger.history(SHORT_WALL.id)
    assert (old.record, new.replaces) == (SHORT_WALL, old.id)


def test_a_retired_sequence_leaves_the_list_and_comes_back(opened: OpenShop, heron: Shell) -> None:
    retire_sequence(opened, SHORT_WALL.id, NOW)
    assert SHORT_WALL.id not in {sequence.id for sequence in sequences_in_use(opened)}
    assert in_book(opened, SHORT_WALL).retired
    assert opened.ledger.shell(heron.id).sequence == SHORT_WALL
    dip(opened, heron, NOW)
    retire_sequence(opened, SHORT_WALL.id, NOW, retired=False)
    assert SHORT_WALL in sequences_in_use(opened)


def test_a_copy_of_a_retired_sequence_is_in_use(opened: OpenShop) -> None:
    retire_sequence(opened, SHORT_WALL.id, NOW)
    assert copy_sequence(opened, SHORT_WALL.id, NOW) in sequences_in_use(opened)


def test_a_new_sequence_is_kept(opened: OpenShop) -> None:
    own = replace(SHORT_WALL, id=an_id("own"), name="My wall")
    save_sequence(opened, own, NOW)
    assert own in sequences_in_use(opened)
