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
Floats = npt.NDArray[np.float64]

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


def shortest_tours(
    inst: Instance, blocks: Sequence[Block], *, longest: int, keep: int
) -> tuple[list[Tour], bool]:
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

    Returns
    -------
    tuple of list of Tour and bool
        The tours, and whether no choice that fits was left out.

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
    layers, whole = [_first(out, home, longest)], True
    while len(layers[-1].masks):
        layer, cut = _longer(layers[-1], legs, home, alone, longest=longest, keep=keep)
        layers.append(layer)
        whole = whole and not cut
    tours = [
        _tour(_order(layers, size, row, legs, home), out, legs, home)
        for size, layer in enumerate(layers)
        for row in range(len(layer.masks))
    ]
    return tours, whole


def worthy_tours(
    inst: Instance, blocks: Sequence[Block], worth: Floats, *, longest: int, keep: int, most: int
) -> list[Tour]:
    """Give tours that take little time for what their blocks are worth, the best first.

    Parameters
    ----------
    worth
        What each block is worth in this outing [ms]; those worth nothing are left out.
    longest
        The longest outing [ms].
    keep
        Of every number of blocks so many choices are followed up.
    most
        So many tours are given at most.
    """
    some = np.flatnonzero(worth > 0.0).tolist()
    if not some:
        return []
    parking = [blocks[b].parking for b in some]
    spans = np.array([blocks[b].whole for b in some], dtype=np.int64)
    out = np.array([inst.go[p] for p in parking], dtype=np.int64)
    home = spans + np.array([inst.home[p] for p in parking], dtype=np.int64)
    legs = spans[:, None] + np.array(inst.hop, dtype=np.int64)[np.ix_(parking, parking)]
    layers = [_first(out, home, longest)]
    while len(layers[-1].masks):
        layer, _ = _longer(layers[-1], legs, home, worth[some], longest=longest, keep=keep, less=True)
        layers.append(layer)
    price: list[tuple[float, int, int]] = []
    for size, layer in enumerate(layers):
        if len(layer.masks):
            cost = _price(layer.masks, layer.paths, home, worth[some])
            price += [(float(cost[row]), size, int(row)) for row in np.argsort(cost, kind="stable")[:most]]
    found = []
    for _, size, row in sorted(price)[:most]:
        order = [some[k] for k in _order(layers, size, row, legs, home)]
        found.append(timed(inst, blocks, order))
    return found


def _price(masks: Ints, paths: Ints, home: Ints, worth: Floats) -> Floats:
    inside = (masks[:, None] >> np.arange(len(home)) & 1) == 1
    price: Floats = (paths + home).min(axis=1) - (inside * worth).sum(axis=1)
    return price


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


def _longer(
    layer: _Layer,
    legs: Ints,
    home: Ints,
    worth: Ints | Floats,
    *,
    longest: int,
    keep: int,
    less: bool = False,
) -> tuple[_Layer, bool]:
    """Add a block to every choice; rank by the time as a share of the worth, or by the time `less` it."""
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
    cut = len(found) > keep
    if cut:
        inside = (found[:, None] >> np.arange(len(home)) & 1) == 1
        time, total = (paths + home).min(axis=1), (inside * worth).sum(axis=1)
        best = _varied(np.argsort(time - total if less else time / total, kind="stable"), inside, keep)
        found, paths = found[best], paths[best]
    return _Layer(found, paths), cut


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
