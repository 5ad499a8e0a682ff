"""How far the air may differ from what was expected of it, and what that does to drying.

Errors of temperature and of the logarithm of the vapour density are kept together, because both
meet in the drive: saturation, which temperature sets, less vapour.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import starmap

import numpy as np
from numpy.typing import NDArray

from shellcoat.forecast.air_habits import Habit
from shellcoat.physics import moist_air, transport
from shellcoat.physics.constants import VAPOUR_GAS_CONSTANT_J_KGK, ZERO_CELSIUS_K

Floats = NDArray[np.float64]

PRIOR_DAYS = 2.0
"""The starting errors count as much as so many days of the log's own; from memory."""

PRIOR_TRIALS = 4.0
"""How calm a room is at first counts as so many days on which one lead was tried; from memory."""


@dataclass(frozen=True, slots=True)
class AirErrors:
    """Variances of temperature [K2] and ln vapour density [-], and their covariance [K]."""

    temp: Floats
    vapour: Floats
    shared: Floats

    @classmethod
    def loose(cls, temp: Floats, vapour: Floats, temp_c: Floats) -> AirErrors:
        """Errors of air whose relative humidity and temperature know nothing of each other."""
        return cls(temp, vapour, temp * _rise(temp_c))

    def drive_spread(self, temp_c: Floats, vapour: Floats) -> Floats:
        """Standard deviation [kg/m3] of saturation less vapour density."""
        slope = np.asarray(moist_air.saturation_density(temp_c)) * _rise(temp_c)
        variance = slope**2 * self.temp + vapour**2 * self.vapour
        return np.sqrt(np.maximum(variance - 2.0 * slope * vapour * self.shared, 0.0))

    def learned(self, temp: Habit, vapour: Habit) -> AirErrors:
        """What is left of these starting errors, one for each lead of the habits.

        The log first scales them, all leads together: a room that is calm over three hours is
        calm over a day. Then each lead is met by its own errors.
        """
        days = np.array(temp.days, dtype=float)
        of_temp = _mean_products(temp, temp)
        of_vapour = _mean_products(vapour, vapour)
        scales = _scale(days, of_temp / self.temp), _scale(days, of_vapour / self.vapour)
        return AirErrors(
            _met(days, of_temp, scales[0] * self.temp),
            _met(days, of_vapour, scales[1] * self.vapour),
            _met(days, _mean_products(temp, vapour), np.sqrt(scales[0] * scales[1]) * self.shared),
        )


def _rise(temp_c: Floats) -> Floats:
    """Rise of ln saturation density with temperature [1/K]: Clausius-Clapeyron, ideal gas."""
    kelvin = temp_c + ZERO_CELSIUS_K
    latent = np.asarray(transport.latent_heat(temp_c))
    rise: Floats = (latent / (VAPOUR_GAS_CONSTANT_J_KGK * kelvin) - 1.0) / kelvin
    return rise


def _mean_products(one: Habit, other: Habit) -> Floats:
    """Mean product of two quantities' errors at each lead; nothing where none was seen."""
    return np.array(list(starmap(_mean_product, zip(one.errors, other.errors, strict=True))))


def _mean_product(one: Floats, other: Floats) -> float:
    return float((one * other).mean()) if one.size else 0.0


def _scale(days: Floats, ratio: Floats) -> float:
    """How much wider than at the start the log's variances are; one before there are any."""
    return float((days @ ratio + PRIOR_TRIALS) / (days.sum() + PRIOR_TRIALS))


def _met(days: Floats, seen: Floats, believed: Floats) -> Floats:
    """Seen and believed variances together, widened for resting on so few days."""
    number = days + PRIOR_DAYS
    mean = (days * seen + PRIOR_DAYS * believed) / number
    wider: Floats = mean * (1.0 + days / number**2)
    return wider
