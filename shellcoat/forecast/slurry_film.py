"""The film of slurry a dip leaves, as the shop's own tests of that slurry tell it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import hypot, sqrt

from shellcoat.forecast.log_bands import LogFigure, joined, log_spread
from shellcoat.forecast.wall_answers import WallEvidence
from shellcoat.forecast.wall_values import Material, WallValues
from shellcoat.physics.buildup import film_thickness
from shellcoat.physics.coat_mass import water_share_from_density
from shellcoat.physics.constants import WATER_DENSITY_KG_M3
from shellcoat.shop import PlateTest, RheologyTest

MONTH_S = 30.44 * 86400.0
MOST_WATER = 0.95
"""A share of water [-] above which nothing would be left to build a coat."""

FilmTest = PlateTest | RheologyTest


@dataclass(frozen=True, slots=True, kw_only=True)
class SlurryFilm:
    """What the tests of one slurry say: film [kg/m2] and water in the slurry [-] by mass.

    `evidence` is what the film rests on, `at` its newest test.
    """

    evidence: WallEvidence
    at: datetime
    film: LogFigure
    water_share: LogFigure


def slurry_film(
    tests: Sequence[FilmTest], material: Material, values: WallValues
) -> SlurryFilm | None:
    """The film of one slurry by its plate tests, else by its rheology; None without a test.

    Several tests sharpen each other down to the error all tests of their kind share; an older
    one counts less, since slurries wander.
    """
    if not tests:
        return None
    plates, flows = _films(tests, values)
    spread = values.spread
    if plates:
        evidence, seen = WallEvidence.PLATE, plates
        own, common = spread.plate_test, spread.plate_common
    else:
        evidence, seen = WallEvidence.RHEOLOGY, flows
        own, common = spread.rheology_test, spread.rheology_common
    newest = max(at for at, _ in seen)
    film = joined([LogFigure(mass, hypot(own, _drift(at, newest, values))) for at, mass in seen])
    return SlurryFilm(
        evidence=evidence,
        at=newest,
        film=LogFigure(film.likely, hypot(film.spread, common)),
        water_share=_water_share(tests, material, values),
    )


def _films(
    tests: Sequence[FilmTest], values: WallValues
) -> tuple[list[tuple[datetime, float]], list[tuple[datetime, float]]]:
    """Time and wet slurry [kg/m2] of every plate test, and of every test of the flow."""
    plates, flows = [], []
    for test in tests:
        if isinstance(test, PlateTest):
            plates.append((test.at, test.mass_kg / test.area_m2))
        else:
            flows.append((test.at, _drained_mass(test, values)))
    return plates, flows


def _drift(at: datetime, newest: datetime, values: WallValues) -> float:
    """How far the slurry may have wandered since [-], a random walk."""
    age_s = abs((newest - at).total_seconds())
    return values.spread.slurry_drift * sqrt(age_s / MONTH_S)


def _drained_mass(test: RheologyTest, values: WallValues) -> float:
    """Wet slurry left on a wall of the usual height at half of it [kg/m2]."""
    film_m = film_thickness(
        test.viscosity_pa_s,
        test.density_kg_m3,
        values.surface_tension_n_m,
        test.yield_stress_pa,
        speed_m_s=test.speed_m_s,
        height_m=0.5 * values.wall_height_m,
        drain_time_s=test.drain_time_s,
    )
    return float(film_m) * test.density_kg_m3


def _water_share(tests: Sequence[FilmTest], material: Material, values: WallValues) -> LogFigure:
    """Water in the slurry by mass [-]: what is usual, sharpened by what was measured."""
    usual = LogFigure(material.water.likely, log_spread(material.water))
    newest = max(test.at for test in tests)
    seen = [_seen_water(test, material, values, newest) for test in tests]
    share = joined([usual, *(figure for figure in seen if figure is not None)])
    spread = max(share.spread, values.spread.water_measured)
    return LogFigure(min(share.likely, MOST_WATER), spread)


def _seen_water(
    test: FilmTest, material: Material, values: WallValues, newest: datetime
) -> LogFigure | None:
    """What one test says of the water: a measured share, else what its density tells."""
    drift = _drift(test.at, newest, values)
    if test.water_share is not None:
        return LogFigure(test.water_share, hypot(values.spread.water_measured, drift))
    density, solids = test.density_kg_m3, material.solids_kg_m3
    if density is None or not WATER_DENSITY_KG_M3 < density < solids:
        return None
    share = float(water_share_from_density(density, solids))
    return LogFigure(share, hypot(values.spread.water_by_density, drift))
