"""Owns keeping the ground of a round ready for phones: drawn once, and again when places or heights change.

Does not own the drawing (`relief`) or the shape in which it is carried (`field.carry_relief`).
"""

import threading
from typing import Any

from tendline.core.errors import Refused
from tendline.core.line import LineState
from tendline.field.carry_relief import OF_THEM, carried_relief
from tendline.jobs.heights import Bounds, bounds_round
from tendline.jobs.relief import REACH_M, relief_for
from tendline.jobs.workspace import Workspace


class ReliefKept:
    """The ground as it was last drawn, asked by many threads.

    Parameters
    ----------
    most_bytes
        How large picture and lines may be together; as a phone carries them when left out.
    """

    def __init__(self, most_bytes: int = OF_THEM) -> None:
        self._most = most_bytes
        self._lock = threading.Lock()
        self._key: tuple[object, ...] = ()
        self._made: tuple[dict[str, Any] | None, str] = (None, "")

    def of(self, space: Workspace, line: LineState) -> tuple[dict[str, Any] | None, str]:
        """Give the ground round the sets, parkings and landmarks of a line.

        Parameters
        ----------
        space
            The opened line.
        line
            As it stands.

        Returns
        -------
        dict or None
            As `field.carry_relief.carried_relief`.
        str
            Why there is none, in words; empty when there is. A round goes out without a picture of the
            ground rather than not at all.
        """
        bounds = _bounds(line)
        if bounds is None:
            return None, "there is no place on the line yet."
        with space.store() as store:
            heights = tuple((source.file_name, source.sha256, source.kept_as) for source in store.sources())
        key = (bounds, heights, space.settings.units)
        with self._lock:
            if key != self._key:
                self._made = _drawn(space, bounds, self._most)
                self._key = key
            return self._made


def _bounds(line: LineState) -> Bounds | None:
    places = (
        *(one.fix.place for one in line.in_field),
        *(parking.place for parking in line.parkings.values()),
        *(mark.place for mark in line.landmarks.values()),
    )
    return bounds_round(places, REACH_M) if places else None


def _drawn(space: Workspace, bounds: Bounds, most_bytes: int) -> tuple[dict[str, Any] | None, str]:
    try:
        found = relief_for(space, bounds=bounds, max_bytes=most_bytes)
    except Refused as problem:
        return None, "; ".join(f"{fault.what} {fault.do}" for fault in problem.faults)
    if found is None:
        return None, "no heights were brought in for this ground."
    edges = (found.west, found.south, found.east, found.north)
    return carried_relief(found.webp, edges, found.contours, step_m=found.step_m, said=found.said), ""
