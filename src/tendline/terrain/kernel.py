"""Owns the compiled loops of the search: from one cell to many, and the way back.

Does not own the ground it runs over (terrain.lay, terrain.window) or what the numbers mean (terrain.moves).

The search is Dijkstra's with buckets. A bucket is no wider than the cheapest possible move, so nothing in the
lowest bucket can improve anything else in it: all of it is final, in any order. That lets the inner loops run
over batches, without a branch that depends on the ground, which is where the speed comes from:

    take      cells of the lowest bucket, the stale ones dropped, marked final
    choose    the moves from them that could still improve a cell, by a bound that needs no height
    attempt   the real time of each such move, kept where it is less
    file      the improved cells under their new buckets

There is no graph. Arrays are flat, as `terrain.lay` makes them. `time` holds the time so far [s], or minus
the time once it is final. Buckets are lists of blocks of sixteen slots in `pool`; slot 0 of a block holds
where the list goes on (0 for nowhere), and `tail` holds the last slot in use of each bucket (0 for empty).
"""

# ruff: noqa: PLR0917 - the compiler takes arrays one by one
import numpy as np

from tendline.terrain.compiling import Bits, Bytes, Float32, Int32, Int64, compiled

BATCH = 64
BLOCK = 16
CURSOR, LIVE, FREE, SPARE, TARGETS = range(5)
LEAST, SCALE, LENGTH = range(3)

_At = np.uintp  # an unsigned index spares the check for "counted from the end"
_FAR = np.float32(1e9)


@compiled
def search(
    z: Float32,
    state: Bytes,
    moves: Bits,
    off: Int64,
    passed: Int64,
    cost: Float32,
    table: Float32,
    zero: float,
    toll: Float32,
    ease: Float32,
    width: float,
    time: Float32,
    targets: Int64,
    tail: Int32,
    pool: Int32,
    counts: Int64,
) -> bool:
    """Settle cells in order of time until every target is final, or nothing is left, or `pool` runs short.

    Parameters
    ----------
    z, state, moves
        Heights [m], barrier class and allowed moves of each cell, flat with spare cells.
    off, passed
        Offsets of the sixteen moves, and of the cells they pass.
    cost
        (3, 16): least time [s], table nodes per metre of rise, and time [s] for a pace of one, of each move.
    table, zero
        Pace at equal steps of slope, and the node of slope zero.
    toll
        (256, 256): time to step from one class into another [s]; (1, 1) where no barrier has a toll.
    ease
        What time on each cell is multiplied by, flat as `z`; (1,) where it is 1 everywhere.
    width
        Width of a bucket [s], no more than the least time of any move.
    time
        Time so far [s], minus the time where final, infinite where not reached. Changed.
    targets
        Cells to settle; the first ``counts[TARGETS]`` are not yet final. Changed.
    tail, pool, counts
        The buckets, as `terrain.search` lays them out. Changed.

    Returns
    -------
    bool
        Whether it is done; if not, give it a larger pool and call again.
    """
    taken = np.empty(BATCH + 1, np.int32)
    start, which = np.empty(16 * BATCH + 1, np.int32), np.empty(16 * BATCH + 1, np.int32)
    now, before = np.empty(16 * BATCH + 1, np.float32), np.empty(16 * BATCH + 1, np.float32)
    per_second = np.float32(1.0 / width)
    middle = np.float32(zero)
    while counts[LIVE] > 0:
        if tail[_At(counts[CURSOR] & (tail.size - 1))] == 0:
            counts[CURSOR] += 1
            if _all_final(time, targets, counts, per_second):
                return True
            continue
        if counts[SPARE] < 16 * BATCH:
            return False
        n = _take(tail, pool, counts, time, taken)
        n = _choose(taken, n, moves, off, cost, time, start, which)
        n = _attempt(
            n, z, state, off, passed, cost, table, middle, toll, ease, time, start, which, now, before
        )
        _file(n, per_second, start, now, before, tail, pool, counts)
    return True


