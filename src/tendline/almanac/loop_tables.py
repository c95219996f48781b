"""Owns the loops that tables and the trade recommend: width and height of the bottom, by animal and place.

Does not own what a law allows (`rules`) or putting the two together (`gear.loop`).
"""

from dataclasses import dataclass

from tendline.almanac.loops import Reach
from tendline.core.source import Status
from tendline.core.units import METRES_PER_INCH
from tendline.core.words import PlaceKind

EXTENSION = "Colorado State University Cooperative Extension, fact sheet 6.517, table 1 (read in a copy)"
PRACTICE = "common practice, no source"

LOCK_CLOCK = "at about two o'clock, so that a bump does not fire it (common practice, no source)"
"""Where the lock sits on the hung loop."""


@dataclass(frozen=True)
class Recommended:
    """One row of a table.

    Parameters
    ----------
    animal, where
        What it is for.
    across
        Width of the loop as a circle [m].
    bottom
        Height of its lowest point above the surface the animal walks on [m].
    status, source
        How surely it is known, and from where.
    """

    animal: str
    where: PlaceKind
    across: Reach
    bottom: Reach
    status: Status
    source: str


def _inches(low: float, high: float) -> Reach:
    return Reach(low * METRES_PER_INCH, high * METRES_PER_INCH)


def _row(
    animal: str,
    where: PlaceKind,
    across: tuple[float, float],
    bottom: tuple[float, float],
    *,
    seen: bool = True,
) -> Recommended:
    status, source = (Status.SECONDARY, EXTENSION) if seen else (Status.UNKNOWN, PRACTICE)
    return Recommended(animal, where, _inches(*across), _inches(*bottom), status, source)


# The table says "fox", which both kinds of fox are read under.
_ROWS = (
    _row("coyote", PlaceKind.TRAIL, (9, 12), (10, 12)),
    _row("coyote", PlaceKind.TRAIL, (10, 12), (10, 12), seen=False),
    _row("coyote", PlaceKind.UNDER_FENCE, (7, 10), (2, 2)),
    _row("red fox", PlaceKind.TRAIL, (8, 10), (6, 9)),
    _row("red fox", PlaceKind.TRAIL, (7, 8), (7, 8), seen=False),
    _row("gray fox", PlaceKind.TRAIL, (8, 10), (6, 9)),
    _row("bobcat", PlaceKind.TRAIL, (8, 10), (6, 8)),
    _row("raccoon", PlaceKind.TRAIL, (8, 10), (3, 5)),
)

_CABLES = {"coyote": (5 / 64, 3 / 32)}
_OTHER_CABLES = (1 / 16, 3 / 32)


def recommended(animal: str, where: PlaceKind) -> tuple[Recommended, ...]:
    """Give every row for an animal and a place; none where no table and no custom read so far names it.

    References
    ----------
    Colorado State University Cooperative Extension, fact sheet 6.517, table 1. Rows marked `PRACTICE`: common
    practice, no source. On a log crossing a loop is hung as on a trail, measured from the top of the log
    (common practice, no source).
    """
    sought = PlaceKind.TRAIL if where is PlaceKind.LOG_CROSSING else where
    return tuple(row for row in _ROWS if row.animal == animal and row.where is sought)


def cable_band(animal: str) -> Reach | None:
    """Give the cable diameters recommended for an animal [m]; None where the sheet names none.

    References
    ----------
    Colorado State University Cooperative Extension, fact sheet 6.517: coyote 5/64 or 3/32 in; fox and bobcat
    1/16 to 3/32 in.
    """
    if animal == "raccoon":
        return None
    return _inches(*_CABLES.get(animal, _OTHER_CABLES))


def hull(bands: tuple[Reach, ...]) -> Reach:
    """Give the smallest range that holds all ranges given, one at least [m].

    References
    ----------
    Lowest and highest of several ranges: where sources differ, the whole range is told.
    """
    return Reach(min(band.low_m for band in bands), max(band.high_m for band in bands))
