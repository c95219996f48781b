"""Owns the one table of walking curves: which can be chosen, what each was fitted to, and when to take it.

Does not own the curves (`travel`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.almanac.travel import (
    pace_langmuir,
    speed_campbell2019,
    speed_campbell2022,
    speed_irmischer2018,
    speed_irmischer2018_off_path,
    speed_marquez2017,
    speed_tobler1993,
)

Curve = Callable[[npt.NDArray[np.float64]], npt.NDArray[np.float64]]
"""Slope along the way [m/m] to speed [m/s]."""


@dataclass(frozen=True)
class WalkModel:
    """One curve of walking, and when to take it.

    Parameters
    ----------
    name
        As it is written in the settings.
    speed, off_path_speed
        Slope [m/m] to speed on and off the path [m/s]; the second None where the person's own share of speed
        off the path is applied to the first.
    off_path
        Share of its own for going off the path; None where it names none.
    fitted_to
        What it was fitted to.
    why
        When to take it.
    """

    name: str
    speed: Curve
    fitted_to: str
    why: str
    off_path: float | None = None
    off_path_speed: Curve | None = None

    def pace(self, slope: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Give time per horizontal metre on a path [s/m]."""
        return 1.0 / self.speed(slope)

    def off_path_share(self) -> float | None:
        """Give the speed off the path as a share of that on it, on the level; None where it names none."""
        if self.off_path_speed is not None:
            level = np.zeros(1)
            return float(self.off_path_speed(level)[0] / self.speed(level)[0])
        return self.off_path


MODELS: Mapping[str, WalkModel] = {
    model.name: model
    for model in (
        WalkModel(
            "tobler-1993",
            speed_tobler1993,
            "marching data of the 1950s, by eye",
            "the usual one; fast on the level (5 km/h), knows uphill from downhill; most people with sets to "
            "look for are slower: learn your own factor",
            off_path=0.6,
        ),
        WalkModel(
            "marquez-2017",
            speed_marquez2017,
            "recorded tracks of hikers on trails in Spain",
            "a slower hiker (4.1 km/h on the level)",
        ),
        WalkModel(
            "campbell-2019",
            speed_campbell2019,
            "fitness trackers in Utah, middle of all users, trails and roads",
            "median of very many people on trails; gentler on steep ground than Tobler's",
        ),
        WalkModel(
            "campbell-2022",
            speed_campbell2022,
            "recorded hikes on trails across the United States, middle of all",
            "the newest and largest data; the same up and down",
        ),
        WalkModel(
            "irmischer-2018",
            speed_irmischer2018,
            "soldiers finding their way across country at an academy, on and off paths",
            "the only one with a fit of its own off the path; for brush and timber",
            off_path_speed=speed_irmischer2018_off_path,
        ),
        WalkModel(
            "naismith-langmuir",
            lambda slope: 1.0 / pace_langmuir(slope),
            "a mountaineer's rule of thumb of 1892 with corrections for descent",
            "sums that can be checked in the head; kind to long climbs on good paths",
        ),
    )
}
"""Every curve that can be chosen, with which and why; all were fitted on dry ground."""

DEFAULT_MODEL = "tobler-1993"
