"""Owns how fast people walk on a slope, and the plain estimate where the ground is not known.

Does not own ways over ground (terrain.walk) or the person's own factors (core.settings).

Slopes are rise over horizontal run, positive uphill. The fits are for trails and dry ground: off the path and
in snow the caller applies factors. All take scalars or arrays and give the same shape.
"""

from typing import TypeVar, cast

import numpy as np
import numpy.typing as npt

Slope = TypeVar("Slope", float, npt.NDArray[np.float64])

METRES_PER_SECOND_PER_KMH = 1.0 / 3.6


def speed_tobler1993(slope: Slope) -> Slope:
    """Give walking speed on a footpath by Tobler's hiking function.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m]. Fitted to marching data between about -0.6 and 0.6, from memory.

    Returns
    -------
    float or ndarray
        Speed [m/s], at most 6 km/h, at a slope of -0.05. Counted over horizontal distance here, as a map
        measures it; the report does not say which.

    References
    ----------
    Tobler, W. (1993), Three presentations on geographical analysis and modeling, NCGIA Technical Report 93-1,
    p. 2: 6 exp(-3.5 |S + 0.05|) km/h; off the path times 0.6.
    """
    return _like(slope, 6.0 * METRES_PER_SECOND_PER_KMH * np.exp(-3.5 * np.abs(np.asarray(slope) + 0.05)))


def pace_tobler1993(slope: Slope) -> Slope:
    """Give time per horizontal metre on a footpath: the inverse of `speed_tobler1993`.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m].

    Returns
    -------
    float or ndarray
        Pace [s/m], at least 0.6.

    References
    ----------
    Tobler (1993), as for `speed_tobler1993`.
    """
    return _like(slope, 0.6 * np.exp(3.5 * np.abs(np.asarray(slope) + 0.05)))


def speed_marquez2017(slope: Slope) -> Slope:
    """Give walking speed by the curve of Marquez-Perez and others, fitted to tracks of hikers.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m].

    Returns
    -------
    float or ndarray
        Speed [m/s], at most 4.8 km/h, at a slope of -0.0429.

    References
    ----------
    Marquez-Perez, J., Vallejo-Villalta, I., Alvarez-Francoso, J. I. (2017), Estimated travel time for walking
    trails in natural areas, Geografisk Tidsskrift 117(1), 53-62: 4.8 exp(-5.3 |0.7 S + 0.03|) km/h, from
    memory.
    """
    return _like(
        slope, 4.8 * METRES_PER_SECOND_PER_KMH * np.exp(-5.3 * np.abs(0.7 * np.asarray(slope) + 0.03))
    )


def speed_campbell2022(slope: Slope) -> Slope:
    """Give median walking speed on trails by the curve of Campbell and others, from crowd-sourced tracks.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m]. The formula is in degrees, and checked up to 30 either way.

    Returns
    -------
    float or ndarray
        Speed [m/s], the same up and down. On ground too steep to walk it stays above 0.1 m/s.

    References
    ----------
    Campbell, M. J. and others (2022), the median of their models:
    (0.006512 t^2 + 80.88869) / (0.140214 t^2 + 70.389209) m/s, t in degrees.
    """
    square = np.degrees(np.arctan(slope)) ** 2
    return _like(slope, (0.006512 * square + 80.88869) / (0.140214 * square + 70.389209))


def time_factor(*, off_path: float, snow: float) -> float:
    """Give the multiple of the time on a bare path: slower off it, slower in snow.

    Parameters
    ----------
    off_path
        Speed off the path as a share of speed on it, above 0; Tobler's is 0.6.
    snow
        Time in today's snow as a multiple of time on bare ground.

    References
    ----------
    Tobler (1993), p. 2, for 0.6; that the two multiply is common practice, no source.
    """
    return snow / off_path


def straight_walk_s(distance_m: Slope, detour: float, factor: float) -> Slope:
    """Estimate a walk where the ground is not known: a level way, longer than the straight line.

    Parameters
    ----------
    distance_m
        Straight distance [m].
    detour
        Walked distance over straight distance, 1 or more.
    factor
        Multiple of the time on a bare path, as of `time_factor`.

    Returns
    -------
    float or ndarray
        Time [s].

    References
    ----------
    Tobler (1993) for the pace on the level, 0.6 exp(0.175) = 0.7148 s/m; the detour is common practice, no
    source.
    """
    return distance_m * (detour * factor * pace_tobler1993(0.0))


def _like(given: Slope, found: npt.NDArray[np.float64] | np.float64) -> Slope:
    """Give a plain float for a plain number."""
    return cast(Slope, found) if isinstance(given, np.ndarray) else float(found)
