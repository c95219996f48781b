"""Owns how long a person stayed at each set, as the recorded walks show it.

Does not own the recordings (`learn_walks`), what sort of look it was (`learn_looks`) or the ranges.
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from tendline.almanac.geodesy import Projector, utm_crs
from tendline.core.line import LineState
from tendline.jobs.learn_looks import kind_of
from tendline.jobs.learn_walks import Outings, recordings
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import Effective
from tendline.logbook.store import SourceFile

NEAR_M = 20.0
"""Within this of a set a person is at it [m]; common practice, no source."""

APART_S = 600.0
"""A visit belongs to a check noted within ten minutes of it; common practice, no source."""


def stays_at_sets(
    space: Workspace,
    line: LineState,
    standing: Sequence[Effective],
    sources: Sequence[SourceFile],
    walks: Outings,
) -> dict[str, list[float]]:
    """Give the time at sets by sort of look [s].

    The time within twenty metres of the set, less the time to walk those forty metres at the mean pace of all
    the recorded walks.
    """
    found: dict[str, list[float]] = defaultdict(list)
    if walks.metres <= 0:
        return found
    from tendline.terrain.along import visits  # noqa: PLC0415 - heavy

    through_s = 2 * NEAR_M * walks.actual_s / walks.metres
    checks = [e for e in standing if e.event.kind == "check" and not e.body.get("from_distance")]
    for begun, places, seconds in recordings(space, sources):
        ended = begun + timedelta(seconds=float(seconds[-1]))
        turn = Projector(utm_crs(places[0]))
        xys = turn.to_xys(places)
        for check in checks:
            one = line.sets.get(str(check.body["set"]))
            if one is None or not begun <= check.happened_at <= ended or not kind_of(check):
                continue
            spot = np.array(turn.to_xy(one.fix.place))
            at = (check.happened_at - begun).total_seconds()
            near = [v for v in visits(xys, seconds, spot, radius_m=NEAR_M) if _apart(v, at) <= APART_S]
            if near:
                begin, end = min(near, key=lambda visit: _apart(visit, at))
                found[kind_of(check)].append(max(end - begin - through_s, 0.0))
    return found


def _apart(visit: tuple[float, float], at: float) -> float:
    """Say how far an instant lies outside a visit [s]."""
    return max(visit[0] - at, at - visit[1], 0.0)
