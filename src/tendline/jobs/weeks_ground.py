"""Owns putting sets and outings of the days ahead on the ground: ways from home to all of them and back.

Does not own which sets and outings (`weeks_problem`, `weeks_without`) or finding ways (`round_ground`).
"""

from collections.abc import Sequence

from tendline.core.line import LineState
from tendline.core.when import Span
from tendline.jobs.round import end_named
from tendline.jobs.round_ground import Ways, find_ways
from tendline.jobs.walks import Tell
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_nouns import WeekOuting, WeekSet, WeeksProblem


def on_the_ground(
    space: Workspace,
    line: LineState,
    sets: Sequence[WeekSet],
    outings: Sequence[WeekOuting],
    *,
    span: Span,
    origin: str = "",
    tell: Tell,
) -> tuple[WeeksProblem, Ways]:
    """Find ways and put the days ahead together.

    Parameters
    ----------
    origin
        Where outings start and end: a parking, or LON,LAT; home when left out.

    Raises
    ------
    Refused
        As `round.end_named` and `round_ground.find_ways`.
    """
    home = end_named(space, line, origin, "start")
    starts = [one.span.start for one in outings]
    there = [line.sets[one.name] for one in sets]
    ways = find_ways(space, line, there, ends=(home, home), tell=tell, starts=starts)
    problem = WeeksProblem(
        span=span,
        sets=tuple(sets),
        outings=tuple(outings),
        start=home.label,
        end=home.label,
        parkings=tuple(name for name in ways.drive.names if name != home.label),
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )
    return problem, ways
