"""Owns the sun: where it stands at an instant, and when it rises, sets and gives light on a local day.

Does not own what the law makes of it (`rules.forms`), nor any refraction but the almanac's fixed 34' of arc.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.core.when import day_end, day_start

SUNRISE_DEG = -0.8333
"""Height of the sun's centre at sunrise and sunset [degrees]: 34' of refraction and 16' of half-width.

From memory of the United States Naval Observatory's definition; Meeus (1998), chapter 15, gives -0.8333 too.
"""

TWILIGHT_DEG = -6.0
"""Height of the sun's centre where civil twilight begins and ends [degrees] (same sources)."""

TERRESTRIAL_MINUS_UNIVERSAL_S = 69.0
"""Terrestrial less universal time [s], as in the 2020s. A minute's error moves the sun by 0.0007 degrees."""

_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_PULLS = (
    (0.00134, 81.984, 22518.7541),  # Venus
    (0.00154, 344.078, 45037.5082),  # Venus
    (0.00200, 247.048, 32964.3577),  # Jupiter
    (0.00179, 297.853, 445267.1142),  # the moon
    (0.00178, 251.390, 20.20),  # a long inequality
)
"""What other bodies add to the sun's longitude: size, phase [degrees], rate [degrees a century from 2000].

Meeus, J. (1982), Astronomical Formulae for Calculators, chapter 18, from memory, moved from 1900 to 2000 and
written as sines. They halve the greatest error, from 0.010 to 0.005 degrees.
"""

_PARALLAX_DEG = 8.794 / 3600.0
_HALF_DAY = timedelta(hours=12)


class NoEvent(StrEnum):
    """Why the sun does not pass a height on one side of midday."""

    NEVER_RISES = "never rises"
    NEVER_SETS = "never sets"


@dataclass(frozen=True)
class SunPosition:
    """Where the sun's centre stands, all in degrees.

    Parameters
    ----------
    elevation
        Above the level horizon as seen from the ground, parallax taken off, without refraction [-90, 90].
    azimuth
        From true north through east [0, 360).
    declination, right_ascension
        Geocentric and apparent; [-90, 90] and [0, 360).
    """

    elevation: float
    azimuth: float
    declination: float
    right_ascension: float


@dataclass(frozen=True)
class SunTimes:
    """One local day's light; instants are UTC.

    Parameters
    ----------
    day
        The local calendar day.
    highest
        When the sun stands highest.
    dawn, sunrise, sunset, dusk
        Civil dawn and dusk (centre 6 degrees down), sunrise and sunset (upper edge on a level horizon);
        None when the sun does not pass that height.
    why
        For each of the four that is None, by name: the sun never rises to that height, or never sinks to it.
    """

    day: date
    highest: datetime
    dawn: datetime | None
    sunrise: datetime | None
    sunset: datetime | None
    dusk: datetime | None
    why: Mapping[str, NoEvent]

    @property
    def said(self) -> tuple[str, ...]:
        """Plain words for what is missing; empty on a day with all four."""
        words = {
            "dawn": ("there is no civil dawn", "it stays darker than twilight", "it stays light all night"),
            "sunrise": ("there is no sunrise", "the sun never rises", "the sun never sets"),
            "sunset": ("there is no sunset", "the sun never rises", "the sun never sets"),
            "dusk": ("there is no civil dusk", "it stays darker than twilight", "it stays light all night"),
        }
        return tuple(
            f"{words[event][0]} on {self.day}: {words[event][1 if why is NoEvent.NEVER_RISES else 2]}"
            for event, why in self.why.items()
        )


