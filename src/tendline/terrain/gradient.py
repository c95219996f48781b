"""Owns the compiled loops of conjugate gradients on a grid of ties: products, sums, steps, in double.

Does not own the iteration (terrain.current) or what leads it (terrain.levels).
"""

# ruff: noqa: PLR0917 - the compiler takes arrays one by one
import numpy as np

from tendline.terrain.compiling import Bytes, Float32, Float64, Int32, Int64, compiled_sums


@compiled_sums
def product(
    v: Float64,
    e: Float32,
    s: Float32,
    se: Float32,
    sw: Float32,
    at: Int64,
    ground: Float64,
    weak: float,
    out: Float64,
) -> float:
    """Give what flows out of every node at these potentials; the sum of it times the potential besides.

    Parameters
    ----------
    v
        Potentials, (rows + 2, cols + 2), zero on the rim.
    e, s, se, sw
        Ties, as of `terrain.levels.Level`.
    at, ground
        Flat numbers of the nodes tied to the ground, and by how much.
    weak
        Ties to the east and south of exactly so much count as none; below zero where there are no such.
    out
        Takes what flows out. Changed.

    Notes
    -----
    Flows are summed as differences of potential along ties: no rounding of a diagonal makes a leak.
    """
    cols, none = v.shape[1], np.float32(weak)
    for i in range(1, v.shape[0] - 1):
        up, here, down, o = v[i - 1], v[i], v[i + 1], out[i]
        e1, s0, s1 = e[i], s[i - 1], s[i]
        for j in range(1, cols - 1):
            o[j] = s0[j] * np.float32(s0[j] != none) * (here[j] - up[j])
            o[j] += s1[j] * np.float32(s1[j] != none) * (here[j] - down[j])
        for j in range(1, cols - 1):
            o[j] += e1[j - 1] * np.float32(e1[j - 1] != none) * (here[j] - here[j - 1])
            o[j] += e1[j] * np.float32(e1[j] != none) * (here[j] - here[j + 1])
        if se.size > 0:
            se0, se1, sw0, sw1 = se[i - 1], se[i], sw[i - 1], sw[i]
            for j in range(1, cols - 1):
                o[j] += se0[j - 1] * (here[j] - up[j - 1]) + sw0[j + 1] * (here[j] - up[j + 1])
            for j in range(1, cols - 1):
                o[j] += se1[j] * (here[j] - down[j + 1]) + sw1[j] * (here[j] - down[j - 1])
    flat, flat_out = v.reshape(-1), out.reshape(-1)
    for n in range(at.size):
        flat_out[at[n]] += ground[n] * flat[at[n]]
    return dot(v, out)


@compiled_sums
def dot(a: Float64, b: Float64 | Float32) -> float:
    """Sum the products of two grids, in double precision whatever the second is in."""
    total = 0.0
    for i in range(a.shape[0]):
        x, y = a[i], b[i]
        part = 0.0
        for j in range(x.size):
            part += x[j] * y[j]
        total += part
    return total


@compiled_sums
def step(size: float, way: Float64, pull: Float64, v: Float64, r: Float64) -> float:
    """Go along `way`: change the potentials `v` and what is left `r`; give the square of what is left."""
    total = 0.0
    for i in range(v.shape[0]):
        w, q, a, b = way[i], pull[i], v[i], r[i]
        part = 0.0
        for j in range(w.size):
            a[j] += size * w[j]
        for j in range(w.size):
            left = b[j] - size * q[j]
            b[j] = left
            part += left * left
        total += part
    return total


@compiled_sums
def turn(share: float, z: Float32, way: Float64) -> None:
    """Give the next way to go: the new direction and a share of the old."""
    for i in range(z.shape[0]):
        a, b = z[i], way[i]
        for j in range(a.size):
            b[j] = a[j] + share * b[j]


@compiled_sums
def flood(e: Float32, s: Float32, se: Float32, sw: Float32, at: Int64, reached: Bytes, queue: Int32) -> int:
    """Mark every node that a tie leads to from the nodes `at`; give how many are marked.

    Parameters
    ----------
    e, s, se, sw
        Ties, as of `terrain.levels.Level`.
    at
        Flat numbers of nodes to start from.
    reached
        Flat. Changed.
    queue
        Flat, as long: working space.
    """
    cols = e.shape[1]
    flat = (e.reshape(-1), s.reshape(-1), se.reshape(-1), sw.reshape(-1))
    end = 0
    for n in range(at.size):
        end = _mark(at[n], 1.0, reached, queue, end)
    done = 0
    while done < end:
        u = np.int64(queue[done])
        done += 1
        end = _mark(u + 1, flat[0][u], reached, queue, end)
        end = _mark(u - 1, flat[0][u - 1], reached, queue, end)
        end = _mark(u + cols, flat[1][u], reached, queue, end)
        end = _mark(u - cols, flat[1][u - cols], reached, queue, end)
        if se.size > 0:
            end = _mark(u + cols + 1, flat[2][u], reached, queue, end)
            end = _mark(u - cols - 1, flat[2][u - cols - 1], reached, queue, end)
            end = _mark(u + cols - 1, flat[3][u], reached, queue, end)
            end = _mark(u - cols + 1, flat[3][u - cols + 1], reached, queue, end)
    return end


@compiled_sums
def _mark(u: np.int64, tie: float, reached: Bytes, queue: Int32, end: int) -> int:
    """Mark a node and put it into the queue, where a tie leads to it and it is not marked."""
    if tie > 0 and reached[u] == 0:
        reached[u] = 1
        queue[end] = u
        end += 1
    return end
