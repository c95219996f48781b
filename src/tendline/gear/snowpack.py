"""Owns where the surfaces at a set lie above the ground: for the animal, for each way a law measures.

Does not own carrying over a height that was measured (`almanac.datum`) or how snow will change (weather).
"""

from dataclasses import dataclass

from tendline.almanac.datum import PACKED_LEAST, PACKED_MOST, Base
from tendline.almanac.loops import Reach
from tendline.core.errors import FaultList
from tendline.core.units import METRES_PER_INCH
from tendline.gear.faults import SNOW

DEEPEST_M = 10.0


@dataclass(frozen=True)
class Pack:
    """Snow at a set.

    Parameters
    ----------
    base_m
        Depth of old snow that bears weight: packed, crusted or a beaten trail [m]; 0 for bare ground.
    new_m
        Depth of loose new snow on top of it [m].
    sink_m
        How deep the animal's tracks go into the new snow, as measured [m]; None when nobody measured.
    raised_m
        Height of the top of a log above the ground, where a loop hangs over one [m]; None where nobody
        measured it: all heights are then from its top. Snow lies on the log as beside it.
    """

    base_m: float = 0.0
    new_m: float = 0.0
    sink_m: float | None = None
    raised_m: float | None = 0.0

    def check(self) -> None:
        """Refuse depths that cannot be.

        Raises
        ------
        Refused
            GEAR-103 for every depth that is negative, too deep, or a track deeper than the snow.
        """
        faults = FaultList()
        named = [("base-snow", self.base_m), ("new-snow", self.new_m)]
        named += [("sinking", self.sink_m or 0.0), ("log", self.lift_m)]
        for name, metres in named:
            if not 0.0 <= metres <= DEEPEST_M:
                inches = f"{metres / METRES_PER_INCH:.1f} in"
                what = f"{name.replace('-', ' ')} of {metres * 100:.1f} cm ({inches}) cannot be."
                faults.add(SNOW, what, f"--{name}", "Give a depth from 0 to 10 m.")
        if self.sink_m is not None and self.sink_m > self.base_m + self.new_m and not faults.found:
            what = f"tracks {self.sink_m * 100:.1f} cm deep go deeper than the snow."
            faults.add(SNOW, what, "--sinking", "Measure the snow again, or leave it out.")
        faults.refuse()

    @property
    def snow_m(self) -> float:
        """Depth of all snow [m]."""
        return self.base_m + self.new_m

    @property
    def top_m(self) -> float:
        """Top of the snow above the ground, or above the top of the log [m]."""
        return self.lift_m + self.snow_m

    @property
    def lift_m(self) -> float:
        """Height of the top of the log above what heights are counted from; 0 without one [m]."""
        return self.raised_m or 0.0

    @property
    def zero(self) -> str:
        """What heights are counted from."""
        return "top of the log" if self.raised_m is None else "ground"

    def walked_on(self) -> Reach:
        """Give where the feet of the animal come to rest above the ground [m].

        Unless somebody measured its tracks, the new snow may be anything from light enough to be trodden down
        as by a person (`almanac.datum.PACKED_LEAST`) to firm enough to bear the animal.
        """
        if self.sink_m is not None:
            return Reach(self.top_m - self.sink_m, self.top_m - self.sink_m)
        return Reach(self.lift_m + self.base_m + PACKED_LEAST * self.new_m, self.top_m)

    def surface(self, base: Base) -> Reach:
        """Give where a surface that a law measures from lies above the ground [m]."""
        match base:
            case Base.GROUND:
                return Reach(0.0, 0.0)
            case Base.FIRST_HARD | Base.PACKED_SNOW:
                return Reach(self.lift_m + self.base_m, self.lift_m + self.base_m)
            case Base.FOOTPRINT:
                # On the log or beside it: the law does not say where the foot stands.
                low, high = PACKED_LEAST * self.new_m, PACKED_MOST * self.new_m
                return Reach(self.base_m + low, self.lift_m + self.base_m + high)
        return Reach(self.top_m, self.top_m)
