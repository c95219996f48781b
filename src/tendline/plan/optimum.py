"""Owns the best order that can be found for a round, and whether it was proved to be the best.

Does not own the searches (`plan.portfolio`) nor the proofs themselves (`plan.tables`, `plan.labels`).
"""

from dataclasses import dataclass

from tendline.plan.anneal import Found, found
from tendline.plan.budget import Budget, Chance
from tendline.plan.counts import order_of_most
from tendline.plan.instance import Instance
from tendline.plan.labels import Answer, exhaust
from tendline.plan.portfolio import Turns
from tendline.plan.recreate import recreate
from tendline.plan.tables import Tables, shortest_end, shortest_order
from tendline.plan.timing import Order, clock

_TURNS_BEFORE_PROOF = 2


@dataclass(frozen=True)
class Best:
    """The best order found.

    Parameters
    ----------
    found
        The order with its cost.
    shortest
        It visits every set that can be visited, and no such round was back earlier: proved.
    """

    found: Found
    shortest: bool


@dataclass
class Quest:
    """The quest for one instance's best order, which may be carried on.

    Parameters
    ----------
    turns
        The searches and the best so far.
    proved
        Whether exhaustion has shown the best to be the shortest.
    tried
        Whether exhaustion has been tried.
    """

    turns: Turns
    proved: bool = False
    tried: bool = False

    def run(self, budget: Budget) -> Best:
        """Search until the budget is spent or the best is proved to be the shortest."""
        if self.turns.turn < _TURNS_BEFORE_PROOF:
            self.turns.run(budget, turns=_TURNS_BEFORE_PROOF - self.turns.turn)
        if not self.tried and not self.turns.finished and self.turns.complete:
            self.tried = True
            self._exhaust(budget)
        if not self.proved:
            self.turns.run(budget)
        return self.best

    @property
    def best(self) -> Best:
        """Give the best so far."""
        assert self.turns.best is not None
        met = self.turns.complete and self.turns.best.cost.end <= self.turns.target
        return Best(self.turns.best, self.proved or met)

    def offer(self, order: Order, budget: Budget) -> bool:
        """Take an order from elsewhere, with what else fits in; say whether it is better than the best."""
        inst, before = self.turns.inst, self.turns.best
        visited = {i for stop in order for i in stop[1:]}
        order = [stop[:] for stop in order]
        rest = sorted(set(inst.open_sets) - visited, key=lambda i: -inst.loss[i])
        now, _ = recreate(inst, order, rest, Chance(self.turns.seed))
        self.turns.offer(found(inst, order, now), budget)
        return self.turns.best is not before

    def _exhaust(self, budget: Budget) -> None:
        inst, best = self.turns.inst, self.turns.best
        assert best is not None
        answer = exhaust(inst, needed=inst.open_sets, spare=0, before=best.cost.end, budget=budget)
        self.turns.offer(_timed(inst, answer.order), budget)
        self.proved = answer.answer is not Answer.TOO_MANY


def quest(
    inst: Instance,
    tables: Tables | None,
    *,
    seed: int,
    budget: Budget,
    start: Order | None = None,
    enough: bool = False,
) -> Quest:
    """Begin with the shortest round without limits, where tables can tell it, and with `start`.

    Parameters
    ----------
    tables
        Of `inst`, or of one that has the same ways and the same sets to visit.
    start
        An order that keeps the limits.
    enough
        Stop as soon as every set that must be visited is.
    """
    turns = Turns(inst, seed, enough=enough)
    if start is not None:
        turns.offer(_timed(inst, start), budget)
    if tables is not None:
        turns.target = shortest_end(tables)
        turns.offer(_timed(inst, shortest_order(tables)), budget)
        if turns.target > inst.latest:
            turns.offer(_timed(inst, order_of_most(tables, inst.must, latest=inst.latest)), budget)
    return Quest(turns)


def _timed(inst: Instance, order: Order) -> Found | None:
    return found(inst, order, clock(inst, order))
