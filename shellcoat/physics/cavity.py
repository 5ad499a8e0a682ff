"""A hollow core: its walls hold water that can only leave through the openings.

The openings stand in series with the air film, the dry layer and the supply of heat, so that one
law of evaporation serves outside and inside. What an opening passes depends on which air is the
heavier, and that on how much the walls evaporate: both are found together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shellcoat.physics.constants import (
    DRY_AIR_GAS_CONSTANT_J_KGK,
    GRAVITY_M_S2,
    STANDARD_PRESSURE_PA,
    VAPOUR_GAS_CONSTANT_J_KGK,
    ZERO_CELSIUS_K,
)
from shellcoat.physics.evaporation import heat_resistance, mass_transfer_coefficient
from shellcoat.physics.exchange import stefan_flow_factor
from shellcoat.physics.moist_air import (
    air_density,
    saturation_density,
    saturation_pressure,
    vapour_density,
    vapour_pressure,
    wet_bulb,
)
from shellcoat.physics.quantities import (
    Array,
    FloatOrArray,
    air_pressure,
    air_temperature,
    not_negative,
    plain,
    positive,
    wet_surface_temperature,
    within,
)
from shellcoat.physics.transport import (
    air_conductivity,
    air_viscosity,
    latent_heat,
    prandtl,
    vapour_diffusivity,
)
from shellcoat.physics.vents import Openings, Vents

# Steps from the open face down to the core's flux; each leaves a tenth to a half of the error.
_DESCENT_STEPS = 80
_HALVING_STEPS = 50

# Catton 1978 in Incropera 2007, eq. 9.51: upright enclosure about as high as wide.
_ENCLOSURE_FACTOR = 0.18
_ENCLOSURE_EXPONENT = 0.29

# Saturated steam at 1 atm, 1.673 m3/kg (IAPWS-95).
_STEAM_L_KG = 1673.0


def moist_air_density(
    temp_c: FloatOrArray,
    vapour_density_kg_m3: FloatOrArray,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute the density of air that holds so much vapour.

    Parameters
    ----------
    temp_c : float or array
        Air temperature [°C], -60 to 80.
    vapour_density_kg_m3 : float or array
        Vapour in it [kg/m3], 0 to 0.3.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Density of air and vapour together [kg/m3], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Ideal gases, ``(P - R_v rho_v T)/(R_d T) + rho_v``: each gram of vapour pushes 1.6 g of air
    out, so moist air is the lighter. `air_density` for a vapour density instead of a humidity.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 11 and 26.

    Examples
    --------
    Room air of 22 °C and 50 %, and saturated air as warm and 3 K colder:

    >>> [round(moist_air_density(t, v), 3)
    ...  for t, v in ((22.0, 9.71e-3), (22.0, 19.42e-3), (19.0, 16.31e-3))]
    [1.19, 1.184, 1.198]
    """
    temp = wet_surface_temperature(temp_c)
    vapour = within("vapour density", vapour_density_kg_m3, 0.0, 0.3, "0 to 0.3 kg/m3")
    return plain(_moist_air_density(temp, vapour, air_pressure(pressure_pa)))


def _moist_air_density(temp_c: Array, vapour: Array, pressure: Array) -> Array:
    dry = pressure / (DRY_AIR_GAS_CONSTANT_J_KGK * (temp_c + ZERO_CELSIUS_K))
    pushed_out = VAPOUR_GAS_CONSTANT_J_KGK / DRY_AIR_GAS_CONSTANT_J_KGK - 1.0
    return np.asarray(dry - pushed_out * vapour)


