"""The physics of drying once more, slowly: what the forecast is checked against.

Moist air comes from psychrolib, dry-air properties from CoolProp, steps in time from scipy; no
formula is shared with the program. `slow_history` takes one shell through all its coats.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import psychrolib
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from shellcoat.shop import Coat

Floats = NDArray[np.float64]

HOUR = 3600.0
LONGEST_S = 60 * 86_400.0
"""How long a coat that was dipped over is followed in the air of that moment."""

PRESSURE = 101_325.0
VAPOUR_GAS_CONSTANT = 461.5
CRITICAL_SHARE = 0.45
PORE_WATER_DENSITY = 37.5
CRUST_SHARE = 0.25 / 3.0
DRY_SHARE = 0.10
LOSS_ON_WET = 0.15
FINE = {"max_step": 600.0, "rtol": 1e-5, "atol": 1e-7}
"""Steps of scipy's Runge-Kutta 5(4): none longer than ten minutes, errors of 0.1 g/m2."""


# Air


def saturation_pressure(temp_c: Floats) -> Floats:
    """ASHRAE 2017, ch. 1 eq. 6, by psychrolib."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    return np.vectorize(psychrolib.GetSatVapPres, otypes=[float])(temp_c)


def density_of(pressure_pa: Floats, temp_c: Floats) -> Floats:
    return pressure_pa / (VAPOUR_GAS_CONSTANT * (temp_c + 273.15))


def wet_bulb(temp_c: Floats, rh: Floats) -> Floats:
    psychrolib.SetUnitSystem(psychrolib.SI)
    bulb = np.vectorize(psychrolib.GetTWetBulbFromRelHum, otypes=[float])
    return bulb(temp_c, rh, PRESSURE)


def latent_heat(temp_c: Floats) -> Floats:
    """Of vapour at the triple point's neighbourhood, straight line through 0 and 40 °C.

    2501 and 2406 kJ/kg: Incropera, 6th ed., table A.6 (2502 at 0 °C, 2407 at 40 °C).
    """
    return 2.502e6 - (2.502e6 - 2.407e6) / 40.0 * temp_c


@cache
def dry_air() -> tuple[Floats, dict[str, Floats]]:
    """Dry air at one atmosphere over temperature [°C], by CoolProp."""
    temps = np.linspace(-10.0, 60.0, 71)
    names = {"rho": "D", "cp": "C", "mu": "V", "k": "L"}
    columns = {
        name: np.array([PropsSI(key, "T", t + 273.15, "P", PRESSURE, "Air") for t in temps])
        for name, key in names.items()
    }
    return temps, columns


def air_property(name: str, temp_c: Floats) -> Floats:
    temps, columns = dry_air()
    return np.interp(temp_c, temps, columns[name])


def vapour_diffusivity(temp_c: Floats) -> Floats:
    """Massman 1998, Atmospheric Environment 32:1111."""
    return 2.178e-5 * ((temp_c + 273.15) / 273.15) ** 1.81


# From the wall to the air


@dataclass(frozen=True)
class Face:
    """How the air meets a wall: speed [m/s] over a length [m], factors on film and crust."""

    speed: Floats | float
    length: Floats | float
    film_factor: Floats | float
    crust_factor: Floats | float


@dataclass(frozen=True)
class Film:
    """The air over a wall at one moment, and what it and the dry crust let through.

    `temp` and `bulb` [°C], `vapour` [kg/m3], `film` [s/m], `heat_path` [W/m2K], `crust` [m2/s].
    """

    temp: Floats
    vapour: Floats
    bulb: Floats
    film: Floats
    heat_path: Floats
    crust: Floats


def film_heat(face: Face, temp_c: Floats, bulb_c: Floats) -> Floats:
    """Laminar plate blended with natural convection, Incropera eq. 7.30, 9.26 and 9.64."""
    film = 0.5 * (temp_c + bulb_c)
    nu = air_property("mu", film) / air_property("rho", film)
    pr = air_property("cp", film) * air_property("mu", film) / air_property("k", film)
    forced = 0.664 * np.sqrt(face.speed * face.length / nu) * pr ** (1.0 / 3.0)
    lift = 9.81 * (temp_c - bulb_c) / (film + 273.15)
    rayleigh = lift * face.length**3 * pr / nu**2
    natural = (
        0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)
    ) ** 2
    return np.cbrt(forced**3 + natural**3) * air_property("k", film) / face.length


def film_over(face: Face, temp: Floats, vapour: Floats, bulb: Floats) -> Film:
    convective = film_heat(face, temp, bulb) / face.film_factor
    radiation = 4.0 * 0.9 * 5.670374e-8 * (temp + 273.15) ** 3
    heat_capacity = air_property("rho", temp) * air_property("cp", temp)
    thermal = air_property("k", temp) / heat_capacity
    lewis = thermal / vapour_diffusivity(temp)
    per_mass = convective / (heat_capacity * lewis ** (2.0 / 3.0))
    crust = vapour_diffusivity(temp) * CRUST_SHARE / face.crust_factor
    return Film(temp, vapour, bulb, 1.0 / per_mass, convective + radiation, crust)


def linearised_flux(air: Film, path: Floats) -> Floats:
    """Flux [kg/m2 s] through film and crust of resistance `path` [s/m], by Penman's secant."""
    full = density_of(saturation_pressure(air.temp), air.temp)
    at_bulb = density_of(saturation_pressure(air.bulb), air.bulb)
    slope = (full - at_bulb) / (air.temp - air.bulb)
    return (full - air.vapour) / (path + slope * latent_heat(air.bulb) / air.heat_path)


