"""Owns how fast snow melts, what rain does to it, how much of what falls is snow, how cold it is higher up.

Does not own how snow settles (`snow`) or any forecast.

Every function takes numbers or arrays of numbers of one shape and gives an array of that shape.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Numbers = float | Sequence[float] | Floats

LAPSE_C_PER_M = 0.0065
"""How much colder it is a metre higher, in the mean [degrees Celsius]: ICAO standard atmosphere."""

RAIN_HEAT = 4.187 / 334.0
"""Snow that a mm of rain melts for each degree it is warm [mm]: heat of water [kJ/kg/K] over heat of melting
ice [kJ/kg], 0.0125; SNOW-17 has the same number (Anderson 2006)."""

ALL_SNOW_C, ALL_RAIN_C = 0.0, 3.0
"""Air at and below which all that falls is snow, and at and above which all is rain, halves at 1.5 degrees:
US Army Corps of Engineers (1956), Snow Hydrology, from memory. The true limits move with the day."""


def melt_factor(day_of_year: int, *, hours: float = 24.0, most: float = 1.05, least: float = 0.60) -> float:
    """Give the melt for each degree above freezing, by the day of the year.

    Parameters
    ----------
    day_of_year
        1 to 366; least melt at day 355, most at 172 (northern half of the earth).
    hours
        For how long [h].
    most, least
        On the longest and shortest day [mm for each degree in 6 hours].

    Returns
    -------
    float
        [mm for each degree Celsius in `hours`].

    References
    ----------
    Anderson, E. A. (2006), SNOW-17: Mf = dt/6 (S (MFMAX - MFMIN) + MFMIN), S = 0.5 sin(2 pi (n - 80) / 365)
    + 0.5; formula from memory.
    """
    season = 0.5 * math.sin(2.0 * math.pi * (day_of_year - 80) / 365.0) + 0.5
    return hours / 6.0 * (season * (most - least) + least)


def melt_factor_by_density(density: Numbers, *, sheltered: bool) -> Floats:
    """Give the melt for each degree above freezing in a day, by how dense the snow is.

    Parameters
    ----------
    density
        [kg/m3].
    sheltered
        In forest, not in the open.

    Returns
    -------
    array
        [mm for each degree Celsius in a day], 0.1 to 5.5 in the open, to 3.5 in forest.

    References
    ----------
    Kuusisto, E. (1984), Snow accumulation and snowmelt in Finland, as seen in published code: 0.0196 rho / 2
    - 2.39 in the open, 0.0104 rho / 2 - 0.70 in forest.
    """
    thick = _array(density)
    if sheltered:
        return np.clip(0.0104 * thick / 2.0 - 0.70, 0.1, 3.5)
    return np.clip(0.0196 * thick / 2.0 - 2.39, 0.1, 5.5)


def melt_mm(factor: Numbers, *, air_c: Numbers, base_c: float = 0.0) -> Floats:
    """Give the water that melts [mm] from a factor and the mean air temperature, 0 when it freezes.

    References
    ----------
    Degree-day method: M = DDF (T - Tb); Hock, R. (2003), Temperature index melt modelling in mountain areas,
    Journal of Hydrology 282, 104-115, equation 1.
    """
    return _array(factor) * np.maximum(_array(air_c) - base_c, 0.0)


def melt_by_rain_mm(rain_mm: Numbers, *, air_c: Numbers) -> Floats:
    """Give the snow that warm rain melts by its own heat [mm of water], 0 when it is not warm.

    References
    ----------
    Heat of the water over heat of melting: see `RAIN_HEAT`.
    """
    return RAIN_HEAT * _array(rain_mm) * np.maximum(_array(air_c), 0.0)


def snow_share(air_c: Numbers) -> Floats:
    """Give the share of what falls that falls as snow, 0 to 1, from the air temperature.

    References
    ----------
    A straight line between two temperatures: see `ALL_SNOW_C`, from memory.
    """
    return np.clip((ALL_RAIN_C - _array(air_c)) / (ALL_RAIN_C - ALL_SNOW_C), 0.0, 1.0)


def lapsed_c(air_c: Numbers, *, up_m: Numbers) -> Floats:
    """Give the air temperature so much higher up [degrees Celsius]; in a valley at night it is the other way.

    References
    ----------
    ICAO standard atmosphere (Doc 7488, 1993): 6.5 degrees in 1,000 m.
    """
    return _array(air_c) - LAPSE_C_PER_M * _array(up_m)


def _array(numbers: Numbers) -> Floats:
    return np.asarray(numbers, dtype=np.float64)
