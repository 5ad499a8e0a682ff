"""A core: its balance, its limits, what must hold, and the hours and days it takes to dry."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.errors import ValueOutOfRangeError
from shellcoat.physics import evaporation, moist_air, transport
from shellcoat.physics.cavity import (
    core_air,
    core_density_excess,
    core_flux,
    inner_film,
    moist_air_density,
    steam_volume,
)
from shellcoat.physics.coat_drying import drying_time, wetted_coat
from shellcoat.physics.vents import (
    Facing,
    Openings,
    OpeningShape,
    hydraulic_opening,
    vent_conductance,
)

PRESSURE = 101_325.0
TEMP, RH = 22.0, 0.5
NECK = 0.008
WALL_M2 = 0.03
FILM, THROUGH_WALL = 3.0, 5.0
HOSE = 10e-3 / 60.0
HOUR = 3600.0

FACINGS = st.sampled_from(Facing)
DIAMETERS = st.floats(0.005, 0.3)
TEMPS = st.floats(10.0, 35.0)
HUMIDITIES = st.floats(0.05, 0.95)
FILMS = st.floats(1.0, 10.0)
THROUGH_WALLS = st.floats(0.0, 15.0)
AREAS = st.floats(1e-3, 1.0)
FACTORS = st.floats(1.0, 4.0)


def hole(diameter: float, facing: Facing, neck: float = NECK) -> Openings:
    return Openings.of(diameter, diameter, neck, facing)


def holes(count: int, diameter: float, facing: Facing) -> Openings:
    return Openings.of(np.full(count, diameter), diameter, NECK, facing)


# Densities


@pytest.mark.parametrize(("temp", "rh"), [(10.0, 0.9), (22.0, 0.5), (22.0, 1.0), (35.0, 0.3)])
def test_moist_air_density_against_real_gas(temp, rh) -> None:
    density = moist_air_density(temp, moist_air.vapour_density(temp, rh))
    assert density == pytest.approx(moist_air.air_density(temp, rh), rel=1e-9)
    volume = HAPropsSI("Vha", "T", temp + 273.15, "R", rh, "P", PRESSURE)
    assert density == pytest.approx(1.0 / volume, rel=1.1e-3)


def test_a_core_at_rest_is_lighter_by_its_vapour() -> None:
    # Saturated and as warm as the room, by CoolProp's humid air.
    inside, room = (
        1.0 / HAPropsSI("Vha", "T", TEMP + 273.15, "R", rh, "P", PRESSURE) for rh in (1.0, RH)
    )
    excess = core_density_excess(0.0, TEMP, RH, FILM, THROUGH_WALL)
    assert excess == pytest.approx(inside - room, rel=0.03)
    assert excess / room == pytest.approx(-0.005, abs=2e-4)


def test_a_core_colder_than_the_room_is_heavier() -> None:
    # A shell 4 K colder while its outside still dries.
    excess = core_density_excess(0.0, TEMP, RH, FILM, THROUGH_WALL, shell_temp_c=TEMP - 4.0)
    inside = HAPropsSI("Vha", "T", TEMP - 4.0 + 273.15, "R", 1.0, "P", PRESSURE)
    room = HAPropsSI("Vha", "T", TEMP + 273.15, "R", RH, "P", PRESSURE)
    assert excess == pytest.approx(1.0 / inside - 1.0 / room, rel=0.02)


@given(TEMPS, HUMIDITIES, FILMS, THROUGH_WALLS, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_evaporation_makes_a_core_heavier(temp, rh, film, through_wall, one, other) -> None:
    open_face = evaporation.evaporation_flux(temp, rh, film, through_wall)
    little, much = sorted((one * open_face, other * open_face))
    assert core_density_excess(little, temp, rh, film, through_wall) <= core_density_excess(
        much, temp, rh, film, through_wall
    )
    # At the open face's flux the core has the room's vapour and a colder wall.
    assert core_density_excess(open_face, temp, rh, film, through_wall) > 0.0


def test_the_sign_turns_when_the_wall_is_a_kelvin_colder() -> None:
    drop = 1.1
    flux = drop * (FILM + THROUGH_WALL) / transport.latent_heat(TEMP)
    assert core_density_excess(0.9 * flux, TEMP, RH, FILM, THROUGH_WALL) < 0.0
    assert core_density_excess(1.1 * flux, TEMP, RH, FILM, THROUGH_WALL) > 0.0


# The balance


@given(TEMPS, HUMIDITIES, AREAS, DIAMETERS, FACINGS, FILMS, THROUGH_WALLS)
def test_all_the_water_goes_through_the_opening(
    temp, rh, area, diameter, facing, film, through_wall
) -> None:
    core = core_air(temp, rh, area, hole(diameter, facing), film, through_wall)
    gone = core.conductance_m3_s * (core.vapour_density_kg_m3 - moist_air.vapour_density(temp, rh))
    assert gone == pytest.approx(core.flux * area, rel=1e-3)


@given(TEMPS, HUMIDITIES, AREAS, DIAMETERS, FACINGS, FILMS, THROUGH_WALLS)
def test_the_core_obeys_the_one_law_of_evaporation(
    temp, rh, area, diameter, facing, film, through_wall
) -> None:
    core = core_air(temp, rh, area, hole(diameter, facing), film, through_wall)
    resistance = area / core.conductance_m3_s
    series = evaporation.evaporation_flux(
        temp, rh, film, through_wall, crust_resistance=500.0, cavity_resistance=resistance
    )
    bare = evaporation.evaporation_flux(temp, rh, film, through_wall, cavity_resistance=resistance)
    assert core.flux == pytest.approx(bare, rel=1e-3)
    assert series < bare
    surface = evaporation.surface_temperature(temp, core.flux, film, through_wall)
    assert core.wall_temp_c == pytest.approx(surface, abs=1e-9)


@pytest.mark.parametrize("facing", Facing)
@pytest.mark.parametrize("diameter", [0.01, 0.02, 0.06, 0.1])
def test_conductance_is_that_of_the_openings_at_the_cores_density(facing, diameter) -> None:
    opening = hole(diameter, facing)
    core = core_air(TEMP, RH, WALL_M2, opening, FILM, THROUGH_WALL)
    alone = vent_conductance(opening, core.density_excess_kg_m3, TEMP)
    # The vapour's own flow adds 2 % to the part that diffuses.
    assert alone <= core.conductance_m3_s <= 1.02 * alone


def steady_states(facing: Facing, diameter: float, film: float, through_wall: float) -> list[float]:
    """Every steady flux, by looking at the balance on a fine grid."""
    opening = hole(diameter, facing)
    fluxes = np.linspace(0.0, 1.0, 40_001) * evaporation.evaporation_flux(
        TEMP, RH, film, through_wall
    )
    excess = core_density_excess(fluxes, TEMP, RH, film, through_wall)
    resistance = WALL_M2 / vent_conductance(opening, excess, TEMP)
    surplus = fluxes - evaporation.evaporation_flux(
        TEMP, RH, film, through_wall, cavity_resistance=resistance
    )
    crossings = np.flatnonzero(np.diff(np.sign(surplus)))
    return [float(fluxes[index]) for index in crossings]


@pytest.mark.parametrize(
    ("film", "through_wall"), [(3.0, 0.0), (3.0, 5.0), (2.0, 8.0), (1.5, 12.0)]
)
@pytest.mark.parametrize("facing", Facing)
@pytest.mark.parametrize("diameter", [0.02, 0.06, 0.1])
def test_the_breathing_state_is_taken_where_there_is_one(
    facing, diameter, film, through_wall
) -> None:
    states = steady_states(facing, diameter, film, through_wall)
    core = core_air(TEMP, RH, WALL_M2, hole(diameter, facing), film, through_wall)
    # The vapour's own flow, which the grid leaves out, adds up to 2 %.
    assert core.flux == pytest.approx(max(states), rel=0.03)


def test_a_core_that_drains_has_two_steady_states() -> None:
    # 100 mm facing down: at rest it stays at rest, cooled it keeps breathing.
    states = steady_states(Facing.DOWN, 0.1, FILM, THROUGH_WALL)
    assert len(states) == 3
    assert states[-1] > 5.0 * states[0]


# Limits


@pytest.mark.parametrize("facing", Facing)
def test_without_an_opening_nothing_dries(facing) -> None:
    core = core_air(TEMP, RH, WALL_M2, hole(0.0, facing), FILM, forced_flow_m3_s=HOSE)
    assert core.flux == 0.0
    assert core.wall_temp_c == TEMP
    assert core.vapour_density_kg_m3 == pytest.approx(moist_air.saturation_density(TEMP))
    assert drying_hours(0.0) == np.inf


@given(TEMPS, HUMIDITIES, FILMS, THROUGH_WALLS, st.sampled_from((Facing.DOWN, Facing.SIDE)))
def test_an_opening_beyond_measure_is_the_open_face(temp, rh, film, through_wall, facing) -> None:
    flux = core_flux(temp, rh, 1e-3, hole(10.0, facing), film, through_wall, crust_resistance=300.0)
    open_face = evaporation.evaporation_flux(temp, rh, film, through_wall, crust_resistance=300.0)
    assert flux == pytest.approx(open_face, rel=1e-3)
    assert flux <= open_face * (1 + 1e-12)


def test_saturated_air_dries_nothing() -> None:
    assert core_flux(TEMP, 1.0, WALL_M2, hole(0.06, Facing.SIDE), FILM) == 0.0


def test_a_shell_below_the_dew_point_is_not_wetted_further() -> None:
    assert core_flux(TEMP, RH, WALL_M2, hole(0.06, Facing.SIDE), FILM, shell_temp_c=5.0) == 0.0


# What must hold, whatever the core


@given(TEMPS, HUMIDITIES, DIAMETERS, FACINGS, FILMS, THROUGH_WALLS, FACTORS)
def test_a_larger_opening_never_dries_slower(
    temp, rh, diameter, facing, film, through_wall, factor
) -> None:
    small, large = (
        core_flux(temp, rh, WALL_M2, hole(size, facing), film, through_wall)
        for size in (diameter, diameter * factor)
    )
    assert large >= small * (1 - 1e-6)


@given(TEMPS, HUMIDITIES, DIAMETERS, FACINGS, FILMS, THROUGH_WALLS, st.integers(1, 4))
def test_more_openings_never_dry_slower(
    temp, rh, diameter, facing, film, through_wall, count
) -> None:
    fewer, more = (
        core_flux(temp, rh, WALL_M2, holes(number, diameter, facing), film, through_wall)
        for number in (count, count + 1)
    )
    assert more >= fewer * (1 - 1e-6)


@given(TEMPS, HUMIDITIES, DIAMETERS, FACINGS, FILMS, THROUGH_WALLS, st.floats(0.0, 1e-3), FACTORS)
def test_more_air_never_dries_slower(
    temp, rh, diameter, facing, film, through_wall, flow, factor
) -> None:
    gentle, strong = (
        core_flux(
            temp,
            rh,
            WALL_M2,
            hole(diameter, facing),
            film,
            through_wall,
            forced_flow_m3_s=blown,
        )
        for blown in (flow, flow * factor)
    )
    assert strong >= gentle * (1 - 1e-6)


@given(TEMPS, HUMIDITIES, DIAMETERS, FACINGS, AREAS, FACTORS)
def test_more_wall_behind_an_opening_never_dries_faster(
    temp, rh, diameter, facing, area, factor
) -> None:
    small, large = (
        core_flux(temp, rh, wall, hole(diameter, facing), FILM, THROUGH_WALL)
        for wall in (area, area * factor)
    )
    assert large <= small * (1 + 1e-6)


@given(TEMPS, HUMIDITIES, DIAMETERS, FACINGS, st.floats(0.1, 1.0), st.floats(1.0, 10.0))
def test_the_learned_factor_only_ever_helps_or_hinders(
    temp, rh, diameter, facing, low, high
) -> None:
    poor, middle, good = (
        core_flux(temp, rh, WALL_M2, hole(diameter, facing), FILM, vent_factor=factor)
        for factor in (low, 1.0, high)
    )
    assert poor <= middle * (1 + 1e-6)
    assert middle <= good * (1 + 1e-6)


def test_broadcasts_over_cores_samples_and_readings() -> None:
    cores = Openings.of(np.array([[0.02, 0.0], [0.06, 0.03]]), 0.02, NECK, [0, 1], [0.0, 0.1])
    readings = np.linspace(18.0, 26.0, 5)[:, None]
    core = core_air(readings, RH, np.array([0.02, 0.03]), cores, FILM, THROUGH_WALL)
    assert core.flux.shape == core.conductance_m3_s.shape == core.wall_temp_c.shape == (5, 2)
    single = core_air(
        readings[3, 0],
        RH,
        0.03,
        Openings.of([0.06, 0.03], 0.02, NECK, [0, 1], [0.0, 0.1]),
        FILM,
        THROUGH_WALL,
    )
    assert core.flux[3, 1] == pytest.approx(single.flux, rel=1e-9)
    assert type(single.flux) is float
    assert type(single.conductance_m3_s) is float


# Hours and days


def bare_resistance(film: float = FILM, through_wall: float = THROUGH_WALL) -> float:
    """Air film and heat supply of a wall at the worked air."""
    wet = moist_air.wet_bulb(TEMP, RH)
    return 1.0 / evaporation.mass_transfer_coefficient(film, TEMP) + evaporation.heat_resistance(
        TEMP, wet, film, through_wall
    )


def drying_hours(conductance: float, area: float = WALL_M2, film: float = FILM) -> float:
    """Hours for 0.2 kg/m2 behind openings of one conductance; none of it is an open face."""
    coat = wetted_coat(
        0.2,
        0.0,
        5e-3,
        critical_share=0.45,
        pore_water_density=37.5,
        crust_diffusivity=2.1e-6,
    )
    missing = moist_air.saturation_density(TEMP) - moist_air.vapour_density(TEMP, RH)
    out = np.inf if conductance == 0.0 else area / conductance
    return float(drying_time(coat, missing, bare_resistance(film) + out, 0.02)) / HOUR


@pytest.mark.parametrize(
    ("diameter", "blown", "low", "high"),
    [
        # More than four days; about 15 h; about 6 h.
        (0.020, 0.0, 96.0, 160.0),
        (0.060, 0.0, 13.5, 16.5),
        (0.020, HOSE, 5.5, 6.5),
    ],
)
def test_hours_of_a_draining_core_one_percent_heavier(diameter, blown, low, high) -> None:
    # 0.03 m2 of wall at 0.2 kg/m2, 22 °C and 50 %, the core some 3 K colder than the room.
    conductance = vent_conductance(hole(diameter, Facing.DOWN), 0.012, TEMP, forced_flow_m3_s=blown)
    assert low < drying_hours(conductance) < high


@pytest.mark.parametrize("facing", Facing)
def test_a_small_opening_takes_days_whichever_way_it_faces(facing) -> None:
    core = core_air(TEMP, RH, WALL_M2, hole(0.020, facing), FILM, THROUGH_WALL)
    assert drying_hours(core.conductance_m3_s) > 4 * 24.0


@pytest.mark.parametrize("facing", [Facing.SIDE, Facing.UP])
def test_an_opening_of_60_mm_takes_most_of_a_day(facing) -> None:
    # The evaporation cools the core until the airs weigh nearly the same: 20 and 25 h.
    core = core_air(TEMP, RH, WALL_M2, hole(0.060, facing), FILM, THROUGH_WALL)
    assert 12.0 < drying_hours(core.conductance_m3_s) < 30.0
    assert abs(core.density_excess_kg_m3) < 3e-3


def test_a_core_as_warm_as_the_room_does_not_drain_downwards() -> None:
    core = core_air(TEMP, RH, WALL_M2, hole(0.060, Facing.DOWN), FILM, THROUGH_WALL)
    assert core.density_excess_kg_m3 < 0.0
    assert drying_hours(core.conductance_m3_s) > 4 * 24.0
    # It does while its shell is cold, and then the one that faces up is the still one.
    cold = {
        facing: core_flux(
            TEMP, RH, WALL_M2, hole(0.060, facing), FILM, THROUGH_WALL, shell_temp_c=TEMP - 4.0
        )
        for facing in Facing
    }
    assert cold[Facing.DOWN] > 5.0 * cold[Facing.UP]
    assert cold[Facing.DOWN] > 2.0 * core.flux


def test_a_hose_makes_a_small_opening_as_good_as_an_open_face() -> None:
    core = core_air(
        TEMP, RH, WALL_M2, hole(0.020, Facing.UP), FILM, THROUGH_WALL, forced_flow_m3_s=HOSE
    )
    assert drying_hours(core.conductance_m3_s) == pytest.approx(6.0, abs=0.5)


@pytest.mark.parametrize("facing", [Facing.SIDE, Facing.UP])
def test_a_blind_slot_dries_several_times_slower_than_the_open_face(facing) -> None:
    # 14.5 mm wide and 90 mm deep, 100 mm long and lying; vapour comes from half the depth.
    size = hydraulic_opening(0.0145, 0.100, OpeningShape.RECTANGLE)
    rise = 0.0145
    slot = Openings.checked(*size, rise, 0.090 / 2.0, 0.0, facing)
    wall = (2 * 0.090 + 0.0145) * 0.100 + 2 * 0.0145 * 0.090
    film = inner_film(0.0145)
    core = core_air(TEMP, RH, wall, slot, film, THROUGH_WALL)
    open_face = drying_hours(np.inf, wall, evaporation.film_coefficient(0.07, 0.1, TEMP))
    times_slower = drying_hours(core.conductance_m3_s, wall, film) / open_face
    assert 4.0 < times_slower < 9.0


def test_two_openings_at_different_heights_draw() -> None:
    pair = Openings.of([0.02, 0.02], 0.02, NECK, Facing.SIDE, [0.0, 0.15])
    apart = core_flux(TEMP, RH, WALL_M2, pair, FILM, THROUGH_WALL)
    level = core_flux(TEMP, RH, WALL_M2, holes(2, 0.02, Facing.SIDE), FILM, THROUGH_WALL)
    assert apart > 3.0 * level


# Film and steam


@pytest.mark.parametrize(("rayleigh", "nusselt"), [(1e4, 2.243), (1e5, 4.519), (1e6, 8.800)])
def test_inner_film_against_computed_flow_in_a_square_box(rayleigh, nusselt) -> None:
    # G. de Vahl Davis, Int. J. Numerical Methods in Fluids 3 (1983) 249: Pr 0.71, wall to wall.
    drop = 2.0
    viscosity = transport.air_viscosity(20.0) / moist_air.air_density(20.0, 0.0)
    lift = 9.80665 / 293.15 * drop * transport.prandtl(20.0) / viscosity**2
    size = np.cbrt(rayleigh / lift)
    wall_to_wall = nusselt * transport.air_conductivity(20.0) / size
    film = inner_film(size, drop / 2.0, 20.0)
    assert film == pytest.approx(2.0 * wall_to_wall, rel=0.10)


def test_still_air_conducts_over_half_the_width() -> None:
    assert inner_film(0.01, 0.0, 20.0) == pytest.approx(
        transport.air_conductivity(20.0) / 0.005, rel=1e-12
    )


@given(st.floats(0.001, 10.0), st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_inner_film_rises_with_the_drop(size, one, other) -> None:
    low, high = sorted((one, other))
    assert inner_film(size, low) <= inner_film(size, high)


def test_steam_of_a_gram() -> None:
    per_gram = 1.0 / PropsSI("D", "P", PRESSURE, "Q", 1, "Water")
    assert steam_volume(1e-3) == pytest.approx(per_gram, rel=1e-3)
    assert steam_volume(1e-3) == pytest.approx(1.7, abs=0.05)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: moist_air_density(20.0, -0.1), "vapour density"),
        (lambda: core_density_excess(-1e-6, TEMP, RH, FILM), "flux"),
        (lambda: core_flux(TEMP, RH, 0.0, hole(0.02, 0), FILM), "wet area of the core"),
        (lambda: core_flux(TEMP, 50.0, 0.03, hole(0.02, 0), FILM), "relative humidity"),
        (lambda: core_flux(TEMP, RH, 0.03, hole(0.02, 0), 0.0), "heat-transfer coefficient"),
        (lambda: core_flux(TEMP, RH, 0.03, hole(0.02, 0), 3.0, -1.0), "radiation coefficient"),
        (
            lambda: core_flux(TEMP, RH, 0.03, hole(0.02, 0), 3.0, crust_resistance=-1.0),
            "crust resistance",
        ),
        (
            lambda: core_flux(TEMP, RH, 0.03, hole(0.02, 0), 3.0, shell_temp_c=np.nan),
            "air temperature",
        ),
        (lambda: inner_film(0.0), "width of the core"),
        (lambda: inner_film(0.1, -1.0), "temperature drop"),
        (lambda: steam_volume(-1.0), "water"),
    ],
)
def test_impossible_input_is_refused_by_name(call, field) -> None:
    with pytest.raises(ValueOutOfRangeError, match=field):
        call()


def test_every_facing_and_state_is_finite() -> None:
    for facing, rh, shell in itertools.product(Facing, (0.0, 0.5, 1.0), (None, 0.0, 30.0)):
        core = core_air(TEMP, rh, WALL_M2, hole(0.05, facing), FILM, shell_temp_c=shell)
        assert np.isfinite([core.flux, core.wall_temp_c, core.density_excess_kg_m3]).all()
        assert core.flux >= 0.0
