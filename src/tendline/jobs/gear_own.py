"""Owns what the person's own record says of loops and animals: loops that held, loops that hang, measures.

Does not own the tables (`almanac.loop_tables`) or the advice (`gear.loop`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tendline.almanac.loop_tables import Recommended
from tendline.almanac.loops import Reach
from tendline.core.source import Status
from tendline.core.words import LeftAs, PlaceKind, Surface
from tendline.gear.own import Own
from tendline.logbook.corrected import effective
from tendline.logbook.events import Event

LEAST = 3
"""So many loops that held make a range of one's own (our own choice)."""

_BEARS = (Surface.GROUND, Surface.ICE, Surface.PACKED_SNOW, Surface.CRUST)
"""Surfaces that an animal walks on without sinking."""


@dataclass
class _Hung:
    """How a loop hangs while the record is read; None where it is not known."""

    target: str = ""
    place: PlaceKind = PlaceKind.TRAIL
    loop_m: float | None = None
    bottom_m: float | None = None
    taken_up: bool = False

    def take(self, body: Mapping[str, Any]) -> None:
        """Let one event (set-made, check, adjusted) say how it hangs."""
        if "place_kind" in body:
            self.place = PlaceKind(body["place_kind"])
        self.loop_m = body.get("loop_m", self.loop_m)
        if "bottom_m" in body:
            self.bottom_m = body["bottom_m"] if _as_met(body.get("surface"), body.get("snow_m")) else None
        self.taken_up = body.get("left_as") == LeftAs.PULLED.value


def _as_met(surface: str | None, snow_m: float | None) -> bool:
    """Say whether a height was measured from what the animal walks on."""
    if surface is None or surface not in _BEARS:
        return False
    return surface != Surface.GROUND or not snow_m


class OwnRecord:
    """What a record says of one animal in one kind of place.

    Only heights from a surface that bears the animal are taken: ground without snow, ice, crust, packed snow.
    A set that nobody said the place of hangs on a trail.

    Parameters
    ----------
    events
        The record.
    animal, where
        As asked.
    """

    def __init__(self, events: Iterable[Event], animal: str, where: PlaceKind) -> None:
        self._animal, self._where = animal, where
        self._hung: dict[str, _Hung] = {}
        self._held: list[tuple[float, float]] = []
        self._necks: list[float] = []
        self._chests: list[float] = []
        for entry in effective(events):
            self._take(entry.event.kind, entry.body)

    def _take(self, kind: str, body: Mapping[str, Any]) -> None:
        if kind == "set-made":
            made = self._hung[body["set"]] = _Hung(target=str(body.get("target", "")).strip().lower())
            made.take(body)
        elif kind in ("check", "adjusted"):
            if body["set"] in self._hung:
                self._hung[body["set"]].take(body)
        elif kind in ("pulled", "lost"):
            if body.get("set") in self._hung:
                self._hung[body["set"]].taken_up = True
        elif kind == "catch" and body["species"] == self._animal:
            self._catch(body)

    def _catch(self, body: Mapping[str, Any]) -> None:
        had = self._hung.get(body["set"], _Hung())
        if had.loop_m is not None and had.bottom_m is not None and had.place is self._where:
            self._held.append((had.loop_m, had.bottom_m))
        if "neck_m" in body:
            self._necks.append(float(body["neck_m"]))
        if "chest_m" in body:
            self._chests.append(float(body["chest_m"]))

    def rows(self) -> tuple[Recommended, ...]:
        """Give the range of loops that held this animal; none with fewer than `LEAST`."""
        if len(self._held) < LEAST:
            return ()
        across, bottom = (_range(values) for values in zip(*self._held, strict=True))
        assert across is not None
        assert bottom is not None
        source = f"your own record: {len(self._held)} held, heights from what bears the animal"
        return (Recommended(self._animal, self._where, across, bottom, Status.TEXT, source),)

    def measures(self) -> Own | None:
        """Give what was measured of this animal, and the loops that hang for it now; None where nothing."""
        loops = [
            one.loop_m
            for one in self._hung.values()
            if one.loop_m is not None
            and not one.taken_up
            and (one.target, one.place) == (self._animal, self._where)
        ]
        if not (self._necks or self._chests or loops):
            return None
        return Own(
            necks=len(self._necks),
            neck=_range(self._necks),
            chests=len(self._chests),
            chest=_range(self._chests),
            loops=len(loops),
            loop=_range(loops),
        )


def _range(values: Sequence[float]) -> Reach | None:
    return Reach(min(values), max(values)) if values else None
