"""Owns a round problem in whole numbers: milliseconds after the earliest start, places by index.

Does not own the problem itself (`plan.itinerary`) nor any search.

Travel and service are rounded up, openings up, closings down, so that no plan is ever better on paper than on
the ground; in whole numbers the same order always gives the same time, whichever way it is added up.
Nodes on foot: sets 0 to n-1 in the order of the problem, then parkings n to n+P-1.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.itinerary import Matrix, RoundProblem, SetTask

FAR = 1 << 42
"""No way between two places: about 139 years [ms]."""

_MILLISECOND = timedelta(milliseconds=1)

Windows = tuple[tuple[int, int], ...]
Legs = list[list[int]]


@dataclass(frozen=True, eq=False)
class Instance:
    """A round problem in whole numbers; every time is in milliseconds.

    Parameters
    ----------
    names, parkings
        Sets and parkings in the order of their indices.
    walk
        From node to node, shape (n + P, n + P); `FAR` where there is no way.
    service
        Time at each set.
    windows
        Openings and closings of each set, after the earliest start, cut off at its limit; may be empty.
    park
        Time to park.
    go
        Drive from the start to each parking, with the time to park.
    hop
        Drive from parking to parking, with the time to park at the second.
    home
        Drive from each parking to the end.
    straight
        Drive from the start to the end.
    latest
        Latest return.
    loss
        What leaving a set out costs; see `losses`.
    must
        Which sets must be visited.
    weight
        Of each set, as in the problem.
    """

    names: tuple[str, ...]
    parkings: tuple[str, ...]
    walk: Legs
    service: list[int]
    windows: list[Windows]
    park: int
    go: list[int]
    hop: Legs
    home: list[int]
    straight: int
    latest: int
    loss: list[int]
    must: list[bool]
    weight: list[int]

    @property
    def count(self) -> int:
        """Number of sets."""
        return len(self.names)

    @cached_property
    def walk_to(self) -> Legs:
        """`walk` with rows and columns exchanged: the way to a node from every other."""
        return [list(column) for column in zip(*self.walk, strict=True)]

    @cached_property
    def near(self) -> list[list[int]]:
        """For each set, the sets it shares ground with, the nearest first."""
        return [
            sorted(
                (j for j in range(self.count) if j != i and self.walk[i][j] < FAR),
                key=lambda j, row=self.walk[i]: (row[j], j),  # type: ignore[misc]
            )
            for i in range(self.count)
        ]

    @cached_property
    def doors(self) -> list[list[int]]:
        """For each set, the parkings from which one can walk to it and back."""
        return [
            [
                p
                for p in range(len(self.parkings))
                if self.walk[self.count + p][i] < FAR and self.walk[i][self.count + p] < FAR
            ]
            for i in range(self.count)
        ]

    @cached_property
    def open_sets(self) -> list[int]:
        """Sets that have a window and a parking: all that a search may put on the round."""
        return [i for i in range(self.count) if self.windows[i] and self.doors[i]]


def instance_of(problem: RoundProblem) -> Instance:
    """Put a problem that has passed `asked.check` into whole numbers."""
    foot = {name: index for index, name in enumerate(problem.walk.names)}
    road = {name: index for index, name in enumerate(problem.drive.names)}
    nodes = [foot[task.name] for task in problem.sets] + [foot[name] for name in problem.parkings]
    drive = milliseconds_up(problem.drive.seconds)
    stands = [road[name] for name in problem.parkings]
    park = int(milliseconds_up(np.array(problem.park_s)))
    start, end = road[problem.start], road[problem.end]
    walk = milliseconds_up(problem.walk.seconds[np.ix_(nodes, nodes)])
    hop = drive[np.ix_(stands, stands)] + park
    np.fill_diagonal(walk, 0)
    np.fill_diagonal(hop, 0)
    return Instance(
        names=tuple(task.name for task in problem.sets),
        parkings=problem.parkings,
        walk=walk.tolist(),
        service=[int(milliseconds_up(np.array(task.service_s))) for task in problem.sets],
        windows=[_windows(task, problem.outing.start) for task in problem.sets],
        park=park,
        go=(drive[start, stands] + park).tolist(),
        hop=hop.tolist(),
        home=drive[stands, end].tolist(),
        straight=int(drive[start, end]),
        latest=(problem.outing.end - problem.outing.start) // _MILLISECOND,
        loss=losses(problem.sets),
        must=[task.must for task in problem.sets],
        weight=[task.weight for task in problem.sets],
    )


def only(inst: Instance, keep: set[int]) -> Instance:
    """Leave only the sets in `keep` to be visited."""
    return replace(inst, windows=[spans if i in keep else () for i, spans in enumerate(inst.windows)])


def narrowed(inst: Instance, keep: set[int]) -> Instance:
    """Leave only the sets in `keep` to be visited, and let every way be as short as any detour.

    What cannot be done in the narrowed instance cannot be done in the whole one either, whatever else is
    visited on the way: it is there for proofs.
    """
    hop = _shortest(inst.hop)
    go, home = np.array(inst.go, dtype=np.int64), np.array(inst.home, dtype=np.int64)
    return replace(
        only(inst, keep),
        walk=_shortest(inst.walk).tolist(),
        hop=hop.tolist(),
        go=(go[:, None] + hop).min(axis=0).tolist(),
        home=(hop + home).min(axis=1).tolist(),
    )


def _shortest(legs: Legs) -> npt.NDArray[np.int64]:
    """Let every way be as short as any detour over the other places (Floyd 1962, Algorithm 97)."""
    ways = np.array(legs, dtype=np.int64).reshape(len(legs), -1)
    np.fill_diagonal(ways, 0)
    for k in range(len(legs)):
        ways = np.minimum(ways, ways[:, k : k + 1] + ways[k : k + 1])
    return np.minimum(ways, FAR)


def milliseconds_up(seconds: Matrix) -> npt.NDArray[np.int64]:
    """Round seconds up to whole milliseconds; infinity becomes `FAR`."""
    finite = np.where(np.isfinite(seconds), seconds, 0.0)
    # A millionth of a millisecond is taken off first: 1.001 s times 1000 may come out a hair over 1001.
    whole = np.ceil(finite * 1000.0 - 1e-6).astype(np.int64)
    return np.minimum(np.where(np.isfinite(seconds), whole, FAR), FAR)


def losses(sets: tuple[SetTask, ...]) -> list[int]:
    """Say what leaving each set out costs, so that sums of these numbers rank plans.

    First counts the number of sets left out that must be visited, then the sum of their weights, then the
    weights of the others: each step outweighs everything below it.
    """
    spare = 1 + sum(task.weight for task in sets if not task.must)
    whole = spare * (1 + sum(task.weight for task in sets if task.must))
    return [whole + spare * task.weight if task.must else task.weight for task in sets]


def instant(start: datetime, milliseconds: int) -> datetime:
    """Turn milliseconds after the earliest start into an instant."""
    return start + timedelta(milliseconds=milliseconds)


def _windows(task: SetTask, start: datetime) -> Windows:
    found = []
    for span in task.windows:
        end = span.end if task.due is None else min(span.end, task.due)
        opens = -((start - span.start) // _MILLISECOND)
        closes = (end - start) // _MILLISECOND
        if closes >= max(opens, 0):
            found.append((opens, closes))
    return tuple(found)
