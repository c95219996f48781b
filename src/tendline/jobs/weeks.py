"""Owns the job `tendline weeks`: rounds for the days ahead, so that no gap is ever over the limit.

Does not own the search (`plan.weeks`), the clocks (`weeks_problem`) or the wording (`report.weeks_text`).
"""

from collections.abc import Callable
from dataclasses import dataclass

from tendline.core.line import LineState
from tendline.jobs.answer import Answer
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.round import end_named
from tendline.jobs.round_facts import any_in_dark
from tendline.jobs.round_ground import find_ways
from tendline.jobs.walks import Tell
from tendline.jobs.weeks_problem import Ahead, ahead
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_compare import every_day
from tendline.plan.weeks_nouns import WeeksProblem, WeeksVerdict
from tendline.plan.weeks_risk import Chances, Risk, risk_of
from tendline.report.weeks_json import weeks_document
from tendline.report.weeks_text import WeeksFacts, weeks_text

IN_HAND_MIN = (0, 15, 30, 45, 60, 90)
"""For a plan as safe as asked, time in hand is tried in these steps, the least first."""


@dataclass(frozen=True)
class AskedWeeks:
    """What a person asks of the days ahead, as written.

    Parameters
    ----------
    days, mornings, evenings, who, own
        See `weeks_problem.ahead`.
    origin
        Where outings start and end: a parking, or LON,LAT; home when left out.
    safe
        The chance of no late look that the plan must have [0, 1]; None for any.
    seed, seconds
        How long to search.
    """

    days: int = 14
    mornings: str = ""
    evenings: str = ""
    who: tuple[str, ...] = ()
    own: str = "shown"
    origin: str = ""
    safe: float | None = None
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
        JOB-301, JOB-401, JOB-402, PLAN-121 to PLAN-125, TERR-1xx, RULE-1xx, GND-xxx, CORE-203, CORE-204.
    """
    events = space.events()
    line = line_at(events, at=space.now)
    profiles = profiles_in_use(space, line)
    asked_of = ahead(
        space,
        line,
        days=asked.days,
        mornings=asked.mornings,
        evenings=asked.evenings,
        who=asked.who,
        profiles=profiles,
        own=asked.own,
    )
    problem, said = _problem(space, line, asked, asked_of, tell)
    verdict, risk, in_hand = _planned(
        problem, asked, asked_of, space=space, tell=tell, should_stop=should_stop
    )
    facts = WeeksFacts(
        line=space.settings.name,
        zone=space.settings.zone,
        units=space.settings.units,
        span=problem.span,
        every_day=every_day(problem, days=asked.days) if verdict.plan is not None else None,
        risk=risk,
        in_hand_min=in_hand,
        safe=asked.safe,
        own_hours=space.settings.personal.hours,
        said=(*asked_of.said, *verdict.said, *said),
        invented=space.settings.invented or any(profile.invented for profile in profiles.values()),
        seed=asked.seed,
    )
    bad = verdict.plan is None or bool(verdict.overdue) or not facts.safe_enough
    return Answer(
        weeks_text(verdict, facts, width=width),
        weeks_document(verdict, facts),
        bad_news=bad,
        warnings=line.warnings,
    )


def _problem(
    space: Workspace, line: LineState, asked: AskedWeeks, wanted: Ahead, tell: Tell
) -> tuple[WeeksProblem, tuple[str, ...]]:
    """Put sets, outings and ways together."""
    home = end_named(space, line, asked.origin, "start")
    sets = [line.sets[one.name] for one in wanted.sets]
    dark = any_in_dark(space, line, (one.span.start for one in wanted.outings))
    ways = find_ways(space, line, sets, ends=(home, home), tell=tell, dark=dark)
    problem = WeeksProblem(
        span=wanted.span,
        sets=wanted.sets,
        outings=wanted.outings,
        start=home.label,
        end=home.label,
        parkings=tuple(name for name in ways.drive.names if name != home.label),
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )
    return problem, ways.said


def _planned(
    problem: WeeksProblem,
    asked: AskedWeeks,
    wanted: Ahead,
    *,
    space: Workspace,
    tell: Tell,
    should_stop: Callable[[], bool],
) -> tuple[WeeksVerdict, Risk | None, int]:
    """Plan with as little time in hand as is safe enough; give the plan, its chances and the time in hand."""
    costs = space.settings.time
    chances = Chances(catch_s=costs.catch_s, per_night=costs.catches_per_night)
    best: tuple[WeeksVerdict, Risk | None, int] | None = None
    for minutes in IN_HAND_MIN if asked.safe is not None else (0,):
        verdict = plan_weeks(
            problem,
            seconds=asked.seconds,
            seed=asked.seed,
            early_s=60.0 * minutes,
            windows=wanted.windows,
            people=wanted.people,
            helps=minutes == 0,
            on_progress=lambda words: tell(f"weeks: {words}"),
            should_stop=should_stop,
        )
        if verdict.plan is None:
            break
        risk = risk_of(problem, verdict.plan, chances=chances, seed=asked.seed)
        if best is None or best[1] is None or risk.any_late < best[1].any_late:
            best = (verdict, risk, minutes)
        if asked.safe is None or risk.any_late <= 1.0 - asked.safe or should_stop():
            break
    return best if best is not None else (verdict, None, 0)
