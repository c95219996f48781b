"""Owns what the person's own record says of loops and animals: loops that held, loops that hang, measures.

Does not own the tables (`almanac.loop_tables`) or the advice (`gear.loop`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tendline.almanac.loop_tables import Recommended
from tendline.almanac.loops import Reach
from tendline.core.line import SetState
from tendline.core.source import Status
from tendline.core.words import PlaceKind, Surface
from tendline.gear.own import Own
from tendline.logbook.corrected import Effective, effective
from tendline.logbook.events import Event

LEAST = 3
"""So many loops that held make a range of one's own (our own choice)."""

_BEARS = (Surface.GROUND, Surface.ICE, Surface.PACKED_SNOW, Surface.CRUST)
"""Surfaces that an animal walks on without sinking."""


@dataclass
class _Hung:
    """How a loop hangs while the record is read; None where it is not known."""

    loop_m: float | None = None
    bottom_m: float | None = None
    place: PlaceKind = PlaceKind.TRAIL

    def take(self, entry: Effective) -> None:
        body = entry.body
        self.loop_m = body.get("loop_m", self.loop_m)
        self.place = PlaceKind(body.get("place_kind", self.place))
        if "bottom_m" in body:
            self.bottom_m = body["bottom_m"] if _as_met(body.get("surface"), body.get("snow_m")) else None


def _as_met(surface: str | None, snow_m: float | None) -> bool:
    """Say whether a height was measured from what the animal walks on."""
    if surface is None or surface not in _BEARS:
        return False
    return surface != Surface.GROUND or not snow_m


def own_rows(events: Iterable[Event], animal: str, where: PlaceKind) -> tuple[Recommended, ...]:
    """Give the range of loops that held this animal on the person's own line; none with fewer than `LEAST`.

    Only heights from a surface that bears the animal are taken: ground without snow, ice, crust, packed snow.
    A set that nobody said the place of hangs on a trail.
    """
    hung: dict[str, _Hung] = {}
    held: list[tuple[float, float]] = []
    for entry in effective(events):
        name, kind = str(entry.body.get("set", "")), entry.event.kind
        if kind == "catch" and entry.body.get("species") == animal:
            had = hung.get(name, _Hung())
            if had.loop_m is not None and had.bottom_m is not None and had.place is where:
                held.append((had.loop_m, had.bottom_m))
        elif kind in ("set-made", "adjusted", "check"):
            if kind == "set-made":
                hung[name] = _Hung()
            hung.setdefault(name, _Hung()).take(entry)
    if len(held) < LEAST:
        return ()
    across, bottom = zip(*held, strict=True)
    source = f"your own record: {len(held)} held, heights from what bears the animal"
    row = Recommended(
        animal, where, Reach(min(across), max(across)), Reach(min(bottom), max(bottom)), Status.TEXT, source
    )
    return (row,)


def own_measures(
    events: Iterable[Event], sets: Sequence[SetState], animal: str, where: PlaceKind
) -> Own | None:
    """Give what the person measured of this animal, and the loops that hang for it now; None where nothing.

    Parameters
    ----------
    events
        The record.
    sets
        In the field.
    animal, where
        As asked.
    """
    catches = [e.body for e in effective(events) if e.event.kind == "catch" and e.body["species"] == animal]
    necks = [float(body["neck_m"]) for body in catches if "neck_m" in body]
    chests = [float(body["chest_m"]) for body in catches if "chest_m" in body]
    loops = [
        float(one.loop_m)
        for one in sets
        if one.loop_m is not None
        and one.target.strip().lower() == animal
        and PlaceKind(one.told.get("place_kind", PlaceKind.TRAIL)) is where
    ]
    if not (necks or chests or loops):
        return None
    return Own(len(necks), _range(necks), len(chests), _range(chests), len(loops), _range(loops))


def _range(values: Sequence[float]) -> Reach | None:
    return Reach(min(values), max(values)) if values else None
