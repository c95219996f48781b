"""Owns how fast people walk on a slope, and the plain estimate where the ground is not known.

Does not own which curve to take (`walk_models`), what walking costs the body (`effort`), ways over ground
(terrain.walk) or the person's own factors (core.settings).

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


def speed_campbell2019(slope: Slope) -> Slope:
    """Give median walking speed by the Lorentz curve of Campbell and others, from crowd-sourced tracks.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m]; checked between -30 and 30 degrees.

    Returns
    -------
    float or ndarray
        Speed [m/s], a little faster down a gentle slope than on the level; above 0.15 m/s up to 60 degrees.

    References
    ----------
    Campbell, M. J., Dennison, P. E., Butler, B. W., Page, W. G. (2019), Using crowdsourced fitness tracker
    data to model the relationship between slope and travel rates, Applied Geography 106, 93-107, the median:
    c / (pi b (1 + ((t - a) / b)^2)) + d + e t m/s, t in degrees, a = -1.4579, b = 22.0787, c = 76.3271,
    d = 0.0525, e = -3.2002e-4.
    """
    t = np.degrees(np.arctan(slope))
    bell = 76.3271 / (np.pi * 22.0787 * (1.0 + ((t + 1.4579) / 22.0787) ** 2))
    return _like(slope, bell + 0.0525 - 3.2002e-4 * t)


def speed_irmischer2018(slope: Slope) -> Slope:
    """Give walking speed of soldiers on paths by the curve of Irmischer and Clarke.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m].

    Returns
    -------
    float or ndarray
        Speed [m/s], at most 1.11 at a slope of -0.05, never below 0.11.

    References
    ----------
    Irmischer, I. J., Clarke, K. C. (2018), Measuring and modeling the speed of human navigation, Cartography
    and Geographic Information Science 45(2), 177-186: 0.11 + exp(-(100 S + 5)^2 / 1800) m/s on paths, from
    memory.
    """
    return _like(slope, 0.11 + np.exp(-((100.0 * np.asarray(slope) + 5.0) ** 2) / 1800.0))


def speed_irmischer2018_off_path(slope: Slope) -> Slope:
    """Give walking speed of soldiers off paths by the curve of Irmischer and Clarke.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m].

    Returns
    -------
    float or ndarray
        Speed [m/s], at most 0.78 at a slope of -0.02, never below 0.11.

    References
    ----------
    Irmischer and Clarke (2018), as for `speed_irmischer2018`: 0.11 + 0.67 exp(-(100 S + 2)^2 / 1800) m/s,
    from memory.
    """
    return _like(slope, 0.11 + 0.67 * np.exp(-((100.0 * np.asarray(slope) + 2.0) ** 2) / 1800.0))


def pace_langmuir(slope: Slope) -> Slope:
    """Give time per horizontal metre by Naismith's rule with Langmuir's corrections for going down.

    Parameters
    ----------
    slope
        Rise over run along the way [m/m].

    Returns
    -------
    float or ndarray
        Pace [s/m]: 0.72 on the level, 6 s for each metre up; 2 s less for each metre down a slope of 5 to 12
        degrees, 2 s more for each down a steeper one. It jumps at those two slopes, as the rule does.

    References
    ----------
    Naismith, W. W. (1892), Scottish Mountaineering Club Journal 2, 136: an hour for every three miles and
    one for every 2000 feet, here 5 km and 600 m. Langmuir, E., Mountaincraft and leadership: 10 minutes for
    300 m. Both from memory.
    """
    steep = np.asarray(slope, np.float64)
    down = -np.degrees(np.arctan(steep))
    gentle, sharp = (down >= 5.0) & (down <= 12.0), down > 12.0
    found = 0.72 + 6.0 * np.maximum(steep, 0.0) + np.where(gentle, 2.0 * steep, 0.0)
    return _like(slope, found - np.where(sharp, 2.0 * steep, 0.0))


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
