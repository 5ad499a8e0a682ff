"""A usual coat in usual air: what the checks mean, told in hours of one and the same coat."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.lanes import time_samples
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.physics import evaporation, moist_air, transport
from shellcoat.physics.coat_drying import drying_time, wetted_coat
from shellcoat.shop import AirMovement, CoatStep

Floats = NDArray[np.float64]

USUAL_TEMP_C, USUAL_RH = 22.0, 0.50
USUAL_MOVEMENT = AirMovement.FAN_IN_ROOM
USUAL_WALL_M, USUAL_HEIGHT_M, USUAL_DRY_SHARE = 5e-3, 0.2, 0.10
"""Air, wall [m], height [m] and water left when dry: half-way through a small piece's coats."""


def usual_coat_samples(step: CoatStep, values: StartingValues) -> Floats:
    """Seconds [SAMPLES] until a coat of this step is dry on a wall of 5 mm in 22 °C and 50 %."""
    lanes = values.spreads.lanes()
    bulb = float(moist_air.wet_bulb(USUAL_TEMP_C, USUAL_RH))
    h_c = float(
        evaporation.film_coefficient(
            values.air_speed_m_s[USUAL_MOVEMENT],
            USUAL_HEIGHT_M,
            USUAL_TEMP_C,
            wet_temp_drop_k=USUAL_TEMP_C - bulb,
        )
    )
    h_r = float(evaporation.radiation_coefficient(USUAL_TEMP_C))
    film = lanes.film / float(evaporation.mass_transfer_coefficient(h_c, USUAL_TEMP_C))
    heat = np.asarray(evaporation.heat_resistance(USUAL_TEMP_C, bulb, h_c / lanes.film, h_r))
    diffusivity = values.crust_share * float(transport.vapour_diffusivity(USUAL_TEMP_C))
    water = step.water_kg_m2.likely
    wall = wetted_coat(
        water,
        0.0,
        USUAL_WALL_M,
        critical_share=values.critical_share,
        pore_water_density=values.pore_water_density,
        crust_diffusivity=diffusivity / lanes.crust,
    )
    deficit = float(moist_air.saturation_density(USUAL_TEMP_C)) * (1.0 - USUAL_RH)
    seconds = drying_time(wall, deficit, film + heat, USUAL_DRY_SHARE * water)
    return time_samples(seconds)
