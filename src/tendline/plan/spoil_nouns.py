"""Owns the nouns of what coming weather spoils: a set and what is at stake there, each day of it, what to do.

Does not own working any of it out (`spoil`, `spoil_advice`) or how it is worded (`report.weather_text`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from tendline.almanac.cold import ColdBand
from tendline.almanac.datum import Base, Snow
from tendline.almanac.drifts import Lie
from tendline.core.forecast import Between


class Point(StrEnum):
    """The lowest or the highest point of the loop."""

    BOTTOM = "bottom"
    TOP = "top"


@dataclass(frozen=True)
class Band:
    """Where a point of the loop has to be.

    Parameters
    ----------
    point, base
        Which point, above which surface.
    least_m, most_m
        Bounds [m]; None where there is none.
    who
        The rule or the animal it is for: ``us-pa height.bottom``, ``coyote``.
    words
        What it says, in words.
    verified
        It may be leaned on; else it is told with its doubt.
    """

    point: Point
    base: Base
    least_m: float | None
    most_m: float | None
    who: str
    words: str = ""
    verified: bool = True


@dataclass(frozen=True)
class AtStake:
    """One set, as the weather finds it.

    Parameters
    ----------
    name, parcel, landmark
        Which, and how it is found under snow.
    working
        It is open; one that is closed can only be buried.
    heights
        Of bottom and top above each surface that can be told now [m].
    snow
        Snow there now, as noted.
    laws, animal
        Where the loop has to be; None for an animal that no table names.
    up_m
        How much higher than the place of the forecast it stands [m].
    sheltered
        Recorded as sheltered or as exposed; None when nobody has said.
    landmark_m
        Height of the landmark above the ground [m]; None when nobody has said.
    anchor_in_frost
        It was anchored while the ground was frozen; None when the record does not tell. False as well where
        the anchor is a tree or rock.
    animal_said
        Why no band of an animal is held; empty where one is, or nobody said which animal it is for.
    """

    name: str
    parcel: str = ""
    landmark: str = ""
    working: bool = True
    heights: Mapping[Point, Mapping[Base, Between]] = field(default_factory=dict)
    snow: Snow = field(default_factory=Snow)
    laws: tuple[Band, ...] = ()
    animal: Band | None = None
    up_m: float = 0.0
    sheltered: bool | None = None
    landmark_m: float | None = None
    anchor_in_frost: bool | None = None
    animal_said: str = ""


def lie_of(one: AtStake) -> Lie:
    """Say how a set lies to the wind."""
    return {None: Lie.UNKNOWN, True: Lie.SHELTERED, False: Lie.EXPOSED}[one.sheltered]


@dataclass(frozen=True)
class BandDay:
    """How a loop stands in one band on one day.

    Parameters
    ----------
    band
        Which.
    low_m, high_m
        Nine of ten members are above and nine of ten below [m], at any time of the day.
    wrong_low, wrong_high
        Share of members in which it is under or over the band at any time of the day, 0 to 1.
    """

    band: Band
    low_m: float
    high_m: float
    wrong_low: float
    wrong_high: float

    @property
    def wrong(self) -> float:
        """The greater of both chances."""
        return max(self.wrong_low, self.wrong_high)


@dataclass(frozen=True)
class SetDay:
    """One set on one local day, from the forecast; every range holds the middle eight of ten members.

    Parameters
    ----------
    day
        Local day.
    fallen_m
        New snow fallen from now to its end, as it came down [m].
    loose_m
        Loose snow lying there at its end, settled [m].
    packed_m
        What that comes to under a boot [m].
    depth_m
        All snow lying there at its end [m].
    laws, animal
        How the loop stands.
    bottom_buried, top_covered, landmark_covered
        Chance that the snow reaches above it at any time of the day; None where its height is not known.
    frozen
        Chance that what thawed or got wet by then has frozen.
    thawed
        Chance that the ground had a day's worth of thaw by then.
    """

    day: date
    fallen_m: Between
    loose_m: Between
    packed_m: Between
    depth_m: Between
    laws: tuple[BandDay, ...]
    animal: BandDay | None
    bottom_buried: float | None
    top_covered: float | None
    landmark_covered: float | None
    frozen: float
    thawed: float


class Act(StrEnum):
    """What to do about a set."""

    PULL = "pull"
    UNSET = "unset"
    RAISE = "raise"
    LOWER = "lower"
    LOOK = "look"
    LEAVE = "leave"


@dataclass(frozen=True)
class Advice:
    """What a set needs.

    Parameters
    ----------
    act
        The thing to do.
    by_m
        How far to raise or lower it [m]; None for other acts.
    when
        The day on which it is spoiled; to be done before that. None for `LEAVE`.
    tonight
        It has to be done before the coming night, not tomorrow.
    why
        In words.
    """

    act: Act
    by_m: Between | None = None
    when: date | None = None
    tonight: bool = False
    why: tuple[str, ...] = ()


@dataclass(frozen=True)
class SetOutlook:
    """One set: its days, what to do, what is not sure."""

    at_stake: AtStake
    days: tuple[SetDay, ...]
    advice: Advice
    also: tuple[str, ...]
    unsure: tuple[str, ...]


@dataclass(frozen=True)
class DayOutlook:
    """The line on one local day.

    Parameters
    ----------
    day
        Local day.
    fix_s
        Time that fixing the sets will take on that day's round, middle eight of ten members [s].
    to_fix
        Sets to be fixed, the same way.
    thaw, rain
        Chance of thaw or rain anywhere on the line that day.
    air_c
        Coldest and warmest as forecast [degrees Celsius].
    chill_c
        Coldest wind chill; the air itself where the forecast tells no wind.
    wind_told
        Whether it does.
    band
        What that means for bare skin; None when it is milder.
    """

    day: date
    fix_s: Between
    to_fix: Between
    thaw: float
    rain: float
    air_c: Between
    chill_c: float
    wind_told: bool
    band: ColdBand | None


@dataclass(frozen=True)
class Outlook:
    """What the forecast spoils: each set, each day of the line, how it was worked out."""

    sets: tuple[SetOutlook, ...]
    days: tuple[DayOutlook, ...]
    members: int
    seed: int
