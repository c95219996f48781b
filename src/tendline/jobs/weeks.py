"""Owns the job `tendline weeks`: rounds for the days ahead, so that no gap is ever over the limit.

Does not own the search (`plan.weeks`), the clocks (`weeks_problem`) or the wording (`report.weeks_text`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from tendline.core.line import LineState
from tendline.core.when import clock_text, local_day
from tendline.jobs.answer import Answer
from tendline.jobs.kept_plans import keep_weeks
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.walks import Tell
from tendline.jobs.weeks_ground import on_the_ground
from tendline.jobs.weeks_own import earlier_plan, kept_rounds
from tendline.jobs.weeks_problem import Ahead, ahead
from tendline.jobs.weeks_record import as_before, chances_of, habits_from
from tendline.jobs.weeks_solve import Asks, Solved, solved
from tendline.jobs.weeks_windows import left_over
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.weeks_change import before, changes
from tendline.plan.weeks_compare import every_day
from tendline.plan.weeks_kept import Kept
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksProblem
from tendline.plan.weeks_reach import gone_to_first, out_of_reach, too_short
from tendline.report.weeks_facts import WeeksFacts
from tendline.report.weeks_json import weeks_document
from tendline.report.weeks_text import weeks_text
from tendline.rules.ask import closing_stops
from tendline.rules.shape import Profile


@dataclass(frozen=True)
class AskedWeeks:
    """What a person asks of the days ahead, as written.

    Parameters
    ----------
    days, mornings, evenings, who, own
        See `weeks_problem.ahead`.
    origin
        Where outings start and end: a parking, or LON,LAT; home when left out.
    own_min
        Each gap over the person's own limit counts as so many minutes, for each set [min]; 0 for none.
    safe
        The chance of no late look and no late return that the plan must have [0, 1]; None for any.
    storm
        The chance of a storm morning [0, 1]; None for the one in line.toml.
    keep
        Rounds of the person's own, besides those in line.toml; see `weeks_own.kept_rounds`.
    apart
        Windows that fall away, each by when it begins and, behind a space, whose it is.
    also
        Windows that are tried besides; see `weeks_windows.left_over`.
    was
        A plan already begun, to be repaired with few changes: the file it stands in; empty for none.
    record
        Keep the plan in `papers/`, so that it can be held against what was done.
    seed, seconds
        How long to search.
    """

    days: int = 14
    mornings: str = ""
    evenings: str = ""
    who: tuple[str, ...] = ()
    own: str = "shown"
    origin: str = ""
    own_min: float = 0.0
    safe: float | None = None
    storm: float | None = None
    keep: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    was: str = ""
    record: bool = False
    seed: int = 1
    seconds: float = 30.0


def weeks(
    space: Workspace,
    asked: AskedWeeks,
    *,
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Answer:
    """Plan the days ahead and tell the plan.

    Returns
    -------
    Answer
        Bad news when there is no plan, when a set is overdue, or when the plan is not as safe as was asked.

    Raises
    ------
    Refused
        JOB-301, JOB-401, JOB-402, PLAN-121 to PLAN-125, TERR-1xx, RULE-1xx, GND-xxx, CORE-203, CORE-204;
        JOB-104 when the plan cannot be kept.
    """
    earlier = earlier_plan(Path(asked.was)) if asked.was else None
    line = line_at(space.events(), at=space.now)
    profiles = profiles_in_use(space, line)
    wanted = wanted_ahead(space, line, asked, profiles)
    names = [one.name for one in wanted.sets]
    written = (*space.settings.weeks.keep, *asked.keep)
    kept, kept_said = kept_rounds(space, line, written, wanted=wanted, sets=names)
    sets = [_wishing(space, one) for one in wanted.sets] if asked.own_min > 0.0 else wanted.sets
    problem, ways = on_the_ground(
        space, line, sets, wanted.outings, span=wanted.span, origin=asked.origin, tell=tell
    )
    problem, reach_said = _reached(space, replace(problem, wish_s=60.0 * asked.own_min))
    habits = habits_from(space, line, ways, who=wanted.outings[0].who)
    chances, chances_said = chances_of(space, habits, storm=asked.storm)
    was = None if earlier is None else before(earlier, problem.outings)
    asks = Asks(kept, was, chances, asked.safe, asked.seed, asked.seconds)
    found = solved(problem, wanted, asks, tell=tell, should_stop=should_stop)
    said = (*wanted.said, *reach_said, *kept_said, *found.verdict.said)
    said += (*_closing(space, profiles), *ways.said) if found.risk is None else (*chances_said, *ways.said)
    facts = _facts(space, asked, problem, found, kept=kept, was=was)
    facts = replace(
        facts,
        as_before=as_before(space, line, ways, home=problem.start),
        said=tuple(dict.fromkeys(said)),
        invented=space.settings.invented or any(profile.invented for profile in profiles.values()),
    )
    bad = found.verdict.plan is None or bool(found.verdict.overdue) or not facts.safe_enough
    document = weeks_document(found.verdict, facts)
    recorded, kept_text = keep_weeks(space, document) if asked.record else (None, "")
    return Answer(
        weeks_text(found.verdict, facts, width=width) + kept_text,
        {**document, "recorded": recorded},
        bad_news=bad,
        warnings=line.warnings,
    )


def wanted_ahead(
    space: Workspace, line: LineState, asked: AskedWeeks, profiles: Mapping[str, Profile]
) -> Ahead:
    """Gather sets, windows and people for the days ahead, without windows that fall away, with those tried.

    Raises
    ------
    Refused
        As `weeks_problem.ahead`; JOB-301 when a window that falls away is none, or none is left.
    """
    found = ahead(
        space,
        line,
        days=asked.days,
        mornings=asked.mornings,
        evenings=asked.evenings,
        who=asked.who,
        profiles=profiles,
        own=asked.own,
    )
    if not (asked.apart or asked.also):
        return found
    return replace(found, outings=left_over(space, found.outings, asked.apart, asked.also))


def _reached(space: Workspace, problem: WeeksProblem) -> tuple[WeeksProblem, tuple[str, ...]]:
    """Plan first, and name, what nobody can be in time for; name rules shorter than the way."""
    zone, late = space.settings.zone, out_of_reach(problem)
    said = [
        f"the limit of {one.set_name} ({clock_text(one.due, zone)}) passes before anybody can be there"
        + (f" ({clock_text(one.first, zone)})" if one.first is not None else " in these days")
        + ": it is planned first"
        for one in late
    ]
    said += [
        f"{one.set_name} wants a look every {one.interval_s / 60:.0f} min, and the way there takes "
        f"{one.way_s / 60:.0f} min: no outing from home keeps that; stay there, or take it up"
        for one in too_short(problem)
    ]
    return gone_to_first(problem, late), tuple(said)


def _wishing(space: Workspace, one: WeekSet) -> WeekSet:
    """Give a set with the person's own limit as a softer one; one that is passed already is not counted."""
    hours = space.settings.personal.hours
    if hours is None:
        return one
    own = timedelta(hours=hours)
    wish = WeekClock(f"own {hours:g} h", lambda look: look + own, f"your own {hours:g} hours")
    due = None if one.last_look is None or one.last_look + own <= space.now else one.last_look + own
    return replace(one, wish=wish, wish_due=due)


