"""Owns comparing a file with the record: what is new, what has changed, and the events for both.

Does not own reading files (`bring_read`) or writing (`bring`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from tendline.almanac.geodesy import distance_m
from tendline.core.ids import short_name
from tendline.core.line import LineState, Parcel
from tendline.core.place import Fix, LonLat, Outline
from tendline.core.units import Units, format_area, format_distance, format_small
from tendline.ground.brought import Brought, BroughtKind, BroughtThing
from tendline.ground.shapes import distance_to_outline_m, overlaps_of, parcel_holding
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import HOME
from tendline.logbook.corrected import Effective
from tendline.logbook.events import Draft

SAME_PLACE_M = 25.0
"""A thing of the same kind and name this near is the same thing out of another file [m]."""

MOVED_M = 0.5
"""A place that differs by less has not moved [m]."""

NEAR_PARCEL_M = 300.0
"""A parking this near to a parcel serves it, when the file does not say which it serves [m]."""

_KINDS: Mapping[BroughtKind, tuple[str, str, str]] = {
    BroughtKind.PARCEL: ("parcel", "name", "parcel"),
    BroughtKind.PARKING: ("parking", "name", "park"),
    BroughtKind.LANDMARK: ("landmark", "name", "mark"),
    BroughtKind.DEVICE: ("device-built", "tag", ""),
    BroughtKind.SET: ("set-made", "set", "set"),
}
"""Event kind, the field that names it, and the stem of a name for a thing without one."""

_ORDER = list(_KINDS)
_LAYERS = (
    *(BroughtKind.BARRIER, BroughtKind.CROSSING, BroughtKind.TRACK, BroughtKind.FEATURE),
    BroughtKind.SPOT,
)
"""Kept with the file and read out of it; a spot is no set until one is made there."""


@dataclass
class Tally:
    """What one file came to."""

    new: list[str] = field(default_factory=list)
    changed: dict[str, list[str]] = field(default_factory=dict)
    gone: list[str] = field(default_factory=list)
    same: int = 0
    layers: int = 0
    warnings: list[str] = field(default_factory=list)


class Comparer:
    """Turns things into drafts, one file after the other; remembers the names it gave."""

    def __init__(
        self, space: Workspace, line: LineState, standing: Iterable[Effective], *, made: datetime | None
    ) -> None:
        self._space = space
        self._made = made
        self._line = line
        self._parcels: dict[str, Parcel] = dict(line.parcels)
        self.drawn: set[str] = set()
        self._parcel_names = {name.lower() for name in line.parcels}
        self._spot_names = {n.lower() for n in (HOME, *line.parkings, *line.landmarks, *line.sets)}
        self._by_source: dict[tuple[str, str], Effective] = {}
        self._by_name: dict[tuple[str, str], Effective] = {}
        for entry in standing:
            named = next((n for k, n, _ in _KINDS.values() if k == entry.event.kind), None)
            if named is not None:
                self._by_source[entry.event.kind, str(entry.body.get("source", ""))] = entry
                self._by_name[entry.event.kind, str(entry.body[named]).lower()] = entry

    @property
    def parcels(self) -> Mapping[str, Parcel]:
        """Every parcel as it will stand, by name; `drawn` are those that a file drew."""
        return self._parcels

    def compare(self, files: Sequence[Brought]) -> tuple[list[Draft], dict[str, Tally], dict[str, str]]:
        """Give drafts, a tally for each file, and where each draft comes from, by its id."""
        drafts: list[Draft] = []
        tallies = {brought.file_name: Tally() for brought in files}
        where: dict[str, str] = {}
        pairs = [(brought, thing) for brought in files for thing in brought.things]
        pairs.sort(key=lambda p: _ORDER.index(p[1].kind) if p[1].kind in _KINDS else len(_ORDER))
        for brought, thing in pairs:
            tally = tallies[brought.file_name]
            if thing.kind in _LAYERS:
                tally.layers += 1
                continue
            for draft in self._drafts(brought.file_name, thing, tally):
                where[draft.id] = thing.where
                drafts.append(draft)
        for brought in files:
            tallies[brought.file_name].gone = self._gone(brought)
        return drafts, tallies, where

    def _gone(self, brought: Brought) -> list[str]:
        """Name what an earlier file of this name held and this one does not."""
        held = {_source(brought.file_name, thing) for thing in brought.things}
        start = f"{brought.file_name}#"
        names = {kind: named for kind, named, _ in _KINDS.values()}
        return [
            str(entry.body[names[kind]])
            for (kind, source), entry in self._by_source.items()
            if source.startswith(start) and source not in held
        ]

    def _drafts(self, file_name: str, thing: BroughtThing, tally: Tally) -> list[Draft]:
        kind, named, _ = _KINDS[thing.kind]
        known = self._known(file_name, thing)
        if known is not None:
            return self._changed(known, thing, tally, str(known.body[named]))
        name = self._name(thing, tally)
        body: dict[str, Any] = {
            named: name,
            **self._body(thing, tally, name),
            "source": _source(file_name, thing),
        }
        if kind == "device-built":
            del body["source"]
        tally.new.append(name)
        return [self._space.draft(kind, body, happened_at=self._happened(thing), fix=_fix(thing))]

    def _known(self, file_name: str, thing: BroughtThing) -> Effective | None:
        kind = _KINDS[thing.kind][0]
        found = self._by_source.get((kind, _source(file_name, thing)))
        if found is not None:
            return found
        named = thing.facts.get("tag") if thing.kind is BroughtKind.DEVICE else thing.wanted_name
        twin = self._by_name.get((kind, str(named or "").strip().lower()))
        if twin is None or thing.kind in (BroughtKind.PARCEL, BroughtKind.DEVICE):
            return twin
        return twin if _moved_m(twin, thing) <= SAME_PLACE_M else None

    def _name(self, thing: BroughtThing, tally: Tally) -> str:
        if thing.kind is BroughtKind.DEVICE:
            return str(thing.facts["tag"])
        taken = self._parcel_names if thing.kind is BroughtKind.PARCEL else self._spot_names
        name = short_name(thing.wanted_name, fallback=_KINDS[thing.kind][2], taken=taken)
        taken.add(name.lower())
        wanted = thing.wanted_name.strip()
        if wanted and name != wanted:
            tally.warnings.append(f"{thing.where}: '{wanted}' is called {name} from now on.")
        if thing.kind is BroughtKind.PARCEL and thing.outline is not None:
            self._parcels[name] = Parcel(name, thing.wanted_name, thing.outline)
            self.drawn.add(name)
        return name

    def _happened(self, thing: BroughtThing) -> datetime:
        return thing.at or self._made or self._space.now

    def _body(self, thing: BroughtThing, tally: Tally, name: str) -> dict[str, Any]:
        body = _facts(thing)
        if thing.kind is BroughtKind.PARCEL:
            body.setdefault("title", thing.wanted_name or name)
        elif thing.kind is BroughtKind.SET:
            self._place_set(thing, body, tally, name)
        elif thing.kind is BroughtKind.PARKING and "parcels" not in body and thing.place is not None:
            served = self._parcels_near(thing.place)
            if served:
                body["parcels"] = served
            elif self._parcels:
                tally.warnings.append(
                    f"{thing.where}: parking {name} is near no parcel; say which it serves."
                )
        return body

    def _place_set(self, thing: BroughtThing, body: dict[str, Any], tally: Tally, name: str) -> None:
        if thing.at is None and self._made is None:
            body["time_known"] = False
            tally.warnings.append(
                f"{thing.where}: set {name} has no time; note a check when it is next seen."
            )
        if "parcel" in body or thing.place is None or not self._parcels:
            return
        holding = parcel_holding(self._parcels.values(), thing.place)
        if holding is not None:
            body["parcel"] = holding
        else:
            tally.warnings.append(
                f"{thing.where}: set {name} lies outside every parcel. Check the line and the leave."
            )

    def _parcels_near(self, place: LonLat) -> list[str]:
        holding = parcel_holding(self._parcels.values(), place)
        if holding is not None:
            return [holding]
        near = {n: distance_to_outline_m(place, p.outline) for n, p in self._parcels.items()}
        return sorted(n for n, metres in near.items() if metres <= NEAR_PARCEL_M)

    def _changed(self, known: Effective, thing: BroughtThing, tally: Tally, name: str) -> list[Draft]:
        fields = {k: v for k, v in _facts(thing).items() if known.body.get(k) != v}
        if "outline" in fields and thing.outline is not None:
            self._parcels[name] = Parcel(name, thing.wanted_name, thing.outline)
            self.drawn.add(name)
        said = [_change_words(k, known.body.get(k), v, self._space.settings.units) for k, v in fields.items()]
        body: dict[str, Any] = {"of": known.event.id, "why": f"{thing.where} says so now"}
        moved = _moved_m(known, thing)
        if moved > MOVED_M and thing.place is not None:
            body["place"] = f"{thing.place.lon!r},{thing.place.lat!r}"
            said.append(f"moved {format_distance(moved, self._space.settings.units)}")
        if thing.at is not None and thing.at != known.happened_at:
            body["happened_at"] = thing.at.isoformat()
            fields |= {"time_known": None} if known.body.get("time_known") is False else {}
            said.append(f"time {thing.at:%Y-%m-%d %H:%M} UTC")
        if not said:
            tally.same += 1
            return []
        if fields:
            body["fields"] = fields
        tally.changed[name] = said
        return [self._space.draft("correction", body)]


def overlap_words(comparer: Comparer, units: Units) -> list[str]:
    """Say which parcels claim the same ground, where a file brought one of them or drew it anew."""
    said = []
    for one in overlaps_of(comparer.parcels.values()) if comparer.drawn else ():
        if comparer.drawn & {one.first, one.second}:
            area = format_area(one.area_m2, units)
            said.append(
                f"parcels {one.first} and {one.second} overlap by {area}: whose leave is needed there?"
            )
    return said


def _source(file_name: str, thing: BroughtThing) -> str:
    return f"{file_name}#{thing.key}"


def _fix(thing: BroughtThing) -> Fix | None:
    if thing.place is None:
        return None
    accuracy = thing.facts.get("accuracy_m")
    return Fix(thing.place, float(accuracy) if accuracy is not None else None)


def _facts(thing: BroughtThing) -> dict[str, Any]:
    """Give what the file says as fields of the event."""
    facts: dict[str, Any] = {
        k: v for k, v in thing.facts.items() if k not in ("accuracy_m", "seconds", "barrier")
    }
    if thing.kind is BroughtKind.DEVICE:
        facts.pop("tag", None)
    if "parcels" in facts:
        facts["parcels"] = [name.strip() for name in str(facts["parcels"]).split(";") if name.strip()]
    if thing.outline is not None:
        facts["outline"] = _coordinates(thing.outline)
    return facts


def _coordinates(outline: Outline) -> list[Any]:
    return [[[[p.lon, p.lat] for p in ring] for ring in polygon] for polygon in outline.polygons]


def _moved_m(known: Effective, thing: BroughtThing) -> float:
    if known.fix is None or thing.place is None:
        return 0.0
    return float(distance_m(known.fix.place, thing.place))


def _change_words(key: str, old: Any, new: Any, units: Units) -> str:
    if key == "outline":
        return "outline redrawn"
    label = key.removesuffix("_m").replace("_", " ")
    if key.endswith("_m") and isinstance(new, int | float):
        before = format_small(old, units) if isinstance(old, int | float) else "unknown"
        return f"{label} {before} to {format_small(float(new), units)}"
    return f"{label} '{old if old is not None else ''}' to '{new}'"
