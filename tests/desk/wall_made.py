"""An answer about a wall, with round figures, for the tests of what is shown of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from uuid import UUID

from small_shop import NOW

from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer, WallEvidence, WallMove
from shellcoat.shop import Band, CaliperReading, ShellCheck, WallPlace, Weighing

TARGET_M = 8.0e-3


def mm(low: float, likely: float, high: float) -> Band:
    """A band given in mm."""
    return Band(1e-3 * low, 1e-3 * likely, 1e-3 * high)


def a_place(place: WallPlace, share: float, readings: int) -> PlaceAnswer:
    """A place whose wall is a share of the flats'."""
    return PlaceAnswer(
        place=place,
        now_m=mm(5.1 * share, 5.5 * share, 5.9 * share),
        at_end_m=mm(7.2 * share, 8.1 * share, 9.0 * share),
        target_m=TARGET_M,
        chance_at_end=0.61 if place is WallPlace.FLAT else 0.004,
        readings=readings,
    )


def a_move(check: ShellCheck) -> WallMove | None:
    """What a check that measures the wall did to it."""
    if isinstance(check, CaliperReading):
        return WallMove(
            evidence=WallEvidence.CALIPER,
            name=check.where,
            expected_m=mm(5.6, 6.1, 6.6),
            seen_m=check.thickness_m,
            before_m=mm(5.3, 6.1, 6.9),
            after_m=mm(5.1, 5.5, 5.9),
            at=check.at,
            check_id=check.id,
            place=check.place,
        )
    if isinstance(check, Weighing):
        return WallMove(
            evidence=WallEvidence.WEIGHING,
            name="",
            expected_m=mm(5.1, 5.5, 5.9),
            seen_m=9.4e-3,
            before_m=mm(5.1, 5.5, 5.9),
            after_m=mm(5.1, 5.5, 5.9),
            at=check.at,
            check_id=check.id,
            wild=0.93,
        )
    return None


def a_wall(shell_id: UUID, checks: Sequence[ShellCheck] = ()) -> WallAnswer:
    """The wall of a shell: the sequence's figures, a plate test, then the checks."""
    first = WallMove(
        evidence=WallEvidence.SEQUENCE,
        name="",
        expected_m=mm(5.0, 6.4, 7.9),
        seen_m=None,
        before_m=mm(5.0, 6.4, 7.9),
        after_m=mm(5.0, 6.4, 7.9),
    )
    plate = WallMove(
        evidence=WallEvidence.PLATE,
        name="fused silica backup",
        expected_m=mm(5.0, 6.4, 7.9),
        seen_m=6.1e-3,
        before_m=mm(5.0, 6.4, 7.9),
        after_m=mm(5.3, 6.1, 6.9),
        at=NOW - timedelta(days=9),
    )
    moves = [move for move in map(a_move, checks) if move is not None]
    return WallAnswer(
        shell_id=shell_id,
        places=(
            a_place(WallPlace.FLAT, 1.0, 2),
            a_place(WallPlace.EDGE, 0.7, 0),
            a_place(WallPlace.CORNER, 1.3, 1),
        ),
        moves=(first, plate, *moves),
        mass_expected_kg=Band(3.2, 3.4, 3.6),
        mass_seen_kg=3.452,
        mass_seen_at=NOW - timedelta(hours=2),
        mass_expected_then_kg=Band(3.25, 3.45, 3.65),
    )