@compiled
def sow(cells: Int32, now: Float32, width: float, tail: Int32, pool: Int32, counts: Int64) -> None:
    """Put the cells from which a search begins into their buckets.

    Parameters
    ----------
    cells, now
        Flat numbers, and the time at each [s]; no farther apart than there are buckets.
    width, tail, pool, counts
        As of `search`; `pool` with a spare block for each cell.
    """
    before = np.full(now.size, np.float32(np.inf))
    _file(np.int64(cells.size), np.float32(1.0 / width), cells, now, before, tail, pool, counts)


@compiled
def _all_final(time: Float32, targets: Int64, counts: Int64, per_second: np.float32) -> bool:
    """Drop the targets whose bucket is done; say whether none is left."""
    k = 0
    while k < counts[TARGETS]:
        if abs(time[targets[k]]) * per_second < counts[CURSOR]:
            counts[TARGETS] -= 1
            targets[k] = targets[counts[TARGETS]]
        else:
            k += 1
    return bool(counts[TARGETS] == 0)


@compiled
def _take(tail: Int32, pool: Int32, counts: Int64, time: Float32, taken: Int32) -> np.int64:
    """Take up to a batch of cells out of the lowest bucket, mark them final, leave out those that were."""
    bucket = _At(counts[CURSOR] & (tail.size - 1))
    slot = np.int64(tail[bucket])
    n = np.int64(0)
    looked = 0
    while slot > 0 and looked < BATCH:
        u = pool[_At(slot)]
        looked += 1
        slot -= 1
        if slot & (BLOCK - 1) == 0:
            block = slot
            slot = np.int64(pool[_At(block)])
            pool[_At(block)] = counts[FREE]
            counts[FREE] = block
            counts[SPARE] += 1
        t = time[_At(u)]
        taken[_At(n)] = u
        n += np.int64(t >= 0)
        time[_At(u)] = -abs(t)
    tail[bucket] = slot
    counts[LIVE] -= looked
    return n


@compiled
def _choose(
    taken: Int32,
    n: np.int64,
    moves: Bits,
    off: Int64,
    cost: Float32,
    time: Float32,
    start: Int32,
    which: Int32,
) -> np.int64:
    """List the allowed moves that would improve their cell if they took the least time they can."""
    k = np.int64(0)
    for i in range(n):
        u = np.int64(taken[_At(i)])
        t = -time[_At(u)]
        allowed = np.int64(moves[_At(u)])
        for j in range(16):
            start[_At(k)] = u
            which[_At(k)] = j
            k += np.int64(time[_At(u + off[j])] > t + cost[LEAST, j]) & (allowed >> j)
    return k


@compiled
def _attempt(
    n: np.int64,
    z: Float32,
    state: Bytes,
    off: Int64,
    passed: Int64,
    cost: Float32,
    table: Float32,
    middle: np.float32,
    toll: Float32,
    ease: Float32,
    time: Float32,
    start: Int32,
    which: Int32,
    now: Float32,
    before: Float32,
) -> np.int64:
    """Make the listed moves; list, in place of them, the cells that were improved, with both times."""
    tolled, eased = toll.size > 1, ease.size > 1
    k = np.int64(0)
    for i in range(n):
        u, j = _At(start[_At(i)]), _At(which[_At(i)])
        w = _At(np.int64(u) + off[j])
        t = _move_time(z, u, w, j, cost, table, middle)
        if eased:
            t *= _ease(ease, np.int64(u), np.int64(w), passed, j)
        t -= time[u]
        if tolled:
            t += _toll(state, toll, np.int64(u), np.int64(w), passed, j)
        old = time[w]
        time[w] = min(t, old)
        start[_At(k)] = np.int32(w)
        now[_At(k)] = t
        before[_At(k)] = min(old, _FAR)
        k += np.int64(t < old)
    return k


