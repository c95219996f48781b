"""Owns the hours that tending takes: on the line as the looks show, and for each set.

Does not own time costs learned for planning; these hours are only what the record of a season shows.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from tendline.season.stretches import Stretch

BREAK = timedelta(minutes=90)
"""A longer time without a look ends an outing (common practice, no source)."""


@dataclass(frozen=True)
class Tended:
    """Hours of a season.

    Parameters
    ----------
    outings
        How many there were.
    hours
        From the first look to the last of each outing, summed [h].
    per_visit
        By set, the median time from the look before in the same outing to this one [h]: the way there and
        the work; without the sets for which no such time is on record.
    usual
        The median over every set [h]; None when no outing has two looks.
    """

    outings: int
    hours: float
    per_visit: dict[str, float]
    usual: float | None


def tended(stretches: Iterable[Stretch]) -> Tended:
    """Work out hours from the looks that ended stretches.

    Parameters
    ----------
    stretches
        In any order.
    """
    by_person: dict[str, list[Stretch]] = defaultdict(list)
    for one in stretches:
        if one.found_as is not None:
            by_person[one.by].append(one)
    outings, hours = 0, 0.0
    gaps: dict[str, list[float]] = defaultdict(list)
    for looks in by_person.values():
        looks.sort(key=lambda one: one.end)
        for outing in _outings(looks):
            outings += 1
            hours += _hours(outing[0].end, outing[-1].end)
            for before, one in pairwise(outing):
                gaps[one.set_name].append(_hours(before.end, one.end))
    per_visit = {name: median(values) for name, values in gaps.items()}
    return Tended(outings, hours, per_visit, median(per_visit.values()) if per_visit else None)


def _outings(looks: Sequence[Stretch]) -> list[list[Stretch]]:
    out: list[list[Stretch]] = []
    for one in looks:
        if out and one.end - out[-1][-1].end <= BREAK:
            out[-1].append(one)
        else:
            out.append([one])
    return out


def _hours(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / 3600.0