@dataclass(frozen=True, slots=True)
class _WetWalls:
    """Walls of a core and the room: all but the openings."""

    shell_c: Array
    room_vapour: Array
    missing: Array
    resistance: Array
    drop_per_flux: Array
    pressure: Array
    room_density: Array

    @classmethod
    def of(
        cls,
        temp_c: FloatOrArray,
        rh: FloatOrArray,
        h_c: FloatOrArray,
        h_r: FloatOrArray,
        crust: FloatOrArray,
        shell_c: FloatOrArray | None,
        pressure_pa: FloatOrArray,
    ) -> _WetWalls:
        shell = air_temperature(temp_c if shell_c is None else shell_c)
        film = 1.0 / np.asarray(mass_transfer_coefficient(h_c, temp_c, pressure_pa))
        heat = heat_resistance(shell, wet_bulb(temp_c, rh, pressure_pa), h_c, h_r)
        vapour = np.asarray(vapour_density(temp_c, rh))
        return cls(
            shell_c=shell,
            room_vapour=vapour,
            missing=np.maximum(saturation_density(shell) - vapour, 0.0),
            resistance=film + heat + not_negative("crust resistance", crust, "s/m"),
            drop_per_flux=latent_heat(shell) / (np.asarray(h_c, dtype=np.float64) + h_r),
            pressure=air_pressure(pressure_pa),
            room_density=np.asarray(air_density(temp_c, rh, pressure_pa)),
        )

    def wall_c(self, flux: Array) -> Array:
        return np.asarray(self.shell_c - flux * self.drop_per_flux)

    def vapour(self, flux: Array) -> Array:
        """Vapour in the core's air, what film, heat and crust leave of saturation."""
        return np.asarray(self.room_vapour + self.missing - flux * self.resistance)

    def density_excess(self, flux: Array) -> Array:
        core = _moist_air_density(self.wall_c(flux), self.vapour(flux), self.pressure)
        return np.asarray(core - self.room_density)

    def density_ratio(self, flux: Array) -> Array:
        return np.clip(self.density_excess(flux) / self.room_density, -1.0, 1.0)

    def flux(self, conductance: Array, area: Array) -> Array:
        """The series law, written so that a closed core is no division by zero."""
        return np.asarray(self.missing * conductance / (self.resistance * conductance + area))


