"""Owns the shape of room: where more sets could be tended, how many, what gives way first, which spots.

Does not own how it is found (`plan.room_round`, `plan.room_weeks`, `plan.room_spots`).
"""

from dataclasses import dataclass
from enum import StrEnum

from tendline.plan.itinerary import RoundPlan
from tendline.plan.weeks_nouns import WeeksPlan


class Gives(StrEnum):
    """Which limit gives way first with one set more."""

    WINDOW = "window end"
    GAP = "gap limit"
    EITHER = "window end and gap limit together"
    OWN = "personal limit"


@dataclass(frozen=True)
class Site:
    """A place where more sets could stand.

    Parameters
    ----------
    name, title
        The parcel, or what else it is called.
    sets
        Sets that stand there and are walked anyway; more are put beside them. Empty for new ground.
    parking
        For new ground: where the truck would stand, a name in the drive table; empty when it is not there.
    beside
        For new ground that is not in the drive table: the parking it lies half a leg off. For other ground:
        one of its parkings.
    leg_s, walk_s
        For new ground: the drive more that it costs when it is not in the table, and the walk round it [s].
    """

    name: str
    title: str = ""
    sets: tuple[str, ...] = ()
    parking: str = ""
    beside: str = ""
    leg_s: float = 0.0
    walk_s: float = 0.0

    @property
    def is_new(self) -> bool:
        """Whether nothing stands there yet."""
        return not self.sets


@dataclass(frozen=True)
class Room:
    """How many more sets one place takes.

    Parameters
    ----------
    site
        Which.
    more
        So many were found to fit, and planned.
    most
        More than this was proved not to fit; None when nothing was proved.
    gives
        What gives way with one more; None when that was not found out.
    first
        For a gap limit or a personal limit: a set whose limit that is; empty when not one alone. For the
        days ahead: the set with the least time in hand in a plan with so many.
    own_more
        So many with the person's own limits kept as well; None when they cannot be kept even now.
    """

    site: Site
    more: int
    most: int | None = None
    gives: Gives | None = None
    first: str = ""
    own_more: int | None = None

    @property
    def exact(self) -> bool:
        """Whether one more was proved to be too many."""
        return self.most == self.more


@dataclass(frozen=True)
class Prices:
    """What more costs, in seconds.

    Parameters
    ----------
    each_s
        One more set on ground that is walked already.
    ten_s
        Ten of them.
    ground_s
        One new property, before a single set is looked at: drive, parking, walk.
    drive_s, park_s, walk_s
        The same in its parts.
    """

    each_s: float
    drive_s: float
    park_s: float
    walk_s: float

    @property
    def ten_s(self) -> float:
        """Ten more sets."""
        return 10.0 * self.each_s

    @property
    def ground_s(self) -> float:
        """A new property."""
        return self.drive_s + self.park_s + self.walk_s


@dataclass(frozen=True)
class DayRoom:
    """Room on one sort of day.

    Parameters
    ----------
    day
        Its name.
    fits
        What stands now can be tended.
    proved
        For ``fits`` false: that it cannot was proved.
    lacking_s
        For ``fits`` false: at least so much time is lacking [s]; 0 when not known.
    too_many
        For ``fits`` false: at least so many sets have to stay out, proved; 0 when not known.
    spare_s
        For one outing: from being back to the latest return [s]; None for several.
    own_fits
        The person's own limits can be kept as well; None when there are none or it was not asked.
    own_first
        The set whose own limit cannot be kept; empty when not one alone.
    prices
        What more costs.
    rooms
        Of every place; empty when what stands now does not fit.
    """

    day: str
    fits: bool
    prices: Prices
    proved: bool = False
    lacking_s: float = 0.0
    too_many: int = 0
    spare_s: float | None = None
    own_fits: bool | None = None
    own_first: str = ""
    rooms: tuple[Room, ...] = ()
    plan: RoundPlan | WeeksPlan | None = None


@dataclass(frozen=True)
class Spot:
    """A place where a set could be made; it is no set.

    Parameters
    ----------
    name
        For a person; no other place has it.
    per_night
        Expected catches in a night, 0 to 1.
    species
        Of what.
    """

    name: str
    per_night: float
    species: str


@dataclass(frozen=True)
class SpotLeft:
    """A spot that is not chosen, and why.

    Parameters
    ----------
    name, why
        Which, and in plain words.
    adds
        Expected catches that it would add to those chosen; None when it cannot be gone to.
    shares
        Spots chosen whose animals it would share.
    """

    name: str
    why: str
    adds: float | None = None
    shares: tuple[str, ...] = ()


@dataclass(frozen=True)
class SpotChosen:
    """A spot that is chosen.

    Parameters
    ----------
    name
        Which.
    adds
        Expected catches that would be lost without it.
    """

    name: str
    adds: float


@dataclass(frozen=True)
class SpotChoice:
    """Which spots to set.

    Parameters
    ----------
    chosen, left
        What is taken, and what is not with why.
    value
        Expected catches of the choice in so many nights, beyond those of what stands.
    bound
        No choice is worth more.
    best
        It was proved that no choice is worth more than this one.
    tried
        Choices looked at.
    plan
        The plan that tends them all, checked.
    """

    chosen: tuple[SpotChosen, ...]
    left: tuple[SpotLeft, ...]
    value: float
    bound: float
    best: bool
    tried: int = 0
    plan: RoundPlan | WeeksPlan | None = None


@dataclass(frozen=True)
class Fit:
    """Whether something fits.

    Parameters
    ----------
    plan
        One that keeps every limit, checked; None when none was found.
    proved
        Without a plan: that there is none was proved.
    """

    plan: RoundPlan | WeeksPlan | None
    proved: bool = False
