"""Stress spots: what a spot may be, and that books without any still open."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import UUID, uuid5

import msgspec
import pytest

from shellcoat.book.codec import canonical, decode, encode
from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.operations.sequences import starters
from shellcoat.shop import Shell, SpotKind, StressSpot
from shellcoat.shop.checks import MissingTextError
from shellcoat.shop.stress import MOST_SPOTS, StressSpotError

NAMESPACE = UUID("4f0c2a1e-70b1-4a3c-9a53-2d7de2f7a6b1")


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


def flat(**changes: object) -> StressSpot:
    """The flat back of a plaque."""
    fields = {
        "id": an_id("back"),
        "name": "Flat back",
        "kind": SpotKind.FLAT,
        "long_m": 0.15,
        "short_m": 0.10,
        "head_m": 0.5,
    }
    return StressSpot(**(fields | changes))


def ring(**changes: object) -> StressSpot:
    """The neck of a water bird."""
    fields = {
        "id": an_id("neck"),
        "name": "Neck",
        "kind": SpotKind.ROUND,
        "radius_m": 0.03,
        "head_m": 0.4,
    }
    return StressSpot(**(fields | changes))


def a_shell(spots: tuple[StressSpot, ...]) -> Shell:
    """A bare wax with these spots."""
    return Shell(
        id=an_id("heron"),
        name="Standing heron",
        label="014",
        sequence=starters()[0],
        room_id=an_id("room"),
        started_at=datetime(2026, 3, 3, 8, 0, tzinfo=UTC),
        spots=spots,
    )


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: flat(short_m=None), "both sides"),
        (lambda: flat(long_m=None), "both sides"),
        (lambda: flat(radius_m=0.03), "no radius"),
        (lambda: flat(long_m=0.09), "Change them round"),
        (lambda: ring(radius_m=None), "Give the radius"),
        (lambda: ring(long_m=0.1), "no sides"),
        (lambda: ring(clamped=True), "no held edge"),
    ],
)
def test_measures_that_do_not_belong_together_are_refused(make, said: str) -> None:
    with pytest.raises(StressSpotError, match=said):
        make()


@pytest.mark.parametrize("field", ["head_m", "long_m", "short_m"])
@pytest.mark.parametrize("value", [0.0, -0.1, 6.0, float("nan"), float("inf")])
def test_impossible_measures_are_refused(field: str, value: float) -> None:
    with pytest.raises(ValueOutOfRangeError):
        flat(**{field: value})


def test_a_spot_has_a_name() -> None:
    with pytest.raises(MissingTextError):
        ring(name="  ")


def test_a_square_face_is_a_face() -> None:
    assert flat(long_m=0.1).short_m == 0.1


def test_a_shell_carries_so_many_spots_and_no_more() -> None:
    spots = tuple(ring(id=an_id(number)) for number in range(MOST_SPOTS + 1))
    assert len(a_shell(spots[:-1]).spots) == MOST_SPOTS
    with pytest.raises(MendableError, match="stress spots"):
        a_shell(spots)


def test_spots_come_back_from_the_book_as_they_were() -> None:
    shell = a_shell((flat(clamped=True, helped_by="two ribs"), ring()))
    assert decode("shell", encode(shell)) == shell


def test_a_shell_written_before_there_were_spots_still_opens() -> None:
    plain = msgspec.json.decode(canonical(a_shell(())))
    del plain["spots"]
    assert decode("shell", msgspec.json.encode(plain)) == a_shell(())
