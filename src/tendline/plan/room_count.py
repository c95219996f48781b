"""Owns finding the largest number that fits, when asking is dear and the answer is not always proved.

Does not own what is counted, nor how it is asked (`plan.room_round`, `plan.room_weeks`).
"""

from collections.abc import Callable
from typing import NamedTuple

from tendline.plan.room_nouns import Fit


class Largest(NamedTuple):
    """The largest number that was found to fit, and the one above which it was proved that none does."""

    more: int
    most: int


def largest(
    ask: Callable[[int], Fit], *, least: int, most: int, step: int, over: Callable[[], bool]
) -> Largest:
    """Find the largest number that fits: first in growing steps, then by halving.

    Parameters
    ----------
    ask
        Whether a number fits; what fits for one is taken to fit for every smaller one.
    least, most
        The first is known to fit, more than the second is known not to.
    step
        How far the first step goes.
    over
        Says when to stop with what is known.
    """
    low, high, proved, failed = least, most + 1, most + 1, False
    step = max(1, step)
    while high - low > 1 and not over():
        k = (low + high) // 2 if failed else min(low + step, high - 1)
        fit = ask(k)
        if fit.plan is not None:
            low, step = k, max(1, k // 3) if low == least else 2 * step
            continue
        high, failed = k, True
        proved = k if fit.proved else proved
    return Largest(low, proved - 1)
