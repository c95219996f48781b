"""Owns how one person walks today: curve, snow, load and dark put together into a pace and two factors.

Does not own the curves (`travel`, `walk_models`), the power of walking (`effort`) or ways over ground
(terrain).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.almanac.effort import load_time_factor, snow_time_factor, terrain_factor_snow
from tendline.almanac.travel import time_factor
from tendline.almanac.walk_models import MODELS, Curve
from tendline.core.settings import WalkCosts


@dataclass(frozen=True)
class Gait:
    """How a person walks today.

    Parameters
    ----------
    speed
        Slope [m/m] to speed [m/s] before factors: on the path, or off it for a curve that has its own.
    factor
        What time off the path is multiplied by, against that curve; above 0.
    on_path
        What time on a path is multiplied by, against the ground beside it; above 0.
    terrain
        Factor of the ground for the power of walking.
    said
        What went into the factor, in words, each with its value.
    """

    speed: Curve
    factor: float
    on_path: float
    terrain: float
    said: tuple[str, ...]

    def pace(self, slope: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Give time per horizontal metre before factors [s/m]."""
        return 1.0 / self.speed(slope)


def gait_of(costs: WalkCosts, *, dark: bool = False) -> Gait:
    """Put together how a person walks.

    Parameters
    ----------
    costs
        As told in the settings.
    dark
        Whether they walk in the dark.

    Returns
    -------
    Gait

    Raises
    ------
    KeyError
        When there is no such model.

    References
    ----------
    The curves as of `walk_models`; snow and load by Pandolf and others (1976, 1977), as of
    `effort.snow_time_factor` and `effort.load_time_factor`; that the factors multiply, and the factor for the
    dark, are common practice, no source.
    """
    model = MODELS[costs.model]
    snow = costs.snow if costs.sink_m is None else snow_time_factor(costs.sink_m)
    load = load_time_factor(costs.body_kg, costs.load_kg)
    night = costs.dark if dark else 1.0
    off_path = 1.0 if model.off_path_speed else costs.off_path
    share = model.off_path_share() if model.off_path_speed else None
    path_snow = snow if costs.path_snow is None else costs.path_snow
    parts = {
        "off the path": 1.0 / off_path,
        "snow": snow,
        "load": load,
        "dark": night,
        "your own": costs.own,
    }
    return Gait(
        speed=model.off_path_speed or model.speed,
        factor=time_factor(off_path=off_path, snow=snow) * load * night * costs.own,
        on_path=(share or off_path) * path_snow / snow,
        terrain=1.2 if costs.sink_m is None else terrain_factor_snow(costs.sink_m),
        said=(
            f"curve {model.name}",
            *(f"{name} {value:.2f}" for name, value in parts.items() if abs(value - 1.0) > 5e-3),
        ),
    )
