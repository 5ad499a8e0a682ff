"""Shells: labels that hang on one piece only, and finding a piece by what a person calls it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_cases import NOW, a_wax, an_entry, an_id, at, at_the_book, on_rack

from shellcoat.book import open_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import (
    LabelTakenError,
    NoSuchShellError,
    edit_shell,
    find_shell,
    free_label,
    set_state,
    start_shell,
)
from shellcoat.shop import Ledger, Shell, ShellState
from shellcoat.shop.label_code import MisreadCodeError, code_text


def named(opened: OpenShop, label: str, name: str) -> Shell:
    return start_shell(
        opened, replace(a_wax(), id=an_id((label, name)), name=name, label=label), NOW
    )


@pytest.fixture
def rack(opened: OpenShop) -> OpenShop:
    """Five pieces, some of whose names begin alike."""
    for label, name in (
        ("001", "Heron, standing"),
        ("002", "Heron, fishing"),
        ("003", "Ship's bell"),
        ("heron", "Door knocker"),
        ("BL-1", "Straßenglocke"),
    ):
        named(opened, label, name)
    return opened


# Labels.


def test_a_new_shell_is_on_the_rack_and_in_the_book(path: Path, opened: OpenShop) -> None:
    wax = a_wax("heron", metal="silicon bronze", rack_place="A 2", area_m2=0.12)
    assert start_shell(opened, wax, NOW) == wax
    with open_book(path, read_only=True) as again:
        assert again.ledger.shells == [wax]


@pytest.mark.parametrize("label", ["w-1", "W-1"])
def test_a_label_in_use_is_refused_with_whose_it_is_and_a_free_one(
    opened: OpenShop, label: str
) -> None:
    named(opened, "W-1", "Heron")
    with pytest.raises(LabelTakenError, match=r"hangs on Heron already.*for example 002"):
        named(opened, label, "Teal")
    assert [shell.name for shell in opened.ledger.shells] == ["Heron"]


def test_a_label_taken_by_an_edit_is_refused_too(opened: OpenShop) -> None:
    named(opened, "001", "Heron")
    teal = named(opened, "002", "Teal")
    with pytest.raises(LabelTakenError):
        edit_shell(opened, replace(teal, label="001"), NOW)
    edit_shell(opened, replace(teal, rack_place="B 4"), NOW)
    assert opened.ledger.shell(teal.id).rack_place == "B 4"


def test_the_label_of_a_scrapped_shell_is_free_and_of_a_finished_one_not(
    opened: OpenShop,
) -> None:
    finished, scrapped = named(opened, "001", "Heron"), named(opened, "002", "Teal")
    set_state(opened, finished.id, ShellState.FINISHED, NOW)
    set_state(opened, scrapped.id, ShellState.SCRAPPED, NOW, "cracked at the foot")
    named(opened, "002", "Coot")
    with pytest.raises(LabelTakenError):
        named(opened, "001", "Smew")


@pytest.mark.parametrize(
    ("labels", "free"),
    [
        ([], "001"),
        (["001", "002"], "003"),
        (["7"], "008"),
        (["W-12", "bell"], "013"),
        (["B 099"], "100"),
        (["1234"], "1235"),
        (["2026-03"], "004"),
    ],
)
def test_the_free_label_counts_on(opened: OpenShop, labels: list[str], free: str) -> None:
    for number, label in enumerate(labels):
        named(opened, label, f"Heron {number}")
    assert free_label(opened) == free


@given(
    labels=st.lists(
        st.one_of(
            st.integers(0, 10**12).map(str),
            st.text("AB-0123456789 ٣", min_size=1, max_size=14).filter(str.strip),
        ),
        max_size=8,
        unique_by=str.casefold,
    )
)
def test_the_free_label_is_free(labels: list[str]) -> None:
    shells = [replace(a_wax(), id=an_id(label), label=label) for label in labels]
    ledger = Ledger.of(an_entry(shell) for shell in shells)
    shop = cast("OpenShop", SimpleNamespace(ledger=ledger))
    assert free_label(shop) not in labels


def test_what_was_known_before_an_edit_stays_in_the_book(opened: OpenShop) -> None:
    heron = on_rack(opened, "heron")
    edit_shell(opened, replace(heron, name="Heron, preening"), NOW, "the wax was changed")
    old, new = opened.ledger.history(heron.id)
    assert old.record == heron
    assert (new.reason, opened.ledger.shell(heron.id).name) == (
        "the wax was changed",
        "Heron, preening",
    )


# Finding.


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("001", "Heron, standing"),
        (" 002 ", "Heron, fishing"),
        ("heron", "Door knocker"),  # a label before any name
        ("HERON", "Door knocker"),
        ("Ship's bell", "Ship's bell"),
        ("ship", "Ship's bell"),
        ("heron, f", "Heron, fishing"),
        ("bl-1", "Straßenglocke"),
        ("STRASSENGLOCKE", "Straßenglocke"),
    ],
)
def test_a_shell_is_found_by_label_name_or_first_letters(
    rack: OpenShop, text: str, name: str
) -> None:
    assert find_shell(rack, text).name == name


def test_a_shell_is_found_by_its_id(rack: OpenShop) -> None:
    shell = rack.ledger.shells[2]
    assert find_shell(rack, str(shell.id)) is shell


def test_letters_that_fit_several_name_them_with_their_labels(rack: OpenShop) -> None:
    with pytest.raises(NoSuchShellError) as refused:
        find_shell(rack, "Heron, ")
    for words in ("001 Heron, standing", "002 Heron, fishing", "Give the label"):
        assert words in str(refused.value)


@pytest.mark.parametrize("text", ["", "  ", "crane", "00", "bell"])
def test_what_fits_nothing_says_where_to_look(rack: OpenShop, text: str) -> None:
    with pytest.raises(NoSuchShellError, match="No shell is called"):
        find_shell(rack, text)


def test_a_whole_name_wins_over_a_longer_one_that_begins_with_it(opened: OpenShop) -> None:
    named(opened, "001", "Bell")
    named(opened, "002", "Bell, large")
    assert find_shell(opened, "bell").label == "001"


def test_a_scrapped_shell_is_no_longer_in_the_way(opened: OpenShop) -> None:
    old = named(opened, "001", "Heron")
    set_state(opened, old.id, ShellState.SCRAPPED, at(1))
    new = named(opened, "002", "Heron")
    assert find_shell(opened, "heron").id == new.id


def test_what_another_window_put_on_the_rack_is_found(path: Path, opened: OpenShop) -> None:
    with at_the_book(path, "Bo") as other:
        heron = on_rack(opened, "heron")
        other.book.refresh()
        assert find_shell(other, "W-heron") == heron


# What a scanner reads.


@pytest.mark.parametrize(
    ("scanned", "name"),
    [
        ("001--6", "Heron, standing"),
        ("BL-1--7", "Straßenglocke"),
        ("bl-1--7", "Straßenglocke"),
        ("HERON--S", "Door knocker"),
    ],
)
def test_the_code_of_a_label_finds_its_shell(rack: OpenShop, scanned: str, name: str) -> None:
    assert scanned.upper() in {code_text(shell.label) for shell in rack.ledger.shells}
    assert find_shell(rack, scanned).name == name


def test_a_misread_code_is_told_and_finds_nothing(rack: OpenShop) -> None:
    with pytest.raises(MisreadCodeError, match="Scan the label again"):
        find_shell(rack, "001--3")


def test_a_label_that_looks_like_the_code_of_another_is_never_guessed(rack: OpenShop) -> None:
    named(rack, "001--6", "Anchor")
    with pytest.raises(NoSuchShellError, match="fits several shells"):
        find_shell(rack, "001--6")
