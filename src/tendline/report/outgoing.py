"""Owns what leaves the line as places: the things on record as files hold them, and how they are blurred.

Does not own any format (`send_*`), nor reading one (`ground`): a thing is what `ground` reads back.
"""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tendline.core.line import Device, LineState, Parcel, SetState
from tendline.core.place import LonLat
from tendline.ground.brought import BroughtKind, BroughtThing, Fact
from tendline.ground.field_names import FACTS_OF
from tendline.report.say import plain

LEAST_GRID_M, MOST_GRID_M = 100.0, 100_000.0
"""Squares smaller than this would hide nothing, and larger ones tell nothing [m]."""

GRID_M = 1000.0
"""Side of the squares that places are blurred to, where nobody says otherwise [m]."""

MOST_ACCURACY_M = 1000.0
_METRES_PER_DEGREE = 111_195.0
_POLE = 85.0
_CLUES = frozenset({"landmark", "parcel", "note"})

NOT_PLACES = (
    "looks, catches, leaves, availability, answers to a profile's questions, and details of a build beyond"
    " those that bring reads: they stay in the logbook"
)
"""What no file of places holds."""


@dataclass(frozen=True)
class Outgoing:
    """What is to be sent.

    Parameters
    ----------
    name
        Of the line.
    things
        In order: parcels, parkings, landmarks, sets, devices, then what was brought of the ground.
    blurred_m
        Side of the squares that places were blurred to [m]; None where they are exact.
    invented
        The line is an example, and the file says so.
    """

    name: str
    things: tuple[BroughtThing, ...]
    blurred_m: float | None
    invented: bool = False

    @property
    def says(self) -> str:
        """What the file says of itself."""
        about = "Invented example. " if self.invented else ""
        if self.blurred_m is None:
            return f"{about}Places are exact: private."
        return f"{about}Places are blurred to squares of {self.blurred_m:g} m and are not where things are."


@dataclass(frozen=True)
class Lost:
    """What a format could not hold: how many of what, and why."""

    what: str
    count: int
    why: str


def things_of(line: LineState, layers: Iterable[BroughtThing] = ()) -> tuple[BroughtThing, ...]:
    """Give the line as things that files hold.

    Parameters
    ----------
    line
        As it stands.
    layers
        Barriers, crossings, features and tracks as they were brought.

    Returns
    -------
    tuple of BroughtThing
        Texts without control characters and with single spaces, so that every format holds the same.
    """
    return (
        *(_parcel(parcel) for _, parcel in sorted(line.parcels.items())),
        *(
            _thing(BroughtKind.PARKING, p.name, p.place, {"parcels": ";".join(p.parcels), "note": p.note})
            for _, p in sorted(line.parkings.items())
        ),
        *(
            _thing(BroughtKind.LANDMARK, m.name, m.place, {"note": m.note})
            for _, m in sorted(line.landmarks.items())
        ),
        *(_set(one) for one in line.in_field),
        *(_device(device) for _, device in sorted(line.devices.items())),
        *(replace(thing, facts=_told(thing.kind, thing.facts), key="", where="") for thing in layers),
    )


def _thing(
    kind: BroughtKind, name: str, place: LonLat | None, facts: Mapping[str, Fact | None]
) -> BroughtThing:
    return BroughtThing(kind, plain(name), place=place, facts=_told(kind, facts))


def _told(kind: BroughtKind, facts: Mapping[str, Fact | None]) -> dict[str, Fact]:
    """Keep the facts that belong to a kind and say something."""
    fitting = FACTS_OF[kind] | {"note"}
    plain_ones = {k: plain(v) if isinstance(v, str) else v for k, v in facts.items() if k in fitting}
    return {k: v for k, v in plain_ones.items() if v is not None and v != ""}


def _parcel(parcel: Parcel) -> BroughtThing:
    told: dict[str, Fact | None] = {"owner": parcel.owner, "phone": parcel.phone, "note": parcel.note}
    told |= {key: parcel.told.get(key) for key in ("county", "land_class", "own_land", "farm_land")}
    facts = _told(BroughtKind.PARCEL, {"title": parcel.title, **told})
    return BroughtThing(BroughtKind.PARCEL, plain(parcel.name), outline=parcel.outline, facts=facts)


def _set(one: SetState) -> BroughtThing:
    facts: dict[str, Fact | None] = {
        "tag": one.tag,
        "parcel": one.parcel,
        "landmark": one.landmark,
        "target": one.target,
        "device_class": one.device_class.value,
        "loop_m": one.loop_m,
        "bottom_m": one.bottom.metres if one.bottom is not None else None,
        "top_m": one.top.metres if one.top is not None else None,
        "surface": one.bottom.surface.value if one.bottom is not None and one.bottom.surface else None,
        "accuracy_m": one.fix.accuracy_m,
        "note": one.note,
    }
    return replace(_thing(BroughtKind.SET, one.name, one.fix.place, facts), at=one.made_at)


