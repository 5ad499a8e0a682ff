"""What tests of slurry and stucco made of a wall, before anything was measured on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shellcoat.forecast.step_figures import CoatSeen, StepFigures
from shellcoat.forecast.thickness import wall_thickness
from shellcoat.forecast.wall_answers import WallEvidence, WallMove
from shellcoat.shop import Band, Coat


@dataclass(frozen=True, slots=True)
class _Built:
    """One coat: its slurry, its thickness [m] by the sequence and by all tests, and what those saw.

    `seen_m` [m] is what the tests alone make of it.
    """

    slurry: str
    by_sequence: Band
    by_tests: Band
    seen: CoatSeen | None
    seen_m: float

    @classmethod
    def of(cls, coat: Coat, wall: Band, figures: StepFigures) -> _Built:
        """A coat that was expected to build `wall`, less than its figures where it went on wet."""
        share = wall.likely / figures.thickness_m.likely if figures.thickness_m.likely else 1.0
        seen = figures.seen
        if seen is None or seen.thickness_m is None:
            return cls(coat.step.slurry, wall, wall, None, 0.0)
        own = coat.step.thickness_m
        before = Band(own.low * share, own.likely * share, own.high * share)
        return cls(coat.step.slurry, before, wall, seen, seen.thickness_m.likely * share)


def sequence_moves(
    name: str,
    coats: Sequence[Coat],
    walls: Sequence[Band],
    figures: Sequence[StepFigures],
    shared_error: float,
) -> Iterator[WallMove]:
    """The sequence's own wall, then what the tests of each slurry did to it, by their time."""
    built = [_Built.of(*parts) for parts in zip(coats, walls, figures, strict=True)]
    before = wall_thickness([coat.by_sequence for coat in built], shared_error)
    yield WallMove(
        evidence=WallEvidence.SEQUENCE,
        name=name,
        expected_m=before,
        seen_m=None,
        before_m=before,
        after_m=before,
    )
    tests = {coat.slurry: coat.seen for coat in built if coat.seen is not None}
    taken_in: set[str] = set()
    for slurry, seen in sorted(tests.items(), key=lambda test: (test[1].at, test[0])):
        taken_in.add(slurry)
        after = wall_thickness(
            [coat.by_tests if coat.slurry in taken_in else coat.by_sequence for coat in built],
            shared_error,
        )
        of_slurry = [coat for coat in built if coat.slurry == slurry and coat.seen is not None]
        yield WallMove(
            evidence=seen.evidence,
            name=slurry,
            expected_m=wall_thickness([coat.by_sequence for coat in of_slurry], shared_error),
            seen_m=sum(coat.seen_m for coat in of_slurry),
            before_m=before,
            after_m=after,
            at=seen.at,
        )
        before = after
