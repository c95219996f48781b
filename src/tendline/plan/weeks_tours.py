"""Owns the shortest drives over every choice of walks that fits into an outing.

Does not own when an outing is driven (`plan.weeks_rounds`).
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from tendline.plan.instance import Instance
from tendline.plan.weeks_blocks import Block

Ints = npt.NDArray[np.int64]

MOST_BLOCKS = 62
"""A choice of walks is a whole number of 64 bits."""


class Tour(NamedTuple):
    """A choice of walks in a driving order; times are milliseconds after leaving.

    Parameters
    ----------
    order
        Blocks in driving order.
    parked
        When the truck is parked for each.
    whole
        Being back.
    """

    order: tuple[int, ...]
    parked: tuple[int, ...]
    whole: int


class _Layer(NamedTuple):
    masks: Ints
    paths: Ints


def shortest_tours(inst: Instance, blocks: Sequence[Block], *, longest: int, keep: int) -> list[Tour]:
    """Give the shortest tour over every choice of blocks that takes no longer than `longest`.

    Parameters
    ----------
    inst, blocks
        Ways in whole numbers, and the walks.
    longest
        The longest outing [ms].
    keep
        Of every number of blocks about this many choices are followed up, those that save most time over
        driving to each block by itself, and some with each block; a large number gives every choice.

    References
    ----------
    Held, M., Karp, R. M. (1962), J. SIAM 10(1), 196-210: the recursion, over the choices that fit alone.
    """
    parking = [block.parking for block in blocks]
    spans = np.array([block.whole for block in blocks], dtype=np.int64)
    out = np.array([inst.go[p] for p in parking], dtype=np.int64)
    home = spans + np.array([inst.home[p] for p in parking], dtype=np.int64)
    legs = spans[:, None] + np.array(inst.hop, dtype=np.int64)[np.ix_(parking, parking)]
    alone = out + home
    layers = [_first(out, home, longest)]
    while len(layers[-1].masks):
        layers.append(_longer(layers[-1], legs, home, alone, longest=longest, keep=keep))
    return [
        _tour(_order(layers, size, row, legs, home), out, legs, home)
        for size, layer in enumerate(layers)
        for row in range(len(layer.masks))
    ]


def timed(inst: Instance, blocks: Sequence[Block], order: Sequence[int]) -> Tour:
    """Give the times of a driving order."""
    now, parked, legs = 0, [], inst.go
    for b in order:
        now += legs[blocks[b].parking]
        parked.append(now)
        now += blocks[b].whole
        legs = inst.hop[blocks[b].parking]
    return Tour(tuple(order), tuple(parked), now + inst.home[blocks[order[-1]].parking])


_NONE = np.int64(1) << 50


def _first(out: Ints, home: Ints, longest: int) -> _Layer:
    fits = np.flatnonzero(out + home <= longest)
    paths = np.full((len(fits), len(out)), _NONE, dtype=np.int64)
    paths[np.arange(len(fits)), fits] = out[fits]
    return _Layer(np.int64(1) << fits.astype(np.int64), paths)


def _longer(layer: _Layer, legs: Ints, home: Ints, alone: Ints, *, longest: int, keep: int) -> _Layer:
    masks, lasts, costs = [], [], []
    for j in range(len(home)):
        lacking = (layer.masks >> j & 1) == 0
        time = (layer.paths[lacking] + legs[:, j]).min(axis=1)
        fits = time + home[j] <= longest
        masks.append(layer.masks[lacking][fits] | np.int64(1) << j)
        lasts.append(np.full(int(fits.sum()), j))
        costs.append(time[fits])
    found, inverse = np.unique(np.concatenate(masks), return_inverse=True)
    paths = np.full((len(found), len(home)), _NONE, dtype=np.int64)
    paths[inverse, np.concatenate(lasts)] = np.concatenate(costs)
    if len(found) > keep:
        inside = (found[:, None] >> np.arange(len(home)) & 1) == 1
        share = (paths + home).min(axis=1) / (inside * alone).sum(axis=1)
        best = _varied(np.argsort(share, kind="stable"), inside, keep)
        found, paths = found[best], paths[best]
    return _Layer(found, paths)


def _varied(ranked: Ints, inside: npt.NDArray[np.bool_], keep: int) -> Ints:
    """Keep the first of all, and of those with each block in them the first few: no block goes without."""
    few = max(3, keep // inside.shape[1])
    chosen = {int(row) for row in ranked[: keep // 2]}
    for block in range(inside.shape[1]):
        with_it = ranked[inside[ranked, block]]
        chosen.update(int(row) for row in with_it[:few])
    return np.array(sorted(chosen), dtype=np.int64)


def _order(layers: Sequence[_Layer], size: int, row: int, legs: Ints, home: Ints) -> list[int]:
    """Read the shortest order back, from the last place to the first."""
    order, onward, mask = [], home, int(layers[size].masks[row])
    for layer in reversed(layers[: size + 1]):
        at = int(np.searchsorted(layer.masks, mask))
        last = int((layer.paths[at] + onward).argmin())
        order.append(last)
        onward = legs[:, last]
        mask ^= 1 << last
    return order[::-1]


def _tour(order: list[int], out: Ints, legs: Ints, home: Ints) -> Tour:
    now, parked = int(out[order[0]]), []
    for k, b in enumerate(order):
        now += int(legs[order[k - 1], b]) if k else 0
        parked.append(now)
    return Tour(tuple(order), tuple(parked), now + int(home[order[-1]]))
