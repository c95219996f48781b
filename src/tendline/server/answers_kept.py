"""Owns what takes a while to work out: kept until the record or the settings change, ten minutes at most.

Does not own what it is: answers, and what several answers stand on.
"""

import threading
from collections.abc import Callable, Hashable
from datetime import datetime, timedelta
from typing import Any, TypeVar

T = TypeVar("T")

LIVES = timedelta(minutes=10)
"""How long an answer stands: limits pass with time, also while nothing is written."""


class AnswersKept:
    """Answers by name; whoever asks while one is worked out waits for it."""

    def __init__(self) -> None:
        self._locks: dict[str, threading.Lock] = {}
        self._kept: dict[str, tuple[Hashable, datetime, Any]] = {}
        self._lock = threading.Lock()

    def get(self, name: str, stamp: Hashable, now: datetime, make: Callable[[], T]) -> T:
        """Give an answer; made anew when `stamp` is another than last time, or it is too old."""
        with self._lock:
            own = self._locks.setdefault(name, threading.Lock())
        with own:
            kept = self._kept.get(name)
            if kept is not None and kept[0] == stamp and timedelta(0) <= now - kept[1] < LIVES:
                found: T = kept[2]
                return found
            answer = make()
            self._kept[name] = (stamp, now, answer)
            return answer

    def forget(self, name: str) -> None:
        """Have it made anew next time."""
        self._kept.pop(name, None)
