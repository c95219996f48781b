"""Owns checking what the days ahead are planned from, and naming everything that is wrong with it.

Does not own the planning.
"""

from datetime import datetime
from itertools import pairwise

import numpy as np

from tendline.core.errors import FaultList
from tendline.core.when import Span
from tendline.plan.weeks_faults import BACKWARD, NO_OUTING, NO_PLACE, OVERLAP, TOO_SHORT
from tendline.plan.weeks_nouns import WeeksProblem


def check_weeks(problem: WeeksProblem) -> None:
    """Refuse a problem that cannot be meant.

    Raises
    ------
    Refused
        PLAN-121 to PLAN-125.
    """
    faults = FaultList()
    if not problem.outings or not problem.sets:
        faults.add(
            NO_OUTING,
            "there is no window to go out in." if problem.sets else "there is no set to look at.",
            "",
            "Give --mornings or --evenings, or note when people are available.",
        )
    _windows(problem, faults)
    _ways(problem, faults)
    faults.refuse()


def _windows(problem: WeeksProblem, faults: FaultList) -> None:
    by: dict[str, list[Span]] = {}
    for one in problem.outings:
        by.setdefault(one.who, []).append(one.span)
        if one.span.start < problem.span.start or one.span.start >= problem.span.end:
            faults.add(
                BACKWARD,
                f"a window of {one.who or 'nobody named'} is not in these days: {_told(one.span.start)}.",
                "",
                "Leave it out, or plan more days.",
            )
    for who, spans in by.items():
        for before, after in pairwise(sorted(spans)):
            if after.start < before.end:
                faults.add(
                    OVERLAP,
                    f"two windows of {who or 'nobody named'} overlap: {_told(before.start)} to "
                    f"{_told(before.end)}, and from {_told(after.start)}.",
                    "",
                    "Make them one window, or end the first before the second begins.",
                )


def _ways(problem: WeeksProblem, faults: FaultList) -> None:
    foot = {name: k for k, name in enumerate(problem.walk.names)}
    road = {name: k for k, name in enumerate(problem.drive.names)}
    start, end = road[problem.start], road[problem.end]
    longest = max((one.span.seconds for one in problem.outings), default=0.0)
    for one in problem.sets:
        times = [
            problem.drive.seconds[start, road[p]]
            + problem.park_s
            + problem.walk.seconds[foot[p], foot[one.name]]
            + one.service_s
            + problem.walk.seconds[foot[one.name], foot[p]]
            + problem.drive.seconds[road[p], end]
            for p in problem.parkings
        ]
        shortest = min(times, default=np.inf)
        if not np.isfinite(shortest):
            faults.add(
                NO_PLACE,
                f"set {one.name} cannot be walked to and back from any parking that can be driven to.",
                one.name,
                "Note a parking that serves it.",
            )
        elif shortest > longest and problem.outings:
            faults.add(
                TOO_SHORT,
                f"going to set {one.name} and back takes {shortest / 60:.0f} min, the longest window has "
                f"{longest / 60:.0f} min.",
                one.name,
                "Give a longer window, or pull the set.",
            )


def _told(instant: datetime) -> str:
    return instant.isoformat(timespec="minutes")
