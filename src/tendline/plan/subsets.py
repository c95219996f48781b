"""Owns dynamic programming over subsets: the shortest tour of each, the cheapest split of each.

Does not own what the tours are of: sets round one parking, or parkings round the line.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.instance import FAR

Ints = npt.NDArray[np.int64]

_BLOCK = 1 << 9
"""Tables up to this size are split in one go."""


@dataclass(frozen=True, eq=False)
class Tours:
    """Shortest tours from one place over every subset of n others and on to a last place.

    A subset is a number whose bit j says whether place j is in it.

    Parameters
    ----------
    out
        From the first place to each, with what is done there, shape (n,) [ms].
    legs
        From row to column, with what is done at the column, shape (n, n) [ms].
    back
        From each to the last place, shape (n,) [ms].

    References
    ----------
    Held, M., Karp, R. M. (1962), A dynamic programming approach to sequencing problems, J. SIAM 10(1),
    196-210, the recursion for the travelling salesman.
    """

    out: Ints
    legs: Ints
    back: Ints

    @cached_property
    def paths(self) -> Ints:
        """Shortest way over each subset that ends at each place, shape (2^n, n); `FAR` or more for none."""
        n = len(self.out)
        paths = np.full((1 << n, n), FAR, dtype=np.int64)
        paths[1 << np.arange(n), np.arange(n)] = self.out
        subsets = np.arange(1 << n)
        size = np.array([int(subset).bit_count() for subset in subsets])
        for members in range(1, n):
            layer = subsets[size == members]
            longer = np.minimum((paths[layer][:, :, None] + self.legs[None]).min(axis=1), FAR)
            for j in range(n):
                lacking = (layer >> j & 1) == 0
                paths[layer[lacking] | 1 << j, j] = longer[lacking, j]
        return paths

    @cached_property
    def lengths(self) -> Ints:
        """Shortest tour of each subset, shape (2^n,); `FAR` for none, and for the empty subset."""
        lengths: Ints = np.minimum((self.paths + self.back).min(axis=1), FAR)
        return lengths

    def order(self, subset: int) -> list[int]:
        """Give the places of `subset` in the order of its shortest tour."""
        order: list[int] = []
        onward = self.back
        while subset:
            last = int((self.paths[subset] + onward).argmin())
            order.append(last)
            onward = self.legs[:, last]
            subset ^= 1 << last
        return order[::-1]


def split(left: Ints, right: Ints) -> Ints:
    """Give for every subset the cheapest way to divide it between two, shape (2^n,).

    Entry s is the least ``left[a] + right[b]`` over all a and b without a common member that make up s. Every
    pair is worked through once, 3^n of them: the tables are cut in half by the highest place, which is in
    neither, in a, or in b, and so on down.
    """
    if left.size <= _BLOCK:
        return _split_block(left, right)
    half = left.size // 2
    low = split(left[:half], right[:half])
    high = np.minimum(split(left[half:], right[:half]), split(left[:half], right[half:]))
    return np.concatenate((low, high))


def _split_block(left: Ints, right: Ints) -> Ints:
    """Do the same for tables small enough that all pairs stand side by side in the processor's own memory."""
    places = int(left.size).bit_length() - 1
    lefts, rights = left.reshape(1, -1), right.reshape(1, -1)
    for _ in range(places):
        half = lefts.shape[1] // 2
        lefts = np.concatenate((lefts[:, :half], lefts[:, half:], lefts[:, :half]))
        rights = np.concatenate((rights[:, :half], rights[:, :half], rights[:, half:]))
    cost = lefts + rights
    for _ in range(places):
        rows = len(cost) // 3
        least = np.minimum(cost[rows : 2 * rows], cost[2 * rows :])
        cost = np.concatenate((cost[:rows], least), axis=1)
    cheapest: Ints = np.minimum(cost[0], FAR)
    return cheapest


def divided(left: Ints, right: Ints, whole: int) -> tuple[int, int]:
    """Give the two parts of the cheapest way to divide `whole`."""
    parts = np.arange(whole + 1)
    parts = parts[parts & ~whole == 0]
    best = int(parts[(left[parts] + right[whole ^ parts]).argmin()])
    return best, whole ^ best
