"""Owns what room is counted from: the sites of the line, sorts of day, the outing or the windows ahead.

Does not own the counting (`plan.room_round`, `plan.room_weeks`) or the spots (`room_spots`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from functools import cache

from tendline.almanac.tending import (
    AFTER_SNOW,
    FAIR,
    GROUND_WALK_S,
    LEG_S,
    DayKind,
    aside_seconds,
    set_seconds,
)
from tendline.core.errors import refuse
from tendline.core.line import LineState, SetStanding, SetState
from tendline.core.place import Fix, LonLat
from tendline.core.settings import Settings
from tendline.core.when import Span, local_day, local_instant
from tendline.core.words import DeviceClass
from tendline.jobs.faults import WORD
from tendline.jobs.outing import Outing
from tendline.jobs.room_spots import Candidate
from tendline.jobs.round_ground import End, Ways
from tendline.jobs.round_problem import Wanted
from tendline.jobs.weeks_problem import Ahead
from tendline.jobs.workspace import Workspace
from tendline.plan.itinerary import RoundProblem, Travel
from tendline.plan.room_ground import DayCosts, typical_leg, typical_walk
from tendline.plan.room_nouns import Prices, Site
from tendline.plan.weeks_nouns import WeekClock, WeekSet, WeeksProblem
from tendline.plan.weeks_reach import gone_to_first, out_of_reach

NO_PARCEL = "(on no parcel)"
"""No short name has brackets in it."""


@dataclass(frozen=True)
class Costs:
    """What the person says about more sets; None for what is usual.

    Parameters
    ----------
    aside_m
        How far beside the walk one more stands [m].
    catches
        Time is kept for so many whole catches; None: for catches in the mean.
    leg_s, walk_s
        Drive and walk of new ground [s].
    """

    aside_m: float
    catches: int | None = None
    leg_s: float | None = None
    walk_s: float | None = None


def day_kinds(settings: Settings, costs: Costs) -> tuple[DayCosts, ...]:
    """Give the sorts of day: a fair one, and a morning after snow."""
    return tuple(_day(kind, settings, costs) for kind in (FAIR, AFTER_SNOW))


def _day(kind: DayKind, settings: Settings, costs: Costs) -> DayCosts:
    own = settings.time
    snow = max(kind.snow, settings.walk.snow)
    set_s = set_seconds(
        look_s=own.look_s,
        fix_share=own.fix_share if kind.fix_share is None else kind.fix_share,
        fix_s=own.fix_s if kind.fix_s is None else kind.fix_s,
        catch_share=own.catches_per_night if costs.catches is None else 0.0,
        catch_s=own.catch_s,
    )
    return DayCosts(
        kind.name,
        walk=snow / settings.walk.snow,
        set_s=set_s,
        each_s=set_s + aside_seconds(costs.aside_m, snow=snow),
    )


def reserve_s(settings: Settings, costs: Costs) -> float:
    """Give the time that is kept for whole catches [s]."""
    return (costs.catches or 0) * settings.time.catch_s


def outing_problem(
    space: Workspace, outing: Outing, wanted: Wanted, ways: Ways, ends: tuple[End, End], *, reserve: float
) -> RoundProblem:
    """Put an outing together; time for catches is taken off its beginning, which is where it hurts most.

    Raises
    ------
    Refused
        JOB-301 when catches take up the whole outing.
    """
    if reserve >= outing.span.seconds:
        what = f"{reserve / 60:.0f} min for catches are more than the outing has."
        raise refuse(WORD, what, "--catches", "Keep time for fewer.")
    span = Span(outing.span.start + timedelta(seconds=reserve), outing.span.end)
    start, end = ends
    return RoundProblem(
        start=start.label,
        end=end.label,
        outing=span,
        sets=wanted.tasks,
        parkings=tuple(name for name in ways.drive.names if name in _parkings_of(ways)),
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )


def _parkings_of(ways: Ways) -> set[str]:
    return set(ways.walk.names) & set(ways.drive.names)


def weeks_problem(space: Workspace, ahead: Ahead, ways: Ways, home: End) -> WeeksProblem:
    """Put the days ahead together; what a clock has said once it is not asked again."""
    clocks: dict[str, WeekClock] = {}
    problem = WeeksProblem(
        span=ahead.span,
        sets=tuple(remembered(one, clocks) for one in ahead.sets),
        outings=ahead.outings,
        start=home.label,
        end=home.label,
        parkings=tuple(name for name in ways.drive.names if name in _parkings_of(ways)),
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )
    return gone_to_first(problem, out_of_reach(problem))


def remembered(one: WeekSet, clocks: dict[str, WeekClock]) -> WeekSet:
    """Let sets with one rule share one clock that remembers its answers."""
    clock = one.clock
    if clock.key not in clocks:
        clocks[clock.key] = replace(clock, next_due=cache(clock.next_due))
    return replace(one, clock=clocks[clock.key])


def own_limits(space: Workspace, wanted: Wanted, outing: Outing) -> Mapping[str, datetime]:
    """Give the person's own limit of each set: so many hours after the last look, and the hour of the day."""
    personal, zone = space.settings.personal, space.settings.zone
    by_hour = None
    if personal.before:
        day = local_day(outing.span.start, zone)
        by_hour = local_instant(day, time.fromisoformat(personal.before.zfill(5)), zone, where="line.toml")
        by_hour = by_hour if by_hour > outing.span.start else None
    found: dict[str, datetime] = {}
    for task in wanted.tasks:
        row = wanted.rows[task.name]
        limits = [limit for limit in (row.own_due, by_hour) if limit is not None]
        if limits:
            found[task.name] = min(limits)
    return found


