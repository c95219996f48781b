"""Owns a person's own measures of an animal beside the loop: necks, chests, loops that hang.

Does not own gathering them from the record (`jobs.gear_own`) or the tables (`almanac.loop_tables`).
"""

import math
from dataclasses import dataclass

from tendline.almanac.loops import Reach


@dataclass(frozen=True)
class Own:
    """What a person measured; counts, and ranges [m], None where nothing was measured.

    Parameters
    ----------
    necks, neck
        Round the neck, behind the ears.
    chests, chest
        From the foot to the lowest part of the chest.
    loops, loop
        Width, as a circle, of the loops that hang for the animal now.
    """

    necks: int = 0
    neck: Reach | None = None
    chests: int = 0
    chest: Reach | None = None
    loops: int = 0
    loop: Reach | None = None

    def stop_said(self, stop_least_m: float | None) -> str:
        """Say whether a stop of the law closes on the necks that were measured; empty where neither is known.

        Parameters
        ----------
        stop_least_m
            Width, as a circle, below which the loop may not close [m].
        """
        if self.neck is None or stop_least_m is None:
            return ""
        closed = math.pi * stop_least_m
        if closed < self.neck.low_m:
            return "the least stop of the law closes on every neck you measured"
        if closed >= self.neck.high_m:
            return "the least stop of the law is wider than every neck you measured: it will not hold them"
        return "the least stop of the law is wider than the smallest neck you measured: such a one slips out"