# One shell through all its coats


Looks = dict[float, bool]
"""Waters [kg/m2] whose time is wanted, and whether the integral may end there."""


@dataclass(frozen=True)
class Readings:
    """A room's air as it was read, by time [s]; straight lines between readings."""

    at_s: Floats
    temp: Floats
    vapour: Floats
    bulb: Floats

    @classmethod
    def of(cls, at_s: Floats, temp_c: Floats, rh: Floats) -> Readings:
        vapour = density_of(rh * saturation_pressure(temp_c), temp_c)
        return cls(at_s, temp_c, vapour, wet_bulb(temp_c, rh))

    def film(self, face: Face, time_s: float) -> Film:
        columns = (self.temp, self.vapour, self.bulb)
        return film_over(face, *(np.interp(time_s, self.at_s, column) for column in columns))


@dataclass(frozen=True)
class Dip:
    """A coat: when it went on [s], water it brought [kg/m2], thickness on a dry wall [m]."""

    at_s: float
    water: float
    thickness: float

    @classmethod
    def of(cls, coat: Coat) -> Dip:
        step = coat.step
        return cls(coat.dipped_at.timestamp(), step.water_kg_m2.likely, step.thickness_m.likely)


@dataclass(frozen=True)
class Dried:
    """A coat in the slow solution: hours to dry, share of the wall's water it found on dipping."""

    hours: float
    left_before: float


@dataclass(frozen=True)
class Wall:
    """The wall after a dip: water [kg/m2], and how deep it went [m]."""

    water: float
    depth: float

    def flux(self, air: Film, water: Floats) -> Floats:
        front = np.maximum(self.depth * (1.0 - water / (CRITICAL_SHARE * self.water)), 0.0)
        return linearised_flux(air, air.film + front / air.crust)


@dataclass(frozen=True)
class Integral:
    """How the water is integrated: where, in which air, in steps of at most so many seconds."""

    face: Face
    readings: Readings
    longest_step_s: float = FINE["max_step"]

    def until(
        self, wall: Wall, water: float, span: tuple[float, float], looks: Looks, held: Film | None
    ) -> Any:
        """Integrate the water from one time to another, in air that changes or is held."""

        def loss(time: float, now: Floats) -> Floats:
            return -wall.flux(held or self.readings.film(self.face, time), now)

        events = [_falls_to(limit, ends=ends) for limit, ends in looks.items()]
        steps = FINE | {"max_step": self.longest_step_s}
        solved = solve_ivp(loss, span, [water], events=events, **steps)
        assert solved.success
        return solved


def _falls_to(limit: float, *, ends: bool) -> Callable[[float, Floats], float]:
    def above(_: float, water: Floats) -> float:
        return float(water[0]) - limit

    above.terminal = ends  # type: ignore[attr-defined]
    return above


def slow_history(dips: Sequence[Dip], integral: Integral) -> list[Dried]:
    """Dry every coat in turn; what one leaves, the next finds.

    A coat that is dipped over is told as if the air had stayed as it was then.
    """
    dried, thick, left, left_share = [], 0.0, 0.0, 0.0
    for dip, later in zip(dips, [*dips[1:], None], strict=True):
        thick += dip.thickness * (1.0 - LOSS_ON_WET * left_share)
        water = left + dip.water
        wall = Wall(water, min(thick, water / PORE_WATER_DENSITY))
        limit = DRY_SHARE * dip.water
        if later is None:
            dry_s = _last(wall, limit, dip, integral)
        else:
            dry_s, left = _dipped_over(wall, limit, (dip.at_s, later.at_s), integral)
        dried.append(Dried((dry_s - dip.at_s) / HOUR, left_share))
        left_share = left / wall.water
    return dried


def _last(wall: Wall, limit: float, dip: Dip, integral: Integral) -> float:
    """When the last coat is dry [s]; the readings must go on until then."""
    span = (dip.at_s, float(integral.readings.at_s[-1]))
    solved = integral.until(wall, wall.water, span, {limit: True}, None)
    return float(solved.t_events[0][0])


def _dipped_over(
    wall: Wall, limit: float, span: tuple[float, float], integral: Integral
) -> tuple[float, float]:
    """When the coat is dry [s], and the water [kg/m2] it leaves for the next at the span's end."""
    changing = integral.until(wall, wall.water, span, {limit: False, 0.0: True}, None)
    left = max(float(changing.y[0, -1]), 0.0)
    if changing.t_events[0].size:
        return float(changing.t_events[0][0]), left
    held = integral.readings.film(integral.face, span[1])
    on = (span[1], span[1] + LONGEST_S)
    staying = integral.until(wall, left, on, {limit: True}, held)
    return float(staying.t_events[0][0]), left
