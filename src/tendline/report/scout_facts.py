"""Owns the nouns of a scouting as a reader is told it: spots with access, leave and law, corridors, the rest.

Does not own how they come about (`jobs.scout`) or their wording.
"""

from dataclasses import dataclass
from datetime import datetime

from tendline.core.place import LonLat
from tendline.core.settings import Settings
from tendline.season.predicted import Calibration
from tendline.terrain.pinch import Spot
from tendline.terrain.scouting import Stability

A_REASON_TO_LOOK = "This is a reason to go and look, not an answer: nothing here was measured on an animal."


@dataclass(frozen=True)
class Access:
    """How a spot is walked to.

    Parameters
    ----------
    parking
        From where.
    seconds, metres
        One way, as walking times are worked out for rounds.
    """

    parking: str
    seconds: float
    metres: float


@dataclass(frozen=True)
class Law:
    """What the rule profile in use makes of a set at a spot, as far as a map can tell.

    Parameters
    ----------
    profile
        Its name; empty when none is in use.
    against
        What is wrong there, and what is too close to call.
    open
        How many rules of place and leave are not verified.
    """

    profile: str
    against: tuple[str, ...]
    open: int


@dataclass(frozen=True)
class SpotTold:
    """One spot.

    Parameters
    ----------
    name
        ``P1`` is the worthiest.
    place
        Where.
    spot, stability
        As scouted.
    parcel, leave
        Whose ground, and what is on record of leave; the parcel is empty outside every one.
    access
        None where no parking is near, or no way was found; `no_access` says which.
    law
        See there.
    """

    name: str
    place: LonLat
    spot: Spot
    stability: Stability
    parcel: str
    leave: str
    access: Access | None
    no_access: str
    law: Law


@dataclass(frozen=True)
class CorridorTold:
    """The least hard way between two places: its line, its length, how many times as hard as level ground."""

    start: str
    end: str
    path: tuple[LonLat, ...]
    length_m: float
    hardness: float


@dataclass(frozen=True)
class Compared:
    """A prediction kept earlier and what was recorded since.

    Parameters
    ----------
    file
        Its name.
    animal, made_at
        Of whom, and when it was made.
    sign, catches
        Against sign seen, and against catches by device-nights.
    """

    file: str
    animal: str
    made_at: datetime
    sign: Calibration
    catches: Calibration


@dataclass(frozen=True)
class Shared:
    """How many spots of one scouting lie at a spot of another of the same line.

    Parameters
    ----------
    line
        Its name.
    one, other
        Animal and weights of both.
    spots, of
        So many of the first one's spots, out of so many.
    """

    line: str
    one: tuple[str, str]
    other: tuple[str, str]
    spots: int
    of: int


@dataclass(frozen=True)
class ScoutTold:
    """Everything a reader is told.

    Parameters
    ----------
    line, animal, weights
        Of which line, for whom, and by which weights.
    cells, cell_m
        How many cells, how large.
    residual, islands
        What was left of the equations; cells that nothing reaches.
    spots, corridors
        See there.
    said
        What is not known.
    written
        Files written.
    settings, now
        Whose line, and the present.
    """

    line: str
    animal: str
    weights: str
    cells: int
    cell_m: float
    residual: float
    islands: int
    spots: tuple[SpotTold, ...]
    corridors: tuple[CorridorTold, ...]
    said: tuple[str, ...]
    written: tuple[str, ...]
    settings: Settings
    now: datetime
