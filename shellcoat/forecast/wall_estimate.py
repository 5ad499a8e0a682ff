"""How thick the wall of one shell is by all evidence, and what its weight says of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import hypot, log

from shellcoat.forecast.log_bands import log_band
from shellcoat.forecast.log_density import LogDensity, moved_alike
from shellcoat.forecast.sequence_moves import sequence_moves
from shellcoat.forecast.step_figures import StepEvidence, StepFigures
from shellcoat.forecast.thickness import TENTH, wall_thickness
from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer, WallEvidence, WallMove
from shellcoat.forecast.wall_belief import FACTOR, SIDE_OF, Side, WallBelief
from shellcoat.forecast.wall_growth import WallGrowth
from shellcoat.forecast.wall_readings import (
    ScaleView,
    WallCase,
    WallReading,
    coats_dry_mass,
    wall_readings,
)
from shellcoat.forecast.wall_values import WallValues
from shellcoat.shop import Band, CaliperReading, WallPlace, Weighing

NO_WALL = Band(0.0, 0.0, 0.0)


def estimate_wall(
    case: WallCase,
    evidence: StepEvidence,
    now: datetime,
    values: WallValues,
    shared_error: float,
) -> WallAnswer:
    """The wall of one shell by sequence, tests, calipers and scale, as it stands at `now`.

    Without a reading that counts, the flats are what `wall_thickness` makes of the coats.
    `shared_error` is the correlation between the errors of its coats.
    """
    return _Estimate.of(case, evidence, values, shared_error).answer(now)


def flat_wall(
    case: WallCase,
    evidence: StepEvidence,
    now: datetime,
    values: WallValues,
    shared_error: float,
) -> tuple[Band, Band]:
    """The wall on the flats [m], now and once all coats are on: the same, for a whole rack.

    At once for a shell without a reading that counts, a few milliseconds for one with some.
    """
    return _Estimate.of(case, evidence, values, shared_error).flats(now)


@dataclass(frozen=True, slots=True)
class _Estimate:
    """One shell's wall: what is on, what is still to come, and what is to be learned about."""

    case: WallCase
    figures: tuple[StepFigures, ...]
    whole: tuple[Band, ...]
    growth: WallGrowth
    scale: ScaleView | None
    values: WallValues
    shared_error: float

    @classmethod
    def of(
        cls, case: WallCase, evidence: StepEvidence, values: WallValues, shared_error: float
    ) -> _Estimate:
        shell, on = case.shell, len(case.coats)
        figures = tuple(evidence.figures(coat.step) for coat in case.coats)
        coming = [evidence.figures(step) for step in shell.sequence.steps[on:]]
        whole = (*case.walls, *(step.thickness_m for step in coming))
        growth = WallGrowth.of(whole, shared_error, values.spread.shell_build)
        scale = _scale_view(case, figures, values)
        return cls(case, figures, whole, growth, scale, values, shared_error)

    @property
    def on(self) -> int:
        """How many coats are on."""
        return len(self.case.coats)

    @property
    def last(self) -> int:
        """How many coats there will be."""
        return len(self.whole)

    @property
    def known(self) -> int:
        """The coat whose wall the factor is of: the one on now, on a bare wax the last."""
        return self.on if self.growth.likely_m[self.on] > 0.0 else self.last

    def flats(self, now: datetime) -> tuple[Band, Band]:
        """The wall on the flats [m], now and at the end."""
        readings = self._readings(now)
        if not readings:
            walls = (self.whole[: self.on], self.whole)
            here, there = (wall_thickness(coats, self.shared_error) for coats in walls)
            return here, there
        beliefs = self._beliefs(readings)
        here, there = (
            self._band(beliefs[0], beliefs[-1], WallPlace.FLAT, coats)
            for coats in (self.on, self.last)
        )
        return here, there

    def answer(self, now: datetime) -> WallAnswer:
        """All that is to be said."""
        readings = self._readings(now)
        beliefs = self._beliefs(readings)
        seen = self._seen_weight(readings, beliefs, now)
        return WallAnswer(
            shell_id=self.case.shell.id,
            places=tuple(self._place(place, readings, beliefs) for place in WallPlace),
            moves=(*self._test_moves(), *self._reading_moves(readings, beliefs)),
            mass_expected_kg=self._weight(beliefs[-1], self.on, self.case.water_now_kg_m2),
            mass_seen_kg=seen[0].mass_kg if seen else None,
            mass_seen_at=seen[0].at if seen else None,
            mass_expected_then_kg=seen[1] if seen else None,
        )

    def _readings(self, now: datetime) -> list[WallReading]:
        spreads = self.values.spread
        return list(wall_readings(self.case, self.growth, self.known, spreads, self.scale, now))

    def _beliefs(self, readings: Sequence[WallReading]) -> list[WallBelief]:
        """What is believed before any reading, after the first, and so on."""
        beliefs = [WallBelief.before(self.growth.spread(self.known), self.values)]
        for reading in readings:
            sight = reading.sight
            beliefs.append(beliefs[-1].after(sight) if sight else beliefs[-1])
        return beliefs

    def _place(
        self, place: WallPlace, readings: Sequence[WallReading], beliefs: Sequence[WallBelief]
    ) -> PlaceAnswer:
        target = self.case.shell.sequence.target_thickness_m
        end = self._wall(beliefs[-1], place, self.last)
        return PlaceAnswer(
            place=place,
            now_m=self._band(beliefs[0], beliefs[-1], place, self.on),
            at_end_m=self._band(beliefs[0], beliefs[-1], place, self.last),
            target_m=target,
            chance_at_end=end.chance_above(log(target)) if end else 0.0,
            readings=sum(
                isinstance(reading.check, CaliperReading) and reading.place is place
                for reading in readings
            ),
        )

    def _wall(self, belief: WallBelief, place: WallPlace, coats: int) -> LogDensity | None:
        """Ln of the wall [m] at such a place after so many coats; None where there is none."""
        likely = float(self.growth.likely_m[coats])
        if likely <= 0.0:
            return None
        along = log(likely) + self.growth.slope(coats, self.known) * FACTOR
        told = belief.told(SIDE_OF[place], along)
        return told.blurred(self.growth.rest(coats, self.known))

    def _band(self, before: WallBelief, after: WallBelief, place: WallPlace, coats: int) -> Band:
        """The wall [m] at such a place: on the flats the coats' own band, moved and narrowed."""
        wall = self._wall(after, place, coats)
        if wall is None:
            return NO_WALL
        if place is not WallPlace.FLAT:
            return wall.band
        own = wall_thickness(self.whole[:coats], self.shared_error)
        if after is before:
            return own
        unread = self._wall(before, place, coats)
        return own if unread is None else moved_alike(own, unread, wall)

    def _test_moves(self) -> Iterator[WallMove]:
        if self.case.coats:
            yield from sequence_moves(
                self.case.shell.sequence.name,
                self.case.coats,
                self.case.walls,
                self.figures,
                self.shared_error,
            )

    def _reading_moves(
        self, readings: Sequence[WallReading], beliefs: Sequence[WallBelief]
    ) -> Iterator[WallMove]:
        bands = [self._band(beliefs[0], belief, WallPlace.FLAT, self.on) for belief in beliefs]
        for number, reading in enumerate(readings):
            by_caliper = isinstance(reading.check, CaliperReading)
            yield WallMove(
                evidence=WallEvidence.CALIPER if by_caliper else WallEvidence.WEIGHING,
                name=reading.check.where if isinstance(reading.check, CaliperReading) else "",
                expected_m=self._expected(beliefs[number], reading),
                seen_m=reading.seen_m,
                before_m=bands[number],
                after_m=bands[number + 1],
                at=reading.check.at,
                check_id=reading.check.id,
                place=reading.place,
                wild=beliefs[-1].wild(reading.sight) if reading.sight else 1.0,
            )

    def _expected(self, belief: WallBelief, reading: WallReading) -> Band:
        """What the evidence before a reading let expect: for a caliper, of its own reading."""
        wall = self._wall(belief, reading.place, reading.coats)
        if wall is None:
            return NO_WALL
        by_caliper = isinstance(reading.check, CaliperReading)
        return wall.blurred(self.values.spread.caliper).band if by_caliper else wall.band

    def _weight(
        self, belief: WallBelief, coats: int, water: Band, *, on_scale: bool = False
    ) -> Band | None:
        """Wall, water and wax [kg] as expected; `on_scale` as a scale would show them."""
        scale = self.scale
        if scale is None:
            return None
        if scale.dry_kg_m2[coats] <= 0.0:
            return log_band(scale.wax_kg, scale.spreads.wax_mass)
        slope = self.growth.slope(coats, self.known)
        spread = scale.spread(coats, water, self.growth.rest(coats, self.known))
        told = belief.told(Side.MASS, scale.expected(coats, water, slope))
        error_kg = scale.scale_error_kg(coats, water) if on_scale else 0.0
        return _with_wax(told.blurred(spread).band, scale.wax_kg, error_kg)

    def _seen_weight(
        self, readings: Sequence[WallReading], beliefs: Sequence[WallBelief], now: datetime
    ) -> tuple[Weighing, Band | None] | None:
        """The latest weighing, and what was expected of it by all evidence before."""
        weighings = [check for check in self.case.readings(now) if isinstance(check, Weighing)]
        if not weighings:
            return None
        latest = weighings[-1]
        water = self.case.water_then_kg_m2.get(latest.id)
        if water is None:
            return latest, None
        place = latest.at, latest.id
        before = sum((reading.check.at, reading.check.id) < place for reading in readings)
        coats = self.case.coats_at(latest.at)
        return latest, self._weight(beliefs[before], coats, water, on_scale=True)


