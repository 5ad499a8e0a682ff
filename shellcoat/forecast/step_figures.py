"""What a planned coat brings: the sequence's figures, updated by the shop's tests of its slurry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import hypot

from shellcoat.forecast.log_bands import LogFigure, log_spread, updated_band
from shellcoat.forecast.slurry_film import FilmTest, SlurryFilm, slurry_film
from shellcoat.forecast.stucco_sizes import GrainSize, size_in_name
from shellcoat.forecast.wall_answers import WallEvidence
from shellcoat.forecast.wall_values import WallValues, wall_values
from shellcoat.physics.coat_mass import coat_thickness, film_solids, film_water, stucco_mass
from shellcoat.shop import Band, CoatKind, CoatStep, SlurryTest, StuccoGrain


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatSeen:
    """What tests alone say of a coat: its thickness [m] and water [kg/m2].

    `thickness_m` is None where the stucco's size is not known. `at` is when the newest of the
    tests was made.
    """

    evidence: WallEvidence
    at: datetime
    water_kg_m2: Band
    thickness_m: Band | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFigures:
    """What a coat is expected to bring: thickness [m], water and dry mass [kg/m2].

    `seen` is what moved it away from the sequence's own figures, None where nothing did.
    """

    thickness_m: Band
    water_kg_m2: Band
    solids_kg_m2: Band
    seen: CoatSeen | None = None


@dataclass(frozen=True, slots=True)
class _Dry:
    """A dry coat by its parts: mass [kg/m2], thickness [m], bulk density [kg/m3]."""

    mass: LogFigure
    thickness: LogFigure

    @property
    def bulk(self) -> float:
        return self.mass.likely / self.thickness.likely


class StepEvidence:
    """The shop's tests of slurries and stuccos, and what they make of each planned coat.

    Two of the same tests are equal, so that a cache can tell whether anything has changed.
    """

    def __init__(self, tests: Sequence[SlurryTest] = (), values: WallValues | None = None) -> None:
        self._values = values or wall_values()
        self._tests = tuple(test for test in tests if not test.left_out)
        self._films: dict[str, list[FilmTest]] = {}
        self._grains: dict[str, StuccoGrain] = {}
        for test in self._tests:
            if isinstance(test, StuccoGrain):
                self._grains[_key(test.stucco)] = test
            else:
                self._films.setdefault(_key(test.slurry), []).append(test)
        self._kept: dict[CoatStep, StepFigures] = {}

    def __eq__(self, other: object) -> bool:
        """Whether the other rests on the same tests and table."""
        if not isinstance(other, StepEvidence):
            return NotImplemented
        return self._tests == other._tests and self._values == other._values

    def __hash__(self) -> int:
        return hash(self._tests)

    def figures(self, step: CoatStep) -> StepFigures:
        """What a coat brings; without a test of its slurry the step's own figures, untouched."""
        if step not in self._kept:
            self._kept[step] = self._figures(step)
        return self._kept[step]

    def _figures(self, step: CoatStep) -> StepFigures:
        material = self._values.material(step.slurry)
        film = slurry_film(self._films.get(_key(step.slurry), []), material, self._values)
        if film is None:
            return StepFigures(
                thickness_m=step.thickness_m,
                water_kg_m2=step.water_kg_m2,
                solids_kg_m2=self._weight(step, None).band,
            )
        wet = self._on_the_wall(step, film)
        dry = self._dry(step, wet, film.water_share)
        water = _water(wet, film.water_share)
        solids = self._weight(step, dry)
        return StepFigures(
            thickness_m=updated_band(step.thickness_m, dry.thickness) if dry else step.thickness_m,
            water_kg_m2=updated_band(step.water_kg_m2, water),
            solids_kg_m2=updated_band(solids.band, dry.mass) if dry else solids.band,
            seen=CoatSeen(
                evidence=film.evidence,
                at=film.at,
                water_kg_m2=water.band,
                thickness_m=dry.thickness.band if dry else None,
            ),
        )

    def _on_the_wall(self, step: CoatStep, film: SlurryFilm) -> LogFigure:
        """Wet slurry the coat leaves [kg/m2]; a seal coat drains longer and keeps less."""
        if step.kind is not CoatKind.SEAL:
            return film.film
        share = self._values.seal_share
        return LogFigure(
            film.film.likely * share.likely, hypot(film.film.spread, log_spread(share))
        )

    def _dry(self, step: CoatStep, wet: LogFigure, water_share: LogFigure) -> _Dry | None:
        """The dry coat; None where a stucco is rained whose grain nobody has told."""
        stucco = self._stucco(step.stucco)
        if stucco is None:
            return None
        solids = _solids(wet, water_share)
        bulk = self._values.material(step.slurry).bulk
        stucco_bulk = self._values.material(step.stucco or step.slurry).bulk
        thickness = float(
            coat_thickness(solids.likely, bulk.likely, stucco.likely, stucco_bulk.likely)
        )
        mass = solids.likely + stucco.likely
        film_part = solids.likely / bulk.likely / thickness
        by_film = film_part * hypot(solids.spread, log_spread(bulk))
        by_stucco = (1.0 - film_part) * hypot(stucco.spread, log_spread(stucco_bulk))
        heavy = hypot(solids.likely * solids.spread, stucco.likely * stucco.spread) / mass
        return _Dry(LogFigure(mass, heavy), LogFigure(thickness, hypot(by_film, by_stucco)))

    def _stucco(self, name: str) -> LogFigure | None:
        """Stucco on the wall [kg/m2]: nothing without a name, None without a size."""
        if not name.strip():
            return LogFigure(0.0, 0.0)
        record = self._grains.get(_key(name))
        size = GrainSize(record.finest_m, record.coarsest_m) if record else size_in_name(name)
        if size is None:
            return None
        known = record.grain_density_kg_m3 if record else None
        grain = known or self._values.material(name).grain.likely
        coverage = self._values.coverage
        mass = stucco_mass(size.mean_m, grain, coverage.likely)
        return LogFigure(float(mass), hypot(log_spread(coverage), self._values.spread.grain))

    def _weight(self, step: CoatStep, dry: _Dry | None) -> LogFigure:
        """Dry mass [kg/m2] by the sequence's thickness and the bulk density of its materials."""
        own = self._values.material(step.slurry).bulk
        other = self._values.material(step.stucco or step.slurry).bulk
        # Where the parts are not known, half of the mass is stucco: about what a test finds.
        halves = 2.0 / (1.0 / own.likely + 1.0 / other.likely)
        spread = hypot(log_spread(step.thickness_m), log_spread(own))
        return LogFigure(step.thickness_m.likely * (dry.bulk if dry else halves), spread)


def _key(name: str) -> str:
    """A slurry's or a stucco's name as it is compared."""
    return " ".join(name.casefold().split())


def _water(wet: LogFigure, share: LogFigure) -> LogFigure:
    return LogFigure(float(film_water(wet.likely, share.likely)), hypot(wet.spread, share.spread))


def _solids(wet: LogFigure, share: LogFigure) -> LogFigure:
    """Dry slurry [kg/m2]; an error in the water is a smaller one, the other way, in the solids."""
    by_water = share.spread * share.likely / (1.0 - share.likely)
    return LogFigure(float(film_solids(wet.likely, share.likely)), hypot(wet.spread, by_water))
