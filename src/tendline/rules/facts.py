"""Owns what the law looks at beside the clock: device, set, land, person, leave, catch, as far as recorded.

Does not own how a fact is worked out from the record or what the law makes of it (`rules.judge`). Everywhere
None is "nobody has recorded it"; it never stands for "no" or "zero". Values are SI; instants are aware UTC.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.rules.answer import Watched
from tendline.rules.facts_device import DeviceFacts, LoopSize, Measure, PartAt, Tag
from tendline.rules.facts_place import Near, Neighbour, Obstacle, PermissionFacts, PlaceFacts, SetFacts
from tendline.rules.nouns import Across, Datum, Part, Point, Subject

__all__ = [
    "Across",
    "ActDone",
    "CatchFacts",
    "Datum",
    "Demand",
    "DeviceFacts",
    "Facts",
    "LoopSize",
    "Measure",
    "Near",
    "Neighbour",
    "Obstacle",
    "Paper",
    "Part",
    "PartAt",
    "PermissionFacts",
    "PersonFacts",
    "PlaceFacts",
    "Point",
    "SetFacts",
    "Subject",
    "Tag",
]


@dataclass(frozen=True)
class Paper:
    """A licence or certificate: its kind as the profile names it, its days, and whether it is carried."""

    kind: str
    issued: date | None = None
    until: date | None = None
    carried: bool | None = None


@dataclass(frozen=True)
class Demand:
    """An officer asked to be shown something: what, when, whether it was handed over (None: not known)."""

    what: str
    at: datetime
    met: bool | None = None


@dataclass(frozen=True)
class PersonFacts:
    """One person who sets, looks or removes.

    Parameters
    ----------
    name
        Who.
    papers
        Licences and certificates held.
    lacks
        Kinds of paper that the person is known not to hold. A kind in neither is not known.
    demands
        What officers have asked for.
    landowner, occupant, family_of_owner, agent_of_owner, resident
        How the person stands to the land the set is on; None when not said.
    """

    name: str
    papers: tuple[Paper, ...] = ()
    lacks: frozenset[str] = frozenset()
    demands: tuple[Demand, ...] = ()
    landowner: bool | None = None
    occupant: bool | None = None
    family_of_owner: bool | None = None
    agent_of_owner: bool | None = None
    resident: bool | None = None


@dataclass(frozen=True)
class ActDone:
    """Something done about a catch: a word of `ACTS`, and when (None: it is known to be done, not when)."""

    act: str
    at: datetime | None = None


@dataclass(frozen=True)
class CatchFacts:
    """One animal held.

    Parameters
    ----------
    name
        ``N3 2027-01-05``.
    species
        As the profile spells it.
    found_at
        When it was found; harvest and discovery are counted from here unless `harvested_at` is given.
    alive, domestic, licensed_dog, releasable
        As found; None when not recorded.
    wish
        What the person means to do or did: ``keep``, ``release``, or empty.
    done
        Acts so far. None when nobody has recorded any.
    permits
        Papers that the person holds for this species; those in `lacks` they do not. Others are not known.
    held
        In what state it is kept: ``live``, ``green-pelt``, ``pelt``, or empty.
    """

    name: str
    species: str
    found_at: datetime | None = None
    harvested_at: datetime | None = None
    alive: bool | None = None
    domestic: bool | None = None
    licensed_dog: bool | None = None
    releasable: bool | None = None
    wish: str = ""
    done: tuple[ActDone, ...] | None = None
    permits: frozenset[str] = frozenset()
    lacks: frozenset[str] = frozenset()
    held: str = ""


@dataclass(frozen=True)
class Facts:
    """Everything known that one question to the law may look at.

    Parameters
    ----------
    zone, at
        The zone in which it all stands, and the place whose sun counts and that zones on the map answer for.
    error95_m
        Radius that holds that place in 95 cases of 100 [m]; within it of a border no zone answers.
    device, set, place, person, permissions, catch
        As far as they are there. Findings are given for those in `about`.
    about
        Which subjects to judge; None for every one that is there.
    answers
        Answers to the profile's questions.
    quota_reached
        By rule id, the day on which a quota was reached; None for "not yet". A rule not there is unknown.
    holidays
        Public holidays, for business days; None when not known: they then count as business days.
    watched
        The set as the check rules see it; None leaves those rules out.
    """

    zone: ZoneInfo
    at: LonLat | None = None
    error95_m: float | None = None
    device: DeviceFacts | None = None
    set: SetFacts | None = None
    place: PlaceFacts | None = None
    person: PersonFacts | None = None
    permissions: tuple[PermissionFacts, ...] | None = None
    catch: CatchFacts | None = None
    about: frozenset[Subject] | None = None
    answers: Mapping[str, str] = field(default_factory=dict)
    quota_reached: Mapping[str, date | None] = field(default_factory=dict)
    holidays: frozenset[date] | None = None
    watched: Watched | None = None
