"""Owns the compiled loops of one level of a multigrid cycle: rows solved, what is left, coarse and fine.

Does not own the levels and their order (terrain.levels) or conjugate gradients (terrain.gradient).

A level is a grid of nodes with one more row and column of nothing on every side. `e`, `s`, `se` and `sw` hold
what ties a node to its neighbours in the east, south, south-east and south-west; `m` holds the pivots of each
row taken by itself. On a level of four neighbours `se` and `sw` have no size. A coarse level keeps every
second row and column. `p` holds how much of each coarse node its eight neighbours on the fine level take
while the coarse level is made; going down and up takes the western and the eastern one alone.
"""

# ruff: noqa: PLR0917 - the compiler takes arrays one by one
import numpy as np

from tendline.terrain.compiling import Float32, Float64, compiled_sums

PIVOT_SHARE = 1e-6
"""A pivot is at least this share of its diagonal: less is noise of single precision."""

NW, N, NE, W, E, SW, S, SE = range(8)


@compiled_sums
def pivots(d: Float32, e: Float32, m: Float32) -> None:
    """Factor each row as if it stood alone; `m` takes the inverses of the pivots, 0 for a dead node."""
    for i in range(1, d.shape[0] - 1):
        carried = 0.0
        for j in range(1, d.shape[1] - 1):
            full = np.float64(d[i, j])
            if full > 0.0:
                pivot = max(full - carried * e[i, j - 1], PIVOT_SHARE * full)
                m[i, j] = np.float32(1.0 / pivot)
                carried = e[i, j] / pivot
            else:
                m[i, j] = np.float32(0.0)
                carried = 0.0


@compiled_sums
def _from_rows_beside(i: int, x: Float32, s: Float32, se: Float32, sw: Float32, t: Float32) -> None:
    """Add to `t` what the rows above and below give to row `i`."""
    up, down, s0, s1 = x[i - 1], x[i + 1], s[i - 1], s[i]
    for j in range(t.size):
        t[j] += s0[j] * up[j] + s1[j] * down[j]
    if se.size > 0:
        inner, se0, se1, sw0, sw1 = t[1:-1], se[i - 1], se[i], sw[i - 1], sw[i]
        for j in range(inner.size):
            inner[j] += se0[j] * up[j] + sw0[j + 2] * up[j + 2]
        for j in range(inner.size):
            inner[j] += se1[j + 1] * down[j + 2] + sw1[j + 1] * down[j]


@compiled_sums
def solve_rows(
    first: int,
    fresh: int,
    b: Float32,
    x: Float32,
    e: Float32,
    s: Float32,
    se: Float32,
    sw: Float32,
    m: Float32,
) -> None:
    """Solve every second row, from `first` on, given the rows between.

    Parameters
    ----------
    first
        1 or 2, counted with the row of nothing on top.
    fresh
        1 where the rows between are zero, else 0.
    b, x
        What is wanted, and the solution. `x` is changed.
    e, s, se, sw, m
        The level.
    """
    cols = b.shape[1]
    t = np.empty(cols, np.float32)
    for i in range(first, b.shape[0] - 1, 2):
        t[:] = b[i]
        if fresh == 0:
            _from_rows_beside(i, x, s, se, sw, t)
        tie, pivot, out = e[i], m[i], x[i]
        y, gain = np.float32(0.0), np.float32(0.0)
        for j in range(1, cols - 1):
            y = t[j] + gain * y
            t[j] = y
            gain = tie[j] * pivot[j]
        y = np.float32(0.0)
        for j in range(cols - 2, 0, -1):
            y = pivot[j] * t[j] + (pivot[j] * tie[j]) * y
            out[j] = y