def _with_wax(wall_kg: Band, wax_kg: float, error_kg: float) -> Band:
    """Wall and wax together [kg], the scale's own error on top."""
    likely = wax_kg + wall_kg.likely
    down = hypot(wall_kg.likely - wall_kg.low, TENTH * error_kg)
    up = hypot(wall_kg.high - wall_kg.likely, TENTH * error_kg)
    return Band(max(likely - down, 0.0), likely, likely + up)


def _scale_view(
    case: WallCase, figures: Sequence[StepFigures], values: WallValues
) -> ScaleView | None:
    """What the scale would show; None where the area or the wax's mass is not known."""
    shell = case.shell
    if shell.area_m2 is None or shell.wax_mass_kg is None:
        return None
    weights = [
        _dry_mass(wall, expected) for wall, expected in zip(case.walls, figures, strict=True)
    ]
    return ScaleView(
        area_m2=shell.area_m2,
        wax_kg=shell.wax_mass_kg,
        dry_kg_m2=coats_dry_mass(weights),
        spreads=values.spread,
    )


def _dry_mass(wall: Band, figures: StepFigures) -> float:
    """Dry mass of a coat [kg/m2]; less of it where it built less for having gone on wet."""
    likely = figures.thickness_m.likely
    return figures.solids_kg_m2.likely * (wall.likely / likely if likely else 1.0)
