"""Owns the measure of rounds: 60 sets over 8 parkings, ten seconds, against best known and bound.

Does not own any promise: what it prints is what this machine did in this run.

Best known: the least of every run here, among them a long one with a seed of its own and the constraint
solver's (OR-Tools CP-SAT, one circuit for the truck and one for each parking). Bound: what the planner
proves itself, or else that solver, with the limits and without; below it no round can be. Two plain ways
stand beside: every set walked from its nearest parking, with the best loops and drive found for that; and
OR-Tools' routing library on the same reduction to pick-ups and deliveries that the planner gives its own
engine, guided local search.
"""

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from tendline.plan.itinerary import RoundProblem, Travel
from tendline.plan.route import plan_round
from tests.validation.plan.build import invented, limited, span, whole_seconds
from tests.validation.plan.exact import circuits
from tests.validation.plan.verify import violations

SECONDS = 10.0
LONG = 30.0
SEEDS = (1, 2, 3)
LONG_SEED = 11

_ALWAYS = span(-720.0, 2880.0)

CASES: dict[str, Callable[[], RoundProblem]] = {
    "4 properties": lambda: invented(1, properties=4),
    "2 properties": lambda: invented(2, properties=2),
    "1 property": lambda: invented(4, properties=1),
    "3 properties, limits to 20 min": lambda: limited(invented(5, properties=3), 5, slack_min=20.0)[0],
    "2 properties, windows to 60 min": lambda: limited(
        invented(6, properties=2), 6, slack_min=60.0, opening_share=0.3
    )[0],
}


@dataclass(frozen=True)
class Row:
    """One case measured: ends in seconds after the earliest start; None where there is no answer."""

    case: str
    tens: list[float]
    proved: bool
    long: float
    solver: float | None
    bound: float
    nearest: float | None
    routing: float | None

    @property
    def best(self) -> float:
        """The best known."""
        return min([*self.tens, self.long, *([self.solver] if self.solver is not None else [])])


def measure(case: str, whole: RoundProblem) -> Row:
    """Plan one case in every way."""
    whole = whole_seconds(whole)
    tens, proofs = zip(*(_planned(whole, seed, SECONDS) for seed in SEEDS), strict=True)
    long, _ = _planned(whole, LONG_SEED, LONG)
    solved = circuits(whole, seconds=LONG)
    free = replace(whole, sets=tuple(replace(t, windows=(_ALWAYS,), due=None) for t in whole.sets))
    proved = all(proofs)
    return Row(
        case,
        list(tens),
        proved,
        long,
        None if solved.end is None else float(solved.end),
        max(float(solved.bound), float(circuits(free, seconds=LONG).bound), tens[0] if proved else 0.0),
        _nearest(whole),
        _routing(whole),
    )


def _planned(whole: RoundProblem, seed: int, seconds: float) -> tuple[float, bool]:
    verdict = plan_round(whole, seed=seed, seconds=seconds)
    if not verdict.fits or violations(whole, verdict.plan):
        sys.exit(f"seed {seed}: no plan, or one that breaks {violations(whole, verdict.plan)}")
    return (verdict.plan.back - whole.outing.start).total_seconds(), verdict.shortest


def _nearest(whole: RoundProblem) -> float | None:
    """Walk every set from its nearest parking, otherwise as well as can be; None when that breaks a limit."""
    foot = {name: k for k, name in enumerate(whole.walk.names)}
    stands = [foot[p] for p in whole.parkings]
    seconds = whole.walk.seconds.copy()
    own = {stand: stand for stand in stands}
    for task in whole.sets:
        here = foot[task.name]
        own[here] = stands[int((seconds[stands, here] + seconds[here, stands]).argmin())]
    owners = np.array([own[k] for k in range(len(seconds))])
    seconds[owners[:, None] != owners[None, :]] = np.inf
    near = replace(whole, walk=replace(whole.walk, seconds=seconds))
    verdict = plan_round(near, seconds=SECONDS)
    return (verdict.plan.back - whole.outing.start).total_seconds() if verdict.fits else None


