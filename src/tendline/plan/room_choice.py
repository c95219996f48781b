"""Owns the choice of the spots worth most among those there is time for, and how sure that is.

Does not own whether a choice can be tended (`plan.room_spots`) or what it is worth (`plan.room_catch`).

Up to a dozen spots every choice is gone through, the one worth most first, until one fits: it is the best,
unless one above it could be neither planned nor ruled out. With more, spots are taken by what they add, put
in for one another while that helps, and what no choice can exceed is worked out beside it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tendline.plan.room_catch import Worth
from tendline.plan.room_nouns import Fit

EXACT = 12
"""Up to so many spots every choice is gone through."""

_HAIR = 1e-9

Choice = tuple[int, ...]


@dataclass
class Chooser:
    """The choice among spots; remembers what was asked.

    Parameters
    ----------
    worth
        What choices are worth.
    fit
        Whether a choice can be tended.
    out
        For each subset (of up to `EXACT` spots), whether it is known at once to take too long.
    over
        Says when to stop with the best so far.
    suggest
        Gives a choice for what each spot adds, where a routing engine can; None when it has none.
    rooms
        For the bound with many spots: time that is free, and what each spot needs of it at least; one pair
        for each way to reckon it, each valid by itself.
    """

    worth: Worth
    fit: Callable[[Choice], Fit]
    out: npt.NDArray[np.bool_] | None = None
    over: Callable[[], bool] = lambda: False
    suggest: Callable[[Sequence[float]], Choice | None] = lambda _: None
    rooms: Sequence[tuple[float, Sequence[float]]] = ()
    known: dict[Choice, Fit] = field(default_factory=dict)

    def ask(self, choice: Choice) -> Fit:
        """Ask whether a choice fits, once; what holds one that is proved not to fit does not fit either."""
        choice = tuple(sorted(choice))
        if choice not in self.known:
            self.known[choice] = Fit(None, proved=True) if self._ruled_out(choice) else self.fit(choice)
        return self.known[choice]

    def _fits(self, choice: Choice) -> bool:
        return self.ask(choice).plan is not None

    def _ruled_out(self, choice: Choice) -> bool:
        if self.out is not None and self.out[_mask(choice)]:
            return True
        inside = set(choice)
        return any(
            fit.plan is None and fit.proved and inside >= set(less) for less, fit in self.known.items()
        )

    def best(self) -> tuple[Choice, float, bool]:
        """Give the choice worth most that was found, what none exceeds, and whether it was proved best."""
        chosen = self._full(self._greedy())
        if len(self.worth.spots) <= EXACT:
            return self._through(chosen)
        chosen = self._swapped(self._engine(chosen))
        value, bound = self.worth.of(chosen), self._bound(chosen)
        return chosen, max(value, bound), bound <= value + _HAIR

    def _greedy(self) -> Choice:
        """Take the spot that adds most, again and again, as long as one fits."""
        chosen: list[int] = []
        left = list(range(len(self.worth.spots)))
        while left and not self.over():
            left.sort(key=lambda i: (-self.worth.adds(chosen, i), i))
            fits = next((i for i in left if not self.over() and self._fits((*chosen, i))), None)
            if fits is None:
                break
            chosen.append(fits)
            left.remove(fits)
        return tuple(sorted(chosen))

    def _full(self, chosen: Choice) -> Choice:
        """Add whatever else fits."""
        for i in range(len(self.worth.spots)):
            if i not in chosen and not self.over() and self._fits((*chosen, i)):
                chosen = tuple(sorted((*chosen, i)))
        return chosen

    def _through(self, chosen: Choice) -> tuple[Choice, float, bool]:
        """Go through every choice, the one worth most first; none that is worth no more than one in hand."""
        values = self.worth.of_all()
        value, open_ = values[_mask(chosen)], 0.0
        for mask in np.argsort(-values, kind="stable").tolist():
            if values[mask] <= value + _HAIR:
                break
            if self.over():
                open_ = max(open_, float(values[mask]))
                break
            fit = self.ask(_choice(mask))
            if fit.plan is not None:
                chosen, value = _choice(mask), values[mask]
                break
            if not fit.proved:
                open_ = max(open_, float(values[mask]))
        return chosen, max(float(value), open_), open_ == 0.0

    def _engine(self, chosen: Choice) -> Choice:
        """Let the engine choose by what each spot adds to the rest, and again by what it adds to that."""
        rest = list(range(len(self.worth.spots)))
        for _ in range(4):
            if self.over():
                break
            adds = [self.worth.adds([j for j in chosen if j != i], i) for i in rest]
            other = self.suggest(adds)
            if other is None or self.worth.of(other) <= self.worth.of(chosen) + _HAIR:
                break
            if not self._fits(other):
                break
            chosen = self._full(tuple(sorted(other)))
        return chosen

    def _swapped(self, chosen: Choice) -> Choice:
        """Put one spot in for another while that is worth more and fits."""
        better = True
        while better and not self.over():
            better = False
            for other in self._swaps(chosen):
                if self.over():
                    break
                if self._fits(other):
                    chosen, better = self._full(other), True
                    break
        return chosen

    def _swaps(self, chosen: Choice) -> list[Choice]:
        value, rest = self.worth.of(chosen), set(range(len(self.worth.spots))) - set(chosen)
        swaps = [tuple(sorted((*(j for j in chosen if j != out), i))) for out in chosen for i in rest]
        worth = {swap: self.worth.of(swap) for swap in swaps}
        return sorted((s for s in swaps if worth[s] > value + _HAIR), key=lambda s: (-worth[s], s))

    def _bound(self, chosen: Choice) -> float:
        """Give what no choice is worth more than.

        For any two choices the one is worth no more than the other with all that each further spot adds to
        it; and spots take at least their own time out of what is free.

        References
        ----------
        Nemhauser, G. L., Wolsey, L. A., Fisher, M. L. (1978), Mathematical Programming 14, 265-294, (1.1):
        what defines a set function with falling returns. Dantzig, G. B. (1957), Operations Research 5(2),
        266-277: the knapsack filled in fractions.
        """
        alone = [i for i in range(len(self.worth.spots)) if not self._never(i)]
        starts: list[Choice] = [(), chosen, tuple(alone)]
        rooms = self.rooms or [(0.0, [0.0] * len(self.worth.spots))]
        return min(self._from(start, alone, *room) for start in starts for room in rooms)

    def _never(self, i: int) -> bool:
        fit = self.known.get((i,))
        return fit is not None and fit.plan is None and fit.proved

    def _from(self, start: Choice, alone: Sequence[int], free: float, needs: Sequence[float]) -> float:
        bound, rest = self.worth.of(start), [i for i in alone if i not in start]
        adds = {i: self.worth.adds(start, i) for i in rest}
        for i in sorted(rest, key=lambda i: -adds[i] / max(needs[i], _HAIR)):
            share = 1.0 if needs[i] <= free else max(0.0, free) / needs[i]
            bound += share * adds[i]
            free -= share * needs[i]
        return bound


def _mask(choice: Sequence[int]) -> int:
    return sum(1 << i for i in choice)


def _choice(mask: int) -> Choice:
    return tuple(i for i in range(mask.bit_length()) if mask >> i & 1)
