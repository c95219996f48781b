"""Owns planning from a set where a person stands on foot: on to other sets, or back to the truck first.

Does not own the ways themselves (`round_ground`) or the search (`plan.route`).

The planner knows walks that begin and end at the truck. Here one more parking stands for "on foot from this
set": from it one walks as from the set, to it as to the truck, and nobody drives back to it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tendline.core.errors import refuse
from tendline.core.line import LineState, SetState
from tendline.jobs.faults import NO_PARKING, WORD
from tendline.jobs.round_ground import End, Ways, find_ways
from tendline.jobs.walks import Tell
from tendline.jobs.workspace import Workspace
from tendline.plan.itinerary import ParkStop, RoundPlan, Travel

_NEVER_S = 30 * 86_400.0
"""No outing is so long that one could drive back to where one stood on foot [s]."""


@dataclass(frozen=True)
class OnFoot:
    """Where somebody stands, and where the truck does.

    Parameters
    ----------
    label
        What the planner calls it.
    set_name, truck
        The set, the parking.
    cut_s
        Taken off the first walk, because no truck is parked there [s].
    back_s, back_m
        The walk straight back to the truck.
    """

    label: str
    set_name: str
    truck: str
    cut_s: float
    back_s: float
    back_m: float

    @property
    def said(self) -> str:
        """What is assumed, in words."""
        walk = f"{self.back_s / 60:.0f} min on foot"
        return f"you are taken to stand at {self.set_name}, the truck at {self.truck}, {walk} away"


def from_set(
    space: Workspace,
    line: LineState,
    here: SetState,
    tasks: Sequence[SetState],
    *,
    truck: str,
    end: End,
    tell: Tell,
) -> tuple[End, Ways, OnFoot]:
    """Work out every way from a set where somebody stands.

    Parameters
    ----------
    here
        The set.
    tasks
        Sets that may be visited.
    truck
        The parking where the truck stands; the nearest on foot when empty.

    Raises
    ------
    Refused
        JOB-301 for a truck that stands at no parking; JOB-402 when the set cannot be walked back from.
    """
    both = [here, *(one for one in tasks if one.name != here.name)]
    ways = find_ways(space, line, both, ends=(end,), tell=tell, starts=(space.now,))
    parking = _truck(line, ways.walk, here.name, truck)
    known = line.parkings[parking]
    start = End(f"{here.name} (on foot)", known.place, known.name)
    wide = find_ways(space, line, both, ends=(start, end), tell=tell, starts=(space.now,))
    foot = _on_foot(wide.walk, here.name, parking, park_s=space.settings.time.park_s)
    walk = _walk(wide.walk, foot)
    drive = _drive(wide.drive, foot, start.label)
    return start, replace(wide, walk=walk, drive=drive), foot


def _truck(line: LineState, walk: Travel, here: str, truck: str) -> str:
    row = walk.names.index(here)
    seconds = {
        name: float(walk.seconds[row, k]) for k, name in enumerate(walk.names) if name in line.parkings
    }
    if truck:
        found = next((name for name in seconds if name.lower() == truck.lower()), None)
        if found is None:
            told = ", ".join(sorted(seconds))
            raise refuse(WORD, f"there is no parking '{truck}' near here.", "--truck", f"Parkings: {told}.")
        seconds = {found: seconds[found]}
    best = min(seconds, key=lambda name: (seconds[name], name), default="")
    if not best or not np.isfinite(seconds[best]):
        do = "Say where the truck stands with --truck, or plan from there with --from PARKING."
        raise refuse(NO_PARKING, "nobody can walk from it to the truck.", f"set {here}", do)
    return best


def _on_foot(walk: Travel, here: str, parking: str, *, park_s: float) -> OnFoot:
    row, col = walk.names.index(here), walk.names.index(parking)
    label = f"{parking} (on foot from {here})"
    return OnFoot(label, here, parking, park_s, float(walk.seconds[row, col]), float(walk.metres[row, col]))


def _walk(walk: Travel, foot: OnFoot) -> Travel:
    """Add the place: away from it as from the set, less what parking would take; to it as to the truck."""
    row, col = walk.names.index(foot.set_name), walk.names.index(foot.truck)
    away = np.maximum(walk.seconds[row] - foot.cut_s, 0.0)
    is_set = np.array([name != foot.truck for name in walk.names])
    seconds = _grown(walk.seconds, np.where(is_set, away, np.inf), walk.seconds[:, col])
    metres = _grown(walk.metres, walk.metres[row], walk.metres[:, col])
    estimated = _grown(walk.estimated.astype(float), walk.estimated[row], walk.estimated[:, col]) > 0
    return Travel((*walk.names, foot.label), seconds, metres, estimated)


def _drive(drive: Travel, foot: OnFoot, start: str) -> Travel:
    """Add the place: from the start it is here; elsewhere one first walks back to the truck."""
    row, truck = drive.names.index(start), drive.names.index(foot.truck)
    seconds, metres = drive.seconds.copy(), drive.metres.copy()
    others = np.arange(len(drive.names)) != row
    seconds[row, others] = drive.seconds[truck, others] + foot.back_s
    metres[row, others] = drive.metres[truck, others]
    to_here = np.full(len(drive.names), _NEVER_S)
    to_here[row] = 0.0
    far = _grown(seconds, drive.seconds[truck], to_here)
    long = _grown(metres, drive.metres[truck], np.zeros(len(drive.names)))
    guess = _grown(drive.estimated.astype(float), drive.estimated[truck], np.zeros(len(drive.names))) > 0
    return Travel((*drive.names, foot.label), far, long, guess)


def _grown(table: np.ndarray, row: np.ndarray, column: np.ndarray) -> np.ndarray:
    grown = np.zeros((len(table) + 1, len(table) + 1))
    grown[:-1, :-1], grown[-1, :-1], grown[:-1, -1] = table, row, column
    return grown


def as_driven(plan: RoundPlan, foot: OnFoot) -> RoundPlan:
    """Write a plan with the truck's own parking in place of the one that stood for being on foot."""
    return replace(plan, stops=tuple(_as_driven(stop, foot) for stop in plan.stops))


def _as_driven(stop: ParkStop, foot: OnFoot) -> ParkStop:
    if stop.parking != foot.label:
        return stop
    first, *rest = stop.visits
    walked = (first.look - stop.arrive).total_seconds() - first.wait_s
    return replace(stop, parking=foot.truck, visits=(replace(first, walk_s=walked), *rest))
