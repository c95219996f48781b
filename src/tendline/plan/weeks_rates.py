"""Owns what walks and limits are worth, by a price of each row of the program of the days ahead.

Does not own the prices: those are what a solution in fractions pays (`plan.weeks_price`).
"""

from collections import defaultdict

import numpy as np

from tendline.plan.lp_program import Floats
from tendline.plan.weeks_clocks import NEVER
from tendline.plan.weeks_master import UNIT_MS, Master
from tendline.plan.weeks_rows import Ints


def worth_of(master: Master, prices: Floats) -> dict[int, tuple[Ints, Floats]]:
    """Give what walking each block is worth from one moment to the next [ms].

    Parameters
    ----------
    prices
        Of each row [ms].
    """
    found: dict[int, tuple[Ints, Floats]] = {}
    for block, lists in enumerate(master.limits):
        steps: dict[int, float] = defaultdict(float)
        for after, until, _, _, row in lists.array.tolist():
            steps[after + 1] += float(prices[row])
            steps[until + 1] -= float(prices[row])
        times = np.array([-2 * NEVER, *sorted(steps)], dtype=np.int64)
        found[block] = (times, np.cumsum([steps.get(int(t), 0.0) for t in times]))
    return found


def promised(master: Master, prices: Floats) -> float:
    """Give what all limits are worth, each kept, or not and paid for where that is cheaper [ms]."""
    program = master.program.program
    total, left = 0.0, defaultdict[int, float](float)
    for row, beside in master.beside.items():
        price = float(prices[row])
        total += price * program.rows[row][2]
        for column, value in beside:
            left[column] += price * value
    return total + sum(min(0.0, UNIT_MS * program.costs[c] - paid) for c, paid in left.items())
