"""Owns a line folder kept open between many asks: the record is read once, and after that only what is new.

Does not own what is asked (`serve`), nor the record itself (`logbook`).
"""

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from tendline.core.line import LineState
from tendline.jobs.workspace import CONFIRMED, GROUND, SETTINGS, Workspace
from tendline.logbook.events import Event
from tendline.logbook.fold import line_until


class Kept:
    """The events read so far, and the line they made; safe to ask from many threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._events: list[Event] = []
        self._seq = 0
        self._line: LineState | None = None
        self._until: datetime | None = None

    def events(self, space: Workspace) -> tuple[Event, ...]:
        """Give every event on record."""
        with self._lock:
            return tuple(self._caught_up(space))

    def line(self, space: Workspace) -> LineState:
        """Give the line as it stands now; folded again only when something new happened."""
        with self._lock:
            events = self._caught_up(space)
            kept, until = self._line, self._until
            if kept is None or kept.at > space.now or (until is not None and until <= space.now):
                kept, until = line_until(events, at=space.now)
                self._line, self._until = kept, until
            return replace(kept, at=space.now)

    def stamp(self, space: Workspace) -> int:
        """Give a number that changes whenever the record does."""
        with self._lock:
            self._caught_up(space)
            return self._seq

    def _caught_up(self, space: Workspace) -> Sequence[Event]:
        with space.store() as store:
            seq, new = store.events_after(self._seq)
        if new:
            self._line = None
            self._events.extend(new)
        self._seq = seq
        return self._events


@dataclass(frozen=True)
class KeptWorkspace(Workspace):
    """An opened line folder whose events are read once.

    Parameters
    ----------
    kept
        What was read so far; shared by every moment of the same folder.
    """

    kept: Kept = field(default_factory=Kept, compare=False, repr=False)

    def events(self) -> tuple[Event, ...]:
        """Give every event on record."""
        return self.kept.events(self)

    def line(self) -> LineState:
        """Give the line as it stands now."""
        return self.kept.line(self)


def files_stamp(folder: Path) -> tuple[object, ...]:
    """Give what is another whenever settings, a confirmation or a file brought into a line folder are."""
    files = [folder / SETTINGS, *sorted((folder / CONFIRMED).glob("*")), *sorted((folder / GROUND).glob("*"))]
    return tuple((file.name, *_marks(file)) for file in files)


def _marks(file: Path) -> tuple[int, int]:
    try:
        found = file.stat()
    except OSError:
        return (0, 0)
    return (found.st_mtime_ns, found.st_size)
