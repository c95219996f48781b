"""Owns looking for rounds that keep every limit: a rough choice, then timed rounds, then piece by piece.

Does not own the proofs that there are none (`plan.weeks_floor`) or what would help (`plan.weeks_relief`).
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from tendline.plan.instance import Instance, instance_of
from tendline.plan.lp import Ended, Floats, Solved, solve
from tendline.plan.weeks_blocks import Block, cut_blocks
from tendline.plan.weeks_check import breaches, whole_problem, written
from tendline.plan.weeks_clocks import BlockClocks
from tendline.plan.weeks_model import Model, build
from tendline.plan.weeks_nouns import WeekOuting, WeeksPlan, WeeksProblem
from tendline.plan.weeks_rounds import Pool, Round, make_pool, rounds_of

GRAIN_MS = 30 * 60_000
"""Moments of timed rounds share a row within this [ms]."""

MOST_CHOICES, MOST_TIMED = 24_000, 2400
"""Choices of blocks, over all outings, that are followed up (six sizes share them), and that are timed."""

MOST_ROUNDS = 9000
"""A program of whole numbers gets no more rounds than this, those with the least reduced cost."""

_AGAIN = 40
"""So many pieces in a row without a better plan, and the search by pieces is over."""


@dataclass
class Limit:
    """How long to look, and whom to tell."""

    seconds: float
    seed: int = 1
    on_progress: Callable[[str], None] = lambda _: None
    should_stop: Callable[[], bool] = lambda: False
    begun: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> float:
        """Time left [s]."""
        return self.seconds - (time.monotonic() - self.begun)

    @property
    def over(self) -> bool:
        """Whether to stop."""
        return self.left <= 0 or self.should_stop()


@dataclass(frozen=True, eq=False)
class Ground:
    """Everything that stays the same while looking: ways, walks, clocks, rounds to choose from."""

    problem: WeeksProblem
    inst: Instance
    blocks: tuple[Block, ...]
    clocks: BlockClocks
    pool: Pool


@dataclass(frozen=True)
class Found:
    """What a search came to.

    Parameters
    ----------
    plan
        Checked with its own times; None when none was found.
    rounds
        What it is made of.
    bound
        No choice among the rounds considered costs less [ms]; infinite when there is none.
    best
        It was proved that none of them does better than `plan`.
    considered
        How many rounds.
    cost
        Of `plan`, with what the waiting of sets past their limit counts [ms].
    """

    plan: WeeksPlan | None
    rounds: tuple[Round, ...]
    bound: float
    best: bool
    considered: int
    cost: float = np.inf


def make_ground(
    problem: WeeksProblem, *, early: int = 0, outings: Sequence[WeekOuting] | None = None
) -> Ground:
    """Work out walks, clocks and tours.

    Parameters
    ----------
    early
        Time in hand that every limit and every return is kept with [ms].
    outings
        Other outings than those of the problem.
    """
    inst = instance_of(whole_problem(problem))
    outings = problem.outings if outings is None else outings
    blocks = cut_blocks(problem, inst, longest=_longest_walk(inst, outings))
    clocks = BlockClocks(problem, blocks, early)
    keep = max(120, MOST_CHOICES // (6 * max(1, len(outings))))
    return Ground(problem, inst, blocks, clocks, make_pool(inst, blocks, clocks, outings, keep=keep))


def _longest_walk(inst: Instance, outings: Sequence[WeekOuting]) -> int:
    """Give the walk that leaves room for two in an ordinary outing: from 15 to 70 min."""
    lengths = sorted(one.span.seconds * 1000 for one in outings)
    drive = min((g + h for g, h in zip(inst.go, inst.home, strict=True)), default=0)
    ordinary = lengths[len(lengths) // 3] - drive if lengths else 0.0
    return int(max(15 * 60_000, min(70 * 60_000, 0.55 * ordinary)))


def search(ground: Ground, limit: Limit) -> Found:
    """Look for the cheapest choice of rounds that keeps every limit."""
    rough, wanted = _coarse(ground, limit)
    fine = _fine(ground, limit, rough, wanted)
    if rough is None or rough.plan is None or fine.cost <= rough.cost:
        return fine
    bound = min(fine.bound, rough.bound)
    return replace(rough, bound=bound, best=False, considered=fine.considered)


Wanted = list[set[frozenset[int]]]
"""For each outing, the choices of blocks that are worth timing."""


def _coarse(ground: Ground, limit: Limit) -> tuple[Found | None, Wanted]:
    """Choose among rounds that leave as early as may be, with one row for each outing."""
    rounds = [r for k in range(len(ground.pool.outings)) for r in rounds_of(ground.pool, k, starts=1)]
    model = build(rounds, ground.clocks, grain=None)
    relaxed = solve(model.program, seconds=0.3 * limit.left, relaxed=True)
    if relaxed.ended is not Ended.BEST or relaxed.reduced is None:
        # No word on what is worth timing: what takes least time for each block comes first.
        return None, _best_choices(ground, rounds, _spare(rounds))
    model = build(_cheapest(rounds, relaxed.reduced), ground.clocks, grain=None)
    solved = _whole(model, limit, share=min(0.25, 3.0 / max(limit.left, 1.0)))
    if solved.values is None and solved.ended is not Ended.NONE:
        solved = _day_by_day(model, limit, share=0.35)
        part = Limit(0.3 * limit.left, limit.seed, limit.on_progress, limit.should_stop)
        solved = _by_pieces(model, solved, part)
    found = _accepted(ground, model, solved, relaxed.cost, whole=len(model.rounds) == len(rounds))
    if found.plan is not None:
        limit.on_progress(f"a first plan: {found.plan.seconds / 3600:.1f} h")
    return found, _best_choices(ground, rounds, relaxed.reduced)


def _spare(rounds: Sequence[Round]) -> Floats:
    """Rank rounds by the time each block takes in them, those with more blocks first."""
    return np.array([one.length / len(one.order) for one in rounds], dtype=np.float64)


def _best_choices(ground: Ground, rounds: Sequence[Round], price: Floats) -> Wanted:
    wanted: Wanted = [set() for _ in ground.pool.outings]
    each = max(8, MOST_TIMED // max(1, len(wanted)))
    for r in np.argsort(price[: len(rounds)], kind="stable"):
        one = rounds[r]
        if len(wanted[one.outing]) < each:
            wanted[one.outing].add(frozenset(one.order))
    return wanted


def _fine(ground: Ground, limit: Limit, rough: Found | None, wanted: Wanted) -> Found:
    """Choose among rounds that leave early, later or late, either way round, with rows by the half hour."""
    rounds = [r for k, only in enumerate(wanted) for r in rounds_of(ground.pool, k, starts=3, only=only)]
    if rough is not None:
        rounds = list(dict.fromkeys([*rough.rounds, *rounds]))
    total = len(rounds)
    model = build(rounds, ground.clocks, grain=GRAIN_MS)
    relaxed = solve(model.program, seconds=0.5 * limit.left, relaxed=True)
    if relaxed.ended is Ended.NONE:
        return Found(None, (), np.inf, best=False, considered=total)
    if relaxed.reduced is None:
        return Found(None, (), -np.inf, best=False, considered=total)
    kept = _cheapest(rounds, relaxed.reduced)
    if rough is not None:
        kept = list(dict.fromkeys([*rough.rounds, *kept]))
    model = build(kept, ground.clocks, grain=GRAIN_MS)
    solved = _whole(model, limit, share=0.35)
    if rough is not None and rough.plan is not None:
        first = _held(model, rough.rounds)
        if first is not None and first.cost < solved.cost:
            solved = Solved(Ended.STOPPED, first.values, first.cost, solved.bound)
    if solved.values is not None and solved.ended is not Ended.BEST:
        solved = _by_pieces(model, solved, limit)
    return _accepted(ground, model, solved, relaxed.cost, whole=len(kept) == total)


def _cheapest(rounds: Sequence[Round], reduced: Floats) -> list[Round]:
    """Keep the rounds that cost least over what they are worth."""
    if len(rounds) <= MOST_ROUNDS:
        return list(rounds)
    kept = np.sort(np.argsort(reduced[: len(rounds)], kind="stable")[:MOST_ROUNDS])
    return [rounds[k] for k in kept]


def _whole(model: Model, limit: Limit, *, share: float) -> Solved:
    return solve(
        model.program,
        seconds=share * limit.left,
        seed=limit.seed,
        should_stop=lambda: limit.over,
    )


def _day_by_day(model: Model, limit: Limit, *, share: float) -> Solved:
    """Choose for some outings in a row, the later ones in fractions; hold half of them and go on.

    References
    ----------
    Dillenberger, C. et al. (1994), EJOR 75(2), 275-286: relax and fix.
    """
    program, values = model.program, None
    outing = _outings(model)
    count, size = int(outing.max()) + 1, 8
    each = share * limit.left / max(1, 2 * count // size)
    for first in range(0, max(1, count - size // 2), size // 2):
        near = (outing >= first) & (outing < first + size)
        some = replace(program, whole=[bool(w) and bool(n) for w, n in zip(program.whole, near, strict=True)])
        fixed = (outing >= 0) & (outing < first)
        found = solve(some, seconds=3 * each, held=values, fixed=fixed, should_stop=limit.should_stop)
        values = found.values
        if values is None or limit.over:
            return Solved(Ended.STOPPED, None, np.inf, -np.inf)
    cost = np.inf if values is None else float(np.dot(values, program.costs))
    return Solved(Ended.STOPPED, values, cost, -np.inf)


def _outings(model: Model) -> npt.NDArray[np.int64]:
    """Give the outing of every column; -1 for those that are no rounds."""
    rest = len(model.program.costs) - len(model.rounds)
    return np.array([one.outing for one in model.rounds] + [-1] * rest, dtype=np.int64)


def _held(model: Model, rounds: Sequence[Round]) -> Solved | None:
    """Give a choice in terms of another model; None when it does not keep the rows there."""
    values = (_outings(model) < 0).astype(np.float64)
    index = {one: r for r, one in enumerate(model.rounds)}
    values[[index[one] for one in rounds]] = 1.0
    for columns, factors, low, high in model.program.rows:
        if not low - 1e-9 <= float(np.dot(values[list(columns)], factors)) <= high + 1e-9:
            return None
    return Solved(Ended.STOPPED, values, float(np.dot(values, model.program.costs)), -np.inf)


def _by_pieces(model: Model, solved: Solved, limit: Limit) -> Solved:
    """Choose again for some outings in a row while the others stay, over and over.

    References
    ----------
    Shaw, P. (1998), CP98, LNCS 1520, 417-431: large neighbourhood search.
    """
    chance, best, vain = np.random.default_rng(limit.seed), solved, 0
    outing = _outings(model)
    count = int(outing.max()) + 1
    while not limit.over and vain < _AGAIN and best.values is not None:
        first, size = int(chance.integers(0, count)), int(chance.integers(5, 12))
        fixed = (outing >= 0) & ((outing < first) | (outing >= first + size))
        piece = solve(
            model.program,
            seconds=min(4.0, limit.left),
            seed=limit.seed,
            held=best.values,
            fixed=fixed,
            nodes=300,
            should_stop=limit.should_stop,
        )
        better = piece.values is not None and piece.cost < best.cost - 1.0
        if better:
            best = Solved(Ended.STOPPED, piece.values, piece.cost, best.bound)
            limit.on_progress(f"better: {piece.cost / 3_600_000:.1f} h")
        vain = 0 if better else vain + 1
    return best


def _accepted(ground: Ground, model: Model, solved: Solved, relaxed: float, *, whole: bool) -> Found:
    """Write a choice out and check it with its own times; what does not pass is no plan."""
    bound = max(relaxed, solved.bound) if whole else relaxed
    if solved.ended is Ended.NONE and whole:
        return Found(None, (), np.inf, best=False, considered=len(model.rounds))
    if solved.values is None:
        return Found(None, (), bound, best=False, considered=len(model.rounds))
    chosen = tuple(one for r, one in enumerate(model.rounds) if solved.values[r] > 0.5)
    plan = written(ground.problem, chosen, ground.blocks, ground.pool.outings)
    if breaches(ground.problem, plan):
        return Found(None, (), bound, best=False, considered=len(model.rounds))
    best = whole and solved.ended is Ended.BEST
    return Found(plan, chosen, bound, best=best, considered=len(model.rounds), cost=solved.cost)
