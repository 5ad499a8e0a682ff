"""Physical constants, each once, with its unit, its source and the range it may have.

A constant is a float and is used as one; what it is and where it comes from travels with it.
"""

from __future__ import annotations


class Constant(float):
    """A float that knows its unit, its source and its range.

    Attributes
    ----------
    unit : str
        Unit, "-" for a pure number.
    source : str
        Published source, "common practice" or "from memory".
    low, high : float
        Range the value may have in this use; equal to the value where it is fixed by definition.
    """

    unit: str
    source: str
    low: float
    high: float

    def __new__(
        cls,
        value: float,
        unit: str,
        source: str,
        low: float | None = None,
        high: float | None = None,
    ) -> Constant:
        """Make the constant; without a range it is fixed by definition."""
        constant = super().__new__(cls, value)
        constant.unit = unit
        constant.source = source
        constant.low = value if low is None else low
        constant.high = value if high is None else high
        return constant


ZERO_CELSIUS_K = Constant(273.15, "K", "BIPM, The International System of Units, 9th ed., 2019")

STANDARD_PRESSURE_PA = Constant(
    101_325.0, "Pa", "ISO 2533:1975 Standard Atmosphere, sea level", low=98_000.0, high=104_000.0
)

GRAVITY_M_S2 = Constant(
    9.80665,
    "m/s2",
    "CGPM 1901, standard acceleration of free fall; range pole to equator",
    low=9.780,
    high=9.833,
)

STEFAN_BOLTZMANN_W_M2K4 = Constant(5.670374419e-8, "W/m2K4", "CODATA 2018, exact since 2019")

VAPOUR_GAS_CONSTANT_J_KGK = Constant(
    461.5,
    "J/kgK",
    "Water vapour: 8.314463 J/molK over 18.0153 g/mol (CODATA 2018; IAPWS molar mass)",
    low=461.4,
    high=461.6,
)

DRY_AIR_GAS_CONSTANT_J_KGK = Constant(
    287.042,
    "J/kgK",
    "ASHRAE Handbook - Fundamentals, Atlanta 2017, ch. 1 eq. 1",
    low=287.04,
    high=287.06,
)

WATER_AIR_MOLAR_MASS_RATIO = Constant(
    0.621945,
    "-",
    "ASHRAE Handbook - Fundamentals, Atlanta 2017, ch. 1 eq. 20",
    low=0.6219,
    high=0.6220,
)

AIR_HEAT_CAPACITY_J_KGK = Constant(
    1006.0,
    "J/kgK",
    "ASHRAE Handbook - Fundamentals, Atlanta 2017, ch. 1 eq. 28 (1.006 kJ/kgK, dry air); "
    "room air with its vapour reaches 1030",
    low=1004.0,
    high=1030.0,
)

LEWIS_NUMBER = Constant(
    0.863,
    "-",
    "Thermal diffusivity of air (CoolProp 8.0) over vapour diffusivity (Massman 1998) at 20 °C; "
    "0.860 at 0 °C, 0.864 at 50 °C. With the diffusivity of Marrero and Mason 1972 0.88 to 0.90",
    low=0.85,
    high=0.90,
)

WATER_DENSITY_KG_M3 = Constant(
    998.2,
    "kg/m3",
    "Tanaka et al., Metrologia 38 (2001) 301, 20 °C; range 10 to 30 °C",
    low=995.6,
    high=999.7,
)

SHELL_EMISSIVITY = Constant(
    0.9,
    "-",
    "Sand 0.90, concrete 0.88-0.93, water 0.96 near 300 K: Incropera et al., Fundamentals of "
    "Heat and Mass Transfer, Hoboken 2007, table A.11 (from memory)",
    low=0.85,
    high=0.97,
)
