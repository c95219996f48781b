"""Owns reading a recorded walk out of GPX: every point with its time.

Does not own tracks as layers (`gpx`) or what is learned from a walk.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from xml.etree.ElementTree import Element

import numpy as np
import numpy.typing as npt

from tendline.ground.gpx_plain import plain_tree

Floats = npt.NDArray[np.float64]

LEAST_POINTS = 10
"""A recording of fewer points tells nothing."""


@dataclass(frozen=True, eq=False)
class Recording:
    """One recorded walk.

    Parameters
    ----------
    file_name, name
        Where it is from, and what it is called; the second may be empty.
    lonlat
        Places [degrees], (n, 2), longitude first.
    seconds
        Time since `begun` [s], (n,), rising.
    begun
        The first point's time, UTC.
    """

    file_name: str
    name: str
    lonlat: Floats
    seconds: Floats
    begun: datetime


def read_recordings(data: bytes, *, file_name: str) -> tuple[Recording, ...]:
    """Read every recorded walk of a GPX file.

    Parameters
    ----------
    data
        The file.
    file_name
        Its name, for messages.

    Returns
    -------
    tuple of Recording
        One for each track segment with at least ten points that carry a time. Points without a time or with
        coordinates that are no place, and points whose time does not rise, are passed over.

    Raises
    ------
    Refused
        GND-101 to GND-103, as of `gpx.read_gpx`.

    References
    ----------
    GPX 1.1 schema (2004): `trkpt` with `lat`, `lon` and `time` in UTC.
    """
    root, _ = plain_tree(data, file_name=file_name)
    found = []
    for track in root.findall("trk"):
        name = " ".join((track.findtext("name") or "").split())
        for segment in track.findall("trkseg"):
            points = [point for element in segment.findall("trkpt") if (point := _point(element))]
            if len(points) >= LEAST_POINTS:
                recording = _recording(points, file_name, name)
                found += [recording] if recording is not None else []
    return tuple(found)


def _point(element: Element) -> tuple[datetime, float, float] | None:
    text = (element.findtext("time") or "").strip()
    try:
        lon, lat = float(element.get("lon", "")), float(element.get("lat", ""))
        at = datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError:
        return None
    if not (-180.0 <= lon <= 180.0 and -90.0 <= lat <= 90.0):
        return None
    return (at if at.tzinfo is not None else at.replace(tzinfo=UTC)), lon, lat


def _recording(points: list[tuple[datetime, float, float]], file_name: str, name: str) -> Recording | None:
    begun = points[0][0].astimezone(UTC)
    kept = [points[0]]
    for point in points[1:]:
        if point[0] > kept[-1][0]:
            kept.append(point)
    if len(kept) < LEAST_POINTS:
        return None
    seconds = np.array([(at - kept[0][0]).total_seconds() for at, _, _ in kept])
    return Recording(file_name, name, np.array([[lon, lat] for _, lon, lat in kept]), seconds, begun)
