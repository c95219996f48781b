"""Owns what a reader of room is told: the counts of each sort of day, the spots, and what they rest on.

Does not own how it is worded (`report.room_text`, `report.room_json`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from tendline.almanac.tending import Roaming
from tendline.core.place import LonLat
from tendline.core.settings import TimeCosts
from tendline.core.units import Units
from tendline.core.when import Span
from tendline.plan.room_nouns import DayRoom, SpotChoice


@dataclass(frozen=True)
class SpotTold:
    """One spot as a reader is told of it: where, on which parcel, of what, from which file or sign."""

    name: str
    place: LonLat
    parcel: str
    species: str
    per_night: float
    where: str
    note: str = ""


@dataclass(frozen=True)
class SpotsTold:
    """The choice among spots.

    Parameters
    ----------
    choice
        What was chosen, and what not.
    spots
        Those that could be gone to, by name.
    roams
        How far each species is taken to roam.
    nights, making_s
        For how many nights; the time taken for making one, 0 when they are tended only [s].
    snow
        The choice on a morning after snow; None when it was not asked.
    """

    choice: SpotChoice
    spots: Mapping[str, SpotTold]
    roams: Sequence[tuple[str, Roaming]]
    nights: float
    making_s: float
    snow: SpotChoice | None = None


@dataclass(frozen=True)
class RoomFacts:
    """Everything a reader of room is told.

    Parameters
    ----------
    span
        The outing, or the days ahead.
    outing
        Whether it is one outing; else `windows` says how many windows there are.
    days
        A fair day first.
    stands
        Sets in the field.
    aside_m, catches, time
        What more sets were taken to cost.
    own_hours
        The person's own limit [h]; None when there is none.
    spots
        The choice among spots; None when there are none.
    said
        What must be told with it.
    """

    line: str
    zone: ZoneInfo
    units: Units
    span: Span
    outing: bool
    windows: int
    days: tuple[DayRoom, ...]
    stands: int
    aside_m: float
    catches: int | None
    time: TimeCosts
    own_hours: float | None
    spots: SpotsTold | None
    said: tuple[str, ...] = ()
    invented: bool = False
    seed: int = 1
