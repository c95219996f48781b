"""Owns what the fold keeps of measures: which heights still stand, what was last told of a set, the snow.

Does not own the fold itself (`board`) or the carrying of a height to another surface (`almanac.datum`).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from tendline.core.line import HeightSeen, SnowSeen
from tendline.core.words import Done, Surface
from tendline.logbook.corrected import Effective
from tendline.logbook.field_types import Field
from tendline.logbook.law_fields import HANGING_FIELDS

HUNG_ANEW = (Done.ADJUSTED, Done.REHUNG, Done.REMADE, Done.SWAPPED)
"""What was done at a check after which an older height no longer stands."""


def told_of(fields: Iterable[Field], body: Mapping[str, Any]) -> dict[str, Any]:
    """Pick the fields of the law out of a body; what is not there is left out."""
    return {f.name: body[f.name] for f in fields if f.name in body}


_TELLING = {"loop_m", "bottom_m", "top_m", "snow_m", *(f.name for f in HANGING_FIELDS)}


@dataclass
class Hanging:
    """How a set hangs, while the fold runs.

    Parameters
    ----------
    bottom, top
        Heights that still stand.
    told
        The fields of the law, as last noted.
    """

    bottom: HeightSeen | None = None
    top: HeightSeen | None = None
    told: dict[str, Any] = field(default_factory=dict)

    def take(self, entry: Effective) -> None:
        """Let one event (set-made, check, adjusted) say how the set hangs.

        A height goes with the surface and the snow noted with it. Once the loop was hung anew or altered, or
        was found at another height, what was measured before no longer stands. Distances by tape add up by
        name; all else is as last noted.
        """
        body = entry.body
        bottom, top = (_height(body, name, entry.happened_at) for name in ("bottom_m", "top_m"))
        if _altered(entry) or _moved(self.bottom, bottom) or _moved(self.top, top):
            self.bottom = self.top = None
        self.bottom, self.top = bottom or self.bottom, top or self.top
        taped = {**self.told.get("taped", {}), **body.get("taped", {})}
        self.told.update(told_of(HANGING_FIELDS, body))
        if taped:
            self.told["taped"] = taped


def _altered(entry: Effective) -> bool:
    body, kind = entry.body, entry.event.kind
    if kind == "check":
        return body.get("done") in HUNG_ANEW
    # An adjustment that tells nothing but why says that something was moved, and not where to.
    return kind == "adjusted" and not _TELLING & body.keys()


def _moved(before: HeightSeen | None, now: HeightSeen | None) -> bool:
    return before is not None and now is not None and abs(before.metres - now.metres) > 0.001


def _height(body: Mapping[str, Any], name: str, at: datetime) -> HeightSeen | None:
    if name not in body:
        return None
    return HeightSeen(body[name], _surface(body), body.get("snow_m"), at)


def _surface(body: Mapping[str, Any]) -> Surface | None:
    return Surface(body["surface"]) if "surface" in body else None


def snow_seen(entry: Effective) -> SnowSeen | None:
    """Give what an event says of the snow; None when it says nothing of it."""
    body = entry.body
    if not {"snow_m", "new_snow_m"} & body.keys() and entry.event.kind != "weather-seen":
        return None
    if not {"snow_m", "new_snow_m", "surface"} & body.keys():
        return None
    return SnowSeen(
        entry.happened_at,
        body.get("snow_m"),
        body.get("new_snow_m"),
        _surface(body),
        parcel=body.get("parcel", "") if entry.event.kind == "weather-seen" else "",
        set_name=body.get("set", ""),
    )