def _routing(whole: RoundProblem) -> float | None:
    """Solve with OR-Tools' routing library: one route, a pick-up and a delivery for every parking used."""
    legs, windows = _nodes(whole)
    manager = pywrapcp.RoutingIndexManager(len(legs), 1, [0], [len(legs) - 1])
    routing = pywrapcp.RoutingModel(manager)
    solver = routing.solver()
    rows = legs.tolist()
    price = routing.RegisterTransitCallback(lambda a, b: rows[manager.IndexToNode(a)][manager.IndexToNode(b)])
    routing.SetArcCostEvaluatorOfAllVehicles(price)
    # A leg that is not allowed costs more than any outing and takes no time, so that the search can cross it.
    transit = routing.RegisterTransitCallback(
        lambda a, b: rows[manager.IndexToNode(a)][manager.IndexToNode(b)] % _BARRED
    )
    latest = int(whole.outing.seconds)
    routing.AddDimension(transit, latest, latest, True, "time")  # noqa: FBT003
    time = routing.GetDimensionOrDie("time")
    time.SetSpanCostCoefficientForAllVehicles(1)
    for k, (opens, closes) in enumerate(windows, start=1):
        time.CumulVar(manager.NodeToIndex(k)).SetRange(max(0, opens), min(latest, closes))
    parked, first = len(whole.parkings), 1 + len(whole.sets)
    for p in range(parked):
        pair = [manager.NodeToIndex(first + p), manager.NodeToIndex(first + parked + p)]
        routing.AddPickupAndDelivery(*pair)
        routing.AddDisjunction(pair, 0, 2)
        solver.Add(routing.ActiveVar(pair[0]) == routing.ActiveVar(pair[1]))
        solver.Add(time.CumulVar(pair[0]) <= time.CumulVar(pair[1]))
    parameters = pywrapcp.DefaultRoutingSearchParameters()
    parameters.first_solution_strategy = routing_enums_pb2.FirstSolutionStrategy.PARALLEL_CHEAPEST_INSERTION
    parameters.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    parameters.time_limit.seconds = int(SECONDS)
    found = routing.SolveWithParameters(parameters)
    if not found:
        return None
    return (
        float(found.Value(time.CumulVar(routing.End(0))))
        if _is_round(routing, found, rows, manager)
        else None
    )


def _is_round(
    routing: pywrapcp.RoutingModel,
    found: pywrapcp.Assignment,
    rows: list[list[int]],
    manager: pywrapcp.RoutingIndexManager,
) -> bool:
    index = routing.Start(0)
    while not routing.IsEnd(index):
        following = found.Value(routing.NextVar(index))
        if rows[manager.IndexToNode(index)][manager.IndexToNode(following)] >= _BARRED:
            return False
        index = following
    return True


_BARRED = 1_000_000


def _nodes(whole: RoundProblem) -> tuple[np.ndarray, list[tuple[int, int]]]:
    """Give whole seconds from node to node, looks and parkings among them, and the windows of the sets.

    Nodes: start, sets, stops, departures, end. A leg that is not allowed is longer than any outing.
    """
    sets, parked = len(whole.sets), len(whole.parkings)
    ins, outs = slice(1 + sets, 1 + sets + parked), slice(1 + sets + parked, 1 + sets + 2 * parked)
    legs = np.full((2 + sets + 2 * parked,) * 2, float(_BARRED))
    foot = [whole.walk.names.index(name) for name in (*(t.name for t in whole.sets), *whole.parkings)]
    walk = whole.walk.seconds[np.ix_(foot, foot)]
    service = np.array([task.service_s for task in whole.sets])
    road = _road(whole.drive, whole)
    legs[1 : 1 + sets, 1 : 1 + sets] = walk[:sets, :sets] + service[:, None]
    legs[1 : 1 + sets, outs] = walk[:sets, sets:] + service[:, None]
    legs[ins, 1 : 1 + sets] = walk[sets:, :sets]
    legs[0, ins] = road[0, 1:-1] + whole.park_s
    legs[outs, ins] = road[1:-1, 1:-1] + whole.park_s
    legs[outs, -1] = road[1:-1, -1]
    for p in range(parked):
        legs[1 + sets + parked + p, 1 + sets + p] = _BARRED
    start = whole.outing.start
    windows = [
        (int((t.windows[0].start - start).total_seconds()), int((t.windows[0].end - start).total_seconds()))
        for t in whole.sets
    ]
    return np.minimum(legs, _BARRED).astype(np.int64), windows


def _road(drive: Travel, whole: RoundProblem) -> np.ndarray:
    at = [drive.names.index(name) for name in (whole.start, *whole.parkings, whole.end)]
    return drive.seconds[np.ix_(at, at)]


def _percent(value: float | None, base: float) -> str:
    return "-" if value is None else f"{100.0 * (value / base - 1.0):+.2f}"


def main() -> None:
    """Print the table; every figure is per cent above the best known, `best` in seconds."""
    print(f"60 sets over 8 parkings, {SECONDS:g} s each, seeds {SEEDS}; per cent above the best known")
    heads = ("worst", "mean", "proved", "bound", "nearest", "routing")
    print(f"{'case':33} {'best s':>7} " + " ".join(f"{head:>8}" for head in heads))
    for case, make in CASES.items():
        row = measure(case, make())
        gaps = [100.0 * (end / row.best - 1.0) for end in row.tens]
        print(
            f"{row.case:33} {row.best:7.0f} {max(gaps):+8.2f} {sum(gaps) / len(gaps):+8.2f}"
            f" {'yes' if row.proved else 'no':>8} {_percent(row.bound, row.best):>8}"
            f" {_percent(row.nearest, row.best):>8} {_percent(row.routing, row.best):>8}",
            flush=True,
        )
    print("worst, mean: this planner, goal 1.00. bound: no round can be shorter. nearest: every set from its")
    print(
        "nearest parking, otherwise the best found. routing: OR-Tools. -: no round within the limits found."
    )


if __name__ == "__main__":
    main()
