"""Owns how hard an animal finds it to travel: weights of slope, cover and things drawn, with their source.

Does not own any number (they stand in a file that can be edited) or the ground they are laid on
(terrain.surface). A weight is a factor of resistance: 1 is open, level ground with nothing near; 0.5 draws
travel, 4 puts it off.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np


@dataclass(frozen=True)
class Weight:
    """One factor of resistance.

    Parameters
    ----------
    factor
        Best guess, positive.
    spread
        How far off it may be: the truth lies between factor / spread and factor * spread in about two cases
        of three. At least 1.
    reach_m
        How far it works from the thing drawn [m]; it fades to nothing over as far again. 0 for on it only.
    source
        Where it is from.
    """

    factor: float
    spread: float
    reach_m: float
    source: str


@dataclass(frozen=True)
class AnimalWeights:
    """All weights of one animal.

    Parameters
    ----------
    animal
        Its name, as a set or a sign is noted.
    slopes, resistance
        Resistance at slopes [m/m], ascending, straight between and level beyond.
    slope_spread, slope_source
        As of `Weight`, for all of them together.
    things
        By what is drawn: a class of feature, or ``barrier``, ``crossing`` and ``sign``.
    rank
        What a thing nearby does to the worth of a spot, whatever it does to travel: people's paths, deer.
    """

    animal: str
    slopes: tuple[float, ...]
    resistance: tuple[float, ...]
    slope_spread: float
    slope_source: str
    things: Mapping[str, Weight]
    rank: Mapping[str, Weight] = field(default_factory=dict)

    def varied(self, chance: np.random.Generator) -> "AnimalWeights":
        """Draw other weights, each as far off as it may be.

        Notes
        -----
        The logarithm of a factor is normal, with the logarithm of its spread as deviation. Resistance by
        slope is raised to a power drawn likewise, so that level ground stays 1.
        """
        power = float(np.exp(np.log(self.slope_spread) * chance.standard_normal()))
        things = {
            name: replace(
                one, factor=float(one.factor * np.exp(np.log(one.spread) * chance.standard_normal()))
            )
            for name, one in sorted(self.things.items())
        }
        curve = tuple(float(r**power) for r in self.resistance)
        return replace(self, resistance=curve, things=things)