def sun_position(instant: datetime, place: LonLat) -> SunPosition:
    """Give the sun's place in the sky, to 0.01 degrees between 1950 and 2100.

    Parameters
    ----------
    instant
        Aware datetime.
    place
        Where one stands; height above the sea does not matter at this accuracy.

    Returns
    -------
    SunPosition
        Height and direction, without refraction [degrees].

    References
    ----------
    Meeus, J. (1998), Astronomical Algorithms, 2nd ed.: low-accuracy sun, chapter 25 (eq. 25.2-25.8);
    sidereal time, eq. 12.4; horizontal coordinates, eq. 13.5 and 13.6; parallax in height, chapter 40. The
    pull of Venus, Jupiter and the moon after Meeus, J. (1982), Astronomical Formulae for Calculators, chapter
    18. Written from memory of the books; checked against the worked example of Reda and Andreas (2004), Solar
    position algorithm for solar radiation applications, and against pvlib's copy of their algorithm.
    """
    days = _days(instant)
    ascension, declination = _apparent(days)
    hour_angle = math.radians(_sidereal(days) + place.lon) - ascension
    lat = math.radians(place.lat)
    height = _height(lat, declination, hour_angle)
    seen = height - math.radians(_PARALLAX_DEG) * math.cos(height)
    azimuth = math.atan2(
        math.sin(hour_angle), math.cos(hour_angle) * math.sin(lat) - math.tan(declination) * math.cos(lat)
    )
    return SunPosition(
        math.degrees(seen),
        (math.degrees(azimuth) + 180.0) % 360.0,
        math.degrees(declination),
        math.degrees(ascension) % 360.0,
    )


def sun_times(place: LonLat, day: date, zone: ZoneInfo) -> SunTimes:
    """Give dawn, sunrise, sunset and dusk of one local day, over a level horizon at sea level.

    The four belong to the sun's highest stand nearest the middle of the local day: the last rise before it
    and the first setting after it, within half a day. In high summer in the far north the setting may so
    fall after midnight. Hills, trees and odd air shift what is seen by minutes.

    Parameters
    ----------
    place
        Where.
    day
        Calendar day as `zone` counts it.
    zone
        The local zone.

    Returns
    -------
    SunTimes
        Instants good to some three seconds up to 60 degrees of latitude.

    References
    ----------
    Meeus (1998), Astronomical Algorithms, chapter 15, for the heights -0.8333 and -6 degrees (geocentric, as
    almanacs have it), here solved by bracketing on the sun's own path instead of by his interpolation;
    heights and twilight as the United States Naval Observatory defines them (from memory).
    """
    highest, sunrise, sunset = _passages(place, day, zone, SUNRISE_DEG)
    _, dawn, dusk = _passages(place, day, zone, TWILIGHT_DEG)
    found = {"dawn": dawn, "sunrise": sunrise, "sunset": sunset, "dusk": dusk}
    times = {name: None if isinstance(event, NoEvent) else event for name, event in found.items()}
    why = {name: event for name, event in found.items() if isinstance(event, NoEvent)}
    return SunTimes(day, highest, times["dawn"], times["sunrise"], times["sunset"], times["dusk"], why)


def sunrise_and_sunset(
    place: LonLat, day: date, zone: ZoneInfo
) -> tuple[datetime | NoEvent, datetime | NoEvent]:
    """Give sunrise and sunset alone, in half the time of `sun_times`.

    Parameters
    ----------
    place, day, zone
        As in `sun_times`.

    Returns
    -------
    tuple
        Two instants, or why there is none.

    References
    ----------
    As `sun_times`.
    """
    return _passages(place, day, zone, SUNRISE_DEG)[1:]


@lru_cache(maxsize=16384)
def _passages(
    place: LonLat, day: date, zone: ZoneInfo, bound_deg: float
) -> tuple[datetime, datetime | NoEvent, datetime | NoEvent]:
    """Give the day's highest stand, and the passages of `bound_deg` before and after it."""
    highest = _highest(place, day_start(day, zone), day_end(day, zone))
    before = _crossing(place, highest, bound_deg, side=-1)
    return highest, before, _crossing(place, highest, bound_deg, side=1)


