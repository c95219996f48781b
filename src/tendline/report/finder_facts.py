"""Owns what a finder sheet is made of: properties, parkings, sets and the ways to them.

Does not own how it is found (`jobs`) or worded (`finder`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tendline.core.line import Parcel, Parking, SetState
from tendline.report.ground_map import Ground
from tendline.report.paper_head import Desk
from tendline.report.say import plain


@dataclass(frozen=True)
class Leg:
    """A way to a set: from where, straight, and on foot.

    Parameters
    ----------
    start
        From where, in words.
    metres, bearing_deg
        In a straight line [m], clockwise from true north [degrees].
    walk_s, walk_m
        On foot [s, m]; None when not worked out.
    estimated
        The way on foot is the straight line with a stated factor, and goes round nothing.
    meets
        Barriers that the straight line meets.
    """

    start: str
    metres: float
    bearing_deg: float
    walk_s: float | None = None
    walk_m: float | None = None
    estimated: bool = False
    meets: tuple[str, ...] = ()


@dataclass(frozen=True)
class Found:
    """One set and the ways to it, what is known of its limit, and a photograph of it, if there is one."""

    one: SetState
    legs: tuple[Leg, ...]
    due: str
    photo: str = ""


@dataclass(frozen=True)
class Stop:
    """One parking and the sets walked from it, in the order of the walk; `drives` are words."""

    parking: Parking | None
    drives: tuple[str, ...]
    sets: tuple[Found, ...]


@dataclass(frozen=True)
class Property:
    """One property; `parcel` is None for sets that stand on no parcel; `due` is its first limit, in words."""

    parcel: Parcel | None
    stops: tuple[Stop, ...]
    ground: Ground
    due: str = ""

    @property
    def title(self) -> str:
        """What people call it."""
        return plain(self.parcel.title) if self.parcel is not None else "On no property on record"

    @property
    def sets(self) -> tuple[Found, ...]:
        """Every set, in the order of the walk."""
        return tuple(found for stop in self.stops for found in stop.sets)


@dataclass(frozen=True)
class FinderFacts:
    """Everything the sheet is made of.

    Parameters
    ----------
    desk
        What every paper is made from.
    properties
        In the order in which they should be visited.
    whole
        The whole line: homes and parkings.
    law
        What the profiles say about another person looking, and what is not verified.
    calls
        Whom to call, with their number; an empty number is a line to write on.
    photos
        Pictures by the name that `Found.photo` gives.
    left_out
        Why some devices are not on it, if any.
    """

    desk: Desk
    properties: tuple[Property, ...]
    whole: Ground | None
    law: tuple[str, ...]
    calls: tuple[tuple[str, str], ...]
    photos: Mapping[str, bytes] = field(default_factory=dict)
    left_out: str = ""
