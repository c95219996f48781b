"""Owns how far a held animal gets from its anchor: the circle that must be clear.

Does not own what counts as an obstacle or what a law asks (`rules`).
"""

import math
from dataclasses import dataclass

BODY_M = 12 * 0.0254
"""Margin beyond the closed device for the animal's own body [m]: the course rule of thumb, the reach of the
closed restraint on its anchor and twelve inches more (Pennsylvania cable restraint course, study guide)."""

LONGEST_EXTENSION_M = 36 * 0.0254
"""Extension taken where nobody noted one [m]: the longest that a rule read so far allows (Michigan)."""

STEEPEST_DEG = 45.0
"""Slope taken where nobody noted one [degrees]: sets on steeper ground are not made (common practice, no
source)."""


@dataclass(frozen=True)
class Circle:
    """How far from the anchor things reach, on the ground [m].

    Parameters
    ----------
    device_low_m, device_high_m
        Cable and extension stretched out: how far the device itself reaches.
    low_m, high_m
        How far the held animal reaches; the same where all is known.
    said
        What was taken for granted, in words.
    """

    device_low_m: float
    device_high_m: float
    low_m: float
    high_m: float
    said: tuple[str, ...] = ()


def reach_circle(
    cable_m: float, *, extension_m: float | None, slope_deg: float | None, body_m: float = BODY_M
) -> Circle:
    """Give the circle that a held animal can reach, never smaller than it may be.

    Parameters
    ----------
    cable_m
        From the anchor, or the end of its extension, to the lock with the loop drawn up [m].
    extension_m
        Chain or cable between anchor and device [m], 0 for none; None when nobody noted it: the range then
        runs from none to `LONGEST_EXTENSION_M`.
    slope_deg
        Of the ground at the anchor [degrees], 0 to 90; None when nobody noted it: the range then runs from
        level ground to `STEEPEST_DEG`.
    body_m
        Margin for the body [m].

    Returns
    -------
    Circle

    References
    ----------
    Device, extension and twelve inches: see `BODY_M`. On a hillside the drop over the stretched length is
    added on top: common practice, no source.
    """
    low = cable_m + (extension_m or 0.0)
    high = cable_m + (LONGEST_EXTENSION_M if extension_m is None else extension_m)
    said = []
    if extension_m is None:
        said.append("no extension is on record; up to 36 in (91 cm) are allowed for")
    if slope_deg is None:
        said.append(f"the slope is not on record; up to {STEEPEST_DEG:g} degrees are allowed for")
    level, steep = (0.0, STEEPEST_DEG) if slope_deg is None else (slope_deg, slope_deg)
    return Circle(
        low,
        high,
        low + drop_m(low, level) + body_m,
        high + drop_m(high, steep) + body_m,
        tuple(said),
    )


def drop_m(length_m: float, slope_deg: float) -> float:
    """Give how far a length laid down a slope goes down [m].

    References
    ----------
    The sine of the slope.
    """
    return length_m * math.sin(math.radians(slope_deg))
