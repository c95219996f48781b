"""Owns how long a search may go on, and what it says while it goes.

Does not own what is searched. The only clock here is a monotonic one, for the time limit.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from time import monotonic

import numpy as np

from tendline.plan.timing import Cost


@dataclass(frozen=True)
class Progress:
    """Where a search stands.

    Parameters
    ----------
    doing
        ``round``, or the relief that is looked for: ``earlier start``, ``later return``.
    elapsed_s
        Since the search began [s].
    iterations
        Done so far.
    round_s
        From the earliest start to being back, for the best order so far [s].
    must_left_out, left_out
        Sets that order leaves out: those that must be visited, all.
    """

    doing: str
    elapsed_s: float
    iterations: int
    round_s: float
    must_left_out: int
    left_out: int

    def __str__(self) -> str:
        """One line for a person who waits."""
        minutes = round(self.round_s / 60.0)
        left = f", {self.left_out} sets left out" if self.left_out else ""
        back = f"back after {minutes // 60} h {minutes % 60:02d} min"
        return f"{self.doing}: {back}{left} ({self.elapsed_s:.0f} s)"


@dataclass
class Budget:
    """Counts iterations and seconds, and asks whether to stop.

    Parameters
    ----------
    iterations, seconds
        The limits; None for none.
    should_stop
        Asked now and then; True ends the search with the best so far.
    on_progress
        Told about every better order.
    began, done
        Where the count stands.
    stopped
        `should_stop` has said so, or the person has pressed Ctrl-C.
    """

    iterations: int | None = None
    seconds: float | None = None
    should_stop: Callable[[], bool] | None = None
    on_progress: Callable[[Progress], None] | None = None
    doing: str = "round"
    began: float = field(default_factory=monotonic)
    done: int = 0
    stopped: bool = False

    def spend(self, count: int = 1) -> bool:
        """Count `count` iterations more; False when the search must end."""
        self.done += count
        return not self.over

    @property
    def over(self) -> bool:
        """Whether a limit is reached or the person has had enough."""
        return self.out_of_time or (self.iterations is not None and self.done >= self.iterations)

    @property
    def out_of_time(self) -> bool:
        """Whether the time is up or the person has had enough, for work not counted in iterations."""
        if not self.stopped and self.should_stop is not None and self.should_stop():
            self.stopped = True
        return self.stopped or (self.seconds is not None and monotonic() - self.began >= self.seconds)

    @property
    def steps(self) -> int:
        """Steps that looking at every round may take: the same on every machine, some tenth of the time."""
        if self.seconds is None:
            return 600_000
        return int(min(max(300_000.0 * self.seconds, 100_000.0), 1_500_000.0))

    def part(self, share: float, *, doing: str) -> "Budget":
        """Give a budget of its own for a share of the whole, from now on; never past the end of this one."""
        seconds = None
        if self.seconds is not None:
            left = self.began + self.seconds - monotonic()
            seconds = max(0.0, min(self.seconds * share, left))
        return replace(
            self,
            iterations=None if self.iterations is None else max(1, int(self.iterations * share)),
            seconds=seconds,
            doing=doing,
            began=monotonic(),
            done=0,
        )

    def tell(self, cost: Cost, *, must_left_out: int, left_out: int) -> None:
        """Pass on that a better order is found."""
        if self.on_progress is not None:
            elapsed = monotonic() - self.began
            self.on_progress(
                Progress(self.doing, elapsed, self.done, cost.end / 1000.0, must_left_out, left_out)
            )


class Chance:
    """Random numbers between 0 and 1, drawn ahead by the thousand because single draws are slow.

    Parameters
    ----------
    seed
        Where the row of numbers starts.
    """

    def __init__(self, seed: int) -> None:
        self._draw = np.random.default_rng(seed).random
        self._ahead: list[float] = []

    def __call__(self) -> float:
        """Give the next number, in [0, 1)."""
        if not self._ahead:
            self._ahead = self._draw(4096).tolist()
        return self._ahead.pop()

    def below(self, count: int) -> int:
        """Give a whole number from 0 to `count` - 1."""
        return int(self() * count)
