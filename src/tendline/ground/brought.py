"""Owns what comes out of any file of places: plain things, where they stood, a key to know them by.

Does not own short names, or what is new and what has changed: that is for the job that compares with the
record.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum

from tendline.core.place import LonLat, Outline

Fact = str | float | bool


class BroughtKind(StrEnum):
    """What a thing in a file is."""

    SET = "set"
    PARKING = "parking"
    PARCEL = "parcel"
    LANDMARK = "landmark"
    BARRIER = "barrier"
    CROSSING = "crossing"
    DEVICE = "device"
    TRACK = "track"
    FEATURE = "feature"
    SPOT = "spot"


def kind_called(name: str) -> BroughtKind | None:
    """Read a kind from what a layer or folder is called, one or many: ``sets``; None when it tells none."""
    word = name.strip().lower()
    return next((kind for kind in BroughtKind if word in (kind.value, f"{kind.value}s")), None)


@dataclass(frozen=True)
class BroughtThing:
    """One thing in a file, as the file tells it.

    Parameters
    ----------
    kind
        What it is.
    wanted_name
        What the file calls it; empty when it does not say.
    place
        Where it is, for a set, a parking, a landmark, and a crossing or feature that is a point.
    outline
        Its bounds: a parcel, or a barrier or feature that is an area. A parcel out of a table has none: such
        a row tells more about a parcel whose outline comes from elsewhere.
    path
        Its line: a track, or a barrier, crossing or feature that is a line. Empty, or at least two places.
    at
        The time the file gives, aware UTC: when a set was made, a device built, a track begun. None if not
        said.
    facts
        The rest, in SI: `loop_m` (width of the loop as a circle), `bottom_m`, `accuracy_m` [m], `seconds`
        (what crossing a barrier costs) [s], and the texts `tag`, `parcel`, `landmark`, `device_class`,
        `surface`, `target`, `parcels` (names with a semicolon between), `owner`, `phone`, `title`,
        `barrier`, `note`. Of a feature: `feature` (which class), `edge` (what its drawing shows), `width_m`,
        and yes or no: `consent`, `notice`, `written`, `own`, `occupied`, `closed_road`, `exposed`. The fields
        of the law of a parcel and of a device, by their names in the record. Of a spot: `per_100_nights`,
        catches expected in a hundred nights.
    where
        File and row, waypoint or feature, for a person: ``line.gpx, waypoint 3``.
    key
        The same each time the file is read: from an id, a name or a tag, else from the place itself.
    """

    kind: BroughtKind
    wanted_name: str = ""
    place: LonLat | None = None
    outline: Outline | None = None
    path: tuple[LonLat, ...] = ()
    at: datetime | None = None
    facts: Mapping[str, Fact] = field(default_factory=dict)
    where: str = ""
    key: str = ""


@dataclass(frozen=True)
class Brought:
    """All that one file holds.

    Parameters
    ----------
    file_name
        Its name without folders.
    sha256
        Hash of its bytes, 64 hexadecimal digits.
    things
        In the order of the file.
    warnings
        What was odd but no reason to refuse, each a sentence.
    """

    file_name: str
    sha256: str
    things: tuple[BroughtThing, ...]
    warnings: tuple[str, ...] = ()


def sha256_of(data: bytes) -> str:
    """Give the hash of a file's bytes, as `Brought` carries it."""
    return hashlib.sha256(data).hexdigest()


def keyed(things: Iterable[BroughtThing]) -> tuple[BroughtThing, ...]:
    """Give every thing a key of its own; one that has a key already (a file's own id) builds on that.

    Parameters
    ----------
    things
        In the order of the file.

    Returns
    -------
    tuple of BroughtThing
        The same things. The first of several with one name keeps the plain key, so that adding a namesake at
        the end of a file does not make the first look like another thing.
    """
    taken: set[str] = set()
    seen: Counter[str] = Counter()
    out = []
    for thing in things:
        key = _plain_key(thing)
        if key in taken:
            key = f"{key}@{_content(thing)}"
        plain = key
        while key in taken:
            seen[plain] += 1
            key = f"{plain}#{seen[plain] + 1}"
        taken.add(key)
        out.append(replace(thing, key=key))
    return tuple(out)


def _plain_key(thing: BroughtThing) -> str:
    tag = str(thing.facts.get("tag", ""))
    own = thing.key or thing.wanted_name or (f"tag {tag}" if tag else "")
    return f"{thing.kind}:{own}" if own else f"{thing.kind}@{_content(thing)}"


def _content(thing: BroughtThing) -> str:
    if thing.place is not None:
        return _text_of(thing.place)
    rings = (
        [ring for polygon in thing.outline.polygons for ring in polygon] if thing.outline else [thing.path]
    )
    text = "/".join(" ".join(_text_of(place) for place in ring) for ring in rings)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _text_of(place: LonLat) -> str:
    # Seven decimals are about a centimetre, and what careful writers of files keep.
    return f"{place.lon:.7f},{place.lat:.7f}"
