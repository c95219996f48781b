"""Owns places on the earth: longitude before latitude, degrees, WGS84; paths and outlines made of them.

Does not own distances (almanac.geodesy) or the geometry of polygons (ground.shapes).
"""

import math
from dataclasses import dataclass

from tendline.core.errors import refuse
from tendline.core.faults import OUTLINE, PLACE


@dataclass(frozen=True)
class LonLat:
    """A place: longitude and latitude in degrees, WGS84."""

    lon: float
    lat: float

    def __post_init__(self) -> None:
        """Refuse what is not a place on the earth (CORE-301)."""
        fine = math.isfinite(self.lon) and math.isfinite(self.lat)
        if not (fine and -180.0 <= self.lon <= 180.0 and -90.0 <= self.lat <= 90.0):
            raise refuse(
                PLACE,
                f"longitude {self.lon}, latitude {self.lat} is not a place.",
                "",
                "Longitude runs from -180 to 180 and comes first; latitude from -90 to 90.",
            )


@dataclass(frozen=True)
class Fix:
    """A place as it was measured, with how well.

    Parameters
    ----------
    place
        Where.
    accuracy_m
        Radius that holds the true place in about two cases of three [m]; None when it was not said.
    """

    place: LonLat
    accuracy_m: float | None = None


Ring = tuple[LonLat, ...]
"""A closed ring: at least four places, the last the same as the first."""

Polygon = tuple[Ring, ...]
"""The outer ring, then any holes."""


@dataclass(frozen=True)
class Outline:
    """An area on the ground: one polygon or several."""

    polygons: tuple[Polygon, ...]

    def __post_init__(self) -> None:
        """Refuse rings that are too short or open (CORE-302)."""
        rings = [ring for polygon in self.polygons for ring in polygon]
        if not rings or any(len(ring) < 4 or ring[0] != ring[-1] for ring in rings):
            raise refuse(
                OUTLINE,
                "an outline needs at least three corners and must end where it starts.",
                "",
                "Close the ring: repeat its first corner at its end.",
            )

    @property
    def bbox(self) -> tuple[float, float, float, float]:
        """West, south, east, north [degrees]."""
        lons = [p.lon for polygon in self.polygons for p in polygon[0]]
        lats = [p.lat for polygon in self.polygons for p in polygon[0]]
        return min(lons), min(lats), max(lons), max(lats)
