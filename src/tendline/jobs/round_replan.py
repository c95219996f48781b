"""Owns the job `tendline round --replan`: the rest of a round under way, from where the person stands.

Does not own the search (`plan.route`), the ways (`round_ground`) or the wording (`report.replan_text`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tendline.core.errors import refuse
from tendline.core.line import LineState, SetStanding
from tendline.core.when import Span, clock_text, day_start, local_day, parse_instant
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_ROUND, WORD
from tendline.jobs.outing import Outing, read_outing
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.round import Asked, Planned, end_named, problem_of, round_map, solved
from tendline.jobs.round_facts import gather_facts
from tendline.jobs.round_ground import End, Ways, find_ways
from tendline.jobs.round_problem import Wanted, wanted_sets
from tendline.jobs.round_standing import OnFoot, as_driven, from_set
from tendline.jobs.walks import Tell
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.due import DueRow
from tendline.report.itinerary_json import round_document
from tendline.report.itinerary_text import round_text
from tendline.report.replan_text import DoneLook, RestFacts, Waits, rest_document, rest_text
from tendline.report.say import INVENTED


def replan(
    space: Workspace,
    asked: Asked,
    *,
    truck: str = "",
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] | None = None,
) -> Answer:
    """Plan the rest of a round under way.

    Parameters
    ----------
    asked
        As for `round.plan`, but: `start` is when the round began (else the beginning of the hours on record
        that now lies in, else the first look of today), and `origin` is where the person stands: a parking, a
        set, or LON,LAT; the last set looked at when left out.
    truck
        The parking where the truck stands, when the person stands at a set; the nearest on foot if left out.

    Returns
    -------
    Answer
        Bad news when something that must be visited no longer fits.

    Raises
    ------
    Refused
        JOB-301 for a place that is none; JOB-401 when nothing says until when, or nothing is left; else as
        `round.plan`.
    """
    events = space.events()
    line = line_at(events, at=space.now)
    way = _under_way(space, line, asked)
    profiles = profiles_in_use(space, line)
    gone = [name for name in way.seen if line.sets[name].standing.in_field]
    wanted = wanted_sets(
        space,
        line,
        way.outing,
        profiles=profiles,
        must=asked.must,
        skip=[*asked.skip, *gone],
        everything=asked.everything,
        only_due=asked.only_due,
    )
    start, end, ways, foot = _ways(space, line, asked, way, wanted, truck=truck, tell=tell)
    problem = problem_of(space, way.outing, wanted, ways, (start, end))
    verdict = solved(problem, wanted, line, asked, tell=tell, should_stop=should_stop)
    if foot is not None:
        verdict = replace(verdict, plan=as_driven(verdict.plan, foot))
    said = (*way.outing.assumed, *((foot.said,) if foot is not None else ()), *ways.said)
    outing = replace(way.outing, assumed=said)
    facts = gather_facts(space, line, outing, rows=wanted.rows, profiles=profiles, events=events, said=said)
    planned = Planned(verdict, facts, line, ways, problem, outing)
    return _told(planned, _rest(space, planned, wanted.rows, way), width=width)


@dataclass(frozen=True)
class _UnderWay:
    """The round so far: the rest of its hours, when it began, its looks, and the set stood at if any."""

    outing: Outing
    begun: datetime
    done: tuple[DoneLook, ...]
    at_set: str

    @property
    def seen(self) -> tuple[str, ...]:
        """Sets that were seen on it."""
        return tuple(dict.fromkeys(one.set_name for one in self.done if one.seen))


def _under_way(space: Workspace, line: LineState, asked: Asked) -> _UnderWay:
    who = asked.who or space.settings.handler
    held = next(
        (a.span for a in line.available if a.vehicle and a.who == who and a.span.holds(space.now)), None
    )
    if asked.back is None and held is None:
        do = "Give --back 10:00, the latest return."
        raise refuse(NO_ROUND, "no hours on record hold this moment: until when is not known.", "--back", do)
    start = "now" if asked.back is not None else None
    outing = read_outing(space, line, start=start, back=asked.back, on=asked.on, who=asked.who)
    begun = day_start(local_day(space.now, space.settings.zone), space.settings.zone)
    if asked.start is not None:
        begun = parse_instant(asked.start, zone=space.settings.zone, now=space.now, where="--start")
    elif held is not None:
        begun = held.start
    done = _done(line, who, begun=begun, now=space.now)
    if asked.start is None and held is None and done:
        begun = done[0].at
    if outing.assumed:
        zone = space.settings.zone
        again = (begun.astimezone(zone) + timedelta(days=1)).astimezone(begun.tzinfo)
        outing = replace(outing, following=Span(min(again, outing.following.end), outing.following.end))
    at_set = _stood_at(line, asked.origin, done)
    left = [s for s in line.in_field if s.standing is SetStanding.WORKING]
    seen = {one.set_name for one in done if one.seen}
    if left and all(one.name in seen for one in left):
        told = clock_text(begun, space.settings.zone)
        raise refuse(NO_ROUND, f"nothing is left: every working set was seen since {told}.", "", "Go home.")
    return _UnderWay(outing, begun, done, at_set)


def _done(line: LineState, who: str, *, begun: datetime, now: datetime) -> tuple[DoneLook, ...]:
    """Give the looks somebody has noted since the round began, in order."""
    found = [
        DoneLook(one.name, look.at, look.found_as.was_seen)
        for one in line.sets.values()
        for look in one.looks
        if begun <= look.at <= now and look.by in ("", who)
    ]
    return tuple(sorted(found, key=lambda one: (one.at, one.set_name)))


def _stood_at(line: LineState, origin: str, done: Sequence[DoneLook]) -> str:
    """Give the set somebody stands at: the one named, or the last one looked at; empty for anywhere else."""
    named = next((name for name in line.sets if name.lower() == origin.lower()), "")
    if origin:
        return named
    reached = [one for one in done if one.seen]
    return reached[-1].set_name if reached else ""


def _ways(
    space: Workspace,
    line: LineState,
    asked: Asked,
    way: _UnderWay,
    wanted: Wanted,
    *,
    truck: str,
    tell: Tell,
) -> tuple[End, End, Ways, OnFoot | None]:
    """Work out the ways from where the person stands to the rest and home."""
    tasks = [line.sets[task.name] for task in wanted.tasks]
    end = end_named(space, line, asked.destination, "end")
    if way.at_set:
        here = line.sets[way.at_set]
        start, ways, foot = from_set(space, line, here, tasks, truck=truck, end=end, tell=tell)
        return start, end, ways, foot
    if truck:
        do = "Leave it out, or stand at a set: --from SET."
        raise refuse(WORD, "where the truck stands is told with --from here.", "--truck", do)
    start = end_named(space, line, asked.origin, "start")
    ways = find_ways(space, line, tasks, ends=(start, end), tell=tell, starts=(space.now,))
    return start, end, ways, None


def _rest(space: Workspace, planned: Planned, rows: Mapping[str, DueRow], way: _UnderWay) -> RestFacts:
    plan = planned.verdict.plan
    on_it = {visit.set_name for visit in plan.visits} | set(way.seen)
    must = {left.set_name for left in plan.left_out if left.must}
    waits = [
        Waits(name, row.answer.due_at, name in must)
        for name, row in rows.items()
        if name not in on_it and (row.working or name in must)
    ]
    return RestFacts(
        zone=space.settings.zone,
        begun=way.begun,
        now=space.now,
        stands_at=f"set {way.at_set}" if way.at_set else plan.start.removesuffix(" (start)"),
        done=way.done,
        planned=len(plan.visits),
        waits=tuple(waits),
        next_outing=planned.outing.following.start,
    )


def _told(planned: Planned, rest: RestFacts, *, width: int) -> Answer:
    text = round_text(planned.verdict, planned.facts, width=width)
    banner = f"{INVENTED}\n\n" if planned.facts.invented else ""
    parts = [
        banner + rest_text(rest, width=width),
        "",
        text.removeprefix(banner),
        "",
        round_map(planned, width=min(width, 100)),
        "",
        *(f"Note: {sentence}." for sentence in planned.outing.assumed),
    ]
    data = {**round_document(planned.verdict, planned.facts), "replan": rest_document(rest)}
    bad = not planned.verdict.fits or bool(rest.broken)
    return Answer("\n".join(parts), data, bad_news=bad, warnings=planned.line.warnings)
