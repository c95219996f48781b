"""Owns one search: from one cell of a window to others, the proof that no way outside is shorter, the ways.

Does not own which searches are needed (terrain.walk) or the compiled loops (terrain.kernel).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tendline.terrain.kernel import BATCH, BLOCK, CURSOR, FREE, SPARE, TARGETS, search, sow, trace
from tendline.terrain.moves import MoveCosts
from tendline.terrain.window import Window

_FIRST_BLOCKS = 32 * BATCH


@dataclass(frozen=True, eq=False)
class Found:
    """What one search found, target by target.

    Parameters
    ----------
    seconds
        Time [s], infinite where there is no way in the window.
    proven
        Whether no way that leaves the window can be shorter.
    moves
        Numbers of the moves from the start, as bytes; empty where there is no way.
    """

    seconds: npt.NDArray[np.float64]
    proven: npt.NDArray[np.bool_]
    moves: tuple[bytes, ...]


class Workspace:
    """The buffers of one search, kept from one to the next."""

    def __init__(self) -> None:
        self._time = np.empty(0, np.float32)
        self._pool = np.zeros(0, np.int32)
        self._way = np.empty(1024, np.uint8)

    def explore(self, window: Window, costs: MoveCosts, start: int, targets: npt.NDArray[np.int64]) -> Found:
        """Search from one cell to others.

        Parameters
        ----------
        window
            The ground.
        costs
            What moves cost on it.
        start
            Flat number of the start.
        targets
            Flat numbers of the targets; without any, nothing is searched.
        """
        if targets.size == 0:
            return Found(np.empty(0), np.empty(0, np.bool_), ())
        time = self._settle(window, costs, start, targets)
        at = time[targets]
        seconds = np.where(at <= 0, -at.astype(np.float64), np.inf)
        return Found(
            seconds,
            _proven(window, costs, time, targets, seconds),
            tuple(
                self._way_to(window, costs, time, int(target)) if np.isfinite(s) else b""
                for target, s in zip(targets, seconds, strict=True)
            ),
        )

    def flood(
        self, window: Window, costs: MoveCosts, starts: npt.NDArray[np.int64]
    ) -> npt.NDArray[np.float32]:
        """Give the time to every cell from the nearest start [s], (rows, cols); infinite without a way."""
        before = np.full(window.z.size - 2 * window.pad, np.inf, np.float32)
        before[starts - window.pad] = 0.0
        return self.go_on(window, costs, before.reshape(-1, window.cols), starts)

    def go_on(
        self,
        window: Window,
        costs: MoveCosts,
        before: npt.NDArray[np.float32],
        changed: npt.NDArray[np.int64],
    ) -> npt.NDArray[np.float32]:
        """Go on with a search that was done, after the times of some cells fell.

        Parameters
        ----------
        window, costs
            The ground, and what moves cost on it.
        before
            Times so far [s], (rows, cols), those that fell among them; infinite where nothing was reached.
        changed
            Flat numbers of the cells whose time fell since.

        Returns
        -------
        ndarray
            Times [s], float32, (rows, cols): the least over all ways from any cell at its time.
        """
        inner = slice(window.pad, window.z.size - window.pad)
        time = self._fresh_time(window)
        # A cell lies in no bucket now, but the search takes one that has a time to lie in the bucket of it:
        # told as two buckets later, it is put into the right one when its time falls.
        time[inner] = before.ravel() + np.float32(2.0 * costs.width)
        time[changed] = before.ravel()[changed - window.pad]
        # Cell 0 is a spare one that nothing reaches: with it as the target, all that can be reached is.
        self._run(window, costs, time, changed, np.zeros(1, np.int64))
        return np.minimum(np.abs(time[inner]), before.ravel()).reshape(-1, window.cols)

    def _settle(
        self, window: Window, costs: MoveCosts, start: int, targets: npt.NDArray[np.int64]
    ) -> npt.NDArray[np.float32]:
        time = self._fresh_time(window)
        time[start] = 0.0
        self._run(window, costs, time, np.array([start], np.int64), targets.copy())
        return time

    def _fresh_time(self, window: Window) -> npt.NDArray[np.float32]:
        if self._time.size < window.z.size:
            self._time = np.empty(window.z.size, np.float32)
        time = self._time[: window.z.size]
        time.fill(np.inf)
        return time

    def _run(
        self,
        window: Window,
        costs: MoveCosts,
        time: npt.NDArray[np.float32],
        starts: npt.NDArray[np.int64],
        left: npt.NDArray[np.int64],
    ) -> None:
        if starts.size == 0:
            return
        tail, counts = self._open_queue(window, costs, time, starts)
        counts[TARGETS] = left.size
        while not search(
            window.z,
            window.state,
            window.moves,
            window.off,
            window.passed,
            costs.cost,
            costs.table,
            costs.zero,
            window.toll,
            window.ease,
            costs.width,
            time,
            left,
            tail,
            self._pool,
            counts,
        ):
            self._enlarge(counts)

    def _open_queue(
        self,
        window: Window,
        costs: MoveCosts,
        time: npt.NDArray[np.float32],
        starts: npt.NDArray[np.int64],
    ) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int64]]:
        """Make the buckets, with the starts in them, and the counts."""
        finite = window.toll[np.isfinite(window.toll)]
        at = time[starts]
        span = float(at.max() - at.min())
        reach = (costs.longest + 3.0 * float(finite.max()) + span) / costs.width + 2.0
        tail = np.zeros(1 << int(np.ceil(np.log2(reach))), np.int32)
        counts = np.zeros(5, np.int64)
        if self._pool.size == 0:
            self._pool = np.zeros((_FIRST_BLOCKS + 2) * BLOCK, np.int32)
        self._link(BLOCK, 0)  # block 0 stays empty: slot 0 means nowhere
        counts[[CURSOR, FREE, SPARE]] = (
            np.int64(at.min() * np.float32(1.0 / costs.width)),
            BLOCK,
            self._pool.size // BLOCK - 1,
        )
        while counts[SPARE] < starts.size + 16 * BATCH:
            self._enlarge(counts)
        sow(starts.astype(np.int32), at, costs.width, tail, self._pool, counts)
        return tail, counts

    def _enlarge(self, counts: npt.NDArray[np.int64]) -> None:
        """Double the pool and put the new blocks in front of the free ones."""
        size = self._pool.size
        self._pool = np.concatenate([self._pool, np.zeros(size, np.int32)])
        self._link(size, int(counts[FREE]))
        counts[FREE] = size
        counts[SPARE] += size // BLOCK

    def _link(self, first: int, after: int) -> None:
        """Chain the blocks from `first` to the end of the pool, and then on to `after`."""
        self._pool[first::BLOCK] = np.append(np.arange(first + BLOCK, self._pool.size, BLOCK), after)

    def _way_to(self, window: Window, costs: MoveCosts, time: npt.NDArray[np.float32], target: int) -> bytes:
        while True:
            count = trace(
                window.z,
                window.state,
                window.moves,
                window.off,
                window.passed,
                costs.cost,
                costs.table,
                costs.zero,
                window.toll,
                window.ease,
                time,
                target,
                self._way,
            )
            if count <= self._way.size:
                return self._way[:count][::-1].tobytes()
            self._way = np.empty(2 * count, np.uint8)


def _proven(
    window: Window,
    costs: MoveCosts,
    time: npt.NDArray[np.float32],
    targets: npt.NDArray[np.int64],
    seconds: npt.NDArray[np.float64],
) -> npt.NDArray[np.bool_]:
    """Whether each time stands whatever lies outside the window.

    A way that leaves it does so from a cell of its edge, reached no sooner than by the search, and then has
    at least the straight distance to go at the fastest pace there is.
    """
    edge = window.edge
    edge = edge[time[edge] <= 0]
    if edge.size == 0:
        return np.ones(len(targets), np.bool_)
    reached = -time[edge].astype(np.float64)
    places = window.metres(edge)
    least = [
        np.min(reached + costs.fastest * np.hypot(*(places - goal).T)) for goal in window.metres(targets)
    ]
    return np.asarray(np.array(least) >= seconds)
