"""Owns the one door to the vehicle-routing engine: a round in the engine's terms, its answer read back.

Does not own the answer's times: `plan.timing` works them out again, and nothing is taken on the engine's
word.

A round of parkings and walks is one route with pick-ups and deliveries. Every parking becomes a shipment:
picked up where the truck stops ("in"), delivered where the truck leaves ("out"), and optional. Sets are
clients. The only legs allowed are start to in, in to set, set to set, set to out, out to in, out to end,
and in to its own out. An in is therefore never followed by an in, so at any moment at most one shipment is
on board when the one before it has been delivered; as a delivery must come after its own pick-up, the first
walk can only end where it began, and so, by induction, can every other. Leaving a set out costs its prize,
which is larger than any time.
"""

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyvrp
from pyvrp.exceptions import PenaltyBoundWarning

from tendline.plan.instance import FAR, Instance
from tendline.plan.timing import Order

_START, _END = 0, 1

_Matrix = np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True, eq=False)
class EngineRound:
    """A round in the engine's terms, built once and solved as often as wanted.

    Parameters
    ----------
    data
        The engine's own form.
    sets
        Which set each client is; a set with several windows is several clients, at most one of them visited.
    """

    data: pyvrp.ProblemData
    sets: list[int]


def engine_round(inst: Instance, *, everything: bool) -> EngineRound:
    """Put a round in the engine's terms; times stay whole milliseconds.

    Parameters
    ----------
    everything
        Every set that can be visited has to be: the engine is much quicker then, but has nothing to say when
        not all fits.
    """
    sets, clients, groups = _clients(inst, everything=everything)
    timed = any(opens > 0 or closes < inst.latest for i in sets for opens, closes in inst.windows[i])
    distance, duration = _matrices(inst, forbidden=1 + sum(_prizes(inst)))
    vehicle = pyvrp.VehicleType(
        start_depot=0, end_depot=1, tw_late=inst.latest, start_late=0, unit_duration_cost=1
    )
    if everything and not timed:
        # Nothing but the length of the way counts, which the engine adds up faster as a distance.
        distance, duration = distance + duration, np.zeros_like(duration)
        vehicle = pyvrp.VehicleType(start_depot=0, end_depot=1)
        clients = [pyvrp.Client(location=client.location) for client in clients]
    first, parked = 2 + inst.count, len(inst.parkings)
    data = pyvrp.ProblemData(
        locations=[pyvrp.Location(0, 0) for _ in range(len(distance))],
        clients=clients,
        depots=[pyvrp.Depot(_START), pyvrp.Depot(_END)],
        vehicle_types=[vehicle],
        distance_matrices=[distance],
        duration_matrices=[duration],
        groups=groups,
        shipments=[pyvrp.Shipment(first + p, first + parked + p, required=False) for p in range(parked)],
    )
    return EngineRound(data, sets)


def _clients(
    inst: Instance, *, everything: bool
) -> tuple[list[int], list[pyvrp.Client], list[pyvrp.ClientGroup]]:
    """Give the set of each client, the clients, and a group for each set with several windows."""
    sets: list[int] = []
    clients: list[pyvrp.Client] = []
    groups: list[pyvrp.ClientGroup] = []
    prizes = _prizes(inst)
    for i in inst.open_sets:
        several = len(inst.windows[i]) > 1
        for opens, closes in inst.windows[i]:
            client = pyvrp.Client(
                location=2 + i,
                service_duration=inst.service[i],
                tw_early=max(0, opens),
                tw_late=closes,
                prize=0 if everything else prizes[i],
                required=everything and not several,
                group=len(groups) if several else None,
            )
            sets.append(i)
            clients.append(client)
        if several:
            numbers = list(range(len(clients) - len(inst.windows[i]), len(clients)))
            groups.append(pyvrp.ClientGroup(numbers, required=everything))
    return sets, clients, groups


def solve(model: EngineRound, start: Order | None, *, seed: int, stop: Callable[[], bool]) -> Order | None:
    """Let the engine search from `start` (or from nothing) until `stop` says so.

    Parameters
    ----------
    seed
        Of the engine's random numbers; the same seed and the same number of calls of `stop` give the same
        answer.
    stop
        Asked before every iteration.

    Returns
    -------
    Order or None
        What the engine holds for the best, when it is a round at all; its limits are for the caller to check.
    """
    first = None if start is None else _solution(model, start)
    with warnings.catch_warnings():
        # Told when the engine finds few orders in time, which is for this project's own verdict to say.
        warnings.simplefilter("ignore", PenaltyBoundWarning)
        result = pyvrp.solve(
            model.data, lambda _: stop(), seed=seed, collect_stats=False, initial_solution=first
        )
    return _order(model, result.best)


def _prizes(inst: Instance) -> list[int]:
    """More than any time for a set that may be visited, and more than all of those for one that must be."""
    unit = inst.latest + 1
    optional = sum(loss for loss, must in zip(inst.loss, inst.must, strict=True) if not must)
    return [
        unit * (1 + optional) if must else unit * loss
        for loss, must in zip(inst.loss, inst.must, strict=True)
    ]


def _matrices(inst: Instance, *, forbidden: int) -> tuple[_Matrix, _Matrix]:
    """Give distances (0 where a leg is allowed, `forbidden` elsewhere) and durations (0 where it is not)."""
    n, parked = inst.count, len(inst.parkings)
    sets = slice(2, 2 + n)
    ins, outs = slice(2 + n, 2 + n + parked), slice(2 + n + parked, 2 + n + 2 * parked)
    walk = np.array(inst.walk, dtype=np.int64)
    legs = np.full((2 + n + 2 * parked,) * 2, FAR, dtype=np.int64)
    legs[sets, sets] = walk[:n, :n]
    legs[ins, sets] = walk[n:, :n]
    legs[sets, outs] = walk[:n, n:]
    legs[outs, ins] = np.array(inst.hop, dtype=np.int64).reshape(parked, parked)
    legs[_START, ins] = inst.go
    legs[outs, _END] = inst.home
    legs[_START, _END] = inst.straight
    for p in range(parked):
        legs[2 + n + p, 2 + n + parked + p] = 0
        legs[2 + n + parked + p, 2 + n + p] = FAR
    np.fill_diagonal(legs, 0)
    barred = legs >= FAR
    return np.where(barred, forbidden, 0), np.where(barred, 0, legs)


def _solution(model: EngineRound, order: Order) -> pyvrp.Solution:
    client = {i: number for number, i in reversed(list(enumerate(model.sets)))}
    kind = pyvrp.ActivityType
    steps = []
    for stop in order:
        steps.append(pyvrp.Activity(kind.PICKUP, stop[0]))
        steps += [pyvrp.Activity(kind.CLIENT, client[i]) for i in stop[1:]]
        steps.append(pyvrp.Activity(kind.DELIVERY, stop[0]))
    return pyvrp.Solution(model.data, [pyvrp.Route(model.data, steps, 0)] if steps else [])


def _order(model: EngineRound, best: pyvrp.Solution) -> Order | None:
    """Read a solution back; None when it uses a leg that is not allowed."""
    order: Order = []
    for step in best.routes()[0] if best.num_routes() else ():
        if step.is_pickup():
            order.append([step.idx])
        elif step.is_delivery():
            if not order or order[-1][0] != step.idx:
                return None
        elif step.is_client():
            if not order:
                return None
            order[-1].append(model.sets[step.idx])
    return [stop for stop in order if len(stop) > 1]
