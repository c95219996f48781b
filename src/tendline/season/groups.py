"""Owns what a stretch is counted under: class, property, kind of place, loop, build, loop height, weather.

Does not own the stretches (`stretches`) or the sums (`effort`).
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from tendline.core.line import LineState
from tendline.core.words import DeviceClass
from tendline.logbook.corrected import Effective
from tendline.logbook.measured import HUNG_ANEW
from tendline.season.stretches import NOT_TOLD

BY = ("device class", "property", "location type", "loop", "build", "week", "weather")
"""What effort is told by; ``week`` is the Monday of the look that ended a stretch."""

FRESH_SNOW_M, SNOW_KNOWN = 0.025, timedelta(days=7)
"""New snow from which a night is one of new snow, and how long a depth holds (common practice, no source)."""


@dataclass(frozen=True)
class _Seen:
    at: datetime
    parcel: str
    depth_m: float | None
    new_m: float | None
    air_c: float | None


@dataclass
class Grouping:
    """Says what a stretch is counted under.

    Parameters
    ----------
    line
        For parcels and devices.
    lengths
        Words a loop width or height [m] for a person, in steps of half an inch or a centimetre.
    weather
        Weather as noted, in order of time.
    last_told
        What was last told of each set; kept by the walk.
    """

    line: LineState
    lengths: Callable[[float], str]
    weather: tuple[_Seen, ...] = ()
    last_told: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    _times: list[datetime] = field(default_factory=list)

    def of(self, told: Mapping[str, Any], tag: str | None, start: datetime, end: datetime) -> dict[str, str]:
        """Give every group of one stretch.

        Parameters
        ----------
        told
            What the record says of the set at that time.
        tag
            The device.
        start, end
            The stretch.
        """
        parcel = str(told.get("parcel", "")) or NOT_TOLD
        device = self.line.devices.get(tag) if tag is not None else None
        kind = told.get("device_class") or (device.device_class if device else DeviceClass.LIVE_RESTRAINT)
        loop = told.get("loop_m", device.build.get("loop_m") if device else None)
        bottom, snow = told.get("bottom_m"), told.get("snow_m")
        return {
            "device class": str(DeviceClass(kind).value),
            "property": parcel,
            "location type": str(told.get("location_type", "")).strip().lower() or NOT_TOLD,
            "loop": NOT_TOLD if loop is None else self.lengths(loop),
            "build": NOT_TOLD if device is None else _build(device.build),
            "weather": self._weather(parcel, start, end),
            "height": NOT_TOLD if bottom is None else self.lengths(bottom),
            "snow": NOT_TOLD if snow is None else self.lengths(snow),
        }

    def _weather(self, parcel: str, start: datetime, end: datetime) -> str:
        last = bisect_right(self._times, end)
        first = bisect_right(self._times, start)
        here = [w for w in self.weather[first:last] if w.parcel in ("", parcel)]
        if any((w.new_m or 0.0) >= FRESH_SNOW_M for w in here):
            return "new snow"
        depth = self._depth(parcel, end, last)
        if any(w.air_c is not None and w.air_c > 0 for w in here) and (depth or 0.0) > 0:
            return "thaw on snow"
        if depth is None:
            return NOT_TOLD
        return "snow lying" if depth > 0 else "bare ground"

    def _depth(self, parcel: str, end: datetime, last: int) -> float | None:
        for w in reversed(self.weather[:last]):
            if end - w.at > SNOW_KNOWN:
                return None
            if w.depth_m is not None and w.parcel in ("", parcel):
                return w.depth_m
        return None


def tell(told: dict[str, Any], body: Mapping[str, Any]) -> None:
    """Let a look or an adjustment change what is known of a set.

    A loop that was hung anew, and not measured again, has no height: what it hung at before says nothing of
    what comes after.
    """
    if body["done"] in HUNG_ANEW and "bottom_m" not in body:
        told.pop("bottom_m", None)
    told.update({k: v for k, v in body.items() if k not in ("tag", "note", "species", "why", "done")})


def grouping(line: LineState, entries: Iterable[Effective], lengths: Callable[[float], str]) -> Grouping:
    """Make a grouping out of the line and what was noted of the weather."""
    seen = [
        _Seen(
            e.happened_at,
            e.body.get("parcel", ""),
            e.body.get("snow_m"),
            e.body.get("new_snow_m"),
            e.body.get("air_c"),
        )
        for e in entries
        if e.event.kind == "weather-seen"
    ]
    seen.sort(key=lambda w: w.at)
    return Grouping(line, lengths, tuple(seen), {}, [w.at for w in seen])


def _build(build: Mapping[str, Any]) -> str:
    """Name a build by what is on record of it."""
    parts = [str(build[key]) for key in ("subtype", "construction", "lock") if build.get(key)]
    if build.get("loop_min_m") is not None:
        parts.append(f"stop {build['loop_min_m'] * 100:g} cm")
    return ", ".join(parts) or NOT_TOLD
