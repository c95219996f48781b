"""Owns asking which spots to set, on one outing or over the days ahead, and what a reader is told of it.

Does not own the choice (`plan.room_spots`) or where spots come from (`room_spots`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector, distances_m, utm_crs
from tendline.almanac.tending import roaming_of
from tendline.core.line import LineState, SetStanding
from tendline.core.place import LonLat
from tendline.jobs.room_spots import DEFAULT_SPECIES, Candidate, Gathered
from tendline.jobs.workspace import Workspace
from tendline.plan.itinerary import RoundPlan, RoundProblem, SetTask, Travel
from tendline.plan.room_catch import Reach, Worth
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_ground import DayCosts, on_day
from tendline.plan.room_nouns import Spot, SpotChoice, SpotLeft
from tendline.plan.room_round import RoundSearch, template_of
from tendline.plan.room_spots import RoundSpots, round_spots, weeks_spots
from tendline.plan.room_weeks import as_new
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.report.room_nouns import SpotsTold, SpotTold

_NO_WALK = "it cannot be walked to and back from any parking"
_NO_ROOM = "what stands now does not fit as it is"


@dataclass(frozen=True)
class AskedSpots:
    """What a person asks of spots.

    Parameters
    ----------
    files, sign
        See `room_spots.gather_spots`.
    nights
        For how many nights catches are expected.
    making_s
        What making a set at a spot takes, on one outing [s]; 0: the spots are tended only.
    """

    files: tuple[str, ...] = ()
    sign: bool = False
    nights: float = 30.0
    making_s: float = 600.0

    @property
    def any(self) -> bool:
        """Whether spots were asked for in so many words."""
        return bool(self.files) or self.sign


def choose_on_outing(
    space: Workspace,
    line: LineState,
    gathered: Gathered,
    asked: AskedSpots,
    *,
    problem: RoundProblem,
    day: DayCosts,
    search: RoundSearch,
) -> SpotsTold | None:
    """Choose among spots on one outing; None when there are none to speak of."""
    spots, left = _reached(gathered, problem.walk, problem.parkings)
    if not spots and not left and not asked.any:
        return None
    fair = on_day(problem, day)
    fit, order = search.fit(fair)
    if not isinstance(fit.plan, RoundPlan) or not spots:
        return _told(asked, spots, left, None, why=_NO_ROOM)
    time_s, names = asked.making_s or day.set_s, [task.name for task in fair.sets]
    wide = template_of(fair)("", 0.0).windows
    tasks = [
        SetTask(
            one.spot.name,
            time_s,
            fair.sets[_nearest(line, names, one)].windows if names else wide,
            must=False,
        )
        for one in spots
    ]
    choice = round_spots(
        worth_of(space, line, spots, asked.nights),
        RoundSpots(fair, tasks, order, search),
        over=lambda: search.budget.out_of_time,
    )
    return _told(asked, spots, left, choice, why="")


def choose_over_weeks(
    space: Workspace,
    line: LineState,
    gathered: Gathered,
    asked: AskedSpots,
    *,
    problem: WeeksProblem,
    day: DayCosts,
    search: WeeksSearch,
) -> SpotsTold | None:
    """Choose among spots that are tended over the days ahead; None when there are none to speak of."""
    spots, left = _reached(gathered, problem.walk, problem.parkings)
    if not spots and not left and not asked.any:
        return None
    fair = on_day(problem, day)
    if not spots or search.fit(fair).plan is None:
        return _told(asked, spots, left, None, why=_NO_ROOM)
    names = [one.name for one in fair.sets]
    hosts = [fair.sets[_nearest(line, names, one)] for one in spots]
    sets = [as_new(host, one.spot.name, day.set_s, fair) for host, one in zip(hosts, spots, strict=True)]
    worth = worth_of(space, line, spots, asked.nights)
    choice = weeks_spots(worth, fair, sets, search)
    return _told(replace(asked, making_s=0.0), spots, left, choice, why="")


def _nearest(line: LineState, names: Sequence[str], one: Candidate) -> int:
    """Give which set has the rule that a spot would be under: the nearest on its parcel, else the nearest."""
    metres = distances_m([one.place], [line.sets[name].fix.place for name in names])[0]
    far = [line.sets[name].parcel != one.parcel for name in names]
    return min(range(len(names)), key=lambda k: (far[k], metres[k]))


def _reached(
    gathered: Gathered, walk: Travel, parkings: Sequence[str]
) -> tuple[list[Candidate], list[SpotLeft]]:
    """Leave out the spots that nobody can walk to and back."""
    row = {name: k for k, name in enumerate(walk.names)}
    spots, left = [], list(gathered.left)
    for one in gathered.spots:
        here = row[one.spot.name]
        ways = [walk.seconds[row[p], here] + walk.seconds[here, row[p]] for p in parkings]
        if np.isfinite(ways).any():
            spots.append(one)
        else:
            left.append(SpotLeft(one.spot.name, _NO_WALK))
    return spots, left


def worth_of(space: Workspace, line: LineState, spots: Sequence[Candidate], nights: float) -> Worth:
    """Put together what the spots are worth beside the sets that work."""
    working = [one for one in line.in_field if one.standing is SetStanding.WORKING]
    rate = space.settings.time.catches_per_night
    standing = [Spot(one.name, rate, one.target.strip().lower() or DEFAULT_SPECIES) for one in working]
    species = {spot.species for spot in [*standing, *(one.spot for one in spots)]}
    turn = Projector(utm_crs(spots[0].place))

    def plane(places: Sequence[LonLat]) -> npt.NDArray[np.float64]:
        return np.array([turn.to_xy(place) for place in places], dtype=np.float64).reshape(-1, 2)

    return Worth(
        spots=[one.spot for one in spots],
        at=plane([one.place for one in spots]),
        standing=standing,
        standing_at=plane([one.fix.place for one in working]),
        reach={name: Reach(roaming_of(name).radius_m, roaming_of(name).animals) for name in species},
        nights=nights,
    )


def _told(
    asked: AskedSpots,
    spots: Sequence[Candidate],
    left: Sequence[SpotLeft],
    choice: SpotChoice | None,
    *,
    why: str,
) -> SpotsTold:
    if choice is None:
        left = [*left, *(SpotLeft(one.spot.name, why) for one in spots)]
        choice = SpotChoice((), tuple(left), 0.0, 0.0, best=not spots)
    else:
        choice = replace(choice, left=(*choice.left, *left))
    species = sorted({one.spot.species for one in spots})
    told = {
        one.spot.name: SpotTold(
            one.spot.name, one.place, one.parcel, one.spot.species, one.spot.per_night, one.where, one.note
        )
        for one in spots
    }
    roams = tuple((name, roaming_of(name)) for name in species)
    return SpotsTold(choice, told, roams, asked.nights, asked.making_s)
