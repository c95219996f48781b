"""Owns how often a caller may call, and how much one call may bring.

Does not own who may call at all (`guard`, `app`).
"""

import threading
import time
from collections import OrderedDict
from collections.abc import Callable

MAX_MESSAGE = 1_500_000
"""Largest message of events [bytes]."""
MAX_PIECE = 600_000
"""Largest piece of a photo or voice note [bytes]."""
MAX_ASK = 262_144
"""Largest body of what the desk page asks [bytes]."""
MAX_FILE = 200_000_000
"""Largest file handed over on the desk page [bytes]."""
MAX_FILES = 50
"""Most files handed over at once."""
MAX_SMALL = 8_192
"""Largest body of anything else [bytes]."""


class Bucket:
    """Lets each caller call so many times at once, and so many times a second after that.

    Parameters
    ----------
    burst
        Calls at once.
    per_second
        Calls a second, for good.
    clock
        Seconds that only go forward.
    callers
        Most callers remembered; the one not heard of longest is forgotten first.
    """

    def __init__(
        self,
        burst: float,
        per_second: float,
        *,
        clock: Callable[[], float] = time.monotonic,
        callers: int = 4096,
    ) -> None:
        self._burst, self._rate, self._clock, self._most = burst, per_second, clock, callers
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = threading.Lock()

    def take(self, caller: str) -> bool:
        """Count a call; False when it is one too many."""
        with self._lock:
            now = self._clock()
            left, then = self._left.pop(caller, (self._burst, now))
            left = min(self._burst, left + (now - then) * self._rate)
            allowed = left >= 1
            self._left[caller] = (left - 1 if allowed else left, now)
            while len(self._left) > self._most:
                self._left.popitem(last=False)
            return allowed