@compiled_sums
def restrict(
    b: Float32,
    x: Float32,
    d: Float32,
    e: Float32,
    s: Float32,
    se: Float32,
    sw: Float32,
    p: Float32,
    coarse: Float32,
) -> None:
    """Give the coarse level what is left of `b`: once the rows between are solved, none is left on them."""
    cols = b.shape[1]
    t = np.zeros(cols, np.float32)
    for k in range(1, coarse.shape[0] - 1):
        i = 2 * k - 1
        t[:] = b[i]
        _from_rows_beside(i, x, s, se, sw, t)
        for j in range(1, cols - 1):
            t[j] += e[i, j - 1] * x[i, j - 1] + e[i, j] * x[i, j + 1] - d[i, j] * x[i, j]
        t[cols - 1] = 0.0
        t[0] = 0.0
        for c in range(1, coarse.shape[1] - 1):
            j = 2 * c - 1
            coarse[k, c] = t[j] + p[k, c, 0] * t[j - 1] + p[k, c, 1] * t[j + 1]


@compiled_sums
def correct(x: Float32, coarse: Float32, p: Float32) -> None:
    """Add the coarse solution on the rows that it shares; the rows between follow when they are solved."""
    for k in range(1, coarse.shape[0] - 1):
        i = 2 * k - 1
        for c in range(1, coarse.shape[1] - 1):
            j = 2 * c - 1
            x[i, j] += coarse[k, c]
            if j + 1 < x.shape[1] - 1:
                x[i, j + 1] += p[k, c, 1] * coarse[k, c] + p[k, c + 1, 0] * coarse[k, c + 1]


@compiled_sums
def interpolate(d: Float32, e: Float32, s: Float32, se: Float32, sw: Float32, p: Float32) -> None:
    """Work out how much of each coarse node the fine nodes round it take, by what ties them.

    Notes
    -----
    A node between two coarse nodes of a row counts its ties to the column left and right of it as if they all
    went to those two, and lets those to its own column drop; a column likewise. A node in the middle of four
    is then as its own equation says.
    """
    _along_rows(d, e, s, se, sw, p)
    _along_columns(d, e, s, se, sw, p)
    for k in range(1, p.shape[0]):
        i = 2 * k - 2
        for c in range(1, p.shape[1]):
            j = 2 * c - 2
            if 1 <= i < d.shape[0] - 1 and 1 <= j < d.shape[1] - 1 and d[i, j] > 0:
                _middle(i, j, k, c, d, e, s, se, sw, p)


@compiled_sums
def _along_rows(d: Float32, e: Float32, s: Float32, se: Float32, sw: Float32, p: Float32) -> None:
    """Fill in what a node between the coarse columns c - 1 and c takes of both."""
    for k in range(1, p.shape[0] - 1):
        i = 2 * k - 1
        for c in range(2, p.shape[1]):
            j = 2 * c - 2
            if j > d.shape[1] - 2:
                continue
            left, right = e[i, j - 1], e[i, j]
            if se.size > 0:
                left += se[i - 1, j - 1] + sw[i, j]
                right += sw[i - 1, j + 1] + se[i, j]
            free = max(d[i, j] - s[i - 1, j] - s[i, j], left + right)
            if free > 0 and left + right > 0:
                p[k, c - 1, E] = left / free
                p[k, c, W] = right / free


@compiled_sums
def _along_columns(d: Float32, e: Float32, s: Float32, se: Float32, sw: Float32, p: Float32) -> None:
    """Fill in what a node between the coarse rows k - 1 and k takes of both."""
    for k in range(2, p.shape[0]):
        i = 2 * k - 2
        if i > d.shape[0] - 2:
            continue
        for c in range(1, p.shape[1] - 1):
            j = 2 * c - 1
            up, down = s[i - 1, j], s[i, j]
            if se.size > 0:
                up += se[i - 1, j - 1] + sw[i - 1, j + 1]
                down += sw[i, j] + se[i, j]
            free = max(d[i, j] - e[i, j - 1] - e[i, j], up + down)
            if free > 0 and up + down > 0:
                p[k - 1, c, S] = up / free
                p[k, c, N] = down / free


