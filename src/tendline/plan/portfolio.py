"""Owns which search runs when: ruin and recreate and the routing engine take turns on the best so far.

Does not own either search. Ruin and recreate finds its way into tight limits, where the engine starts
badly; the engine then shortens what it is given. Every turn is counted in iterations, so that the same seed
walks the same way however fast the machine is: a time limit only decides where on that way the search
stops.
"""

from dataclasses import dataclass, field

from tendline.plan.anneal import Found, anneal, construct, found, tell
from tendline.plan.budget import Budget, Chance
from tendline.plan.engine import EngineRound, engine_round, solve
from tendline.plan.instance import Instance
from tendline.plan.timing import clock

_FIRST = 2000
"""Iterations of the first turn of ruin and recreate."""

_LONGER = 1.5
"""Each turn is longer than the one before by this factor."""


@dataclass
class Turns:
    """A search that can be carried on.

    Parameters
    ----------
    inst
        What is planned.
    seed
        Where the random numbers start.
    best
        The best order so far; None before the first turn.
    target
        An end that no round over every set that can be visited can be before; the search stops when it is
        met.
    enough
        Stop as soon as every set that must be visited is.
    turn, done
        Turns and iterations so far.
    """

    inst: Instance
    seed: int
    best: Found | None = None
    target: int = -1
    enough: bool = False
    turn: int = 0
    done: int = 0
    models: dict[bool, EngineRound] = field(default_factory=dict)

    @property
    def complete(self) -> bool:
        """Whether the best order visits every set that can be visited."""
        return self.best is not None and not set(self.best.missing) & set(self.inst.open_sets)

    @property
    def finished(self) -> bool:
        """Whether there is no reason to go on."""
        if self.best is None:
            return False
        if self.enough and not any(self.inst.must[i] for i in self.best.missing):
            return True
        return self.complete and self.best.cost.end <= self.target

    def run(self, budget: Budget, *, turns: int = 1 << 30) -> Found:
        """Search until the budget is spent, the target met, or so many turns are done."""
        if self.best is None:
            self.offer(construct(self.inst, Chance(self.seed)), budget)
        last = self.turn + turns
        while self.turn < last and not self.finished and not budget.over:
            self._one_turn(budget, int(_FIRST * _LONGER ** (self.turn // 3)))
            self.turn += 1
        assert self.best is not None
        return self.best

    def offer(self, new: Found | None, budget: Budget) -> None:
        """Keep an order if it is better than the best so far."""
        if new is not None and (self.best is None or new.cost < self.best.cost):
            self.best = new
            tell(self.inst, new, budget)

    def _one_turn(self, budget: Budget, steps: int) -> None:
        assert self.best is not None
        if self.turn % 3 == 1:
            self._engine(budget, steps)
            return
        chance = Chance(self.seed + 7919 * (1 + self.turn))
        start = self.best if self.turn % 3 == 0 else construct(self.inst, chance)
        before = budget.done
        anneal(
            self.inst,
            start,
            chance=chance,
            budget=budget,
            steps=steps,
            enough=self.enough,
            keep=lambda new: self.offer(new, budget),
        )
        self.done += budget.done - before

    def _engine(self, budget: Budget, steps: int) -> None:
        assert self.best is not None
        if self.complete not in self.models:
            self.models[self.complete] = engine_round(self.inst, everything=self.complete)
        before = budget.done
        last = before + steps

        def stop() -> bool:
            return not budget.spend() or budget.done > last

        model = self.models[self.complete]
        order = solve(model, self.best.order, seed=self.seed + self.turn, stop=stop)
        self.done += budget.done - before
        if order is not None:
            self.offer(found(self.inst, order, clock(self.inst, order)), budget)
