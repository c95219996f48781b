"""Owns what the law looks at of one set as it hangs, of the land it stands on and of the leave for it.

Does not own how a value is worked out from the record, nor what the law makes of it. Values are SI,
None where not recorded.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from tendline.rules.facts_device import Measure
from tendline.rules.nouns import Datum


@dataclass(frozen=True)
class Near:
    """One feature near a set, and how far off.

    Parameters
    ----------
    feature
        A word of `FEATURES`.
    distance
        From the set to the edge named, less nothing; range from the record, not from the position error [m].
    edge
        A word of `EDGES`: what of the feature was measured to.
    error95_m
        Radius that holds the true position in 95 cases of 100, of the set and the feature together [m]; None
        when the distance was taped.
    waivers
        What waives a distance here, words of `WAIVERS`; those in `unknown_waivers` nobody has asked about.
    name
        For people.
    """

    feature: str
    distance: Measure
    edge: str = "nearest-point"
    error95_m: float | None = None
    waivers: frozenset[str] = frozenset()
    not_waived: frozenset[str] = frozenset()
    name: str = ""


@dataclass(frozen=True)
class Obstacle:
    """Something a held animal could tangle on: distance from the anchor, height above the surface [m]."""

    name: str
    distance: Measure
    height: Measure | None = None


@dataclass(frozen=True)
class SetFacts:
    """One set as it hangs.

    Parameters
    ----------
    name
        Short name.
    species
        What it is made for: ``coyote``; None when not said.
    made_at, pulled_at
        When it was set and taken up.
    in_field, working
        A device is out there; it is open.
    bottom, top
        Height of the lowest and highest point of the loop, by the surface measured from [m]. A datum that is
        not there is not known: the answer is then "measure again".
    snow_at_set
        There is snow under it now.
    reach
        How far from the anchor the held animal or the device gets: extension, cable, and margin [m].
    near
        Features near by. Several of one kind may stand there; the law asks each.
    looked_for
        Kinds of feature that somebody has looked for round the set: none recorded then means none near.
    obstacles
        Within and near the reach; None when nobody has looked, empty when somebody has and found none.
    stem_clear
        Height to which an anchoring stem is clear of branches, above ground or snow [m].

    Notes
    -----
    The yes-or-no fields are asked by a profile under their names with dashes.
    """

    name: str
    species: str | None = None
    made_at: datetime | None = None
    pulled_at: datetime | None = None
    in_field: bool = True
    working: bool = True
    bottom: Mapping[Datum, Measure] = field(default_factory=dict)
    top: Mapping[Datum, Measure] = field(default_factory=dict)
    snow_at_set: bool | None = None
    reach: Measure | None = None
    near: tuple[Near, ...] = ()
    looked_for: frozenset[str] = frozenset()
    obstacles: tuple[Obstacle, ...] | None = None
    stem_clear: Measure | None = None
    attached_to_fence: bool | None = None
    in_livestock_enclosure: bool | None = None
    in_path_of_people: bool | None = None
    in_path_of_domestic_animals: bool | None = None
    in_right_of_way: bool | None = None
    in_water: bool | None = None
    suspends_catch: bool | None = None
    bait_covered: bool | None = None
    actively_checked: bool | None = None
    closed_to_stop: bool | None = None


@dataclass(frozen=True)
class Neighbour:
    """Somebody who lives near a set: how far off [m], what they were told or allowed; None when not known."""

    name: str
    distance: Measure
    told: bool | None = None
    notified: date | None = None
    consented: bool | None = None


@dataclass(frozen=True)
class PlaceFacts:
    """The land a set stands on.

    Parameters
    ----------
    name
        The parcel.
    land_class
        A word of `LAND_CLASSES`; None when not said.
    county
        As the profile spells it; None when not said.
    owners
        Everybody whose leave is needed, one and all; None when not known.
    neighbours
        Everybody who lives near; None when nobody has gone round.
    own_land, farm_land
        It is the trapper's own or occupied land; it is farmed or assessed as a farm.
    """

    name: str
    land_class: str | None = None
    county: str | None = None
    owners: tuple[str, ...] | None = None
    neighbours: tuple[Neighbour, ...] | None = None
    own_land: bool | None = None
    farm_land: bool | None = None


@dataclass(frozen=True)
class PermissionFacts:
    """One leave as it stands on paper.

    Parameters
    ----------
    owner
        Who gave it.
    issued, until
        First and last day; `until` None where the paper names none.
    written, signed, carried
        As recorded; None when not known.
    methods, species
        What it names; None when the record does not say, empty when it names none.
    filed
        Day on which a copy was filed with the authority; None when it was not, or when nobody knows: then
        `filed_known` is false.
    """

    owner: str
    issued: date | None = None
    until: date | None = None
    written: bool | None = None
    signed: bool | None = None
    carried: bool | None = None
    methods: frozenset[str] | None = None
    species: frozenset[str] | None = None
    filed: date | None = None
    filed_known: bool = False
    withdrawn: date | None = None
