"""Owns the job `tendline weeks --routine`: a week that can be repeated, in the windows of seven days.

Does not own the plan (`plan.weeks_cycle`) or how the line stands today (`jobs.weeks`).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from tendline.core.errors import FaultList, refuse
from tendline.core.when import Span, day_end, local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_ROUND, WORD
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.walks import Tell
from tendline.jobs.weeks import AskedWeeks, wanted_ahead
from tendline.jobs.weeks_ground import on_the_ground
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.weeks_cycle import WEEK, plan_cycle
from tendline.report.routine_text import RoutineFacts, routine_document, routine_text


def weeks_routine(
    space: Workspace,
    asked: AskedWeeks,
    *,
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Answer:
    """Plan a week that can be repeated and tell it.

    Parameters
    ----------
    asked
        Windows, people, and where outings start; days and everything that asks how the line stands now is
        left out of it.

    Returns
    -------
    Answer
        Bad news when there is no such week.

    Raises
    ------
    Refused
        As `jobs.weeks.weeks`; JOB-401 when no window lies in seven days of their own; JOB-301 for an option
        that asks for something a week of this sort does not know.
    """
    _only_a_week(asked)
    line = line_at(space.events(), at=space.now)
    profiles = profiles_in_use(space, line)
    wanted = wanted_ahead(space, line, replace(asked, days=8, own_min=0.0), profiles)
    problem, ways = on_the_ground(
        space, line, wanted.sets, wanted.outings, span=wanted.span, origin=asked.origin, tell=tell
    )
    # From midnight on, so that the week has each day whole.
    begin = day_end(local_day(space.now, space.settings.zone), space.settings.zone) + timedelta(seconds=1)
    outings = tuple(
        one for one in problem.outings if begin <= one.span.start and one.span.end <= begin + WEEK
    )
    if not outings:
        raise refuse(NO_ROUND, "no window lies in the next seven days.", "", "Give --mornings or --evenings.")
    problem = replace(problem, span=Span(begin, begin + WEEK), outings=outings)
    found = plan_cycle(
        problem,
        seconds=asked.seconds,
        seed=asked.seed,
        on_progress=lambda words: tell(f"weeks: {words}"),
        should_stop=should_stop,
    )
    facts = RoutineFacts(
        line=space.settings.name,
        zone=space.settings.zone,
        units=space.settings.units,
        said=tuple(dict.fromkeys((*wanted.said, *ways.said))),
        invented=space.settings.invented or any(profile.invented for profile in profiles.values()),
    )
    return Answer(
        routine_text(found, facts, width=width),
        routine_document(found, facts),
        bad_news=found.plan is None,
        warnings=line.warnings,
    )


def _only_a_week(asked: AskedWeeks) -> None:
    """Refuse what goes by how the line stands now, or by chances: a week that repeats knows neither."""
    given = (
        ("--record", asked.record),
        ("--keep", asked.keep),
        ("--was", asked.was),
        ("--safe", asked.safe),
        ("--own-costs", asked.own_min),
    )
    faults = FaultList()
    for name, value in given:
        if value:
            faults.add(WORD, "it has no meaning with --routine.", name, "Leave one of the two out.")
    faults.refuse()
