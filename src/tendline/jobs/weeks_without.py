"""Owns the job `tendline weeks --without`: the least that must be done while somebody cannot go, and by whom.

Does not own the searches (`plan.weeks`, `plan.route`), who may go (`weeks_people`) or the wording (`report`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from tendline.core.line import LineState
from tendline.core.when import Span, day_start, local_day
from tendline.jobs.answer import Answer
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.walks import Tell
from tendline.jobs.weeks_going import Going
from tendline.jobs.weeks_people import May, Standing, profiles_of, standing
from tendline.jobs.weeks_problem import sets_ahead
from tendline.jobs.weeks_windows import windows_of
from tendline.jobs.weeks_without_asked import AskedWithout, away_span, folded, names_known, people_known
from tendline.jobs.weeks_without_plan import Came, come, planner
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.weeks_least import Needed, lasts, leave_by, needed
from tendline.plan.weeks_nouns import PlannedOuting, WeekOuting, WeekSet
from tendline.report.without_facts import Act, CannotKeep, Closing, Goes, WithoutFacts
from tendline.report.without_json import without_document
from tendline.report.without_text import without_text
from tendline.rules.ask import closing_stops
from tendline.rules.shape import Profile

NOTICE = timedelta(hours=1)
"""From the phone call to leaving home; common practice, no source."""

ASSUMED = "06:00-18:00"
"""The hours of somebody whose hours are not on record."""

WHOEVER = "whoever may go"


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
    away, first, last = away_span(space, asked)
    names = names_known(space, line, asked)
    sets, said = sets_ahead(space, line, profiles=profiles, people=Going())
    must = needed(sets, away)
    by_name = {one.name: one for one in sets}
    due = [one.set_name for one in must]
    who, barred = _who(space, line, profiles=profiles, sets=due, gone=names, day=first)
    may = [one.who for one in who if one.planned_with]
    days = (first, last)
    outings, assumed = _outings(space, line, asked, away=away, may=may or [WHOEVER], days=days, gone=names)
    wanted = [replace(by_name[name], barred_to=barred[name]) for name in due]
    back = _back(space, outings, names, last)
    plan = planner(asked, tell=tell, should_stop=should_stop)
    came, ways_said = come(space, line, wanted, outings, end=away.end, plan=plan, asked=asked, tell=tell)
    by_profile = profiles_of(space, line, by_name, profiles)
    closing = {name: _closing(profiles[name], first) for name in by_profile}
    stops = {name: closing[p].stops for p, own in by_profile.items() for name in own}
    acts = _acts(line, must, by_name, came.rounds, stops=stops, until=away.end)
    leave = _leave_by(came.rounds, may)
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
        phone_by={name: at - NOTICE for name, at in leave.items()},
        leave_by=leave,
        own_over=_own_over(space, line, acts),
        own_hours=space.settings.personal.hours,
        closing=tuple(closing.values()),
        said=tuple(dict.fromkeys((*_until_then(space, names, first), *back, *said, *assumed, *ways_said))),
        invented=space.settings.invented or any(profile.invented for profile in profiles.values()),
    )
    bad = bool(came.late) or (bool(must) and not may)
    return Answer(
        without_text(facts, width=width), without_document(facts), bad_news=bad, warnings=line.warnings
    )


def _who(
    space: Workspace,
    line: LineState,
    *,
    profiles: Mapping[str, Profile],
    sets: Sequence[str],
    gone: Sequence[str],
    day: date,
) -> tuple[list[Goes], dict[str, frozenset[str]]]:
    """Say of everybody else whether they may go, and by set who may not; the least allowed is told first."""
    by_profile = profiles_of(space, line, sets, profiles)
    told: list[Goes] = []
    barred: dict[str, frozenset[str]] = dict.fromkeys(sets, frozenset())
    for name in people_known(space, line, ()):
        if name in gone:
            continue
        found = [standing(space, line, profiles[p], own, who=name, day=day) for p, own in by_profile.items()]
        shut = {one.profile for one in found if one.may not in _OPEN}
        for profile in shut:
            barred |= {one: barred[one] | {name} for one in by_profile[profile]}
        told.append(_goes(space, name, found, shut))
    return sorted(told, key=lambda one: (-_ORDER.index(May(one.may_word)), one.who)), barred


def _goes(space: Workspace, name: str, found: Sequence[Standing], shut: set[str]) -> Goes:
    none = Standing(name, "", May.NOT_VERIFIED, _NO_LAW)
    least = min(found, key=lambda one: _ORDER.index(one.may), default=none)
    some = {one.profile for one in found} - shut
    partly = (f"goes only to sets under {', '.join(sorted(some))}",) if some and shut else ()
    helper = space.settings.helper(name)
    phone = helper.phone if helper is not None else ""
    return Goes(name, least.may.value, (*least.why, *partly), least.cites, phone, bool(some))


_ORDER = (May.NO, May.NOT_VERIFIED, May.WITH_LEAVE, May.YES)
_OPEN = (May.WITH_LEAVE, May.YES)
_NO_LAW = ("no rule profile is in use for these sets",)


def _outings(
    space: Workspace,
    line: LineState,
    asked: AskedWithout,
    *,
    away: Span,
    may: Sequence[str],
    days: tuple[date, date],
    gone: Sequence[str],
) -> tuple[tuple[WeekOuting, ...], tuple[str, ...]]:
    """Give the windows of those who may go, and of those who are away, before it and once they are back."""
    wide = Span(space.now, away.end)
    texts = [asked.mornings, asked.evenings]
    named = folded(asked.who)
    asked_who = [name for name in may if not named or name.casefold() in named]
    everybody = windows_of(space, line, wide, texts, asked_who or may)
    found = [one for one in everybody if one.who in may]
    own = _own(space, line, wide, texts, [name for name in gone if not named or name.casefold() in named])
    begins = day_start(days[0], space.settings.zone)
    again = day_start(days[1] + timedelta(days=1), space.settings.zone)
    own = [one for one in own if one.who in gone and (one.span.end <= begins or again <= one.span.start)]
    told: tuple[str, ...] = ()
    if not found:
        found = list(windows_of(space, line, wide, [ASSUMED, ""], list(may)[:1]))
        hours = ASSUMED.replace("-", " to ")
        told = (f"nobody's hours are on record: {may[0]} is taken to have {hours} each day",)
    return tuple(sorted((*found, *own), key=lambda one: (one.span.start, one.who))), told


def _own(
    space: Workspace, line: LineState, wide: Span, texts: Sequence[str], who: Sequence[str]
) -> list[WeekOuting]:
    """Give the hours on record of those who are away; where there are none, those given for everybody."""
    on_record = windows_of(space, line, wide, ["", ""], who)
    known = {one.who for one in on_record}
    given = windows_of(space, line, wide, texts, [name for name in who if name not in known])
    return [*on_record, *(one for one in given if one.who not in known)]


def _back(
    space: Workspace, outings: Sequence[WeekOuting], gone: Sequence[str], last: date
) -> tuple[str, ...]:
    """Say who is planned with again once they are back."""
    day = last + timedelta(days=1)
    again = day_start(day, space.settings.zone)
    back = [name for name in gone if any(o.who == name and o.span.start >= again for o in outings)]
    return tuple(f"{name} can go again from {day:%a} {day.day} {day:%b} on" for name in back)


def _until_then(space: Workspace, names: Sequence[str], first: date) -> tuple[str, ...]:
    """Say that somebody who goes away later can still go now."""
    if first <= local_day(space.now, space.settings.zone):
        return ()
    return (f"before {first:%a} {first.day} {first:%b} {' and '.join(names)} can still go: tendline round",)


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


def _leave_by(planned: Sequence[PlannedOuting], may: Sequence[str]) -> dict[str, datetime]:
    """Give the latest start of each helper's first outing."""
    by: dict[str, datetime] = {}
    for one in planned:
        if one.outing.who in may and one.outing.who not in by:
            by[one.outing.who] = leave_by(one)
    return by


def _cannot(space: Workspace, one: WeekSet, came: Came) -> CannotKeep:
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
