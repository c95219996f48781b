"""Owns the stretches of a season: one device at one set from one look to the next, and how it was found then.

Does not own how many nights a stretch counts for: that is a convention, and `effort` holds it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from tendline.core.line import Catch
from tendline.core.when import Span, local_day
from tendline.core.words import FoundAs, Happened, LeftAs

NOT_TOLD = "not told"
"""The group of what nobody noted."""


class Ending(StrEnum):
    """What the look at the end of a stretch found, as far as effort goes by it."""

    OPERATIVE = "working"
    TARGET = "holding a target animal"
    OTHER = "holding another animal"
    SPRUNG = "sprung, down or aside, with nothing in it"
    COVERED = "under snow or frozen"
    BROKEN = "broken, or gone with an animal"
    GONE = "lost or stolen"
    DOWN = "left down all the while"
    UNTOLD = "not told"


_BY_FOUND: Mapping[FoundAs, Ending] = {
    FoundAs.WORKING: Ending.OPERATIVE,
    FoundAs.OUT_OF_LIMITS: Ending.OPERATIVE,
    FoundAs.TURNED: Ending.SPRUNG,
    FoundAs.KNOCKED_DOWN: Ending.SPRUNG,
    FoundAs.PUSHED_ASIDE: Ending.SPRUNG,
    FoundAs.CLOSED: Ending.SPRUNG,
    FoundAs.TAMPERED: Ending.SPRUNG,
    FoundAs.UNSET: Ending.SPRUNG,
    FoundAs.BURIED: Ending.COVERED,
    FoundAs.FROZEN: Ending.COVERED,
    FoundAs.HOLDING: Ending.OTHER,
    FoundAs.BROKEN: Ending.BROKEN,
    FoundAs.GONE: Ending.GONE,
}
_WITH_ANIMAL = frozenset({Happened.ANCHOR_PULLED, Happened.CHEWED_OUT, Happened.TAKEN_BY_PREDATOR})
_SPRUNG = frozenset({Happened.FIRED_EMPTY, Happened.BROKE_AWAY, Happened.SLIPPED_OUT})


@dataclass(frozen=True)
class Stretch:
    """One device at one set from one look to the next.

    Parameters
    ----------
    set_name, tag
        Which; the tag may be None.
    start, end
        The looks, UTC.
    ending
        How it was found at `end`.
    nights
        Nights in it, inside the season asked about; a night is told by its local midnight.
    outside
        Nights in it that lie outside the season.
    groups
        What it is counted under: ``property``, ``loop`` and so on.
    found_as, happened
        Of the look at `end`; None where no look ended it.
    species
        As told at that look.
    catch
        The animal held at `end`; None when there was none.
    days
        Local day of `end`, for weeks.
    minutes_s
        Time spent at the set at `end` [s]; None when not told.
    event
        Id of the event that ended it.
    measures
        Loop, height and snow as last told [m]: ``loop_m``, ``bottom_m``, ``snow_m``.
    by
        Who looked.
    """

    set_name: str
    tag: str | None
    start: datetime
    end: datetime
    ending: Ending
    nights: float
    outside: float
    groups: Mapping[str, str]
    found_as: FoundAs | None = None
    happened: Happened | None = None
    species: str = ""
    catch: Catch | None = None
    day: date = date.min
    minutes_s: float | None = None
    event: str = ""
    measures: Mapping[str, float] = field(default_factory=dict)
    by: str = ""


@dataclass(frozen=True)
class Open:
    """A set whose last stretch has not ended: nights after its last look are not counted yet."""

    set_name: str
    tag: str | None
    since: datetime
    nights: float
    works: bool


def ending_of(found_as: FoundAs, happened: Happened, catch: Catch | None) -> Ending:
    """Say how a stretch ended by the words of the look at its end.

    Parameters
    ----------
    found_as, happened
        As noted.
    catch
        The animal on record for that look, if any: its standing decides between target and other.
    """
    if catch is not None:
        return Ending.TARGET if catch.standing == "target" else Ending.OTHER
    if happened in _WITH_ANIMAL:
        return Ending.BROKEN
    if happened in _SPRUNG and found_as is not FoundAs.GONE:
        return Ending.SPRUNG
    return _BY_FOUND[found_as]


def stands_after(found_as: FoundAs, left_as: LeftAs) -> Ending | None:
    """Say how a device stands once a look is over.

    Returns
    -------
    Ending or None
        `OPERATIVE` when it works; `DOWN` when it was left as it lay, or closed; None when it is out no more.
    """
    if left_as is LeftAs.PULLED:
        return None
    if left_as is LeftAs.WORKING:
        return Ending.OPERATIVE
    if left_as is LeftAs.UNSET:
        return Ending.DOWN
    if found_as is FoundAs.GONE:
        return None
    return Ending.OPERATIVE if _BY_FOUND[found_as] is Ending.OPERATIVE else Ending.DOWN


def confirms(found_as: FoundAs, left_as: LeftAs, *, from_distance: bool) -> bool:
    """Say whether a look ends a stretch: it saw the set, and close up unless something was amiss or done."""
    plain = found_as in (FoundAs.WORKING, FoundAs.UNSET) and left_as in (LeftAs.WORKING, LeftAs.AS_FOUND)
    return found_as.was_seen and not (from_distance and plain)


def nights_between(start: datetime, end: datetime, window: Span, zone: ZoneInfo) -> tuple[float, float]:
    """Count the nights from one instant to another, inside a season and outside it.

    A night is counted by its local midnight, whatever the hour of the looks. A night that the season's end or
    beginning cuts counts by the share of its noon-to-noon on either side.

    Parameters
    ----------
    start, end
        Aware UTC, `start` <= `end`.
    window
        The season.
    zone
        The local zone.

    Returns
    -------
    tuple of float
        Inside, outside.
    """
    first, last = local_day(start, zone), local_day(end, zone)
    whole = (last - first).days
    if whole <= 0:
        return 0.0, 0.0
    if _noon(first, zone) >= window.start and _noon(last, zone) <= window.end:
        return float(whole), 0.0
    inside = sum(_share(first + timedelta(days=n), window, zone) for n in range(whole))
    return inside, whole - inside


def noons_to(at: datetime, zone: ZoneInfo) -> float:
    """Give the local noons from the first day of 1970 to an instant, the part of the last one included.

    Noon of 1 January 1970 is 0, so that the nights between two days that lie before an instant are told by a
    difference: the same split as in `nights_between`.
    """
    day = local_day(at, zone)
    if at < _noon(day, zone):
        day -= timedelta(days=1)
    start, end = _noon(day, zone).timestamp(), _noon(day + timedelta(days=1), zone).timestamp()
    return (day - date(1970, 1, 1)).days + (at.timestamp() - start) / (end - start)


def _noon(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time(12), tzinfo=zone)


def _share(day: date, window: Span, zone: ZoneInfo) -> float:
    """Give the share of the noon-to-noon that begins on `day` which lies in the window."""
    start, end = _noon(day, zone), _noon(day + timedelta(days=1), zone)
    whole = (end.timestamp() - start.timestamp()) or 1.0
    held = min(end.timestamp(), window.end.timestamp()) - max(start.timestamp(), window.start.timestamp())
    return min(1.0, max(0.0, held / whole))
