"""Owns how dense snow is when it falls, how it settles day by day, and how dense a whole season's cover is.

Does not own melting and rain (`melt`), the surface a loop is measured from (`datum`) or any forecast.

Every function takes numbers or arrays of numbers of one shape and gives an array of that shape. A drift, a
footprint and a crust overrule all of it: what is worked out here is undisturbed snow on level ground.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Numbers = float | Sequence[float] | Floats

GRAVITY = 9.81
"""As the delta.snow authors take it [m/s2]."""


def fresh_density_by_cloud(air_c: Numbers) -> Floats:
    """Give the density of new snow from the air temperature, after Hedstrom and Pomeroy.

    Parameters
    ----------
    air_c
        Air temperature [degrees Celsius]; above freezing the density of 0 degrees is given.

    Returns
    -------
    array
        [kg/m3], 67.9 to 119.2.

    References
    ----------
    Hedstrom, N. R. & Pomeroy, J. W. (1998), Measurements and modelling of snow interception in the boreal
    forest, Hydrological Processes 12, 1611-1625; constants from memory, and close to the rounded 67.9, 51.3
    and 2.6 that are seen in published land surface code.
    """
    air = np.minimum(_array(air_c), 0.0)
    return 67.92 + 51.25 * np.exp(air / 2.59)


def fresh_density_by_air(air_c: Numbers) -> Floats:
    """Give the density of new snow from the air temperature, after Anderson.

    Parameters
    ----------
    air_c
        Air temperature [degrees Celsius]; above freezing the density of 0 degrees is given.

    Returns
    -------
    array
        [kg/m3], 50 to 148.8.

    References
    ----------
    Anderson, E. A. (1976), A point energy and mass balance model of a snow cover, NOAA Technical Report
    NWS 19: 0.05 + 0.0017 (T + 15)^1.5 in g/cm3, as seen in published code.
    """
    above = np.clip(_array(air_c) + 15.0, 0.0, 15.0)
    return 50.0 + 1.7 * above**1.5


def settled_by_snow17(
    density: Numbers,
    *,
    water_mm: Numbers,
    snow_c: Numbers,
    hours: float,
    rate: Numbers = 1.0,
) -> Floats:
    """Give the density of a layer of snow some hours later, after SNOW-17.

    Parameters
    ----------
    density
        Now [kg/m3].
    water_mm
        Weight that presses on it, its own included [mm of water].
    snow_c
        Temperature of the snow [degrees Celsius], 0 or less.
    hours
        How long [h]; steps of 6 and of 24 hours differ by half of one per cent.
    rate
        Both constants times this: for trying how much they matter.

    Returns
    -------
    array
        [kg/m3], never less than before.

    References
    ----------
    Anderson, E. A. (2006), Snow accumulation and ablation model SNOW-17, National Weather Service: compaction
    rho (e^B - 1) / B with B = 0.026 W dt exp(0.08 T - 21 rho), then destructive metamorphism exp(A) with
    A = 0.005 dt exp(0.10 T), times exp(-46 (rho - 0.15)) above 0.15 g/cm3. Structure seen in published code;
    the four constants from memory.
    """
    grams, cold, speed = _array(density) / 1000.0, _array(snow_c), _array(rate)
    pressed = 0.1 * _array(water_mm) * 0.026 * hours * speed * np.exp(0.08 * cold - 21.0 * grams)
    safe = np.maximum(pressed, 1e-6)
    ripened = 0.005 * hours * speed * np.exp(0.10 * cold - 46.0 * np.maximum(grams - 0.15, 0.0))
    return 1000.0 * grams * np.expm1(safe) / safe * np.exp(ripened)


@dataclass(frozen=True)
class DeltaSnow:
    """Constants of the delta.snow model.

    Parameters
    ----------
    densest
        No layer gets denser than this [kg/m3].
    fresh
        Density of new snow [kg/m3].
    overburden, overburden_power
        How far fresh load presses old snow together at once [1/Pa], and how that lessens with density.
    stiffening
        How viscosity grows with density [m3/kg].
    new_layer_m
        A rise of depth by more than this is new snow [m].
    viscosity
        Of snow without weight [Pa s].
    """

    densest: float = 401.2588
    fresh: float = 81.19417
    overburden: float = 0.0005104722
    overburden_power: float = 0.37856737
    stiffening: float = 0.02993175
    new_layer_m: float = 0.02362476
    viscosity: float = 8523356.0


DELTA_SNOW = DeltaSnow()
"""As published: Winkler, Schellander & Gruber (2021), table 2, and seen in the authors' package."""


