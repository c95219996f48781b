"""Owns what walking costs the body: power by speed, slope, load and ground, and what that does to time.

Does not own speeds on a slope (`travel`) or ways over ground (terrain.walk).

W is the body and L the load [kg], V the speed [m/s], G the grade [percent], eta the factor of the ground.
"""

import math
from collections.abc import Mapping
from typing import TypeVar, cast

import numpy as np
import numpy.typing as npt

Number = TypeVar("Number", float, npt.NDArray[np.float64])

TERRAIN: Mapping[str, float] = {
    "road": 1.0,
    "dirt-road": 1.1,
    "light-brush": 1.2,
    "heavy-brush": 1.5,
    "swamp": 1.8,
    "loose-sand": 2.1,
    "packed-snow": 1.3,
}
"""Factors of the ground (Pandolf, Haisman and Goldman 1976): brush, sand and snow as printed in open code;
road, dirt road and swamp from memory."""

LEVEL_SPEED = 1.4
"""Speed at which a load is weighed against none [m/s]: Tobler's on the level."""

SLOWEST_LCDA, FASTEST_LCDA = 0.45, 1.97
"""Speeds for which the LCDA was fitted [m/s]."""

KILOCALORIE_J = 4184.0


def terrain_factor_snow(sink_m: Number) -> Number:
    """Give the factor of the ground for snow that a foot sinks into.

    Parameters
    ----------
    sink_m
        Depth of the footprint [m], 0 to 0.5; not the depth of the snow.

    Returns
    -------
    float or ndarray
        1.3 on a hard surface, 2.94 at 20 cm. Beyond half a metre nobody has measured it.

    References
    ----------
    Pandolf, K. B., Haisman, M. F., Goldman, R. F. (1976), Metabolic energy expenditure and terrain
    coefficients for walking on snow, Ergonomics 19(6), 683-690: 1.30 + 0.082 per centimetre; 0.082 from
    memory.
    """
    return _like(sink_m, 1.30 + 8.2 * np.asarray(sink_m))


def power_pandolf(speed: Number, grade: Number, *, body_kg: float, load_kg: float, terrain: float) -> Number:
    """Give the power of walking by the equation of Pandolf and others.

    Parameters
    ----------
    speed
        [m/s], 0 and more.
    grade
        Rise over run, 0 and more; below 0 it has no meaning, and is taken as 0 here.
    body_kg, load_kg
        [kg].
    terrain
        Factor of the ground, as of `TERRAIN` or `terrain_factor_snow`.

    Returns
    -------
    float or ndarray
        Power [W], resting included. Too low by 12 to 33 percent at some speeds, as later studies found.

    References
    ----------
    Pandolf, K. B., Givoni, B., Goldman, R. F. (1977), Predicting energy expenditure with loads while standing
    or walking very slowly, Journal of Applied Physiology 43(4), 577-581:
    1.5 W + 2 (W + L) (L / W)^2 + eta (W + L) (1.5 V^2 + 0.35 V G).
    """
    v, g = np.asarray(speed), np.maximum(100.0 * np.asarray(grade), 0.0)
    mass = body_kg + load_kg
    standing = 1.5 * body_kg + 2.0 * mass * (load_kg / body_kg) ** 2
    return _like(speed, standing + terrain * mass * (1.5 * v * v + 0.35 * v * g))


def power_lcda(speed: Number, grade: Number) -> Number:
    """Give the power of walking for each kilogram by the load carriage decision aid.

    Parameters
    ----------
    speed
        [m/s]; fitted from 0.45 to 1.97.
    grade
        Rise over run, up and down.

    Returns
    -------
    float or ndarray
        Power [W/kg], standing (1.44) included; for firm ground, no load.

    References
    ----------
    Looney, D. P. and others (2019), Estimating energy costs of uphill, downhill, and level walking, Medicine
    and Science in Sports and Exercise 51(9), 1954-1960: 1.44 + 1.94 S^0.43 + 0.24 S^4, and on a grade of G
    percent + 0.34 S G (1 - 1.05^(1 - 1.1^(G + 32))).
    """
    v, g = np.asarray(speed), 100.0 * np.asarray(grade)
    level = 1.44 + 1.94 * v**0.43 + 0.24 * v**4
    return _like(speed, level + 0.34 * v * g * (1.0 - 1.05 ** (1.0 - 1.1 ** (g + 32.0))))


def walking_power(speed: Number, grade: Number, *, body_kg: float, load_kg: float, terrain: float) -> Number:
    """Give the power of walking with a load over any ground, up and down.

    Parameters
    ----------
    speed, grade, body_kg, load_kg, terrain
        As of `power_pandolf`; grades below 0 are downhill.

    Returns
    -------
    float or ndarray
        Power [W]: the LCDA for body and load together, what it gives above standing times the factor of the
        ground. Below 0.45 m/s the LCDA is used as it stands.

    References
    ----------
    Looney and others (2019), as for `power_lcda`; the factor of the ground on what moving costs as in Pandolf
    and others (1977). That the two go together is common practice, no source.
    """
    mass = body_kg + load_kg
    moving = np.maximum(np.asarray(power_lcda(speed, grade)) - 1.44, 0.0)
    return _like(speed, 1.44 * mass + terrain * mass * moving)


def snow_time_factor(sink_m: float, *, bare: float = TERRAIN["light-brush"]) -> float:
    """Give how much longer a walk takes in snow for the same effort.

    Parameters
    ----------
    sink_m
        Depth of the footprint [m].
    bare
        Factor of the ground without snow.

    Returns
    -------
    float
        Time in snow over time without, 1 and more: at 20 cm 1.57 over light brush.

    References
    ----------
    Pandolf and others (1977), solved for the speed of the same power on the level: eta V^2 stays the same, so
    that time goes with the root of eta. Factors as of `terrain_factor_snow`.
    """
    return max(math.sqrt(terrain_factor_snow(sink_m) / bare), 1.0)


def load_time_factor(body_kg: float, load_kg: float, *, terrain: float = TERRAIN["light-brush"]) -> float:
    """Give how much longer a walk takes with a load for the same effort.

    Parameters
    ----------
    body_kg, load_kg
        [kg]; the load less than the body.
    terrain
        Factor of the ground.

    Returns
    -------
    float
        Time with the load over time without, 1 and more, on the level: at 80 kg and 15 kg 1.10. Infinite
        where standing under the load alone takes all of that effort.

    References
    ----------
    Pandolf and others (1977), solved for the speed of the power that 1.4 m/s takes without a load.
    """
    mass = body_kg + load_kg
    moving = terrain * body_kg * 1.5 * LEVEL_SPEED**2 - 2.0 * mass * (load_kg / body_kg) ** 2
    if moving <= 0:
        return math.inf
    return LEVEL_SPEED / math.sqrt(moving / (terrain * mass * 1.5))


def _like(given: Number, found: npt.NDArray[np.float64] | np.float64) -> Number:
    """Give a plain float for a plain number."""
    return cast(Number, found) if isinstance(given, np.ndarray) else float(found)
