"""Owns gathering the spots where a set could be made: files, what was brought before, and fresh sign.

Does not own which of them are set (`plan.room_spots`). A spot is no set: nothing here is written down.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from tendline.almanac.geodesy import distance_m
from tendline.almanac.tending import ROAMING, SIGN_FRESH_DAYS, SIGN_SURE
from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.ids import short_name
from tendline.core.line import LineState, Parcel
from tendline.core.place import LonLat
from tendline.core.when import local_day
from tendline.ground.brought import Brought, BroughtKind, BroughtThing
from tendline.ground.read_any import PLACES, read_file
from tendline.ground.shapes import parcel_holding
from tendline.jobs.faults import NO_SPOT
from tendline.jobs.layers import latest_of_each
from tendline.jobs.round_ground import WALK_REACH_M
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.admit import HOME
from tendline.logbook.corrected import Effective, effective
from tendline.logbook.events import Event
from tendline.plan.room_nouns import Spot, SpotLeft

SAME_SPOT_M = 25.0
"""Spots and sign nearer to one another, or to a set, than this are one place [m]."""

DEFAULT_SPECIES = "coyote"


@dataclass(frozen=True)
class Candidate:
    """A spot with its place: on which parcel, and where the word of it comes from."""

    spot: Spot
    place: LonLat
    parcel: str
    where: str
    note: str = ""


@dataclass(frozen=True)
class Gathered:
    """Spots that can be gone to, those that cannot with why, and what must be said."""

    spots: tuple[Candidate, ...]
    left: tuple[SpotLeft, ...]
    said: tuple[str, ...]


def gather_spots(
    space: Workspace,
    line: LineState,
    events: Sequence[Event],
    *,
    files: Sequence[str],
    sign: bool,
    kept: bool = True,
) -> Gathered:
    """Read every spot.

    Parameters
    ----------
    files
        Read and not kept; what does not say what it is counts as a spot.
    sign
        Take fresh sign on record as well.
    kept
        Take spots out of files brought before as well.

    Raises
    ------
    Refused
        GND-xxx for a file that cannot be read, with every fault of every file; JOB-421 for one that was named
        and has no spot in it.
    """
    names = {n.lower() for n in (HOME, *line.parkings, *line.landmarks, *line.sets)}
    found: list[Candidate] = []
    said: list[str] = []
    for brought in [*_named(space, files, said), *(_kept(space) if kept else ())]:
        for thing in brought.things:
            if thing.kind is BroughtKind.SPOT and thing.place is not None:
                found += _one(space, line, thing, thing.place, found=found, names=names)
    if sign:
        found += _signs(space, line, events, found=found, names=names, said=said)
    return _sorted_out(space, line, found, said)


def _named(space: Workspace, files: Sequence[str], said: list[str]) -> list[Brought]:
    faults, read = FaultList(), []
    for name in files:
        try:
            brought = read_file(
                Path(name), zone=space.settings.zone, now=space.now, default_kind=BroughtKind.SPOT
            )
            others = [thing for thing in brought.things if thing.kind is not BroughtKind.SPOT]
            if len(others) == len(brought.things):
                do = "Give points of kind spot, or without a kind; per_100_nights says what to expect."
                faults.extend(refuse(NO_SPOT, "there is no spot in it.", brought.file_name, do).faults)
            if others:
                said.append(f"{brought.file_name}: {len(others)} entries are no spots and were left alone")
            said += [sentence.rstrip(".") for sentence in brought.warnings]
            read.append(brought)
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return read


def _kept(space: Workspace) -> list[Brought]:
    with space.store() as store:
        sources = store.sources()
    return [
        read_file(
            space.folder / GROUND / source.kept_as,
            zone=space.settings.zone,
            now=space.now,
            default_kind=BroughtKind(source.options["as"]) if "as" in source.options else None,
        )
        for source in latest_of_each(sources)
        if source.format in PLACES
    ]


def _one(
    space: Workspace,
    line: LineState,
    thing: BroughtThing,
    place: LonLat,
    *,
    found: Sequence[Candidate],
    names: set[str],
) -> list[Candidate]:
    if _near(place, [c.place for c in found]):
        return []
    name = short_name(thing.wanted_name, fallback="spot", taken=names)
    names.add(name.lower())
    rate = thing.facts.get("per_100_nights")
    per_night = space.settings.time.catches_per_night if rate is None else float(rate) / 100.0
    species = str(thing.facts.get("target", "")).strip().lower() or DEFAULT_SPECIES
    parcel = str(thing.facts.get("parcel", "")) or parcel_holding(line.parcels.values(), place) or ""
    return [Candidate(Spot(name, per_night, species), place, parcel, thing.where)]


def _near(place: LonLat, others: Sequence[LonLat]) -> bool:
    return any(distance_m(place, other) < SAME_SPOT_M for other in others)


def _signs(
    space: Workspace,
    line: LineState,
    events: Sequence[Event],
    *,
    found: Sequence[Candidate],
    names: set[str],
    said: list[str],
) -> list[Candidate]:
    """Take fresh sign of animals that are set for; the surest of what lies at one place."""
    since = space.now - timedelta(days=SIGN_FRESH_DAYS)
    seen = [
        e for e in effective(events) if e.event.kind == "sign-seen" and since <= e.happened_at <= space.now
    ]
    seen.sort(key=lambda e: (-_sure(e), -e.happened_at.timestamp()))
    wanted = {*ROAMING, *(one.target.lower() for one in line.in_field if one.target)}
    taken = [*(c.place for c in found), *(one.fix.place for one in line.in_field)]
    made: list[Candidate] = []
    placeless = 0
    for event in seen:
        species = str(event.body.get("species", "")).strip().lower()
        if species not in wanted:
            continue
        if event.fix is None:
            placeless += 1
        elif not _near(event.fix.place, taken):
            taken.append(event.fix.place)
            made.append(_sign(space, line, event, species, names))
    if placeless:
        said.append(f"{placeless} fresh sign on record has no place and cannot be planned for")
    if not made:
        said.append(
            f"no fresh sign of {', '.join(sorted(wanted))} with a place in the last {SIGN_FRESH_DAYS} days"
        )
    return made


def _sure(event: Effective) -> float:
    return SIGN_SURE.get(str(event.body.get("how_sure", "unknown")), SIGN_SURE["unknown"])


def _sign(space: Workspace, line: LineState, event: Effective, species: str, names: set[str]) -> Candidate:
    assert event.fix is not None
    name = short_name("", fallback="sign", taken=names)
    names.add(name.lower())
    place = event.fix.place
    day = local_day(event.happened_at, space.settings.zone)
    parcel = str(event.body.get("parcel", "")) or parcel_holding(line.parcels.values(), place) or ""
    spot = Spot(name, space.settings.time.catches_per_night * _sure(event), species)
    return Candidate(spot, place, parcel, f"{species} sign of {day:%a} {day.day} {day:%b}")


def _sorted_out(
    space: Workspace, line: LineState, found: Sequence[Candidate], said: Sequence[str]
) -> Gathered:
    spots: list[Candidate] = []
    left: list[SpotLeft] = []
    for one in found:
        why, note = _barred(space, line, one)
        if why:
            left.append(SpotLeft(one.spot.name, why))
        else:
            spots.append(replace(one, note=note))
    return Gathered(tuple(spots), tuple(left), tuple(said))


def _barred(space: Workspace, line: LineState, one: Candidate) -> tuple[str, str]:
    """Say why a spot cannot be used, and what is not verified about one that can."""
    parcel = line.parcels.get(one.parcel)
    if parcel is None and one.parcel:
        return f"there is no parcel {one.parcel} on record", ""
    if parcel is None and line.parcels:
        return "it lies on no parcel on record, so no leave to set there is known", ""
    if not _parkings(line, one):
        return "no parking on record serves it", ""
    return _leave(space, parcel) if parcel is not None else ("", "leave not verified: no parcels on record")


def _leave(space: Workspace, parcel: Parcel) -> tuple[str, str]:
    today = local_day(space.now, space.settings.zone)
    if not parcel.permissions:
        return "", f"no leave is on record for {parcel.name}: not verified"
    good = [
        p
        for p in parcel.permissions
        if (p.first is None or p.first <= today)
        and (p.last is None or today <= p.last)
        and not p.told.get("withdrawn")
    ]
    return ("", "") if good else (f"no leave on record for {parcel.name} is good today", "")


def _parkings(line: LineState, one: Candidate) -> list[str]:
    serving = [p.name for p in line.parkings.values() if one.parcel and one.parcel in p.parcels]
    near = [p.name for p in line.parkings.values() if distance_m(p.place, one.place) <= WALK_REACH_M]
    return serving or near
