"""Owns the nouns of the line as it stands at one moment: parcels, parkings, devices, sets, and the whole.

Does not own how they come about: `logbook.fold` makes them from events.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from functools import cached_property
from typing import Any

from tendline.core.place import Fix, LonLat, Outline
from tendline.core.when import Span
from tendline.core.words import DeviceClass, Done, FoundAs, Happened, LeftAs, Surface

Told = Mapping[str, Any]
"""What the record says in fields that only the law asks for, by their names in `logbook.law_fields`."""


@dataclass(frozen=True)
class Permission:
    """Leave to be on a parcel; `first` and `last` are both good days. None means it was not said.

    `told` holds what only the law asks for: signed, carried, methods, species, filed, withdrawn.
    """

    parcel: str
    first: date | None
    last: date | None
    given_by: str = ""
    written: bool | None = None
    names_cables: bool | None = None
    note: str = ""
    told: Told = field(default_factory=dict)


@dataclass(frozen=True)
class Parcel:
    """One piece of ground under one owner.

    Parameters
    ----------
    name
        Short name.
    title
        What people call it.
    outline
        Its bounds.
    owner, phone, note
        As told.
    zones
        Answers to the questions a rule profile asks about a place: ``{"river-side": "east"}``.
    permissions
        Every leave on record, oldest first.
    told
        What only the law asks for: land class, county, owners, own land.
    """

    name: str
    title: str
    outline: Outline
    owner: str = ""
    phone: str = ""
    note: str = ""
    zones: Mapping[str, str] = field(default_factory=dict)
    permissions: tuple[Permission, ...] = ()
    told: Told = field(default_factory=dict)


@dataclass(frozen=True)
class Parking:
    """A place where the truck may stand, and the parcels that are walked from it."""

    name: str
    place: LonLat
    parcels: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True)
class Landmark:
    """A thing that stands above the snow."""

    name: str
    place: LonLat
    note: str = ""


@dataclass(frozen=True)
class Barrier:
    """Ground that a person on foot cannot cross, or only at a cost or a crossing.

    Parameters
    ----------
    name
        What people call it: ``creek``, ``quarry wall``.
    areas
        Where it is an area (water, a cliff face); None for a line.
    lines
        Where it is a line (a stream, a fence); empty for an area. Each at least two places.
    seconds
        What getting over it costs, anywhere along it [s]; None when it cannot be crossed.
    crossings
        Places or short lines (a bridge, a gate) where it is crossed at no cost. Each at least one place.
    """

    name: str
    areas: Outline | None = None
    lines: tuple[tuple[LonLat, ...], ...] = ()
    seconds: float | None = None
    crossings: tuple[tuple[LonLat, ...], ...] = ()


class DeviceState(StrEnum):
    """Where a device is, for the ledger: every device built is in exactly one of these."""

    STOCK = "in stock"
    FIELD = "in the field"
    LOST = "lost"
    SCRAPPED = "scrapped"


@dataclass(frozen=True)
class Device:
    """One tagged device and where it is.

    Parameters
    ----------
    tag, device_class, state, at_set
        Which, of what kind, and where it is.
    built_at, rebuilt_at
        When it was built, and last rebuilt; None when it never was.
    build
        How it was built, as far as recorded.
    out_since, out_why
        Since when its cable is out until it is rebuilt, and why; None while it may be used.
    """

    tag: str
    device_class: DeviceClass
    state: DeviceState
    at_set: str | None
    built_at: datetime
    build: Told = field(default_factory=dict)
    rebuilt_at: datetime | None = None
    out_since: datetime | None = None
    out_why: str = ""

    @property
    def out(self) -> bool:
        """Whether it is on the line, and must be rebuilt before it is used again."""
        return self.out_since is not None and self.state in (DeviceState.STOCK, DeviceState.FIELD)


@dataclass(frozen=True)
class PartStock:
    """Loose parts of one sort.

    Parameters
    ----------
    name
        ``swivel``, ``cable``.
    length_m
        Of one roll or piece, for what is cut [m]; None for a part that is counted by the piece.
    count
        How many there are by the record; less than none where more were used than there were.
    received, used
        How many came in, and were used, since the part was first noted.
    counted_at
        When somebody last counted; None when nobody has.
    off
        What that count found more (or, less than 0, fewer) than the record said; None where it was the first.
    """

    name: str
    length_m: float | None
    count: int
    received: int = 0
    used: int = 0
    counted_at: datetime | None = None
    off: int | None = None


class SetStanding(StrEnum):
    """How a set stands: what the ledger and the due board go by."""

    WORKING = "working"
    UNSET = "unset"
    PULLED = "pulled"
    LOST = "lost"

    @property
    def in_field(self) -> bool:
        """Whether a device is out there: working, closed, or lost under snow and not yet written off."""
        return self in (SetStanding.WORKING, SetStanding.UNSET)


@dataclass(frozen=True)
class Look:
    """One visit to a set, or one that failed.

    Parameters
    ----------
    at
        When it happened, UTC.
    found_as, happened, left_as
        As recorded.
    by
        Who.
    from_distance
        Seen through glass or headlights only; whether that counts is for the law to say.
    event
        Id of the event that says so.
    late_entry
        It was written down more than fifteen minutes after it happened.
    done
        What was done, as recorded.
    stay_s
        Time spent at the set [s]; None when not said.
    """

    at: datetime
    found_as: FoundAs
    happened: Happened
    left_as: LeftAs
    by: str
    from_distance: bool
    event: str
    late_entry: bool
    done: Done = Done.LOOKED
    stay_s: float | None = None


@dataclass(frozen=True)
class HeightSeen:
    """A height as it was measured: how much, from which surface, over how much snow, when.

    Parameters
    ----------
    metres
        Above `surface` [m].
    surface
        What it was measured from; None when not said with it.
    snow_m
        Depth of snow then [m]; None when not said with it.
    at
        When.
    """

    metres: float
    surface: Surface | None
    snow_m: float | None
    at: datetime


@dataclass(frozen=True)
class SnowSeen:
    """Snow as somebody noted it; `set_name` or `parcel` say where, both empty for the whole line."""

    at: datetime
    depth_m: float | None
    new_m: float | None
    surface: Surface | None
    parcel: str = ""
    set_name: str = ""


@dataclass(frozen=True)
class SetState:
    """One set as it stands.

    Parameters
    ----------
    name
        Short name.
    tag
        The device in it; None once it is pulled.
    device_class
        For the rules.
    fix
        Where; with how well it was measured.
    parcel
        Short name of the parcel it stands on.
    landmark
        How to find it under snow, in words.
    loop_m, bottom_m
        Width of the loop as a circle, height of its lowest point above `surface` [m]; None when unmeasured.
    surface
        What `bottom_m` was measured from; None when not said.
    made_at
        When it was set; None when the record does not say.
    standing
        Working, unset, pulled or lost.
    looks
        Every look since it was made, oldest first.
    last_seen
        The last instant somebody was there and saw it, the making included; None when no record says.
    not_found_since
        The first search since `last_seen` that did not find it; None when it was found.
    remote_monitored
        A monitoring system reports it.
    bottom, top
        Heights that still stand: measured since the loop was last hung or altered; None when none was.
    pulled_at
        When it was taken up; None while it is not, or when that is not known.
    told
        What only the law asks for, as last noted: anchor, extension, slope, obstacles, paths.
    """

    name: str
    tag: str | None
    device_class: DeviceClass
    fix: Fix
    parcel: str
    landmark: str
    loop_m: float | None
    bottom_m: float | None
    surface: str | None
    target: str
    made_at: datetime | None
    made_by: str
    standing: SetStanding
    looks: tuple[Look, ...]
    last_seen: datetime | None
    not_found_since: datetime | None = None
    remote_monitored: bool = False
    note: str = ""
    bottom: HeightSeen | None = None
    top: HeightSeen | None = None
    pulled_at: datetime | None = None
    told: Told = field(default_factory=dict)


@dataclass(frozen=True)
class ActSeen:
    """Something done about a catch: a word of `core.words.CatchAct`, when, and with whom."""

    act: str
    at: datetime
    to: str = ""


@dataclass(frozen=True)
class Catch:
    """One animal held, and what became of it; `told` and `acts` hold what only the law asks for."""

    at: datetime
    set_name: str
    species: str
    standing: str
    fate: str
    event: str
    note: str = ""
    tag: str | None = None
    by: str = ""
    told: Told = field(default_factory=dict)
    acts: tuple[ActSeen, ...] = ()


@dataclass(frozen=True)
class Availability:
    """A stretch in which a person can go out."""

    who: str
    span: Span
    vehicle: bool = True


@dataclass(frozen=True)
class LineState:
    """The whole line at one moment.

    Parameters
    ----------
    at
        The moment.
    parcels, parkings, landmarks, devices, sets
        By short name or tag; pulled sets stay listed.
    catches, available, snow
        In order of time.
    warnings
        What the fold met and could not settle, in plain words, with ids.
    unbalanced
        Where the ledger of devices and parts does not add up, one sentence each.
    parts
        Loose parts in stock, as far as noted.
    """

    at: datetime
    parcels: Mapping[str, Parcel]
    parkings: Mapping[str, Parking]
    landmarks: Mapping[str, Landmark]
    devices: Mapping[str, Device]
    sets: Mapping[str, SetState]
    catches: tuple[Catch, ...] = ()
    available: tuple[Availability, ...] = ()
    warnings: tuple[str, ...] = ()
    unbalanced: tuple[str, ...] = ()
    snow: tuple[SnowSeen, ...] = ()
    parts: tuple[PartStock, ...] = ()

    @cached_property
    def in_field(self) -> tuple[SetState, ...]:
        """Every set with a device out there, in order of name."""
        return tuple(s for _, s in sorted(self.sets.items()) if s.standing.in_field)
