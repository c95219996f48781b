"""Owns what every forecast is checked for, whoever reads it: over, gaps, another place; and its units.

Does not own reading one (`forecast_gridpoint`, `forecast_table`, `forecast_words`).
"""

import math
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from tendline.almanac.geodesy import distance_m
from tendline.core.errors import FaultList
from tendline.core.forecast import Forecast
from tendline.core.place import LonLat
from tendline.core.units import METRES_PER_INCH, METRES_PER_MILE
from tendline.core.when import Span, clock_text
from tendline.ground.faults import (
    FORECAST_FAR,
    FORECAST_GAP,
    FORECAST_PAST,
    FORECAST_UNIT,
    FORECAST_VALUE,
)
from tendline.ground.wording import short

FAR_M = 40_000.0
"""A forecast for a place farther off than this is refused [m]; common practice, no source."""

NEARISH_M = 15_000.0
"""Farther off than this it is told [m]; common practice, no source."""

LATE = timedelta(hours=12)
"""A forecast that begins later than this after now leaves tonight out."""

STALE = timedelta(hours=18)
"""A forecast older than this is told to be old; the services make a new one several times a day."""

Convert = Callable[[float], float]

TEMPERATURES: Mapping[str, Convert] = {
    "c": lambda value: value,
    "f": lambda value: (value - 32.0) / 1.8,
}
"""To degrees Celsius."""

DEPTHS_MM: Mapping[str, Convert] = {
    "mm": lambda value: value,
    "cm": lambda value: 10.0 * value,
    "in": lambda value: 1000.0 * METRES_PER_INCH * value,
}
"""To millimetres."""

SPEEDS: Mapping[str, Convert] = {
    "kmh": lambda value: value,
    "mph": lambda value: METRES_PER_MILE / 1000.0 * value,
    "ms": lambda value: 3.6 * value,
    "kt": lambda value: 1.852 * value,
}
"""To km/h."""

LIMITS: Mapping[str, tuple[float, float, str]] = {
    "temp": (-70.0, 55.0, "an air temperature, -70 to 55 degrees Celsius (-94 to 131 F)"),
    "precip": (0.0, 500.0, "an amount of rain or melted snow, 0 to 500 mm (20 in)"),
    "snow": (0.0, 3000.0, "a depth of new snow, 0 to 3 m (10 ft)"),
    "wind": (0.0, 400.0, "a wind, 0 to 400 km/h (250 mph)"),
}
"""Least and most of each kind of value (degrees Celsius, mm, mm, km/h), and its name with them."""

UNITS: Mapping[str, Mapping[str, Convert]] = {
    "temp": TEMPERATURES,
    "precip": DEPTHS_MM,
    "snow": DEPTHS_MM,
    "wind": SPEEDS,
}
"""The units of each kind of value."""


def check_value(kind: str, value: float, *, told: str, where: str, faults: FaultList) -> float | None:
    """Give a value back if it can be right; else note GND-708 and give None."""
    low, high, name = LIMITS[kind]
    if math.isfinite(value) and low <= value <= high:
        return value
    negative = " negative" if value < 0 and kind != "temp" else ""
    what = f"'{short(told)}' cannot be right: a{negative} value for {kind}."
    faults.add(FORECAST_VALUE, what, where, f"Give {name}.")
    return None


def unit_fault(kind: str, told: str, *, where: str, faults: FaultList) -> None:
    """Note GND-703: a unit that is missing or not known."""
    known = ", ".join(UNITS[kind])
    what = f"'{short(told)}' is no unit of {kind} that is known here." if told else f"{kind} has no unit."
    faults.add(FORECAST_UNIT, what, where, f"Known units of {kind}: {known}.")


def check_follows(spans: Sequence[Span], *, what: str, where: str, zone: ZoneInfo, faults: FaultList) -> None:
    """Note GND-705 for every gap and overlap between neighbouring spans."""
    for one, following in pairwise(spans):
        if one.end == following.start:
            continue
        start, end = sorted((one.end, following.start))
        noun = "a gap" if one.end < following.start else "an overlap"
        between = f"{clock_text(start, zone)} and {clock_text(end, zone)}"
        do = "Save the forecast again, whole; the snow is not worked out over hours nobody forecast."
        faults.add(FORECAST_GAP, f"{what} has {noun} between {between}.", where, do)


def check_forecast(
    forecast: Forecast,
    *,
    file_name: str,
    near: LonLat | None,
    zone: ZoneInfo,
    now: datetime,
    faults: FaultList,
) -> tuple[str, ...]:
    """Check a whole forecast against the present and the line.

    Parameters
    ----------
    forecast
        As read.
    near
        The middle of the line; None when it has no place yet.
    faults
        Takes GND-704, GND-705 and GND-707.

    Returns
    -------
    tuple of str
        What has to be told with it.
    """
    notes: list[str] = []
    span = forecast.span
    if span.end <= now:
        what = f"the forecast ended {clock_text(span.end, zone)}; it is {clock_text(now, zone)}."
        faults.add(FORECAST_PAST, what, file_name, "Save a new one.")
    elif span.start > now + LATE:
        what = f"it begins {clock_text(span.start, zone)} and says nothing of the hours before."
        faults.add(FORECAST_GAP, what, file_name, "Save one that begins now.")
    if forecast.issued_at is not None and now - forecast.issued_at > STALE:
        hours = (now - forecast.issued_at).total_seconds() / 3600.0
        notes.append(f"the forecast is {hours:.0f} hours old")
    if forecast.place is not None and near is not None:
        notes += _placed(forecast.place, near, file_name=file_name, faults=faults)
    return tuple(notes)


def _placed(place: LonLat, near: LonLat, *, file_name: str, faults: FaultList) -> list[str]:
    metres = distance_m(place, near)
    told = f"{metres / 1000:.0f} km ({metres / METRES_PER_MILE:.0f} mi)"
    if metres > FAR_M:
        what = f"the forecast is for a place {told} from the middle of the line."
        do = f"Save the one for {near.lat:.2f}, {near.lon:.2f}."
        faults.add(FORECAST_FAR, what, file_name, do)
    elif metres > NEARISH_M:
        return [f"the forecast is for a place {told} from the middle of the line"]
    return []
