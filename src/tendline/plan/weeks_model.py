"""Owns whether given rounds hold a plan at all, as one program: one round an outing, no gap over a limit.

Does not own the cheapest plan (`plan.weeks_master`) or solving it (`plan.lp`).

For every block and every moment at which it may be walked, at least one walk must follow within the limit
that runs from then. The row need not ask whether the block was walked at that moment: the last walk at or
before it forces the next within its own limit, which is no later, as long as a later look never has an
earlier limit. Where a law is such that it may (`weeks_clocks.in_order`), the row asks.
Moments are put together in grains: the row of a grain counts only what lies after its last moment and within
the limit of its first, so that a plan that keeps the rows keeps the limits whatever the grain.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tendline.plan.lp_program import Program
from tendline.plan.weeks_clocks import NEVER, BlockClocks, in_order, milliseconds
from tendline.plan.weeks_rounds import Round
from tendline.plan.weeks_tolls import METRE_MS, OUTING_MS, WAIT_MS


@dataclass(frozen=True)
class Need:
    """One row: at least one of these rounds must be driven, if any of `given` is (always, when empty).

    Parameters
    ----------
    block
        Whose limit it is.
    rounds, given
        Indices of rounds.
    first
        It is the limit that runs now, rather than one that a planned walk sets going.
    """

    block: int
    rounds: tuple[int, ...]
    given: tuple[int, ...] = ()
    first: bool = False


@dataclass(frozen=True, eq=False)
class Model:
    """The choice of rounds.

    Parameters
    ----------
    rounds
        What may be driven.
    needs
        What must be.
    program
        The whole as a program; columns are the rounds, then `slack`.
    slack
        Columns that stand for a set past its limit waiting on.
    """

    rounds: Sequence[Round]
    needs: Sequence[Need]
    program: Program
    slack: Sequence[int] = field(default_factory=tuple)


def build(rounds: Sequence[Round], clocks: BlockClocks, *, grain: int | None) -> Model:
    """Set the choice up.

    Parameters
    ----------
    rounds
        What may be driven.
    grain
        Moments this near to one another share a row [ms]; None for all of one outing.
    """
    needs, firsts = needs_of(rounds, clocks, grain=grain)
    program = Program()
    for one in rounds:
        program.column(cost_of(one), whole=True)
    for chosen in one_each(rounds):
        program.at_most(chosen, [1.0] * len(chosen), 1.0)
    for need in needs:
        program.at_least(*row_of(need), 0.0 if need.given else 1.0)
    slack = [column for block in firsts for column in _go_first(program, rounds, block)]
    return Model(rounds, needs, program, slack)


def cost_of(one: Round) -> float:
    """Give what a round costs [ms]."""
    return one.length + METRE_MS * one.metres + OUTING_MS


def row_of(need: Need) -> tuple[list[int], list[float]]:
    """Give the columns and values of a row."""
    return [*need.rounds, *need.given], [1.0] * len(need.rounds) + [-1.0] * len(need.given)


def one_each(rounds: Sequence[Round]) -> list[list[int]]:
    """Give the rounds of each outing."""
    chosen: dict[int, list[int]] = defaultdict(list)
    for r, one in enumerate(rounds):
        chosen[one.outing].append(r)
    return list(chosen.values())


def needs_of(
    rounds: Sequence[Round], clocks: BlockClocks, *, grain: int | None
) -> tuple[list[Need], list[int]]:
    """Give every row, and the blocks that want walking first."""
    visits: dict[int, list[tuple[int, int]]] = {b: [] for b in range(len(clocks.blocks))}
    for r, one in enumerate(rounds):
        for block, at in zip(one.order, one.parked, strict=True):
            visits[block].append((at, r))
    needs: list[Need] = []
    firsts: list[int] = []
    for block, made in visits.items():
        if clocks.go_first(block):
            firsts.append(block)
        needs += _needs_of_block(block, sorted(made), rounds, clocks, grain=grain)
    return needs, firsts


def _needs_of_block(
    block: int,
    visits: Sequence[tuple[int, int]],
    rounds: Sequence[Round],
    clocks: BlockClocks,
    *,
    grain: int | None,
) -> list[Need]:
    end = milliseconds(clocks.problem, clocks.problem.span.end)
    times = np.array([at for at, _ in visits], dtype=np.int64)
    number = np.array([r for _, r in visits], dtype=np.int64)
    limits = clocks.after(block, times)
    due = clocks.first_due(block)
    always = in_order([due, *limits.tolist()]) and due < NEVER
    grains: dict[tuple[int, int], list[int]] = defaultdict(list)
    for k, (at, r) in enumerate(visits):
        grains[rounds[r].outing, 0 if grain is None else at // grain].append(k)
    spans: list[_Stretch] = []
    for members in grains.values():
        limit = int(limits[members].min())
        if limit < end:
            low = int(np.searchsorted(times, times[members].max(), side="right"))
            high = int(np.searchsorted(times, limit, side="right"))
            spans.append((low, max(low, high), () if always else _numbers(number[members])))
    if due < end:
        spans.append((0, int(np.searchsorted(times, due, side="right")), ()))
    return [
        Need(block, _numbers(number[low:high]), given, first=low == 0 and not given)
        for low, high, given in (_tightest(spans) if always else spans)
    ]


_Stretch = tuple[int, int, tuple[int, ...]]
"""From this walk on, up to this one, if any of these rounds is driven."""


def _numbers(found: npt.NDArray[np.int64]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(found.tolist()))


def _tightest(spans: Sequence[_Stretch]) -> list[_Stretch]:
    """Leave out every stretch that holds another one whole."""
    kept: list[_Stretch] = []
    least = 1 << 60
    for low, high, given in sorted(spans, key=lambda s: (-s[0], s[1])):
        if high < least:
            kept.append((low, high, given))
            least = high
    return kept


def _go_first(program: Program, rounds: Sequence[Round], block: int) -> list[int]:
    """Make every outing that comes and goes before a block is walked cost something; give the columns."""
    starts = {one.outing: one.leave for one in rounds if block in one.order}
    found: list[int] = []
    ordered = sorted(starts, key=lambda k: starts[k])
    for k, outing in enumerate(ordered):
        after = ordered[k + 1] if k + 1 < len(ordered) else None
        wait = starts[after] - starts[outing] if after is not None else 30 * 86_400_000
        column = program.column(WAIT_MS * max(1, wait))
        seen = set(ordered[: k + 1])
        early = [r for r, one in enumerate(rounds) if one.outing in seen and block in one.order]
        program.at_least([*early, column], [1.0] * (len(early) + 1), 1.0)
        found.append(column)
    return found
