"""Owns what any file of places is checked for: places, dates, tags and names that come twice.

Does not own the reading of a format; each reader asks here with the place in its file.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

from tendline.core.errors import FaultList
from tendline.core.place import LonLat
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.ground.faults import DATE, KIND, NO_KIND, PLACE, TAG_TWICE
from tendline.ground.wording import close_match, ranges

EARLIEST = datetime(1980, 1, 1, tzinfo=UTC)
"""No receiver has a true record from before: GPS counts its time from 6 January 1980 (IS-GPS-200)."""

_SOUTHERNMOST = -60.0
"""There is no line south of 60 S: such a file has its numbers swapped (common practice, no source)."""


def checked_place(lon: float, lat: float, where: str, faults: FaultList) -> LonLat | None:
    """Make a place of two numbers, or note why it cannot be one.

    Parameters
    ----------
    lon, lat
        As the file gives them [degrees].
    where
        File and row, waypoint or feature.
    faults
        Takes GND-013.

    Returns
    -------
    LonLat or None
        None when a fault was noted.
    """
    if -180.0 <= lon <= 180.0 and -90.0 <= lat <= 90.0 and lat >= _SOUTHERNMOST and (lon, lat) != (0.0, 0.0):
        return LonLat(lon, lat)
    what = f"longitude {lon:g}, latitude {lat:g} cannot be right."
    if (lon, lat) == (0.0, 0.0):
        do = "A device without a fix writes zeros: give the true place, or take it out."
    elif abs(lon) > 360.0 and abs(lat) > 360.0:
        do = "These look like metres or feet of a map projection: export the file in degrees, WGS84."
    elif -90.0 <= lon <= 90.0 and -180.0 <= lat <= 180.0 and lon >= _SOUTHERNMOST:
        do = "The two look swapped: longitude comes first, then latitude."
    else:
        do = "Longitude runs from -180 to 180, latitude from -60 to 90, in degrees with a decimal point."
    faults.add(PLACE, what, where, do)
    return None


def checked_date(instant: datetime, *, now: datetime, where: str, faults: FaultList) -> datetime | None:
    """Give `instant` in UTC, or note that it is before 1980 or after `now` (GND-014) and give None."""
    instant = instant.astimezone(UTC)
    if EARLIEST <= instant <= now:
        return instant
    if instant < EARLIEST:
        what = f"a date in {instant.year}: {instant:%Y-%m-%d %H:%M} UTC."
        do = "Correct the date: it must be 1980 or later. A device without a fix may write any."
    else:
        present = now.astimezone(UTC)
        what = f"a date in the future: {instant:%Y-%m-%d %H:%M} UTC is after {present:%Y-%m-%d %H:%M} UTC."
        do = "Correct the date, or the clock and time zone of this machine."
    faults.add(DATE, what, where, do)
    return None


def checked_kind(
    text: str, *, default: BroughtKind | None, where: str, faults: FaultList
) -> BroughtKind | None:
    """Read the word for a kind; an empty one falls back to `default`, an unknown one is GND-012.

    Returns
    -------
    BroughtKind or None
        None when there is neither a word nor a default (nothing is noted: see `refuse_without_kind`), or
        when a fault was noted.
    """
    word = text.strip().lower()
    if not word:
        return default
    kinds = [kind.value for kind in BroughtKind]
    if word in kinds:
        return BroughtKind(word)
    guess = close_match(word, kinds)
    do = f"Use one of: {', '.join(kinds)}.{guess}"
    faults.add(KIND, f"'{text.strip()}' is not a kind of thing.", where, do)
    return None


def refuse_without_kind(numbers: Sequence[int], *, file_name: str, noun: str, faults: FaultList) -> None:
    """Note in one fault (GND-011) every waypoint, feature or row that does not say what it is.

    Parameters
    ----------
    numbers
        Their numbers in the file, rising; may be empty.
    noun
        ``waypoint``, ``feature`` or ``row``.
    """
    if not numbers:
        return
    many = "s" if len(numbers) > 1 else ""
    faults.add(
        NO_KIND,
        f"{len(numbers)} {noun}{many} without a kind: {noun}{many} {ranges(numbers)}.",
        file_name,
        "If all are of one kind, say so with --as set (or parking, landmark, parcel, barrier, crossing); "
        "else write the kind beside each: in GPX as <type>, in GeoJSON and tables as kind.",
    )


def check_twice(things: Iterable[BroughtThing], *, file_name: str, faults: FaultList) -> list[str]:
    """Note tags that come twice (GND-019), and give a warning for each name that does.

    Two devices with one tag cannot be told apart in the ledger, and one device cannot hang in two sets; a
    device and the set it hangs in carry the same tag. Two places with one name can be told apart, because
    each gets a short name of its own.
    """
    tags: dict[tuple[bool, str], list[str]] = defaultdict(list)
    names: dict[tuple[BroughtKind, str], int] = defaultdict(int)
    lines = (BroughtKind.BARRIER, BroughtKind.CROSSING, BroughtKind.TRACK, BroughtKind.FEATURE)
    for thing in things:
        if tag := str(thing.facts.get("tag", "")):
            tags[thing.kind is BroughtKind.DEVICE, tag.casefold()].append(thing.where)
        if thing.wanted_name and thing.kind not in lines:
            names[thing.kind, thing.wanted_name] += 1
    for (_, tag), places in tags.items():
        if len(places) > 1:
            what = f"tag '{tag}' is given {len(places)} times: {'; '.join(places)}."
            faults.add(TAG_TWICE, what, file_name, "Give each device its own tag, or leave the tag empty.")
    return [
        f"{file_name}: {count} {kind} entries are called '{name}'; each gets a short name of its own."
        for (kind, name), count in names.items()
        if count > 1
    ]
