"""Owns which spots to set: on one outing or over the days ahead, with those left out and why.

Does not own the choice itself (`plan.room_choice`) or what spots are worth (`plan.room_catch`).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.instance import FAR, instance_of, narrowed
from tendline.plan.itinerary import RoundProblem, SetTask
from tendline.plan.optimum import quest
from tendline.plan.proof import least_end, straight
from tendline.plan.room_catch import Worth
from tendline.plan.room_choice import EXACT, Choice, Chooser
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_nouns import Fit, SpotChoice, SpotChosen, SpotLeft
from tendline.plan.room_round import RoundSearch
from tendline.plan.subsets import Ints
from tendline.plan.tables import Tables, narrow, tables_of
from tendline.plan.timing import Order
from tendline.plan.weeks_nouns import WeekSet, WeeksProblem

_NOT_ASKED = "not looked at beside those chosen: time was up (--seconds)"
_NOTHING = "it would add nothing to those chosen"
_HAIR = 1e-6
_MOST_WEIGHT = 10_000
"""What spots add is told the engine in whole numbers up to this."""


@dataclass(frozen=True, eq=False)
class RoundSpots:
    """Spots on one outing.

    Parameters
    ----------
    problem
        As on the day, with the sets that must be looked at.
    tasks
        One for each spot, in the order of `Worth.spots`, with the time it takes.
    order
        A round over the sets alone.
    search
        How to look.
    """

    problem: RoundProblem
    tasks: Sequence[SetTask]
    order: Order
    search: RoundSearch

    def fit(self, choice: Choice) -> Fit:
        """Say whether the sets and these spots fit into the outing."""
        if not choice and not self.problem.sets:
            return Fit(None, proved=True)
        return self.search.fit(self._with(choice), [self.order])[0]

    def _with(self, choice: Choice) -> RoundProblem:
        spots = tuple(replace(self.tasks[i], must=True) for i in choice)
        return replace(self.problem, sets=(*self.problem.sets, *spots))

    @cached_property
    def ends(self) -> Ints | None:
        """Give, for each subset of spots, a time no round over it and the sets ends before [ms]."""
        inst = instance_of(self._with(tuple(range(len(self.tasks)))))
        if len(self.tasks) > EXACT or len(inst.open_sets) < inst.count:
            return None
        tables = tables_of(inst if straight(inst) else narrowed(inst, set(range(inst.count))))
        if tables is None:
            return None
        return least_ends(tables, first=len(self.problem.sets), spots=len(self.tasks))

    @property
    def latest(self) -> int:
        """Latest return [ms]."""
        return int(self.problem.outing.seconds * 1000.0)

    @property
    def out(self) -> npt.NDArray[np.bool_] | None:
        """Give the subsets that take too long whatever the order."""
        return None if self.ends is None else self.ends > self.latest

    @cached_property
    def rooms(self) -> list[tuple[float, list[float]]]:
        """Give what is free at most and what each spot needs at least, reckoned in two ways [s].

        Beside the shortest round over the sets alone a spot takes its own time. And every place on a round is
        come to and left once: half of the shortest way in and half of the shortest way out are its own.
        """
        first, latest = len(self.problem.sets), self.latest
        alone = instance_of(self.problem)
        least = least_end(alone, set(range(alone.count)), tables_of(alone))
        services = [task.service_s for task in self.tasks]
        inst = instance_of(self._with(tuple(range(len(self.tasks)))))
        walk = np.array(inst.walk, dtype=np.float64)
        np.fill_diagonal(walk, FAR)
        both = (walk.min(axis=0) + walk.min(axis=1))[: inst.count] / 2.0
        own = (both + np.array(inst.service)) / 1000.0
        drive = min(inst.go) + min(inst.home)
        free = (latest - drive) / 1000.0 - float(own[:first].sum())
        return [(max(0.0, (latest - least) / 1000.0), services), (max(0.0, free), own[first:].tolist())]

    def suggest(self, adds: Sequence[float]) -> Choice | None:
        """Let the engine choose, each spot with what it adds for a prize."""
        most = max(adds, default=0.0)
        if most <= 0.0:
            return None
        weights = [max(1, round(_MOST_WEIGHT * one / most)) for one in adds]
        tasks = tuple(replace(t, must=False, weight=w) for t, w in zip(self.tasks, weights, strict=True))
        inst = instance_of(replace(self.problem, sets=(*self.problem.sets, *tasks)))
        part = self.search.budget.part(4 * self.search.share, doing="spots")
        found = quest(inst, None, seed=self.search.seed, budget=part, start=self.order).run(part).found
        first = len(self.problem.sets)
        if any(i < first for i in found.missing):
            return None
        return tuple(i for i in range(len(self.tasks)) if first + i not in found.missing)

    def why(self, chosen: Choice, spot: int) -> str:
        """Say why a spot is left out."""
        ends = self.ends
        if ends is not None and ends[1 << spot] > self.latest:
            over = (int(ends[1 << spot]) - self.latest) / 60_000
            return f"too long by {over:.0f} min or more, even by itself beside the sets"
        if ends is not None:
            end = int(ends[sum(1 << i for i in (*chosen, spot))])
            if end > self.latest:
                lacking = (end - self.latest) / 60_000
                return f"no time is left for it beside those chosen: {lacking:.0f} min lacking"
            return "a limit of some set would pass if it were gone to as well"
        return "no time is left for it beside those chosen"


def least_ends(tables: Tables, *, first: int, spots: int) -> Ints:
    """Give, for every subset of the last places, the shortest round over it and all the others, exactly [ms].

    Parameters
    ----------
    tables
        Of an instance whose last places are the spots.
    first
        Index of the first spot.
    spots
        How many.

    Returns
    -------
    ndarray
        Limits left aside, shape (2^spots,).
    """
    masks = np.arange(1 << spots)
    parts: list[npt.NDArray[np.int64]] = []
    for ground in tables.properties:
        inside = np.zeros(len(masks), dtype=np.int64)
        for bit, i in enumerate(ground.sets):
            wanted = (masks >> (i - first)) & 1 if i >= first else np.ones_like(masks)
            inside |= wanted << bit
        parts.append(inside)
    ends = np.full(len(masks), FAR, dtype=np.int64)
    for choice in range(1, len(tables.drives.lengths)):
        total = np.full(len(masks), tables.drives.lengths[choice], dtype=np.int64)
        for ground, inside in zip(tables.properties, parts, strict=True):
            total += ground.cover[narrow(ground, choice)][inside]
        np.minimum(ends, total, out=ends)
    return ends


def round_spots(worth: Worth, spots: RoundSpots, *, over: Callable[[], bool]) -> SpotChoice:
    """Choose the spots worth most on one outing."""
    chooser = Chooser(worth, spots.fit, out=spots.out, over=over, suggest=spots.suggest, rooms=spots.rooms)
    return _told(worth, chooser, spots.why)


def weeks_spots(
    worth: Worth, problem: WeeksProblem, sets: Sequence[WeekSet], search: WeeksSearch
) -> SpotChoice:
    """Choose the spots worth most that can be tended in the days ahead beside what stands.

    Parameters
    ----------
    problem
        As on the day.
    sets
        One for each spot, as it would be tended.
    """

    def fit(choice: Choice) -> Fit:
        return search.fit(replace(problem, sets=(*problem.sets, *(sets[i] for i in choice))))

    def why(_chosen: Choice, spot: int) -> str:
        alone = chooser.known.get((spot,))
        if alone is not None and alone.plan is None:
            return "cannot be tended in these windows, even by itself beside the sets"
        return "no time is left for it beside those chosen"

    chooser = Chooser(worth, fit, over=lambda: search.limit.over)
    return _told(worth, chooser, why)


def _told(worth: Worth, chooser: Chooser, why: Callable[[Choice, int], str]) -> SpotChoice:
    chosen, bound, best = chooser.best()
    names = [spot.name for spot in worth.spots]
    left = []
    for i in range(len(names)):
        if i not in chosen:
            shares = tuple(names[j] for j in worth.shares(chosen, i))
            adds = worth.adds(chosen, i)
            left.append(SpotLeft(names[i], _why(chooser, why, chosen, spot=i, adds=adds), adds, shares))
    taken = [SpotChosen(names[i], worth.adds([j for j in chosen if j != i], i)) for i in chosen]
    return SpotChoice(
        chosen=tuple(sorted(taken, key=lambda one: -one.adds)),
        left=tuple(sorted(left, key=lambda one: -(one.adds or 0.0))),
        value=worth.of(chosen),
        bound=bound,
        best=best,
        tried=len(chooser.known),
        plan=chooser.ask(chosen).plan if chosen else None,
    )


def _why(
    chooser: Chooser, why: Callable[[Choice, int], str], chosen: Choice, *, spot: int, adds: float
) -> str:
    """Say why a spot is left out; what was never asked is not called impossible."""
    alone, both = chooser.known.get((spot,)), chooser.known.get(tuple(sorted((*chosen, spot))))
    if both is not None or (alone is not None and alone.plan is None):
        return why(chosen, spot)
    return _NOT_ASKED if adds > _HAIR else _NOTHING
