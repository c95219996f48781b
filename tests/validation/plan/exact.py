"""Exact answers for small rounds, found in ways that share nothing with the planner.

`every_order` tries all orders there are. `circuits` hands the round to a public constraint solver (OR-Tools
CP-SAT) as one circuit over the stops and one over the sets of each parking. Both count in whole seconds:
the problems given to them must have whole seconds in their tables.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations, permutations

from ortools.sat.python import cp_model

from tendline.plan.itinerary import RoundProblem, SetTask, Travel


def every_order(problem: RoundProblem) -> tuple[int, int, float]:
    """Try all orders: give the fewest sets left out, the least weight of those, the earliest end then [s].

    All sets must be such as have to be visited.
    """
    best = (len(problem.sets), sum(task.weight for task in problem.sets), _leg(problem.drive, "home", "home"))
    for count in range(1, len(problem.sets) + 1):
        for chosen in combinations(problem.sets, count):
            left = [task for task in problem.sets if task not in chosen]
            for walks in _orders(list(chosen), list(problem.parkings)):
                end = _end(problem, walks)
                if end is not None:
                    best = min(best, (len(left), sum(task.weight for task in left), end))
    return best


def _orders(sets: list[SetTask], parkings: list[str]) -> Iterator[list[tuple[str, list[SetTask]]]]:
    """Give every way to cut every order of the sets into walks, with every choice of parkings for them."""
    for line in permutations(sets):
        for cuts in range(2 ** (len(line) - 1)):
            walks: list[list[SetTask]] = [[line[0]]]
            for place, task in enumerate(line[1:]):
                if cuts >> place & 1:
                    walks.append([task])
                else:
                    walks[-1].append(task)
            for stands in permutations(parkings, len(walks)):
                yield list(zip(stands, walks, strict=True))


def _end(problem: RoundProblem, walks: list[tuple[str, list[SetTask]]]) -> float | None:
    now, here = 0.0, problem.start
    for parking, sets in walks:
        now += _leg(problem.drive, here, parking) + problem.park_s
        place = here = parking
        for task in sets:
            now += _leg(problem.walk, place, task.name)
            look = _look(problem, task, now)
            if look is None:
                return None
            now, place = look + task.service_s, task.name
        now += _leg(problem.walk, place, parking)
    now += _leg(problem.drive, here, problem.end)
    return now if now <= problem.outing.seconds else None


def _look(problem: RoundProblem, task: SetTask, arrival: float) -> float | None:
    for opens, closes in _windows(problem, task):
        if arrival <= closes:
            return max(arrival, opens)
    return None


def _windows(problem: RoundProblem, task: SetTask) -> list[tuple[float, float]]:
    ends = [(w.start, w.end if task.due is None else min(w.end, task.due)) for w in task.windows]
    return [(_after(problem, a), _after(problem, b)) for a, b in ends if b >= a]


def _after(problem: RoundProblem, moment: datetime) -> float:
    return (moment - problem.outing.start).total_seconds()


def _leg(table: Travel, source: str, target: str) -> float:
    if source == target:
        return 0.0
    return float(table.seconds[table.names.index(source), table.names.index(target)])


@dataclass(frozen=True)
class Solved:
    """What the constraint solver says: its word, the end [s], and a bound on every end [s]."""

    status: str
    end: int | None
    bound: int


def circuits(problem: RoundProblem, *, seconds: float = 30.0, workers: int = 8) -> Solved:
    """Solve the round over every set with CP-SAT; each set may have one window."""
    model = _Circuits(problem)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(model.model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Solved(
        solver.status_name(status),
        round(solver.objective_value) if found else None,
        round(solver.best_objective_bound),
    )


class _Circuits:
    """One circuit for the truck, one for the walk from each parking; times where windows need them."""

    def __init__(self, problem: RoundProblem) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        self.timed = any(
            opens > 0 or closes < problem.outing.seconds
            for task in problem.sets
            for opens, closes in _windows(problem, task)
        )
        self.latest = int(problem.outing.seconds)
        self.terms: list[cp_model.LinearExprT] = []
        self.looks: dict[str, cp_model.IntVar] = {}
        self.arrive = {p: self._time() for p in problem.parkings}
        self.depart = {p: self._time() for p in problem.parkings}
        self.end = self._time()
        self.used = {p: self.model.new_bool_var(f"use {p}") for p in problem.parkings}
        for task in problem.sets:
            self._look(task)
        self._truck()
        visits = [self._walk(parking) for parking in problem.parkings]
        for k in range(len(problem.sets)):
            self.model.add_exactly_one(visit[k] for visit in visits)
        service = sum(int(task.service_s) for task in problem.sets)
        if not self.timed:
            self.model.add(self.end == sum(self.terms) + service)
        self.model.minimize(self.end)

    def _time(self) -> cp_model.IntVar:
        return self.model.new_int_var(0, self.latest, "")

    def _look(self, task: SetTask) -> None:
        ((opens, closes),) = _windows(self.problem, task)
        self.looks[task.name] = self.model.new_int_var(max(0, int(opens)), min(self.latest, int(closes)), "")

    def _arc(self, seconds: float, start: object, end: object, *, extra: float = 0.0) -> cp_model.IntVar:
        """Add a leg that may be used; `end` is then no sooner than `start` and the leg allow."""
        used = self.model.new_bool_var("")
        whole = int(seconds + extra)
        self.terms.append(int(seconds) * used)
        if self.timed:
            self.model.add(end >= start + whole).only_enforce_if(used)  # type: ignore[operator]
        return used

    def _truck(self) -> None:
        problem, park = self.problem, self.problem.park_s
        arcs: list[tuple[int, int, cp_model.LiteralT]] = []
        for k, p in enumerate(problem.parkings, start=1):
            arcs.append((k, k, self.used[p].negated()))
            go = _leg(problem.drive, problem.start, p) + park
            arcs.append((0, k, self._arc(go, 0, self.arrive[p])))
            home = _leg(problem.drive, p, problem.end)
            arcs.append((k, 0, self._arc(home, self.depart[p], self.end)))
            for j, q in enumerate(problem.parkings, start=1):
                if q != p:
                    hop = _leg(problem.drive, p, q) + park
                    arcs.append((k, j, self._arc(hop, self.depart[p], self.arrive[q])))
        self.model.add_circuit(arcs)

    def _walk(self, parking: str) -> list[cp_model.IntVar]:
        problem = self.problem
        arcs: list[tuple[int, int, cp_model.LiteralT]] = [(0, 0, self.used[parking].negated())]
        visits = []
        for i, task in enumerate(problem.sets, start=1):
            visit = self.model.new_bool_var("")
            visits.append(visit)
            arcs.append((i, i, visit.negated()))
            # Without this, sets could make a circuit of their own that passes by the truck.
            self.model.add_implication(visit, self.used[parking])
            out, back = _leg(problem.walk, parking, task.name), _leg(problem.walk, task.name, parking)
            if float("inf") in (out, back):
                self.model.add(visit == 0)
                continue
            look = self.looks[task.name]
            arcs.append((0, i, self._arc(out, self.arrive[parking], look)))
            arcs.append((i, 0, self._arc(back, look, self.depart[parking], extra=task.service_s)))
            for j, other in enumerate(problem.sets, start=1):
                way = _leg(problem.walk, task.name, other.name)
                if j != i and way < float("inf"):
                    leg = self._arc(way, look, self.looks[other.name], extra=task.service_s)
                    arcs.append((i, j, leg))
        self.model.add_circuit(arcs)
        return visits