def settled_by_delta_snow(
    depth_m: Numbers,
    *,
    water_mm: Numbers,
    pressing_mm: Numbers,
    hours: float,
    rate: Numbers = 1.0,
    constants: DeltaSnow = DELTA_SNOW,
) -> Floats:
    """Give the depth of a layer of dry snow some hours later, after delta.snow.

    Parameters
    ----------
    depth_m
        Of the layer now [m].
    water_mm
        Its water [mm]; no layer without depth may have any.
    pressing_mm
        What presses on it, its own weight included [mm of water].
    hours
        How long [h]; the model was made for steps of a day.
    rate
        Speed of settling times this.
    constants
        The model's.

    Returns
    -------
    array
        [m], never more than before; never denser than the model allows, unless it already is.

    References
    ----------
    Winkler, M., Schellander, H. & Gruber, S. (2021), Snow water equivalents exclusively from snow depths and
    their temporal changes: the delta.snow model, Hydrology and Earth System Sciences 25, 1165-1187, doi
    10.5194/hess-25-1165-2021, equation 5 (dry compaction).
    """
    depth, water = _array(depth_m), _array(water_mm)
    density = water / np.maximum(depth, 1e-6)
    flow = GRAVITY * hours * 3600.0 / constants.viscosity * _array(rate)
    later = depth / (1.0 + _array(pressing_mm) * flow * np.exp(-constants.stiffening * density))
    return np.minimum(depth, np.maximum(later, water / constants.densest))


def pressed_by_new_snow(
    depth_m: Numbers, *, water_mm: Numbers, load_pa: Numbers, constants: DeltaSnow = DELTA_SNOW
) -> Floats:
    """Give the depth of old snow right after new snow has come to lie on it, after delta.snow.

    Parameters
    ----------
    depth_m, water_mm
        Of the old snow [m], [mm]; `depth_m` above 0.
    load_pa
        Weight of the new snow [Pa].
    constants
        The model's.

    Returns
    -------
    array
        [m].

    References
    ----------
    Winkler, Schellander & Gruber (2021), as for `settled_by_delta_snow`, equations 8 to 10 (overburden).
    """
    depth = _array(depth_m)
    density = np.minimum(_array(water_mm) / depth, constants.densest - 1.0)
    lessens = np.exp(-constants.overburden_power * density / (constants.densest - density))
    return depth * (1.0 - constants.overburden * _array(load_pa) * lessens)


class SnowClass(StrEnum):
    """Classes of seasonal snow by climate."""

    ALPINE = "alpine"
    MARITIME = "maritime"
    PRAIRIE = "prairie"
    TUNDRA = "tundra"
    TAIGA = "taiga"


_STURM = {
    SnowClass.ALPINE: (0.5975, 0.2237, 0.0012, 0.0038),
    SnowClass.MARITIME: (0.5979, 0.2578, 0.0010, 0.0038),
    SnowClass.PRAIRIE: (0.5940, 0.2332, 0.0016, 0.0031),
    SnowClass.TUNDRA: (0.3630, 0.2425, 0.0029, 0.0049),
    SnowClass.TAIGA: (0.2170, 0.2170, 0.0, 0.0),
}


def cover_density(climate: SnowClass, *, depth_m: Numbers, winter_day: Numbers) -> Floats:
    """Give the density of a whole cover of snow from its depth and the day.

    Parameters
    ----------
    climate
        Which class of snow.
    depth_m
        From the ground to the top [m].
    winter_day
        Days since 31 December: 32 on 1 February, -92 on 1 October; -92 to 181.

    Returns
    -------
    array
        [kg/m3].

    References
    ----------
    Sturm, M. et al. (2010), Estimating snow water equivalent using snow depth data and climate classes,
    Journal of Hydrometeorology 11, 1380-1394, equation 6 and table 4.
    """
    densest, first, by_depth, by_day = _STURM[climate]
    grown = 1.0 - np.exp(-by_depth * 100.0 * _array(depth_m) - by_day * _array(winter_day))
    return 1000.0 * ((densest - first) * grown + first)


def cold_settling(density: Numbers, *, water_mm: Numbers, snow_c: Numbers) -> Floats:
    """Give how fast cold snow gets denser [kg/m3 each hour], after Brown and Brasnett.

    References
    ----------
    Brown, R. D., Brasnett, B. & Robinson, D. (2003), Gridded North American monthly snow depth, Atmosphere-
    Ocean 41, 1-14, as seen in published code: 1000 * 0.02 exp(0.08 (T + 1)) 0.6 W exp(-21 rho), W in cm of
    water and rho in g/cm3.
    """
    press = 0.6 * 0.1 * _array(water_mm) * np.exp(-21.0 * _array(density) / 1000.0)
    return 1000.0 * 0.02 * np.exp(0.08 * (_array(snow_c) + 1.0)) * press


def warm_densest(depth_m: Numbers) -> Floats:
    """Give the density that warm snow of a depth settles towards [kg/m3], after Brown and Brasnett.

    References
    ----------
    As for `cold_settling`: 700 - (20470 / D) (1 - exp(-D / 67.3)), D in cm, above 0.
    """
    depth = 100.0 * _array(depth_m)
    return 700.0 - 20470.0 / depth * (1.0 - np.exp(-depth / 67.3))


def _array(numbers: Numbers) -> Floats:
    return np.asarray(numbers, dtype=np.float64)