def _device(device: Device) -> BroughtThing:
    build = {key: value for key, value in device.build.items() if isinstance(value, str | float | int | bool)}
    facts = {"tag": device.tag, "device_class": device.device_class.value, **build}
    return replace(_thing(BroughtKind.DEVICE, "", None, facts), at=device.built_at)


def on_parcels(line: LineState, names: Collection[str]) -> LineState:
    """Take everything out of the line that is not on some parcels: for a viewer who is to see no more.

    A parking that serves others as well stays, and names only these; landmarks are left out, because nothing
    says whose they are.
    """
    sets = {name: one for name, one in line.sets.items() if one.parcel in names}
    tags = {one.tag for one in sets.values()}
    return replace(
        line,
        parcels={name: parcel for name, parcel in line.parcels.items() if name in names},
        parkings={
            name: replace(parking, parcels=tuple(p for p in parking.parcels if p in names))
            for name, parking in line.parkings.items()
            if set(parking.parcels) & set(names)
        },
        landmarks={},
        sets=sets,
        devices={tag: device for tag, device in line.devices.items() if tag in tags},
    )


def blurred(
    things: Sequence[BroughtThing], grid_m: float
) -> tuple[tuple[BroughtThing, ...], tuple[Lost, ...]]:
    """Put every set into the middle of its square, and leave out all that tells where it is.

    Parameters
    ----------
    things
        As `things_of` gives them.
    grid_m
        Side of the squares [m], which lie still: the same place always comes out the same, so that sending
        often tells no more than sending once.

    Returns
    -------
    things, lost
        Sets and devices; parcels, parkings, landmarks and ground are left out, and so are words that are
        clues.
    """
    kept = [thing for thing in things if thing.kind in (BroughtKind.SET, BroughtKind.DEVICE)]
    gone: dict[str, int] = {}
    for thing in things:
        if thing.kind not in (BroughtKind.SET, BroughtKind.DEVICE):
            gone[thing.kind.value] = gone.get(thing.kind.value, 0) + 1
    why = "its shape or name tells the place; --exact sends it"
    lost = [Lost(kind, number, why) for kind, number in gone.items()]
    clues = sum(1 for thing in kept if _CLUES & set(thing.facts))
    if clues:
        lost.append(Lost("landmark, parcel and note", clues, "they tell the place; --exact sends them"))
    return tuple(_blurred_one(thing, grid_m) for thing in kept), tuple(lost)


def _blurred_one(thing: BroughtThing, grid_m: float) -> BroughtThing:
    facts = {key: value for key, value in thing.facts.items() if key not in _CLUES}
    facts.pop("accuracy_m", None)
    radius = round(grid_m / math.sqrt(2.0), 1)
    if thing.place is not None and radius <= MOST_ACCURACY_M:
        facts["accuracy_m"] = radius
    place = square_middle(thing.place, grid_m) if thing.place is not None else None
    return replace(thing, place=place, facts=facts)


def square_middle(place: LonLat, grid_m: float) -> LonLat:
    """Give the middle of the square that holds a place; squares are laid from the equator and Greenwich.

    References
    ----------
    A degree of latitude is taken as 111 195 m, its mean on the earth (radius 6 371 km): the sides of the
    squares are right to about half a per cent.
    """
    step = grid_m / _METRES_PER_DEGREE
    lat = min(max((math.floor(place.lat / step) + 0.5) * step, -90.0), 90.0)
    across = step / math.cos(math.radians(min(abs(lat), _POLE)))
    lon = min(max((math.floor(place.lon / across) + 0.5) * across, -180.0), 180.0)
    return LonLat(round(lon, 6), round(lat, 6))


def field_text(value: Fact) -> str:
    """Write a fact as text that is read back as the same: yes and no, numbers in full."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(value) if isinstance(value, float) else str(value)


def time_name(kind: BroughtKind) -> str | None:
    """Name the field of a kind's time."""
    return {BroughtKind.SET: "set_at", BroughtKind.DEVICE: "built_at"}.get(kind)


def fields_of(thing: BroughtThing) -> dict[str, Fact]:
    """Give everything about a thing but its geometry, by the names that are read: kind and name first."""
    fields: dict[str, Fact] = {"kind": thing.kind.value}
    if thing.wanted_name:
        fields["name"] = thing.wanted_name
    named = time_name(thing.kind)
    if named is not None and thing.at is not None:
        fields[named] = thing.at.isoformat()
    return fields | dict(thing.facts)


def counted(things: Iterable[BroughtThing], why: str) -> tuple[Lost, ...]:
    """Count things by kind, all lost for one reason."""
    numbers: dict[str, int] = {}
    for thing in things:
        numbers[thing.kind.value] = numbers.get(thing.kind.value, 0) + 1
    return tuple(Lost(kind, number, why) for kind, number in numbers.items())
