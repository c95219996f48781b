"""Owns how long a search for the days ahead may go on, and whom it tells.

Does not own the searches.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass
class Limit:
    """How long to look, and whom to tell."""

    seconds: float
    seed: int = 1
    on_progress: Callable[[str], None] = lambda _: None
    should_stop: Callable[[], bool] = lambda: False
    begun: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> float:
        """Time left [s]."""
        return self.seconds - (time.monotonic() - self.begun)

    @property
    def over(self) -> bool:
        """Whether to stop."""
        return self.left <= 0 or self.should_stop()