@compiled
def _move_time(
    z: Float32, u: np.uintp, w: np.uintp, j: np.uintp, cost: Float32, table: Float32, middle: np.float32
) -> np.float32:
    """Time of the move `j` from `u` to `w` without any toll [s]."""
    x = (z[w] - z[u]) * cost[SCALE, j] + middle
    node = np.int32(x)
    low = table[_At(node)]
    pace = low + (table[_At(node + 1)] - low) * (x - np.float32(node))
    seconds: np.float32 = pace * cost[LENGTH, j]
    return seconds


@compiled
def _ease(ease: Float32, u: np.int64, w: np.int64, passed: Int64, j: np.uintp) -> np.float32:
    """Ease of a move, by which its time is multiplied: the mean over its cells, by the easier of its ways."""
    ends = ease[u] + ease[w]
    least = np.float32(np.inf)
    for way in range(2):
        least = min(least, ease[u + passed[j, way, 0]] + ease[u + passed[j, way, 1]])
    mean: np.float32 = np.float32(0.5) * ends if j < 4 else np.float32(0.25) * (ends + least)
    return mean


@compiled
def _toll(state: Bytes, toll: Float32, u: np.int64, w: np.int64, passed: Int64, j: np.uintp) -> np.float32:
    """Toll of a move [s]: the sum over the cells it passes, by the cheaper of its ways."""
    least = np.float32(np.inf)
    for way in range(2):
        first, second = state[u + passed[j, way, 0]], state[u + passed[j, way, 1]]
        least = min(least, toll[state[u], first] + toll[first, second] + toll[second, state[w]])
    return least


@compiled
def _file(
    n: np.int64,
    per_second: np.float32,
    cells: Int32,
    now: Float32,
    before: Float32,
    tail: Int32,
    pool: Int32,
    counts: Int64,
) -> None:
    """Put the improved cells into their buckets, but for those that already lie in the right one."""
    free = counts[FREE]
    for i in range(n):
        bucket = np.int64(now[_At(i)] * per_second)
        if bucket == np.int64(before[_At(i)] * per_second):
            continue
        b = _At(bucket & (tail.size - 1))
        slot = np.int64(tail[b])
        if slot == 0 or slot & (BLOCK - 1) == BLOCK - 1:
            block = free
            free = np.int64(pool[_At(block)])
            pool[_At(block)] = slot
            slot = block
            counts[SPARE] -= 1
        slot += 1
        pool[_At(slot)] = cells[_At(i)]
        tail[b] = slot
        counts[LIVE] += 1
    counts[FREE] = free


@compiled
def trace(
    z: Float32,
    state: Bytes,
    moves: Bits,
    off: Int64,
    passed: Int64,
    cost: Float32,
    table: Float32,
    zero: float,
    toll: Float32,
    ease: Float32,
    time: Float32,
    target: int,
    found: Bytes,
) -> int:
    """Walk back from a final cell to where the search began, by the move that explains each time best.

    Parameters
    ----------
    target
        A final cell.
    found
        The moves taken, last first. Changed, as far as it reaches.

    Returns
    -------
    int
        How many moves there are; more than `found` holds means: give it a longer one and call again.
    """
    n = 0
    w = np.int64(target)
    middle = np.float32(zero)
    while time[w] != 0:
        best, move = np.float32(np.inf), 0
        for j in range(16):
            u = w - off[j]
            if (np.int64(moves[u]) >> j) & 1 == 0 or time[u] > 0:
                continue
            t = _move_time(z, _At(u), _At(w), _At(j), cost, table, middle)
            if ease.size > 1:
                t *= _ease(ease, u, w, passed, _At(j))
            t -= time[u]
            if toll.size > 1:
                t += _toll(state, toll, u, w, passed, _At(j))
            if t < best:
                best, move = t, j
        if n < found.size:
            found[n] = move
        n += 1
        w -= off[move]
    return n