def _highest(place: LonLat, start: datetime, end: datetime) -> datetime:
    """Give the meridian passage nearest the middle of the day that runs from `start` to `end`."""
    instant = start + (end - start) / 2
    for _ in range(3):
        days = _days(instant)
        hour_angle = (_sidereal(days) + place.lon - math.degrees(_apparent(days)[0]) + 180.0) % 360.0 - 180.0
        instant -= timedelta(days=hour_angle / 360.985647 * 1.0027379)
    return instant


def _crossing(place: LonLat, highest: datetime, bound_deg: float, *, side: int) -> datetime | NoEvent:
    """Find when the sun's centre passes `bound_deg` before (`side` -1) or after (+1) its highest stand."""
    lat, bound = math.radians(place.lat), math.radians(bound_deg)
    noon = _days(highest)

    def over(days: float) -> float:
        ascension, declination = _apparent(days)
        return _height(lat, declination, math.radians(_sidereal(days) + place.lon) - ascension) - bound

    far = noon + side * 0.5
    if over(noon) <= 0.0:
        return NoEvent.NEVER_RISES
    if over(far) >= 0.0:
        return NoEvent.NEVER_SETS
    return _J2000 + timedelta(days=_root(over, noon, far))


def _root(over: Callable[[float], float], up: float, down: float) -> float:
    """Find the zero of `over` from `up` (positive) to `down` (negative) [days], to 0.01 s (Illinois)."""
    high, low, kept = over(up), over(down), 0
    middle = up
    for _ in range(60):
        middle, before = (up * low - down * high) / (low - high), middle
        value = over(middle)
        if abs(middle - before) < 1e-7 or value == 0.0:
            break
        if value > 0.0:
            up, high, low, kept = middle, value, low / 2 if kept == 1 else low, 1
        else:
            down, low, high, kept = middle, value, high / 2 if kept == -1 else high, -1
    return middle


def _days(instant: datetime) -> float:
    """Days from 2000-01-01 12:00 UTC, taken for universal time (they differ by less than a second)."""
    return (instant - _J2000) / timedelta(days=1)


def _height(lat: float, declination: float, hour_angle: float) -> float:
    sine = math.sin(lat) * math.sin(declination) + math.cos(lat) * math.cos(declination) * math.cos(
        hour_angle
    )
    return math.asin(max(-1.0, min(1.0, sine)))


def _sidereal(days: float) -> float:
    """Apparent sidereal time at Greenwich [degrees]: Meeus (1998), eq. 12.4, with the main nutation term."""
    node = math.radians(125.04 - 0.0529537649 * days)
    return (280.46061837 + 360.98564736629 * days - 0.00478 * 0.9175 * math.sin(node)) % 360.0


def _apparent(days: float) -> tuple[float, float]:
    """Right ascension, declination of the sun [radians]: Meeus (1998), eq. 25.2-25.8, and `_PULLS`."""
    century = (days + TERRESTRIAL_MINUS_UNIVERSAL_S / 86400.0) / 36525.0
    mean_longitude = 280.46646 + century * (36000.76983 + century * 0.0003032)
    anomaly = math.radians(357.52911 + century * (35999.05029 - century * 0.0001537))
    centre = (
        (1.914602 - century * (0.004817 + century * 0.000014)) * math.sin(anomaly)
        + (0.019993 - 0.000101 * century) * math.sin(2 * anomaly)
        + 0.000289 * math.sin(3 * anomaly)
    )
    node = math.radians(125.04 - 1934.136 * century)
    pulls = sum(size * math.sin(math.radians(start + rate * century)) for size, start, rate in _PULLS)
    longitude = math.radians(mean_longitude + centre + pulls - 0.00569 - 0.00478 * math.sin(node))
    tilt = math.radians(23.4392911 - 0.0130042 * century + 0.00256 * math.cos(node))
    return (
        math.atan2(math.cos(tilt) * math.sin(longitude), math.cos(longitude)),
        math.asin(math.sin(tilt) * math.sin(longitude)),
    )
