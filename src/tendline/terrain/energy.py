"""Owns what a way over ground costs the body: the power of walking, summed along the way.

Does not own the ways (`walk`) or the power itself (almanac.effort).
"""

import numpy as np

from tendline.almanac.effort import walking_power
from tendline.almanac.gait import Gait
from tendline.core.settings import WalkCosts
from tendline.terrain.walk import WalkResult


def energy_j(found: WalkResult, a: str, b: str, *, gait: Gait, costs: WalkCosts) -> float:
    """Give the energy of walking from one place to another.

    Parameters
    ----------
    found
        Walking times.
    a, b
        Names of places, with a way between.
    gait, costs
        How the person walks; body and load are of `costs`.

    Returns
    -------
    float
        Energy [J], resting included. The time of the way is shared out among its moves as the person's curve
        has it, so that a stream's or fence's toll slows the moves evenly.

    Raises
    ------
    KeyError
        When there is no way, or no such place.

    References
    ----------
    As of `almanac.effort.walking_power`.
    """
    cells = found.cells_along(a, b)
    i, j = found.names.index(a), found.names.index(b)
    seconds = float(found.seconds[i, j])
    grid = found.grid
    steps = np.diff(cells, axis=0)
    if len(steps) == 0:
        lengths, grades = np.array([float(found.metres[i, j])]), np.zeros(1)
    else:
        lengths = np.hypot(steps[:, 0] * grid.dy, steps[:, 1] * grid.dx)
        grades = np.diff(grid.z[cells[:, 0], cells[:, 1]].astype(np.float64)) / lengths
    if seconds <= 0:
        return 0.0
    shares = lengths * gait.pace(grades)
    times = seconds * shares / shares.sum()
    powers = walking_power(
        lengths / times, grades, body_kg=costs.body_kg, load_kg=costs.load_kg, terrain=gait.terrain
    )
    return float(np.sum(powers * times))