@compiled_sums
def _middle(
    i: int,
    j: int,
    k: int,
    c: int,
    d: Float32,
    e: Float32,
    s: Float32,
    se: Float32,
    sw: Float32,
    p: Float32,
) -> None:
    """Fill in what a node in the middle of four coarse nodes takes of each."""
    north, south, west, east = s[i - 1, j], s[i, j], e[i, j - 1], e[i, j]
    nw = north * p[k - 1, c - 1, E] + west * p[k - 1, c - 1, S]
    ne = north * p[k - 1, c, W] + east * p[k - 1, c, S]
    low_w = south * p[k, c - 1, E] + west * p[k, c - 1, N]
    low_e = south * p[k, c, W] + east * p[k, c, N]
    if se.size > 0:
        nw += se[i - 1, j - 1]
        ne += sw[i - 1, j + 1]
        low_w += sw[i, j]
        low_e += se[i, j]
    p[k - 1, c - 1, SE] = nw / d[i, j]
    p[k - 1, c, SW] = ne / d[i, j]
    p[k, c - 1, NE] = low_w / d[i, j]
    p[k, c, NW] = low_e / d[i, j]


@compiled_sums
def coarsen(
    d: Float32,
    e: Float32,
    s: Float32,
    se: Float32,
    sw: Float32,
    p: Float32,
    cd: Float32,
    ce: Float32,
    cs: Float32,
    cse: Float32,
    csw: Float32,
) -> None:
    """Work out the coarse level: the fine one seen through the interpolation, from both sides.

    Notes
    -----
    One coarse node at a time: its share of the fine nodes, 3 by 3; what the fine level makes of that, 5 by 5;
    and that again as the coarse node and four of its neighbours share in it.
    """
    rows, cols = d.shape
    share = np.zeros((7, 7), np.float64)
    made = np.zeros((5, 5), np.float64)
    for k in range(1, cd.shape[0] - 1):
        for c in range(1, cd.shape[1] - 1):
            i, j = 2 * k - 1, 2 * c - 1
            w = p[k, c]
            share[2, 2], share[2, 3], share[2, 4] = w[0], w[1], w[2]
            share[3, 2], share[3, 3], share[3, 4] = w[3], 1.0, w[4]
            share[4, 2], share[4, 3], share[4, 4] = w[5], w[6], w[7]
            for a in range(5):
                r = i + a - 2
                for b in range(5):
                    q = j + b - 2
                    if r < 1 or r > rows - 2 or q < 1 or q > cols - 2:
                        made[a, b] = 0.0
                        continue
                    got = d[r, q] * share[a + 1, b + 1]
                    got -= e[r, q - 1] * share[a + 1, b] + e[r, q] * share[a + 1, b + 2]
                    got -= s[r - 1, q] * share[a, b + 1] + s[r, q] * share[a + 2, b + 1]
                    if se.size > 0:
                        got -= se[r - 1, q - 1] * share[a, b] + se[r, q] * share[a + 2, b + 2]
                        got -= sw[r - 1, q + 1] * share[a, b + 2] + sw[r, q] * share[a + 2, b]
                    made[a, b] = got
            cd[k, c] = _seen_by(p[k, c], made, 2, 2)
            ce[k, c] = -_seen_by(p[k, c + 1], made, 2, 4)
            cs[k, c] = -_seen_by(p[k + 1, c], made, 4, 2)
            cse[k, c] = -_seen_by(p[k + 1, c + 1], made, 4, 4)
            csw[k, c] = -_seen_by(p[k + 1, c - 1], made, 4, 0)
    for k in range(cd.shape[0]):
        ce[k, cd.shape[1] - 2] = 0.0
        cse[k, cd.shape[1] - 2] = 0.0
        csw[k, 1] = 0.0
    for c in range(cd.shape[1]):
        cs[cd.shape[0] - 2, c] = 0.0
        cse[cd.shape[0] - 2, c] = 0.0
        csw[cd.shape[0] - 2, c] = 0.0


@compiled_sums
def _seen_by(w: Float32, made: Float64, row: int, col: int) -> float:
    """Add up what a coarse node at that place of the 5 by 5 takes of it."""
    total = 0.0
    for a in range(-1, 2):
        for b in range(-1, 2):
            r, q = row + a, col + b
            if 0 <= r < 5 and 0 <= q < 5:
                n = 3 * (a + 1) + b + 1
                weight = 1.0 if n == 4 else np.float64(w[n if n < 4 else n - 1])
                total += weight * made[r, q]
    return total