def core_density_excess(
    flux: FloatOrArray,
    temp_c: FloatOrArray,
    rh: FloatOrArray,
    h_c_inner: FloatOrArray,
    h_r_inner: FloatOrArray = 0.0,
    *,
    crust_resistance: FloatOrArray = 0.0,
    shell_temp_c: FloatOrArray | None = None,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute how much heavier than the room's the air of an evaporating core is.

    Parameters
    ----------
    flux : float or array
        Evaporation from the core's walls [kg/m2s], 0 to that of the same wall in the open.
    temp_c : float or array
        Air temperature of the room [°C], -40 to 80.
    rh : float or array
        Relative humidity of the room [-], 0 to 1.
    h_c_inner : float or array
        Film coefficient inside the core [W/m2K], above 0; see `inner_film`.
    h_r_inner : float or array, optional
        Heat that reaches the wet wall through wax and shell rather than through its air film
        [W/m2K], 0 or more.
    crust_resistance : float or array, optional
        Depth of the dry layer over its diffusivity [s/m], 0 or more.
    shell_temp_c : float or array, optional
        Temperature of the shell around the core [°C], -40 to 80: the room's if left out, near the
        wet bulb while the outside still dries.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Density of the core's air less that of the room's [kg/m3], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    The wall is ``flux h_fg/(h_c + h_r)`` colder than the shell, the core's air as cold as its wall,
    and its vapour what film, heat supply and crust leave of saturation. Rises with the flux: a
    core that hardly evaporates is as warm as the room, moister and so lighter; one that breathes
    is colder and heavier. At 22 °C and 50 % the two balance at a wall about 1.1 K colder. In truth
    the air inside is a little warmer than the wall, so the balance comes somewhat later.

    References
    ----------
    .. [1] H. L. Penman, Proc. Royal Society A 193 (1948) 120 (linearised saturation).
    .. [2] ASHRAE Handbook - Fundamentals (SI), Atlanta 2017, ch. 1 eq. 11 and 26.

    Examples
    --------
    Grams per cubic metre at rest, and at 10 g/m2h with 8 W/m2K:

    >>> [round(1000 * core_density_excess(f / 3.6e6, 22.0, 0.5, 3.0, 5.0), 1) for f in (0.0, 10.0)]
    [-5.9, -1.3]
    """
    walls = _WetWalls.of(
        temp_c, rh, h_c_inner, h_r_inner, crust_resistance, shell_temp_c, pressure_pa
    )
    return plain(walls.density_excess(not_negative("flux", flux, "kg/m2s")))


@dataclass(frozen=True, slots=True)
class CoreAir:
    """A core that evaporates and breathes at a steady rate.

    Attributes
    ----------
    flux : evaporation from its walls [kg/m2s]
    wall_temp_c : temperature of the wet wall [°C]
    vapour_density_kg_m3 : vapour in its air [kg/m3]
    density_excess_kg_m3 : density of its air less that of the room's [kg/m3]
    conductance_m3_s : of all its openings [m3/s]; wet area over it is the resistance they add

    All of the broadcast shape.
    """

    flux: FloatOrArray
    wall_temp_c: FloatOrArray
    vapour_density_kg_m3: FloatOrArray
    density_excess_kg_m3: FloatOrArray
    conductance_m3_s: FloatOrArray


def core_air(
    temp_c: FloatOrArray,
    rh: FloatOrArray,
    area_m2: FloatOrArray,
    openings: Openings,
    h_c_inner: FloatOrArray,
    h_r_inner: FloatOrArray = 0.0,
    *,
    crust_resistance: FloatOrArray = 0.0,
    forced_flow_m3_s: FloatOrArray = 0.0,
    vent_factor: FloatOrArray = 1.0,
    shell_temp_c: FloatOrArray | None = None,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> CoreAir:
    """Find the evaporation of a core together with the breathing that it causes.

    Parameters
    ----------
    temp_c : float or array
        Air temperature of the room [°C], -40 to 80.
    rh : float or array
        Relative humidity of the room [-], 0 to 1.
    area_m2 : float or array
        Wet wall inside the core [m2], above 0.
    openings : Openings
        The core's openings along the last axis.
    h_c_inner : float or array
        Film coefficient inside the core [W/m2K], above 0; see `inner_film`.
    h_r_inner : float or array, optional
        Heat that reaches the wet wall through wax and shell [W/m2K], 0 or more. Walls of a core
        see only each other, so radiation of the room is none of it.
    crust_resistance : float or array, optional
        Depth of the dry layer over its diffusivity [s/m], 0 or more.
    forced_flow_m3_s : float or array, optional
        Air blown into the core [m3/s], 0 or more.
    vent_factor : float or array, optional
        What this core's own checks have taught, above 0.
    shell_temp_c : float or array, optional
        Temperature of the shell around the core [°C], -40 to 80; the room's if left out.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    CoreAir
        The steady state, of the broadcast shape without the axis of openings.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Solves ``flux = missing / (1/h_m + crust + s h_fg/(h_c + h_r) + A/G(flux))``. A core that faces
    down or sideways can have two steady states, still and breathing: breathing cools it, which
    keeps it breathing. The breathing one is taken where there is one, for a dip wets and cools
    outside and inside alike and so begins it. It is found from the open face downwards, the still
    one by halving; neither can jump past, and both rise with size and number of openings and with
    blown air. Near the balance of the densities a small change of heat supply can switch between
    the two and change the flux several times: there the answer is no better than that.

    References
    ----------
    .. [1] H. L. Penman, Proc. Royal Society A 193 (1948) 120; J. L. Monteith, Symp. Soc.
       Experimental Biology 19 (1965) 205 (resistances in series).
    .. [2] `vent_conductance` and its sources.

    Examples
    --------
    An opening of 60 mm on the side, 0.03 m2 of wall, at 22 °C and 50 %:

    >>> from shellcoat.physics.vents import Facing
    >>> core = core_air(22.0, 0.5, 0.03, Openings.of(0.06, 0.06, 0.008, Facing.SIDE), 3.0, 5.0)
    >>> round(22.0 - core.wall_temp_c, 1), round(1000 * core.density_excess_kg_m3, 1)
    (0.8, -1.4)
    """
    walls = _WetWalls.of(
        temp_c, rh, h_c_inner, h_r_inner, crust_resistance, shell_temp_c, pressure_pa
    )
    wet = positive("wet area of the core", area_m2, "m2")
    vapour = saturation_pressure(walls.shell_c), vapour_pressure(temp_c, rh)
    swept = stefan_flow_factor(*vapour, pressure_pa)
    vents = Vents.of(
        openings,
        swept * vapour_diffusivity(temp_c, pressure_pa),
        air_viscosity(temp_c) / air_density(temp_c, 0.0, pressure_pa),
        forced_flow_m3_s,
        vent_factor,
    )
    breath = _Breath(walls, vents, wet)
    return breath.state(breath.settle())


@dataclass(frozen=True, slots=True)
class _Breath:
    """Walls and openings of a core, to be brought to one flux."""

    walls: _WetWalls
    vents: Vents
    wet_area: Array

    def next_flux(self, ratio: Array) -> Array:
        return self.walls.flux(self.vents.conductance(ratio), self.wet_area)

    def settle(self) -> Array:
        heavy = self.heavy_flux()
        return np.where(self.walls.density_ratio(heavy) >= 0.0, heavy, self.light_flux())

    def open_face(self) -> Array:
        """Flux with nothing in the way, of the full shape: the upper end of every search."""
        face = self.walls.missing / self.walls.resistance
        # Nothing of the openings changes it: they only lend their shape.
        return face + np.zeros_like(self.next_flux(np.zeros_like(face)))

    def heavy_flux(self) -> Array:
        """Largest flux that a heavier core sustains, or that of a still one.

        Breathing grows with the flux here, so repeating falls steadily and stops at the first.
        """
        flux = self.open_face()
        for _ in range(_DESCENT_STEPS):
            flux = self.next_flux(np.maximum(self.walls.density_ratio(flux), 0.0))
        return flux

    def light_flux(self) -> Array:
        """Flux of a lighter core, whose breathing shrinks as the flux grows: only one fits."""
        high = self.open_face()
        low = np.zeros_like(high)
        for _ in range(_HALVING_STEPS):
            middle = (low + high) / 2.0
            short = middle < self.next_flux(np.minimum(self.walls.density_ratio(middle), 0.0))
            low, high = np.where(short, middle, low), np.where(short, high, middle)
        return low

    def state(self, flux: Array) -> CoreAir:
        conductance = self.vents.conductance(self.walls.density_ratio(flux))
        return CoreAir(
            flux=plain(flux),
            wall_temp_c=plain(self.walls.wall_c(flux)),
            vapour_density_kg_m3=plain(self.walls.vapour(flux)),
            density_excess_kg_m3=plain(self.walls.density_excess(flux)),
            conductance_m3_s=plain(conductance),
        )


def core_flux(
    temp_c: FloatOrArray,
    rh: FloatOrArray,
    area_m2: FloatOrArray,
    openings: Openings,
    h_c_inner: FloatOrArray,
    h_r_inner: FloatOrArray = 0.0,
    *,
    crust_resistance: FloatOrArray = 0.0,
    forced_flow_m3_s: FloatOrArray = 0.0,
    vent_factor: FloatOrArray = 1.0,
    shell_temp_c: FloatOrArray | None = None,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute how fast water leaves the walls of a core.

    Parameters
    ----------
    temp_c : float or array
        Air temperature of the room [°C], -40 to 80.
    rh : float or array
        Relative humidity of the room [-], 0 to 1.
    area_m2 : float or array
        Wet wall inside the core [m2], above 0.
    openings : Openings
        The core's openings along the last axis.
    h_c_inner : float or array
        Film coefficient inside the core [W/m2K], above 0; see `inner_film`.
    h_r_inner : float or array, optional
        Heat that reaches the wet wall through wax and shell [W/m2K], 0 or more.
    crust_resistance : float or array, optional
        Depth of the dry layer over its diffusivity [s/m], 0 or more.
    forced_flow_m3_s : float or array, optional
        Air blown into the core [m3/s], 0 or more.
    vent_factor : float or array, optional
        What this core's own checks have taught, above 0.
    shell_temp_c : float or array, optional
        Temperature of the shell around the core [°C], -40 to 80; the room's if left out.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Evaporation [kg/m2s], broadcast shape; 0 without an opening or in saturated air.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    The flux of `core_air`; with openings beyond measure it is that of `evaporation_flux`.

    References
    ----------
    .. [1] See `core_air`.

    Examples
    --------
    An opening of 60 mm on the side, then a hose with 10 L/min, in grams per square metre and hour:

    >>> from shellcoat.physics.vents import Facing
    >>> opening = Openings.of(0.06, 0.06, 0.008, Facing.SIDE)
    >>> round(3.6e6 * core_flux(22.0, 0.5, 0.03, opening, 3.0, 5.0), 1)
    9.8
    >>> round(3.6e6 * core_flux(22.0, 0.5, 0.03, opening, 3.0, 5.0, forced_flow_m3_s=1.67e-4), 1)
    42.1
    """
    core = core_air(
        temp_c,
        rh,
        area_m2,
        openings,
        h_c_inner,
        h_r_inner,
        crust_resistance=crust_resistance,
        forced_flow_m3_s=forced_flow_m3_s,
        vent_factor=vent_factor,
        shell_temp_c=shell_temp_c,
        pressure_pa=pressure_pa,
    )
    return core.flux


def inner_film(
    size_m: FloatOrArray,
    temp_drop_k: FloatOrArray = 1.0,
    temp_c: FloatOrArray = 20.0,
    pressure_pa: FloatOrArray = STANDARD_PRESSURE_PA,
) -> FloatOrArray:
    """Compute the coefficient of the air film on the inner wall of a core.

    Parameters
    ----------
    size_m : float or array
        Clear width of the core, wall to wall [m], 0.001 to 10.
    temp_drop_k : float or array, optional
        How much colder the wall is than the core's air [K], 0 to 60. 0 leaves conduction alone.
    temp_c : float or array, optional
        Air temperature [°C], -40 to 80.
    pressure_pa : float or array, optional
        Air pressure [Pa], 50 000 to 120 000.

    Returns
    -------
    float or array
        Coefficient [W/m2K], broadcast shape.

    Raises
    ------
    ValueOutOfRangeError
        If an input is outside its range or not finite.

    Notes
    -----
    Air in a core is nearly still. Between two walls of an enclosure about as high as wide the heat
    passes ``Nu = 0.18 (Pr Ra/(0.2 + Pr))^0.29``, at least 1, of pure conduction, through two films;
    each has half the drop and so twice the coefficient, ``h = 2 Nu k/L``. Between 2.5 and 4 W/m2K
    from 15 to 200 mm: narrow cores conduct, wide ones stir themselves. Within 10 % of computed
    flow in a square box; but a core is no box, and its vapour, which makes the air lighter, is
    left out: good to about a factor of 1.5. A hose stirs the air and makes it more.

    References
    ----------
    .. [1] I. Catton, Natural convection in enclosures, Proc. 6th Int. Heat Transfer Conf., Toronto
       1978, vol. 6, 13.
    .. [2] Incropera et al., Fundamentals of Heat and Mass Transfer, Hoboken 2007, eq. 9.51.

    Examples
    --------
    >>> [round(inner_film(size), 1) for size in (0.015, 0.05, 0.1, 0.2)]
    [3.8, 3.3, 3.0, 2.7]
    """
    size = within("width of the core", size_m, 0.001, 10.0, "0.001 to 10 m")
    drop = within("temperature drop", temp_drop_k, 0.0, 60.0, "0 to 60 K")
    air_c = air_temperature(temp_c)
    viscosity = air_viscosity(air_c) / air_density(air_c, 0.0, pressure_pa)
    pr = prandtl(air_c)
    grashof = GRAVITY_M_S2 / (air_c + ZERO_CELSIUS_K) * 2.0 * drop * size**3 / viscosity**2
    stirred = _ENCLOSURE_FACTOR * (pr**2 * grashof / (0.2 + pr)) ** _ENCLOSURE_EXPONENT
    return plain(2.0 * np.maximum(stirred, 1.0) * air_conductivity(air_c) / size)


def steam_volume(water_kg: FloatOrArray) -> FloatOrArray:
    """Compute the steam that water locked in a core becomes.

    Parameters
    ----------
    water_kg : float or array
        Water [kg], 0 or more.

    Returns
    -------
    float or array
        Steam at 100 °C and 1 atm [L], shape of `water_kg`.

    Raises
    ------
    ValueOutOfRangeError
        If the water is negative or not finite.

    Notes
    -----
    1.673 L for each gram, of saturated steam. In the fire it grows on with the absolute
    temperature, and a closed core holds it as pressure instead.

    References
    ----------
    .. [1] W. Wagner and A. Pruss, The IAPWS formulation 1995, J. Physical and Chemical Reference
       Data 31 (2002) 387.

    Examples
    --------
    >>> round(steam_volume(0.001), 1)
    1.7
    """
    return plain(_STEAM_L_KG * not_negative("water", water_kg, "kg"))
