"""Owns the job `tendline paper finder-sheet`: every device reachable by another person, from paper alone.

Does not own what stands on the sheet (`report.finder`).
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from itertools import pairwise

from tendline.core.line import Parking, SetState
from tendline.core.units import format_minutes
from tendline.jobs.answer import Answer
from tendline.jobs.paper_ground import (
    Surroundings,
    drive_between,
    ground_of,
    landmark_near,
    leg,
    look_round,
    path_between,
    walk_between,
)
from tendline.jobs.paper_heights import with_heights
from tendline.jobs.paper_page import desk_of, save, sets_asked
from tendline.jobs.photos import photos_of
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import HOME
from tendline.plan.due import DueRow, due_board, profile_named, watched_set
from tendline.report.finder import finder_page
from tendline.report.finder_facts import FinderFacts, Found, Leg, Property, Stop
from tendline.report.finder_words import LEAVE, NOT_VERIFIED, TAKING_UP
from tendline.report.ground_map import Ground, Mark, Path
from tendline.report.paper_head import Desk
from tendline.report.say import count
from tendline.rules.ask import who_may_check
from tendline.rules.shape import Profile

CALLS = ("handler's phone", "second person who knows the line", "agency or warden", "veterinarian")
"""Whom a finder may have to call, when nobody is named; their numbers are lines to write on."""


def finder_sheet(
    space: Workspace,
    *,
    sets: Sequence[str] = (),
    calls: Sequence[str] = (),
    out: str | None = None,
    tell: Callable[[str], None] = lambda _: None,
) -> Answer:
    """Write the sheet by which another person finds and takes up devices.

    Parameters
    ----------
    space
        The opened line.
    sets
        Only these; every device in the field when empty.
    calls
        Whom to call, each as ``who: number``.
    out
        Where to write the PDF; into the line's `papers/` when left out.
    tell
        Is told how far things are.

    Returns
    -------
    Answer
        With every set on the sheet, in its order.

    Raises
    ------
    Refused
        JOB-301, JOB-611; JOB-612 and GND-8xx for a photograph that cannot be used; RULE-xxx; JOB-104;
        REP-102.
    """
    desk = desk_of(space)
    chosen = sets_asked(desk, sets)
    around = look_round(space, desk.line, chosen, tell=tell)
    desk = Desk(desk.settings, desk.line, desk.now, "; ".join((desk.made_from, *around.said)))
    profiles = profiles_in_use(space, desk.line)
    board = due_board(desk.line, profiles=profiles, settings=desk.settings, now=desk.now)
    rows = {row.set_name: row for row in board}
    photos = photos_of(space, desk.line, [one.name for one in chosen])
    properties = _in_driving_order(around, _properties(desk, around, chosen, rows, photos))
    facts = FinderFacts(
        desk=desk,
        properties=properties,
        whole=_whole(space, properties),
        law=_law(desk, chosen, profiles),
        calls=_calls(calls),
        photos=dict(photos.values()),
        left_out=_left_out(desk, chosen),
    )
    order = [found.one.name for one in properties for found in one.sets]
    return save(
        space,
        finder_page(facts),
        paper="finder-sheet",
        out=out,
        data={"sets": order, "photos": sorted(photos), "law": list(facts.law)},
        says=f"{count(len(order), 'device')} on {count(len(properties), 'property', 'properties')}",
        warnings=desk.line.warnings,
    )


def _left_out(desk: Desk, chosen: Sequence[SetState]) -> str:
    others = len(desk.line.in_field) - len(chosen)
    return (
        f"Not the whole line: {count(others, 'other device')} in the field are not on it." if others else ""
    )


def _calls(calls: Sequence[str]) -> tuple[tuple[str, str], ...]:
    told = [call.partition(":") for call in calls]
    named = tuple((who.strip(), number.strip()) for who, _, number in told)
    return named or tuple((who, "") for who in CALLS)


def _law(desk: Desk, chosen: Sequence[SetState], profiles: Mapping[str, Profile]) -> tuple[str, ...]:
    """Say what each profile in use holds about another person looking; what is open is not verified."""
    told: dict[str, str] = {}
    for one in chosen:
        name = profile_named(one, desk.line, settings=desk.settings)
        profile = profiles.get(name)
        if profile is None or name in told:
            continue
        watched = watched_set(one, desk.line, settings=desk.settings)
        answer = who_may_check(profile, watched, now=desk.now, confirmation=desk.settings.word_on(name))
        mark = "" if answer.verified else " NOT VERIFIED."
        invented = " This law is invented and holds nowhere." if profile.invented else ""
        told[name] = f"Looking, by {profile.title}: {'; '.join(answer.said).rstrip('.')}.{mark}{invented}"
    return (NOT_VERIFIED, *told.values(), TAKING_UP, LEAVE)


def _properties(
    desk: Desk,
    around: Surroundings,
    chosen: Sequence[SetState],
    rows: Mapping[str, DueRow],
    photos: Mapping[str, tuple[str, bytes]],
) -> list[Property]:
    by_parcel: dict[str, list[SetState]] = {}
    for one in chosen:
        by_parcel.setdefault(one.parcel if one.parcel in desk.line.parcels else "", []).append(one)
    found = []
    for name, sets in by_parcel.items():
        stops, ways = [], []
        for parking, ordered in _chains(around, sets):
            stops.append(_stop(desk, around, parking, ordered, rows=rows, photos=photos))
            names = [*([parking.name] if parking is not None else []), *(one.name for one in ordered)]
            ways += [path_between(around, a, b) for a, b in pairwise(names)]
        parkings = [stop.parking.name for stop in stops if stop.parking is not None]
        ground = ground_of(around, sets, parkings=parkings, ways=ways, parcels=[name])
        first = min((due for one in sets if (due := _due_at(rows.get(one.name))) is not None), default=None)
        words = desk.when(first) if first is not None else "no limit can be told"
        found.append(Property(desk.line.parcels.get(name), tuple(stops), ground, words))
    return found


def _chains(around: Surroundings, sets: Sequence[SetState]) -> list[tuple[Parking | None, list[SetState]]]:
    """Share the sets of one property among its parkings, and walk each share from nearest to nearest."""
    shares: dict[str, list[SetState]] = {}
    for one in sets:
        shares.setdefault(_nearest_parking(around, one), []).append(one)
    chains = []
    for name, share in sorted(shares.items()):
        left, at, ordered = list(share), name, []
        while left:
            nearest = min(left, key=lambda one: (_seconds(around, at, one.name), one.name))
            left.remove(nearest)
            ordered.append(nearest)
            at = nearest.name
        chains.append((around.line.parkings.get(name), ordered))
    return chains


def _nearest_parking(around: Surroundings, one: SetState) -> str:
    """Give the parking with the shortest walk; empty when none is reached on foot."""
    times = {name: _seconds(around, name, one.name) for name in around.line.parkings}
    best = min(times, key=lambda name: (times[name], name), default="")
    return best if best and times[best] < float("inf") else ""


def _seconds(around: Surroundings, start: str, end: str) -> float:
    walk = walk_between(around, start, end)
    return walk[0] if walk is not None else float("inf")


def _stop(
    desk: Desk,
    around: Surroundings,
    parking: Parking | None,
    ordered: Sequence[SetState],
    *,
    rows: Mapping[str, DueRow],
    photos: Mapping[str, tuple[str, bytes]],
) -> Stop:
    found, before = [], None
    for one in ordered:
        legs = _legs(around, parking, before, one)
        due = _due_words(desk, rows.get(one.name))
        found.append(Found(one, legs, due, photos[one.name][0] if one.name in photos else ""))
        before = one
    return Stop(parking, _drives(around, parking), tuple(found))


def _legs(
    around: Surroundings, parking: Parking | None, before: SetState | None, one: SetState
) -> tuple[Leg, ...]:
    legs = []
    if parking is not None:
        legs.append(leg(around, parking.name, parking.place, one))
    mark = landmark_near(around, one)
    if mark is not None:
        legs.append(leg(around, mark.name, mark.place, one, called=f"landmark {mark.name}"))
    if before is not None:
        legs.append(leg(around, before.name, before.fix.place, one))
    return tuple(legs)


def _due_at(row: DueRow | None) -> datetime | None:
    return row.answer.due_at if row is not None else None


def _due_words(desk: Desk, row: DueRow | None) -> str:
    if row is None or row.answer.due_at is None:
        return "no limit can be told"
    mark = "" if row.answer.verified else ", NOT VERIFIED"
    return f"look due by {desk.when(row.answer.due_at)} ({row.answer.words}{mark})"


def _drives(around: Surroundings, parking: Parking | None) -> tuple[str, ...]:
    if parking is None:
        return ()
    drive = drive_between(around, HOME, parking.name)
    if drive is None:
        return ()
    return (f"{format_minutes(drive[0])} from home{' (estimated)' if drive[1] else ''}",)


def _in_driving_order(around: Surroundings, properties: Sequence[Property]) -> tuple[Property, ...]:
    """Go from home to the nearest property by road, and on from each to the next."""
    left, at, ordered = list(properties), HOME, []
    while left:
        nearest = min(left, key=lambda one: _drive_to(around, at, one))
        left.remove(nearest)
        ordered.append(nearest)
        at = next((s.parking.name for s in nearest.stops if s.parking is not None), at)
    return tuple(ordered)


def _drive_to(around: Surroundings, start: str, one: Property) -> float:
    names = [stop.parking.name for stop in one.stops if stop.parking is not None]
    times = [drive[0] for name in names if (drive := drive_between(around, start, name)) is not None]
    return min(times, default=float("inf"))


def _whole(space: Workspace, properties: Sequence[Property]) -> Ground | None:
    """Give the whole line: home, every parking, the bounds of every property on the sheet."""
    marks = {s.parking.name: s.parking for one in properties for s in one.stops if s.parking is not None}
    parkings = [Mark("parking", parking.name, parking.place) for parking in marks.values()]
    home = space.settings.home
    if home is not None and parkings:
        parkings.append(Mark("house", HOME, home))
    bounds = tuple(one.parcel.outline for one in properties if one.parcel is not None)
    barriers: tuple[Path, ...] = properties[0].ground.barriers
    if not parkings and not bounds:
        return None
    areas = properties[0].ground.areas
    return with_heights(space, Ground(tuple(parkings), bounds, barriers, areas, whole_bounds=True))
