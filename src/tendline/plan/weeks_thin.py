"""Owns writing the program of the days ahead with running counts of walks: few numbers, the same choice.

Does not own the program (`plan.weeks_master`) or solving it (`plan.lp`).

A row asks for a walk between two moments, so that every round stands in each row that its walks help to keep:
many numbers, and a solver is slow over them. Here every block has a count that runs from one moment to the
next; a round adds to it once for each walk, and a row asks how much the count grew between its two moments.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from tendline.plan.lp_program import Program
from tendline.plan.weeks_rows import Ints

Beside = Mapping[int, Sequence[tuple[int, float]]]
"""From a row to its columns that are no rounds, with their values."""


def thin(source: Program, columns: Ints, blocks: Iterable[tuple[Ints, Ints]], beside: Beside) -> Program:
    """Write a program with running counts.

    Parameters
    ----------
    source
        Columns, and rows of outings and of blocks.
    columns
        Of each round, its column.
    blocks
        Of each block: its rows, shape (count, 5), each with the moment after and until which it asks for a
        walk, two more for those that only ask if some round is driven, and its number; and its walks, shape
        (count, 2), each with its moment and its round.
    beside
        What else stands in the rows.

    Returns
    -------
    Program
        Columns and rows of `source` come first and mean the same; the counts are after them.
    """
    small = Program([*source.costs], [*source.upper], [False] * len(source.costs))
    small.rows = list(source.rows)
    for rows, walks in blocks:
        plain = rows[rows[:, 2] > rows[:, 3]]
        if not len(plain):
            continue
        moments = np.unique(plain[:, :2])
        first = len(small.costs)
        for k in range(len(moments)):
            small.column(0.0, upper=np.inf if k else 0.0)
        starts, ends = (first + np.searchsorted(moments, plain[:, side]) for side in (0, 1))
        for a, b, row in zip(starts.tolist(), ends.tolist(), plain[:, 4].tolist(), strict=True):
            more = beside.get(row, ())
            _, _, low, high = source.rows[row]
            small.rows[row] = ([b, a, *(c for c, _ in more)], [1.0, -1.0, *(v for _, v in more)], low, high)
        _count(small, first, moments, columns, walks)
    return small


def _count(small: Program, first: int, moments: Ints, columns: Ints, walks: Ints) -> None:
    """Let the count of a block grow by its walks from each moment to the next."""
    cell = np.searchsorted(moments, walks[:, 0])
    order = np.argsort(cell, kind="stable")
    edges = np.searchsorted(cell[order], np.arange(len(moments) + 1))
    added = columns[walks[order, 1]].tolist()
    for k in range(1, len(moments)):
        some = added[edges[k] : edges[k + 1]]
        numbers = [first + k, first + k - 1, *some]
        small.rows.append((numbers, [1.0, -1.0, *[-1.0] * len(some)], 0.0, 0.0))
