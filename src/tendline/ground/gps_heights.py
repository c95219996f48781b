"""Owns heights that recorders of GPS wrote into GPX, and holding an elevation model against them.

Does not own reading a model (`elevation`) or which files are compared (jobs).

A recorder's height may be off by tens of metres: some count from the ellipsoid and not from the sea, and air
pressure drifts. Feet that are called metres are off by a factor, which is told apart where heights or the
differences among them are large enough.
"""

import numpy as np
import numpy.typing as npt

from tendline.core.units import METRES_PER_FOOT
from tendline.ground.gpx_plain import plain_tree

Floats = npt.NDArray[np.float64]

LEAST_POINTS, MOST_POINTS = 5, 2000
"""Fewer points tell nothing; of more, every n-th is looked at."""

OFF_M = 60.0
"""So far may a recorder be off as a whole [m]: the ellipsoid lies up to some 50 m from the sea's level in
North America (from memory), and the weather adds some."""

LEAST_RELIEF_M = 30.0
"""Points must lie so much higher and lower for the ratio of their differences to tell [m] (common practice,
no source)."""

_ALIKE, _NEAR = 0.9, 0.15


def gps_heights(data: bytes, *, file_name: str) -> Floats:
    """Read every point of a GPX file that has a height.

    Parameters
    ----------
    data
        The file.
    file_name
        Its name, for messages.

    Returns
    -------
    ndarray
        Longitude, latitude [degrees] and height [m], (n, 3); every n-th point of a long file.

    Raises
    ------
    Refused
        GND-101 to GND-103, as of `gpx.read_gpx`.

    References
    ----------
    GPX 1.1 schema (2004): `ele`, in metres, of `wpt`, `rtept` and `trkpt`.
    """
    root, _ = plain_tree(data, file_name=file_name)
    found = []
    for element in root.iter():
        if element.tag in ("wpt", "rtept", "trkpt") and (text := element.findtext("ele")):
            try:
                found.append((float(element.get("lon", "")), float(element.get("lat", "")), float(text)))
            except ValueError:
                continue
    points = np.array(found, np.float64).reshape(-1, 3)
    sound = np.isfinite(points).all(axis=1) & (np.abs(points) <= (180.0, 90.0, 9000.0)).all(axis=1)
    points = points[sound & (points[:, 2] != 0.0)]  # some recorders write 0 for unknown
    every = -(-len(points) // MOST_POINTS) or 1
    return np.ascontiguousarray(points[::every])


def times_as_high(model: Floats, gps: Floats) -> float | None:
    """Say whether a model's heights are a foot's or a metre's multiple of what a recorder wrote.

    Parameters
    ----------
    model, gps
        Heights of the same places [m], (n,); NaN where unknown.

    Returns
    -------
    float or None
        3.28 where the model looks like feet called metres, 0.305 for metres called feet; None where neither
        fits better than that both are right.
    """
    known = np.isfinite(model) & np.isfinite(gps)
    if known.sum() < LEAST_POINTS:
        return None
    ours, theirs = model[known], gps[known]
    slope = _slope(ours, theirs)
    if slope is not None:
        near = min((1.0, *_FACTORS), key=lambda factor: abs(np.log(slope / factor)))
        return near if near != 1.0 and abs(slope / near - 1.0) < _NEAR else None
    off = {factor: abs(float(np.median(ours / factor - theirs))) for factor in (1.0, *_FACTORS)}
    near = min(_FACTORS, key=off.__getitem__)
    # Both cannot be right: by what a recorder is off, or by a third of what it would be off otherwise.
    return near if off[1.0] > OFF_M + 20.0 and off[near] < min(OFF_M, off[1.0] / 3.0) else None


_FACTORS = (1.0 / METRES_PER_FOOT, METRES_PER_FOOT)


def _slope(ours: Floats, theirs: Floats) -> float | None:
    """Give how much the model rises for a metre of the recorder's; None where that cannot be told."""
    if np.subtract(*np.quantile(theirs, [0.95, 0.05])) < LEAST_RELIEF_M:
        return None
    together = float(np.corrcoef(ours, theirs)[0, 1]) if np.ptp(ours) > 0 else 0.0
    return float(np.std(ours) / np.std(theirs)) if together > _ALIKE else None
