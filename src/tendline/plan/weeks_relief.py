"""Owns what would help when there is no plan for the days ahead: the smallest change of each kind.

Does not own the plan. Each change is made and planned again; what that plan does not bear out is not offered.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.lp import solve
from tendline.plan.lp_program import Ended, Program
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_model import needs_of, one_each, row_of
from tendline.plan.weeks_nouns import WeekClock, WeekOuting, WeekSet, WeeksProblem, WeeksRelief
from tendline.plan.weeks_rounds import Pool, Round, rounds_of
from tendline.plan.weeks_search import GRAIN_MS, Found, Ground, make_ground, search

EARLIER_MIN = (15, 30, 45, 60, 90, 120, 180)
"""Starts are tried so many minutes earlier, the least first."""

_SPLIT = 1000.0
"""Giving up a limit that passes before anybody is there costs as much as pulling so many sets."""


def reliefs(
    ground: Ground, limit: Limit, *, windows: Sequence[WeekOuting], people: Sequence[WeekOuting]
) -> tuple[WeeksRelief, ...]:
    """Look for the smallest change of each kind that makes a plan; each is verified by one.

    Parameters
    ----------
    windows, people
        Outings that could be added: more time, another person.
    """
    found: list[WeeksRelief] = []
    asks: list[Callable[[Limit], WeeksRelief | None]] = [
        lambda some: _more(ground, some, windows, kind="one more window"),
        lambda some: _more(ground, some, people, kind="another person"),
        lambda some: _pull(ground, some),
        lambda some: _earlier(ground, some),
    ]
    for k, ask in enumerate(asks):
        part = Limit(max(2.0, limit.left / (len(asks) - k)), limit.seed, should_stop=limit.should_stop)
        if not limit.should_stop() and (relief := ask(part)) is not None:
            found.append(relief)
    return tuple(sorted(found, key=lambda one: costs(ground.problem, one)))


def costs(problem: WeeksProblem, relief: WeeksRelief) -> tuple[bool, float]:
    """Rank a change: what keeps every set comes first, and among those what takes least of people's time [s].

    An earlier start takes what the rounds begin earlier than their windows did; a window or another person
    what is gone on in it. Sets to pull or close are ranked by how many.
    """
    if relief.plan is None or relief.kind == "pull or close":
        return True, float(relief.size)
    if relief.kind == "earlier start":
        ends = {(one.who, one.span.end): one.span.start for one in problem.outings}
        starts = [(ends.get((r.outing.who, r.outing.span.end)), r.round.leave) for r in relief.plan.rounds]
        return False, sum(max(0.0, (a - b).total_seconds()) for a, b in starts if a is not None)
    new = {(one.who, one.span) for one in relief.windows}
    return False, sum(r.round.seconds for r in relief.plan.rounds if (r.outing.who, r.outing.span) in new)


def maximal(pool: Pool, outing: int) -> Iterator[Round]:
    """Give the rounds of one outing that have no room for another block: more looks break no limit."""
    rounds = list(rounds_of(pool, outing, starts=3))
    choices = {frozenset(one.order) for one in rounds}
    masks = np.array(sorted(sum(1 << b for b in choice) for choice in choices), dtype=np.int64)
    whole = {int(m) for m in masks if not ((masks & m == m) & (masks != m)).any()}
    return (one for one in rounds if sum(1 << b for b in one.order) in whole)


def _rounds(pool: Pool) -> list[Round]:
    return [one for k in range(len(pool.outings)) for one in maximal(pool, k)]


def _verified(problem: WeeksProblem, limit: Limit) -> Found:
    return search(
        make_ground(problem), Limit(max(2.0, limit.left), limit.seed, should_stop=limit.should_stop)
    )


def _more(ground: Ground, limit: Limit, extra: Sequence[WeekOuting], *, kind: str) -> WeeksRelief | None:
    """Find the fewest more outings."""
    problem = ground.problem
    own = {(one.who, one.span) for one in problem.outings}
    extra = [one for one in extra if (one.who, one.span) not in own and not _overlaps(one, problem.outings)]
    if not extra:
        return None
    outings = (*problem.outings, *extra)
    wide = make_ground(replace(problem, outings=outings))
    rounds = _rounds(wide.pool)
    program, first = Program(), len(problem.outings)
    for _ in rounds:
        program.column(0.0, whole=True)
    used = {k: program.column(1.0) for k in range(first, len(outings))}
    for chosen in one_each(rounds):
        k = rounds[chosen[0]].outing
        program.at_most(
            [*chosen, used[k]] if k in used else chosen,
            [1.0] * len(chosen) + [-1.0] * (k in used),
            0.0 if k in used else 1.0,
        )
    needs, _ = needs_of(rounds, wide.clocks, grain=GRAIN_MS)
    for need in needs:
        program.at_least(*row_of(need), 0.0 if need.given else 1.0)
    solved = solve(program, seconds=0.6 * limit.left, seed=limit.seed, should_stop=limit.should_stop)
    if solved.values is None:
        return None
    chosen_windows = [outings[k] for k, column in used.items() if solved.values[column] > 0.5]
    found = _verified(replace(problem, outings=_sorted([*problem.outings, *chosen_windows])), limit)
    if found.plan is None:
        return None
    count = len(chosen_windows)
    what = f"{kind}: {count} in all" if kind == "one more window" else f"{kind} on {count} day(s)"
    return WeeksRelief(
        kind,
        what,
        count,
        windows=tuple(chosen_windows),
        smallest=solved.ended is Ended.BEST,
        plan=found.plan,
    )


def _sorted(outings: Sequence[WeekOuting]) -> tuple[WeekOuting, ...]:
    return tuple(sorted(outings, key=lambda one: (one.span.start, one.who)))


def _overlaps(one: WeekOuting, others: Sequence[WeekOuting]) -> bool:
    return any(
        one.who == other.who and one.span.start < other.span.end and other.span.start < one.span.end
        for other in others
    )


def _earlier(ground: Ground, limit: Limit) -> WeeksRelief | None:
    """Find the least earlier start of all outings."""
    problem, proved = ground.problem, True
    for minutes in EARLIER_MIN:
        if limit.over:
            return None
        outings = _moved(problem, timedelta(minutes=minutes))
        found = _verified(replace(problem, outings=outings), Limit(max(1.0, limit.left / 3), limit.seed))
        if found.plan is not None:
            what = f"start every outing {minutes} min earlier"
            return WeeksRelief("earlier start", what, minutes, smallest=proved, plan=found.plan)
        proved = proved and found.bound == np.inf
    return None


def _moved(problem: WeeksProblem, by: timedelta) -> tuple[WeekOuting, ...]:
    """Start every outing earlier, but not before now nor before the person is back from the one before."""
    free: dict[str, datetime] = {}
    moved = []
    for one in problem.outings:
        start = max(one.span.start - by, problem.span.start, free.get(one.who, problem.span.start))
        moved.append(WeekOuting(one.who, Span(min(start, one.span.start), one.span.end)))
        free[one.who] = one.span.end
    return tuple(moved)


def _pull(ground: Ground, limit: Limit) -> WeeksRelief | None:
    """Find the fewest sets to take up or close at their next look, whole walks at a time."""
    problem, blocks = ground.problem, ground.blocks
    rounds = _rounds(ground.pool)
    program = Program()
    for _ in rounds:
        program.column(0.0, whole=True)
    pulled = [program.column(float(len(block.sets)), whole=True) for block in blocks]
    given_up = [program.column(_SPLIT * len(block.sets), whole=True) for block in blocks]
    for chosen in one_each(rounds):
        program.at_most(chosen, [1.0] * len(chosen), 1.0)
    needs, _ = needs_of(rounds, ground.clocks, grain=GRAIN_MS)
    for need in needs:
        columns, values = row_of(need)
        free = [given_up[need.block]] if need.first else [pulled[need.block], given_up[need.block]]
        program.at_least([*columns, *free], [*values, *[1.0] * len(free)], 0.0 if need.given else 1.0)
    solved = solve(program, seconds=0.6 * limit.left, seed=limit.seed, should_stop=limit.should_stop)
    if solved.values is None:
        return None

    found_values = solved.values

    def named(columns: Sequence[int]) -> list[str]:
        chosen = [b for b, c in enumerate(columns) if found_values[c] > 0.5]
        return [problem.sets[i].name for b in chosen for i in blocks[b].sets]

    gone = named(given_up)
    names = [name for name in named(pulled) if name not in gone]
    left = tuple(_closed(one, names) for one in problem.sets if one.name not in gone)
    found = _verified(replace(problem, sets=left), limit) if left else None
    if found is None or found.plan is None:
        return None
    what = f"pull or close {len(names)} set(s) at their next look" if names else ""
    if gone:
        what += f"{' and ' if what else 'pull or close '}{len(gone)} set(s) before these days begin"
    names = [*gone, *names]
    return WeeksRelief(
        "pull or close",
        what,
        len(names),
        sets=tuple(names),
        smallest=solved.ended is Ended.BEST,
        plan=found.plan,
    )


def _closed(one: WeekSet, names: Sequence[str]) -> WeekSet:
    """Let no clock run from the next look on."""
    if one.name not in names:
        return one
    return replace(
        one, clock=WeekClock(f"closed after {one.clock.key}", lambda _: None, "taken up or closed")
    )
