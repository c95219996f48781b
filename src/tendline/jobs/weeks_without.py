"""Owns the job `tendline weeks --without`: the least that must be done while somebody cannot go, and by whom.

Does not own the searches (`plan.weeks`, `plan.route`), who may go (`weeks_people`) or the wording (`report`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta

from tendline.core.errors import FaultList
from tendline.core.line import LineState
from tendline.core.when import Span, day_start, local_day, local_instant, parse_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.round import end_named
from tendline.jobs.round_ground import Tell, Ways, find_ways
from tendline.jobs.weeks_people import May, Standing, profiles_of, standing
from tendline.jobs.weeks_problem import sets_ahead, windows_of
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_least import Needed, lasts, leave_by, looked_at_once, needed
from tendline.plan.weeks_nouns import PlannedOuting, WeekOuting, WeekSet, WeeksPlan, WeeksProblem
from tendline.plan.weeks_one_by_one import leave_home_by, one_after_another
from tendline.report.without_json import without_document
from tendline.report.without_text import (
    Act,
    CannotKeep,
    Closing,
    Goes,
    WithoutFacts,
    without_text,
)
from tendline.rules.ask import closing_stops
from tendline.rules.shape import Profile

DAYS = 3
"""How many days somebody is taken to be away when nobody says until when."""

NOTICE = timedelta(hours=1)
"""From the phone call to leaving home; common practice, no source."""

ASSUMED = "06:00-18:00"
"""The hours of somebody whose hours are not on record."""

WHOEVER = "whoever may go"

Plan = Callable[[WeeksProblem], WeeksPlan | None]
"""Plans the days ahead, or finds no plan."""


@dataclass(frozen=True)
class AskedWithout:
    """What a person asks, as written.

    Parameters
    ----------
    without
        Who cannot go.
    since, until
        First and last day; today, and three days in all, when left out. ``today`` and ``tomorrow`` are read.
    mornings, evenings, who
        When others can go, and who; else what is on record, else anybody on record at any hour of the day.
    seed, seconds
        How long to search.
    """

    without: tuple[str, ...]
    since: str = ""
    until: str = ""
    mornings: str = ""
    evenings: str = ""
    who: tuple[str, ...] = ()
    seed: int = 1
    seconds: float = 30.0


def without(
    space: Workspace,
    asked: AskedWithout,
    *,
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Answer:
    """Say what must be done while somebody cannot go.

    Returns
    -------
    Answer
        Bad news when a limit cannot be kept, or nobody on record may go.

    Raises
    ------
    Refused
        JOB-301 for a name or a day that cannot be meant; JOB-401, JOB-402, TERR-1xx, RULE-1xx, GND-xxx.
    """
    line = line_at(space.events(), at=space.now)
    profiles = profiles_in_use(space, line)
    away, first, last = _away(space, asked)
    names = _names(space, line, asked)
    sets, said = sets_ahead(space, line, profiles=profiles, people=())
    must = needed(sets, away)
    by_name = {one.name: one for one in sets}
    who = _who(space, line, profiles=profiles, sets=[one.set_name for one in must], gone=names, day=first)
    may = [one.who for one in who if one.planned_with]
    outings, assumed = _outings(space, line, asked, away=away, may=may or [WHOEVER], first=first)
    wanted = [by_name[one.set_name] for one in must]
    plan = _planner(asked, tell=tell, should_stop=should_stop)
    came, ways_said = _come(space, line, wanted, outings, end=away.end, plan=plan, asked=asked, tell=tell)
    by_profile = profiles_of(space, line, by_name, profiles)
    closing = {name: _closing(profiles[name], first) for name in by_profile}
    stops = {name: closing[p].stops for p, own in by_profile.items() for name in own}
    acts = _acts(line, must, by_name, came.rounds, stops=stops, until=away.end)
    facts = WithoutFacts(
        line=space.settings.name,
        zone=space.settings.zone,
        units=space.settings.units,
        without=names,
        first=first,
        last=last,
        now=space.now,
        kept_until=away.end,
        in_field=len(sets),
        who=tuple(who),
        acts=acts,
        outings=came.rounds,
        cannot=tuple(_cannot(space, by_name[name], came) for name in came.late),
        phone_by=_phone_by(came.rounds, may),
        own_over=_own_over(space, line, acts),
        own_hours=space.settings.personal.hours,
        closing=tuple(closing.values()),
        said=tuple(dict.fromkeys((*said, *assumed, *ways_said))),
        invented=space.settings.invented or any(profile.invented for profile in profiles.values()),
    )
    bad = bool(came.late) or (bool(must) and not may)
    return Answer(
        without_text(facts, width=width), without_document(facts), bad_news=bad, warnings=line.warnings
    )


def _away(space: Workspace, asked: AskedWithout) -> tuple[Span, date, date]:
    """Give the stretch to be kept without them: up to noon of the day after, when they are about again."""
    zone = space.settings.zone
    today = local_day(space.now, zone)
    first = _day(asked.since, today, "--from") if asked.since else today
    last = _day(asked.until, today, "--until") if asked.until else first + timedelta(days=DAYS - 1)
    faults = FaultList()
    if first < today:
        faults.add(WORD, f"{first} is past.", "--from", "Give today or a day to come.")
    if last < first:
        faults.add(WORD, f"{last} is before {first}.", "--until", "Give the last day of the absence.")
    if (last - first).days > 60:
        faults.add(WORD, "that is more than 60 days.", "--until", "Give at most 60 days.")
    faults.refuse()
    noon = local_instant(last + timedelta(days=1), time(12), zone)
    return Span(max(space.now, day_start(first, zone)), noon), first, last


def _day(text: str, today: date, where: str) -> date:
    words = {"today": today, "tomorrow": today + timedelta(days=1)}
    return words.get(text.strip().lower()) or parse_day(text, where=where)


def _names(space: Workspace, line: LineState, asked: AskedWithout) -> tuple[str, ...]:
    """Give the names as the record spells them; refuse one that nobody bears."""
    known = {name.casefold(): name for name in _people(space, line, asked.who)}
    faults = FaultList()
    for name in asked.without:
        if name.casefold() not in known:
            told = ", ".join(known.values()) or "nobody"
            faults.add(WORD, f"nobody is called '{name}'.", "--without", f"On record: {told}.")
    faults.refuse()
    return tuple(known[name.casefold()] for name in asked.without)


def _people(space: Workspace, line: LineState, also: Sequence[str]) -> list[str]:
    settings = space.settings
    names = [
        settings.handler,
        *(one.name for one in settings.people),
        *(a.who for a in line.available),
        *also,
    ]
    return list({name.casefold(): name for name in reversed(names) if name}.values())[::-1]


def _who(
    space: Workspace,
    line: LineState,
    *,
    profiles: Mapping[str, Profile],
    sets: Sequence[str],
    gone: Sequence[str],
    day: date,
) -> list[Goes]:
    """Say of everybody else whether they may go; where profiles differ, the one that allows least counts."""
    order = [May.NO, May.NOT_VERIFIED, May.WITH_LEAVE, May.YES]
    by_profile = profiles_of(space, line, sets, profiles)
    told: list[Goes] = []
    for name in _people(space, line, ()):
        if name in gone:
            continue
        found = [standing(space, line, profiles[p], own, who=name, day=day) for p, own in by_profile.items()]
        least = min(
            found, key=lambda one: order.index(one.may), default=Standing(name, "", May.NOT_VERIFIED, _NO_LAW)
        )
        helper = space.settings.helper(name)
        phone = helper.phone if helper is not None else ""
        told.append(Goes(name, least.may.value, least.why, least.cites, phone, least.may in order[2:]))
    return sorted(told, key=lambda one: (-order.index(May(one.may_word)), one.who))


_NO_LAW = ("no rule profile is in use for these sets",)


def _outings(
    space: Workspace,
    line: LineState,
    asked: AskedWithout,
    *,
    away: Span,
    may: Sequence[str],
    first: date,
) -> tuple[tuple[WeekOuting, ...], tuple[str, ...]]:
    """Give the windows of those who may go; and of those who are away later, the windows before."""
    wide = Span(space.now, away.end)
    texts = [asked.mornings, asked.evenings]
    asked_who = [
        name for name in may if not asked.who or name.casefold() in {w.casefold() for w in asked.who}
    ]
    everybody = windows_of(space, line, wide, texts, asked_who or may)
    gone = [name for name in _people(space, line, asked.who) if name.casefold() in _folded(asked.without)]
    starts = day_start(first, space.settings.zone)
    before = [one for one in windows_of(space, line, wide, ["", ""], gone) if one.span.end <= starts]
    found = [one for one in everybody if one.who in may and one.who not in gone]
    if found:
        return tuple(sorted((*found, *before), key=lambda one: (one.span.start, one.who))), ()
    assumed = windows_of(space, line, wide, [ASSUMED, ""], list(may)[:1])
    told = f"nobody's hours are on record: {may[0]} is taken to have {ASSUMED.replace('-', ' to ')} each day"
    return tuple(sorted((*assumed, *before), key=lambda one: (one.span.start, one.who))), (told,)


def _folded(names: Sequence[str]) -> set[str]:
    return {name.casefold() for name in names}


@dataclass(frozen=True)
class _Came:
    """Outings, sets nobody comes to in time, and the latest start straight to each."""

    rounds: tuple[PlannedOuting, ...] = ()
    late: tuple[str, ...] = ()
    leave: Mapping[str, datetime | None] = field(default_factory=dict)


def _come(
    space: Workspace,
    line: LineState,
    sets: Sequence[WeekSet],
    outings: Sequence[WeekOuting],
    *,
    end: datetime,
    plan: Plan,
    asked: AskedWithout,
    tell: Tell,
) -> tuple[_Came, tuple[str, ...]]:
    """Plan one look at each set; give also how the travel times came about."""
    if not sets:
        return _Came(), ()
    home = end_named(space, line, "", "start")
    ways = find_ways(space, line, [line.sets[one.name] for one in sets], ends=(home, home), tell=tell)
    problem = _problem(space, ways, sets, outings, home=home.label, end=end)
    return _planned(problem, seconds=asked.seconds, seed=asked.seed, plan=plan), ways.said


def _problem(
    space: Workspace,
    ways: Ways,
    sets: Sequence[WeekSet],
    outings: Sequence[WeekOuting],
    *,
    home: str,
    end: datetime,
) -> WeeksProblem:
    """Give the days as sets that need one look each."""
    return WeeksProblem(
        span=Span(space.now, max([end, *(one.span.end for one in outings)])),
        sets=tuple(looked_at_once(one) for one in sets),
        outings=tuple(outings),
        start=home,
        end=home,
        parkings=tuple(name for name in ways.drive.names if name != home),
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )


def _planned(problem: WeeksProblem, *, seconds: float, seed: int, plan: Plan) -> _Came:
    """Plan one look at each set; what nobody comes to in time is looked at first, late as it is."""
    leave = {one.name: leave_home_by(problem, one) for one in problem.sets}
    if not problem.outings:
        return _Came((), tuple(one.name for one in problem.sets), leave)
    found = plan(problem)
    if found is not None:
        return _Came(found.rounds, (), leave)
    rounds, left = one_after_another(problem, seconds=0.2 * seconds, seed=seed)
    first = tuple(replace(s, due=None, go_now=True) if s.name in left else s for s in problem.sets)
    problem = replace(problem, sets=first)
    found = plan(problem)
    if found is not None:
        return _Came(found.rounds, tuple(left), leave)
    rounds, never = one_after_another(problem, seconds=0.2 * seconds, seed=seed)
    return _Came(tuple(rounds), tuple(dict.fromkeys((*left, *never))), leave)


def _closing(profile: Profile, day: date) -> Closing:
    answer = closing_stops(profile, day=day)
    return Closing(profile.id, answer.stops, tuple(str(cite) for cite in answer.citations))


def _acts(
    line: LineState,
    must: Sequence[Needed],
    sets: Mapping[str, WeekSet],
    planned: Sequence[PlannedOuting],
    *,
    stops: Mapping[str, bool | None],
    until: datetime,
) -> tuple[Act, ...]:
    """Say what is done at each look: nothing where it lasts, else close where that helps, else take up."""
    looks = {v.set_name: (one.outing.who, v.look) for one in planned for v in one.round.visits}
    acts = []
    for one in must:
        who, look = looks.get(one.set_name, ("", None))
        do = "close" if stops.get(one.set_name) else "pull"
        if (look is not None and lasts(sets[one.set_name].clock, look, until)) or (
            look is None and one.lasts_from is not None
        ):
            do = "look"
        state = line.sets[one.set_name]
        acts.append(Act(one.set_name, one.due, one.lasts_from, do, who, look, state.parcel, state.landmark))
    return tuple(sorted(acts, key=lambda act: (act.look or act.due or until, act.set_name)))


def _phone_by(planned: Sequence[PlannedOuting], may: Sequence[str]) -> dict[str, datetime]:
    """Give by when each helper must be phoned: an hour before the latest start of their first outing."""
    by: dict[str, datetime] = {}
    for one in planned:
        if one.outing.who in may and one.outing.who not in by:
            by[one.outing.who] = leave_by(one) - NOTICE
    return by


def _cannot(space: Workspace, one: WeekSet, came: _Came) -> CannotKeep:
    """Tell of a set that nobody comes to in time."""
    leave = came.leave.get(one.name)
    phone = None if leave is None else max(space.now, leave - NOTICE)
    return CannotKeep(one.name, None if one.go_now else one.due, leave, phone)


def _own_over(space: Workspace, line: LineState, acts: Sequence[Act]) -> tuple[str, ...]:
    """Name the sets at which the person's own limit passes before the planned look: an animal may be held."""
    hours = space.settings.personal.hours
    seen = {act.set_name: line.sets[act.set_name].last_seen for act in acts}
    if hours is None:
        return ()
    own = timedelta(hours=hours)
    return tuple(
        act.set_name
        for act in acts
        if act.look is not None and (last := seen[act.set_name]) is not None and act.look - last > own
    )


def _planner(asked: AskedWithout, *, tell: Tell, should_stop: Callable[[], bool]) -> Plan:
    def plan(problem: WeeksProblem) -> WeeksPlan | None:
        return plan_weeks(
            problem,
            seconds=0.4 * asked.seconds,
            seed=asked.seed,
            helps=False,
            on_progress=lambda words: tell(f"without: {words}"),
            should_stop=should_stop,
        ).plan

    return plan