def sites_of(
    line: LineState, names: Sequence[str], problem: RoundProblem | WeeksProblem, costs: Costs, new: str
) -> tuple[Site, ...]:
    """Give every place where more could stand: parcels with sets, parcels with none, new ground.

    Parameters
    ----------
    names
        Sets that are looked at.
    new
        A named place of new ground in the drive table; empty for ground nowhere in particular.
    """
    by_parcel: dict[str, list[str]] = {}
    for name in names:
        by_parcel.setdefault(line.sets[name].parcel or NO_PARCEL, []).append(name)
    parkings = {parcel: _serving(line, problem, parcel, held) for parcel, held in by_parcel.items()}
    walk_s, leg_s = costs.walk_s, costs.leg_s
    if walk_s is None:
        walk_s = typical_walk(problem, list(by_parcel.values())) if names else GROUND_WALK_S
    if leg_s is None:
        leg_s = typical_leg(problem.drive, list(parkings.values()), problem.start) if names else LEG_S
    walked = [
        Site(parcel, _title(line, parcel), tuple(held), beside=parkings[parcel][0])
        for parcel, held in sorted(by_parcel.items())
    ]
    empty = [
        Site(parcel, _title(line, parcel), parking=parking, walk_s=walk_s)
        for parcel, parking in empty_parcels(line, names).items()
    ]
    if new:
        return (*walked, *empty, Site(new, "new ground there", parking=new, walk_s=walk_s))
    ground = Site("new ground", "new ground", leg_s=leg_s, walk_s=walk_s)
    return (*walked, *empty, ground)


def _title(line: LineState, parcel: str) -> str:
    known = line.parcels.get(parcel)
    return known.title if known is not None else ""


def _serving(
    line: LineState, problem: RoundProblem | WeeksProblem, parcel: str, names: Sequence[str]
) -> list[str]:
    """Give the parkings of a parcel, or, where none is said to serve it, the nearest to its sets."""
    serving = [p.name for p in line.parkings.values() if parcel in p.parcels and p.name in problem.parkings]
    if serving:
        return serving
    row = {name: k for k, name in enumerate(problem.walk.names)}
    return sorted(problem.parkings, key=lambda p: float(problem.walk.seconds[row[p], row[names[0]]]))[:1]


def empty_parcels(line: LineState, names: Sequence[str]) -> dict[str, str]:
    """Give the parcels with a parking on record where nothing is looked at, and that parking."""
    held = {line.sets[name].parcel for name in names}
    found: dict[str, str] = {}
    for parking in line.parkings.values():
        for parcel in parking.parcels:
            if parcel in line.parcels and parcel not in held:
                found.setdefault(parcel, parking.name)
    return found


def prices_of(sites: Sequence[Site], day: DayCosts, *, park_s: float, drive: Travel, home: str) -> Prices:
    """Give what more costs on a day; a new property is priced by the last site.

    Where that is a named place, its drive is there and home again, which is the most it can cost.
    """
    ground = sites[-1]
    leg_s = ground.leg_s
    if ground.parking:
        start, there = drive.names.index(home), drive.names.index(ground.parking)
        leg_s = float(drive.seconds[start, there] + drive.seconds[there, start])
    return Prices(day.each_s, leg_s, park_s, ground.walk_s * day.walk)


def stand_in(name: str, place: LonLat, parcel: str) -> SetState:
    """Give a place the form that ways are found for; it stands for no set on record."""
    return SetState(
        name=name,
        tag=None,
        device_class=DeviceClass.LIVE_RESTRAINT,
        fix=Fix(place),
        parcel=parcel,
        landmark="",
        loop_m=None,
        bottom_m=None,
        surface=None,
        target="",
        made_at=None,
        made_by="",
        standing=SetStanding.PULLED,
        looks=(),
        last_seen=None,
    )


def places_too(line: LineState, names: Sequence[str], spots: Sequence[Candidate]) -> list[SetState]:
    """Give what ways are found for besides the sets: spots, and the parkings of parcels without any."""
    found = [stand_in(one.spot.name, one.place, one.parcel) for one in spots]
    for parcel, parking in empty_parcels(line, names).items():
        found.append(stand_in(f"({parcel})", line.parkings[parking].place, parcel))
    return found
