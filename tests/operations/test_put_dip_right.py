"""Putting a dip right and taking it back: the book keeps what was there before, and why."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from shop_cases import (
    HOUR,
    NOW,
    an_extra,
    an_order,
    at,
    at_the_book,
    dip,
    numbered,
    on_rack,
)

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.errors import MendableError
from shellcoat.operations.dips import (
    DipInFutureError,
    correct_coat,
    log_dip,
    undo_coat,
)
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import set_state
from shellcoat.shop import Shell, ShellState, Withdrawal
from shellcoat.shop.ledger import AlreadyReplacedError

# Corrections.


def test_a_correction_keeps_both_with_who_and_why(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    coat = dip(opened, heron, at(-3))
    opened.who = "Bo"
    corrected = correct_coat(
        opened, replace(coat, dipped_at=at(-4), tank="P2"), NOW, "read off the wrong clock"
    )
    with open_book(path, read_only=True) as again:
        assert again.ledger.coats(heron.id) == (corrected,)
        old, new = again.ledger.history(coat.id)
    assert (old.record, new.record) == (coat, corrected)
    assert (new.who, new.reason, new.recorded_at) == ("Bo", "read off the wrong clock", NOW)
    assert new.replaces == old.id


def test_a_corrected_time_moves_the_coat_to_its_number(opened: OpenShop, heron: Shell) -> None:
    first, second = dip(opened, heron, at(-30)), dip(opened, heron, at(-20))
    correct_coat(opened, replace(second, dipped_at=at(-40)), NOW, "the day before")
    assert [coat.id for coat in opened.ledger.coats(heron.id)] == [second.id, first.id]
    assert [answer.coat_id for answer in opened.forecast_shell(heron, NOW).coats] == [
        second.id,
        first.id,
    ]


def test_a_coat_logged_on_the_wrong_shell_can_be_moved(opened: OpenShop, heron: Shell) -> None:
    crane = on_rack(opened, "crane")
    coat = dip(opened, heron, at(-3))
    correct_coat(opened, replace(coat, shell_id=crane.id), NOW, "it was the crane")
    assert numbered(opened, heron) == []
    assert numbered(opened, crane) == [at(-3)]
    dip(opened, heron, at(-2))
    dip(opened, crane, at(-1))
    assert numbered(opened, heron) == [at(-2)]
    assert numbered(opened, crane) == [at(-3), at(-1)]


def test_a_correction_into_the_future_is_refused(opened: OpenShop, heron: Shell) -> None:
    coat = dip(opened, heron, at(-3))
    with pytest.raises(DipInFutureError, match="has not come yet"):
        correct_coat(opened, replace(coat, dipped_at=at(3)), NOW, "a slip")
    assert numbered(opened, heron) == [at(-3)]


def test_on_a_finished_shell_it_is_the_time_that_is_named(opened: OpenShop, heron: Shell) -> None:
    """The shell's state is no fault of the correction: the past may be put right at any time."""
    coat = dip(opened, heron, at(-3))
    set_state(opened, heron.id, ShellState.FINISHED, at(-1))
    with pytest.raises(DipInFutureError, match="has not come yet"):
        correct_coat(opened, replace(coat, dipped_at=at(3)), NOW, "a slip")
    correct_coat(opened, replace(coat, dipped_at=at(-4)), NOW, "the wrong clock")
    assert numbered(opened, heron) == [at(-4)]


def test_two_people_correct_one_coat_the_second_is_told(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    coat = dip(opened, heron, at(-3))
    with at_the_book(path, "Bo") as other:
        correct_coat(opened, replace(coat, tank="P1"), NOW, "the other tank")
        with pytest.raises(AlreadyReplacedError, match="Ana has already changed this entry"):
            correct_coat(other, replace(coat, tank="P3"), NOW, "the third tank")
        (kept,) = other.ledger.coats(heron.id)
        assert kept.tank == "P1"


# Undo.


def test_an_undone_coat_is_gone_from_the_shell_and_kept_in_the_book(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    first, second = dip(opened, heron, at(-30)), dip(opened, heron, at(-3))
    undo_coat(opened, second.id, NOW, "wrong shell")
    with open_book(path, read_only=True) as again:
        assert again.ledger.coats(heron.id) == (first,)
        logged, taken_back = again.ledger.history(second.id)
    assert logged.record == second
    assert taken_back.record == Withdrawal(id=second.id)
    assert (taken_back.who, taken_back.reason) == ("Ana", "wrong shell")
    assert check_book(path).sound


def test_a_coat_from_the_middle_can_be_taken_back(opened: OpenShop, heron: Shell) -> None:
    coats = [dip(opened, heron, at(hours)) for hours in (-60, -40, -20)]
    undo_coat(opened, coats[1].id, NOW)
    assert numbered(opened, heron) == [at(-60), at(-20)]


def test_undo_then_redo_and_again(path: Path, opened: OpenShop, heron: Shell) -> None:
    """Each press is another dip to the book, though the coat has the same number."""
    dip(opened, heron, at(-30))
    for turn in range(3):
        coat = dip(opened, heron, NOW, note=f"turn {turn}")
        undo_coat(opened, coat.id, NOW)
    dip(opened, heron, NOW, note="at last")
    coats = opened.ledger.coats(heron.id)
    assert [coat.note for coat in coats] == ["", "at last"]
    opened.book.close()
    assert check_book(path).sound


def test_undone_to_the_bare_wax_and_begun_again(opened: OpenShop, heron: Shell) -> None:
    undo_coat(opened, dip(opened, heron, at(-1)).id, NOW)
    forecast = opened.forecast_shell(heron, NOW)
    assert (forecast.coats_on, forecast.next_step) == (0, heron.sequence.steps[0])
    dip(opened, heron, NOW)
    assert opened.forecast_shell(heron, NOW).coats_on == 1


def test_a_coat_that_was_taken_back_cannot_be_taken_back_again(
    opened: OpenShop, heron: Shell
) -> None:
    """Two presses of the undo button, the second after the first was kept."""
    coat = dip(opened, heron, NOW)
    undo_coat(opened, coat.id, NOW)
    with pytest.raises(MendableError):
        undo_coat(opened, coat.id, NOW + HOUR)


def test_the_second_to_undo_a_coat_is_told(path: Path, opened: OpenShop, heron: Shell) -> None:
    coat = dip(opened, heron, NOW)
    with at_the_book(path, "Bo") as unaware, at_the_book(path, "Cy") as aware:
        undo_coat(opened, coat.id, NOW)
        with pytest.raises(AlreadyReplacedError, match="Ana has already changed"):
            undo_coat(unaware, coat.id, NOW)
        aware.book.refresh()
        with pytest.raises(MendableError):
            undo_coat(aware, coat.id, NOW)


def test_a_coat_that_was_taken_back_cannot_be_corrected(
    path: Path, opened: OpenShop, heron: Shell
) -> None:
    """A correction dialog was open while somebody else undid the dip."""
    coat = dip(opened, heron, NOW)
    undo_coat(opened, coat.id, NOW)
    with pytest.raises(MendableError):
        correct_coat(opened, replace(coat, tank="P1"), NOW, "the other tank")


def test_after_an_undo_the_same_moment_is_free_again(opened: OpenShop, heron: Shell) -> None:
    order = an_order(opened, heron, NOW)
    undo_coat(opened, log_dip(opened, order, NOW).id, NOW)
    assert log_dip(opened, an_extra(heron, NOW), NOW).dipped_at == NOW
