"""Least costly ways, against scipy's Dijkstra on a graph made edge by edge."""

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from tendline.core.errors import Refused
from tendline.terrain.least_cost import corridor, costs_from


def graph(r: np.ndarray, dx: float, dy: float) -> coo_array:
    rows, cols = r.shape
    number = np.arange(r.size).reshape(r.shape)
    i, j, w = [], [], []
    for down, across in ((0, 1), (1, 0), (1, 1), (1, -1)):
        a = (slice(0, rows - down), slice(max(0, -across), cols - max(0, across)))
        b = (slice(down, rows), slice(max(0, across), cols + min(0, across)))
        cost = np.hypot(down * dy, across * dx) * (r[a] + r[b]) / 2.0
        fine = np.isfinite(cost)
        i.append(number[a][fine])
        j.append(number[b][fine])
        w.append(cost[fine])
    one, other, cost = (np.concatenate(part) for part in (i, j, w))
    return coo_array(
        (np.concatenate([cost, cost]), (np.concatenate([one, other]), np.concatenate([other, one])))
    )


def test_costs_are_those_of_scipy() -> None:
    """scipy.sparse.csgraph.dijkstra on the same edges."""
    chance = np.random.default_rng(8)
    r = (10.0 ** chance.uniform(-1, 2, (47, 60))).astype(np.float32)
    r[chance.random(r.shape) < 0.2] = np.inf
    (a, b), (c, d) = np.argwhere(np.isfinite(r))[[3, -5]].tolist()
    start, end = (a, b), (c, d)
    expected = dijkstra(graph(r.astype(np.float64), 5.0, 8.0).tocsr(), indices=start[0] * 60 + start[1])
    found, _ = costs_from(r, start, dx=5.0, dy=8.0)
    assert found.ravel() == pytest.approx(expected, rel=1e-12)
    way = corridor(r, start, end, dx=5.0, dy=8.0)
    assert tuple(way.cells[0]) == start
    assert tuple(way.cells[-1]) == end
    # The way costs what it says, step by step.
    steps = np.diff(way.cells, axis=0)
    held = r[tuple(way.cells.T)].astype(np.float64)
    total = np.sum(np.hypot(steps[:, 0] * 8.0, steps[:, 1] * 5.0) * (held[1:] + held[:-1]) / 2.0)
    assert total == pytest.approx(way.cost, rel=1e-12)
    assert way.extra[tuple(way.cells.T)] == pytest.approx(0.0, abs=1e-6)
    assert np.min(way.extra) > -1e-6
    assert way.within(0.05).sum() >= len(way.cells)


def test_no_way_is_said() -> None:
    r = np.ones((9, 9), np.float32)
    r[:, 4] = np.inf
    with pytest.raises(Refused) as caught:
        corridor(r, (4, 0), (4, 8), dx=1.0, dy=1.0)
    assert caught.value.faults[0].code.id == "TERR-121"
