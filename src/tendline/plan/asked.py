"""Owns what must be true of a round problem before it is planned; names everything that is not.

Does not own whether the round fits into the day: that is an answer, not a fault.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np

from tendline.core.errors import FaultList
from tendline.plan import faults
from tendline.plan.instance import milliseconds_up
from tendline.plan.itinerary import RoundProblem, SetTask, Travel


def check(
    problem: RoundProblem, *, seed: int = 1, seconds: float | None = None, iterations: int | None = 1
) -> None:
    """Refuse what cannot be planned, with everything that is wrong with it.

    Parameters
    ----------
    problem
        What is asked.
    seed, seconds, iterations
        How long to search; one of the two limits is needed.

    Raises
    ------
    Refused
        PLAN-101 to PLAN-110.
    """
    found = FaultList()
    _budget(seed, seconds, iterations, found)
    _nothing(problem, found)
    _names(problem, found)
    _figures(problem, found)
    sound = _table(problem.drive, "drive", _driven(problem), found)
    if sound:
        _drives(problem, found)
        _hours(problem, found)
    sound = _table(problem.walk, "walk", (*_names_of(problem.sets), *problem.parkings), found)
    if sound:
        _walks(problem, found)
    _windows(problem, found)
    found.refuse()


def _budget(seed: int, seconds: float | None, iterations: int | None, found: FaultList) -> None:
    if seconds is None and iterations is None:
        found.add(faults.BUDGET, "neither seconds nor iterations are given.", "", "Give one of them.")
    if seconds is not None and not 0.0 < seconds < float("inf"):
        found.add(faults.BUDGET, f"{seconds:g} seconds is no time limit.", "seconds", "Give more than 0.")
    if iterations is not None and iterations < 1:
        found.add(faults.BUDGET, f"{iterations} iterations is no limit.", "iterations", "Give 1 or more.")
    if seed < 0:
        found.add(faults.BUDGET, f"{seed} cannot start a row of random numbers.", "seed", "Give 0 or more.")


def _names_of(sets: Iterable[SetTask]) -> tuple[str, ...]:
    return tuple(task.name for task in sets)


def _driven(problem: RoundProblem) -> tuple[str, ...]:
    return tuple(dict.fromkeys((problem.start, *problem.parkings, problem.end)))


def _nothing(problem: RoundProblem, found: FaultList) -> None:
    if not problem.sets:
        found.add(faults.NOTHING, "no set is to be visited.", "sets", "Name at least one.")
    if not problem.parkings:
        found.add(faults.NOTHING, "there is no parking.", "parkings", "Bring in at least one parking.")


def _names(problem: RoundProblem, found: FaultList) -> None:
    kinds = (
        ("sets", _names_of(problem.sets)),
        ("parkings", problem.parkings),
        ("drive table", problem.drive.names),
        ("walk table", problem.walk.names),
    )
    for where, names in kinds:
        for name in _twice(names):
            found.add(faults.NAME_TWICE, f"'{name}' stands there twice.", where, "Give each its own name.")
    for name in sorted(set(_names_of(problem.sets)) & set(problem.parkings)):
        found.add(faults.NAME_TWICE, f"'{name}' is both a set and a parking.", "sets", "Rename one of them.")


def _twice(names: Iterable[str]) -> Iterator[str]:
    return (name for name, count in Counter(names).items() if count > 1)


def _figures(problem: RoundProblem, found: FaultList) -> None:
    if not 0.0 <= problem.park_s < float("inf"):
        found.add(
            faults.FIGURE, f"parking cannot take {problem.park_s:g} s.", "park_s", "Give 0 seconds or more."
        )
    for task in problem.sets:
        if not 0.0 <= task.service_s < float("inf"):
            found.add(
                faults.FIGURE,
                f"a look cannot take {task.service_s:g} s.",
                task.name,
                "Give 0 seconds or more.",
            )
        if task.weight < 0:
            found.add(faults.FIGURE, f"a weight cannot be {task.weight}.", task.name, "Give 0 or more.")
        if any(later.start <= earlier.end for earlier, later in pairwise(task.windows)):
            found.add(
                faults.FIGURE,
                "its windows overlap or are out of order.",
                task.name,
                "Give them in order, each after the one before.",
            )


def _table(travel: Travel, kind: str, wanted: tuple[str, ...], found: FaultList) -> bool:
    """Check one table; say whether its legs can be read."""
    size = len(travel.names)
    shapes = {travel.seconds.shape, travel.metres.shape, travel.estimated.shape}
    if shapes != {(size, size)}:
        found.add(
            faults.TABLE,
            f"{size} names, but shapes {sorted(map(str, shapes))}.",
            f"{kind} table",
            "Give one row and one column for each name.",
        )
        return False
    before = len(found.found)
    for name in wanted:
        if name not in travel.names:
            found.add(
                faults.MISSING_PLACE,
                f"'{name}' is not in the {kind} table.",
                name,
                "Work the table out again with every place of the round in it.",
            )
    bad = np.argwhere(~(travel.seconds >= 0.0) | ~(travel.metres >= 0.0))
    for row, column in bad.tolist():
        found.add(
            faults.TABLE,
            f"the leg is {travel.seconds[row, column]:g} s and {travel.metres[row, column]:g} m.",
            f"{kind} table, {travel.names[row]} to {travel.names[column]}",
            "Times and lengths are 0 or more; infinity says that there is no way.",
        )
    return len(found.found) == before


def _drives(problem: RoundProblem, found: FaultList) -> None:
    at = {name: index for index, name in enumerate(problem.drive.names)}
    sources = dict.fromkeys((problem.start, *problem.parkings))
    targets = dict.fromkeys((*problem.parkings, problem.end))
    for source in sources:
        for target in targets:
            if source != target and not np.isfinite(problem.drive.seconds[at[source], at[target]]):
                found.add(
                    faults.NO_DRIVE,
                    "there are no minutes for this drive.",
                    f"{source} to {target}",
                    "Add them to the table of drives, or leave the parking out.",
                )


def _hours(problem: RoundProblem, found: FaultList) -> None:
    drive = problem.drive.seconds[
        problem.drive.names.index(problem.start), problem.drive.names.index(problem.end)
    ]
    if np.isfinite(drive) and milliseconds_up(drive) > problem.outing.seconds * 1000.0:
        found.add(
            faults.HOURS,
            f"it lasts {problem.outing.seconds / 60.0:.0f} min, the drive alone {drive / 60.0:.0f} min.",
            f"{problem.start} to {problem.end}",
            "Start earlier or come back later.",
        )


def _walks(problem: RoundProblem, found: FaultList) -> None:
    at = {name: index for index, name in enumerate(problem.walk.names)}
    parkings = [at[name] for name in problem.parkings]
    for task in problem.sets:
        here = at[task.name]
        out, back = problem.walk.seconds[parkings, here], problem.walk.seconds[here, parkings]
        if task.must and not np.isfinite(out + back).any():
            found.add(
                faults.NO_WALK,
                "no parking reaches it on foot.",
                task.name,
                "Add a parking on its ground, or look for a barrier that shuts it in.",
            )


def _windows(problem: RoundProblem, found: FaultList) -> None:
    for task in problem.sets:
        if task.must and not task.windows:
            found.add(
                faults.NO_WINDOW,
                "no moment is left in which it may be looked at in time.",
                task.name,
                "It is overdue or shut out: go to it first, by itself, and say so.",
            )
