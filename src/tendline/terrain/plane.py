"""Owns the little plane geometry that barriers need: nearest points, crossing ways, the shortest way over.

Does not own drawing into cells (terrain.draw) or projecting (almanac.geodesy).
"""

import math

import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.float64]
Edges = npt.NDArray[np.float64]
"""Straight edges, (n, 2, 2): which edge, start or end, x or y [m]."""

_DIRECTIONS = 72


def edges_of(lines: tuple[Points, ...]) -> Edges:
    """Cut lines and rings, each (k, 2), into their edges; a line of one point is an edge of no length."""
    pieces = [
        np.stack([line[:-1], line[1:]], axis=1) if len(line) > 1 else np.stack([line, line], 1)
        for line in lines
    ]
    return np.concatenate(pieces) if pieces else np.empty((0, 2, 2))


def nearest_on(edges: Edges, point: Points) -> tuple[float, Points]:
    """Give the distance [m] from a point to the nearest of at least one edges, and where on it."""
    distances, feet = _feet(edges, point[None])
    best = int(np.argmin(distances[0]))
    return float(distances[0, best]), feet[0, best]


def _feet(edges: Edges, points: Points) -> tuple[Points, Points]:
    """Distance from each point to each edge [m], (n, k), and the nearest point of the edge, (n, k, 2)."""
    start, along = edges[:, 0], edges[:, 1] - edges[:, 0]
    length2 = np.einsum("ij,ij->i", along, along)
    share = np.einsum("pij,ij->pi", points[:, None] - start, along) / np.where(length2 > 0, length2, 1.0)
    feet = start + along * np.clip(share, 0.0, 1.0)[..., None]
    away = feet - points[:, None]
    return np.hypot(away[..., 0], away[..., 1]), feet


def way_crosses(edges: Edges, start: Points, end: Points) -> bool:
    """Whether the straight way between two points meets any of the edges; touching counts."""
    p, q = edges[:, 0], edges[:, 1]
    turn = _turns(start, end, p) * _turns(start, end, q)
    back = _turns(p, q, start) * _turns(p, q, end)
    apart = np.any(np.minimum(p, q) > np.maximum(start, end), axis=1)
    apart |= np.any(np.maximum(p, q) < np.minimum(start, end), axis=1)
    return bool(np.any((turn <= 0) & (back <= 0) & ~apart))


def _turns(a: Points, b: Points, c: Points) -> Points:
    """Twice the signed area of the triangles a, b, c."""
    ab, ac = b - a, c - a
    turns: Points = ab[..., 0] * ac[..., 1] - ab[..., 1] * ac[..., 0]
    return turns


def gap_between(edges: Edges, others: Edges) -> tuple[float, Points]:
    """Give the distance between two sets of edges [m], and the point of `edges` where they are nearest.

    Zero where they cross, with any point of `others` then.
    """
    for start, end in others:
        if way_crosses(edges, start, end):
            return 0.0, start
    ends = edges.reshape(-1, 2)
    there, feet = _feet(edges, others.reshape(-1, 2))
    back, _ = _feet(others, ends)
    if there.min() <= back.min():
        return float(there.min()), feet.reshape(-1, 2)[int(np.argmin(there))]
    return float(back.min()), ends[int(np.argmin(back.min(axis=1)))]


def holds(rings: Edges, point: Points) -> bool:
    """Whether the area between the edges of rings holds a point: an odd number of them lies to one side."""
    return bool(np.sum(_hits(rings, point, np.array([1.0, 0.0])) > 0) % 2)


def shortest_way_over(edges: Edges, point: Points) -> Points:
    """Find the shortest straight way through a point that reaches both banks of an area.

    Parameters
    ----------
    edges
        Of the area's rings.
    point
        The place of the crossing, in the area or beside it [m].

    Returns
    -------
    ndarray
        (2, 2): the two ends [m]. Directions are tried five degrees of a full turn apart, and straight at the
        nearest bank.
    """
    toward = nearest_on(edges, point)[1] - point
    angles = np.arange(_DIRECTIONS) * (2 * math.pi / _DIRECTIONS)
    if np.any(toward != 0):
        angles = np.append(angles, math.atan2(toward[1], toward[0]))
    best = np.stack([point, point])
    least = math.inf
    for angle in angles:
        direction = np.array([math.cos(angle), math.sin(angle)])
        hits = _hits(edges, point, direction)
        for enter, leave in zip(hits[::2], hits[1::2], strict=False):
            low, high = min(enter, 0.0), max(leave, 0.0)
            if high - low < least:
                least, best = high - low, np.stack([point + low * direction, point + high * direction])
    return best


def _hits(edges: Edges, point: Points, direction: Points) -> Points:
    """Signed distances [m] along a straight line at which it crosses the edges, in order."""
    side = _turns(point, point + direction, edges[:, 0]), _turns(point, point + direction, edges[:, 1])
    cut = (side[0] <= 0) != (side[1] <= 0)
    share = side[0][cut] / (side[0][cut] - side[1][cut])
    where = edges[cut, 0] + (edges[cut, 1] - edges[cut, 0]) * share[:, None]
    return np.sort((where - point) @ direction)