def _facts(
    space: Workspace,
    asked: AskedWeeks,
    problem: WeeksProblem,
    found: Solved,
    *,
    kept: Sequence[Kept],
    was: Mapping[WeekOuting, frozenset[str]] | None,
) -> WeeksFacts:
    """Put together what is told besides the plan."""
    plan = found.verdict.plan
    return WeeksFacts(
        line=space.settings.name,
        zone=space.settings.zone,
        units=space.settings.units,
        span=problem.span,
        every_day=every_day(problem, days=asked.days) if plan is not None else None,
        days=asked.days,
        risk=found.risk,
        tried=found.tried,
        in_hand_min=found.in_hand_min,
        safe=asked.safe,
        own_hours=space.settings.personal.hours,
        kept=tuple(one.told for one in kept),
        was=asked.was,
        changes=changes(plan, was) if plan is not None and was is not None else None,
        seed=asked.seed,
    )


def _closing(space: Workspace, profiles: Mapping[str, Profile]) -> tuple[str, ...]:
    """Say, where sets to pull or close are offered, whether closing helps."""
    day = local_day(space.now, space.settings.zone)
    told = {
        True: "under {0} a closed set has no clock",
        False: "under {0} closing does not stop the clock: take sets up",
        None: "not verified under {0} that closing stops the clock: take sets up",
    }
    return tuple(
        told[closing_stops(profile, day=day).stops].format(name) for name, profile in profiles.items()
    )
