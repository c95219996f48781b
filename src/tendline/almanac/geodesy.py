"""Owns distances, bearings and areas on the WGS84 ellipsoid, and the step onto a plane and back.

Does not own polygons (ground.shapes) or walking (almanac.travel). The only door to PROJ.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt

from tendline.core.place import LonLat, Outline

Floats = npt.NDArray[np.float64]


@cache
def _ellipsoid() -> Any:
    from pyproj import Geod  # noqa: PLC0415 - half a second, and most of the almanac does without

    return Geod(ellps="WGS84")


def distance_m(a: LonLat, b: LonLat) -> float:
    """Give the length of the shortest line on the ellipsoid between two places.

    Returns
    -------
    float
        Distance [m], 0 to 20 003 932.

    References
    ----------
    Karney, C. F. F. (2013), Algorithms for geodesics, Journal of Geodesy 87, 43-55; as in PROJ.
    """
    return float(_ellipsoid().inv(a.lon, a.lat, b.lon, b.lat)[2])


def distances_m(places_a: Sequence[LonLat], places_b: Sequence[LonLat]) -> Floats:
    """Give the distance from every place of one list to every place of another.

    Returns
    -------
    ndarray
        Distances [m], (n, m).

    References
    ----------
    Karney (2013), as for `distance_m`.
    """
    a, b = _degrees(places_a), _degrees(places_b)
    shape = (len(a), len(b))
    lon_a, lat_a = (np.repeat(a[:, k], len(b)) for k in (0, 1))
    lon_b, lat_b = (np.tile(b[:, k], len(a)) for k in (0, 1))
    distances: Floats = np.reshape(_ellipsoid().inv(lon_a, lat_a, lon_b, lat_b)[2], shape)
    return distances


def azimuth_deg(a: LonLat, b: LonLat) -> float:
    """Give the direction in which the shortest line from `a` to `b` sets out.

    Returns
    -------
    float
        Clockwise from true north [degrees], 0 up to but not 360; 0 where the places are one.

    References
    ----------
    Karney (2013), as for `distance_m`.
    """
    forward, _, distance = _ellipsoid().inv(a.lon, a.lat, b.lon, b.lat)
    return float(forward) % 360.0 if distance > 0 else 0.0


def path_m(places: Sequence[LonLat]) -> float:
    """Give the length of a path along the ellipsoid.

    Parameters
    ----------
    places
        In order; fewer than two make a path of no length.

    Returns
    -------
    float
        Length [m].

    References
    ----------
    Karney (2013), as for `distance_m`.
    """
    if len(places) < 2:
        return 0.0
    lons, lats = _degrees(places).T
    return float(np.sum(_ellipsoid().inv(lons[:-1], lats[:-1], lons[1:], lats[1:])[2]))


def area_m2(outline: Outline) -> float:
    """Give the area of an outline on the ellipsoid, holes taken off, whichever way its rings run.

    Returns
    -------
    float
        Area [m2]. Each ring is taken to enclose the smaller part of the earth.

    References
    ----------
    Karney (2013), section 6: edges are shortest lines.
    """
    total = 0.0
    for polygon in outline.polygons:
        areas = [abs(float(_ellipsoid().polygon_area_perimeter(*_degrees(ring).T)[0])) for ring in polygon]
        total += areas[0] - sum(areas[1:])
    return total


def utm_crs(place: LonLat) -> str:
    """Name the UTM zone of a place as PROJ knows it.

    Parameters
    ----------
    place
        Anywhere; beyond 84 degrees north and 80 south, where UTM is not in use, the zone still serves for
        local work. The exceptions of Norway and Svalbard are left out: zones overlap there and both serve.

    Returns
    -------
    str
        ``EPSG:32601`` to ``EPSG:32660`` in the north, ``EPSG:32701`` to ``EPSG:32760`` in the south.

    References
    ----------
    Snyder, J. P. (1987), Map projections: a working manual, USGS Professional Paper 1395, p. 57: zone 1 runs
    from 180 to 174 degrees west, each is six degrees wide.
    """
    zone = min(int((place.lon + 180.0) // 6.0) + 1, 60)
    return f"EPSG:{326 if place.lat >= 0 else 327}{zone:02d}"


class Projector:
    """Onto the plane of a projected system and back, longitude first.

    Parameters
    ----------
    crs
        The projected system, as text that PROJ understands (``EPSG:32617``).

    Raises
    ------
    ValueError
        When PROJ does not understand it.

    References
    ----------
    PROJ contributors, PROJ coordinate transformation software library; always east or longitude first.
    """

    def __init__(self, crs: str) -> None:
        from pyproj import Transformer  # noqa: PLC0415 - see _ellipsoid
        from pyproj.exceptions import ProjError  # noqa: PLC0415

        self.crs = crs
        try:
            self._there = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
            self._back = Transformer.from_crs(crs, "EPSG:4326", always_xy=True)
        except ProjError as error:
            raise ValueError(f"'{crs}' is not a coordinate system that PROJ knows") from error

    @property
    def is_degrees(self) -> bool:
        """Whether its numbers are longitude and latitude on WGS84 already.

        References
        ----------
        PROJ, as above.
        """
        from pyproj import CRS  # noqa: PLC0415 - see _ellipsoid

        return bool(CRS.from_user_input(self.crs).equals(CRS.from_epsg(4326), ignore_axis_order=True))

    def to_degrees(self, xys: Floats) -> Floats:
        """Give longitude and latitude of many points, both (n, 2); infinite where one has no place.

        References
        ----------
        PROJ, as above.
        """
        lons, lats = self._back.transform(xys[:, 0], xys[:, 1])
        return np.stack([lons, lats], axis=1)

    def to_xy(self, place: LonLat) -> tuple[float, float]:
        """Give x, y of a place [units of the system, metres for UTM]; infinite where it has no image.

        References
        ----------
        PROJ, as above.
        """
        x, y = self._there.transform(place.lon, place.lat)
        return float(x), float(y)

    def to_lonlat(self, x: float, y: float) -> LonLat:
        """Give the place of a point.

        References
        ----------
        PROJ, as above.
        """
        lon, lat = self._back.transform(x, y)
        return LonLat(float(lon), float(lat))

    def to_xys(self, places: Iterable[LonLat]) -> Floats:
        """Give x, y of many places, (n, 2).

        References
        ----------
        PROJ, as above.
        """
        degrees = _degrees(places)
        return np.stack(self._there.transform(degrees[:, 0], degrees[:, 1]), axis=1)

    def to_lonlats(self, xys: Floats) -> tuple[LonLat, ...]:
        """Give the places of many points, (n, 2).

        References
        ----------
        PROJ, as above.
        """
        lons, lats = self._back.transform(xys[:, 0], xys[:, 1])
        return tuple(LonLat(float(lon), float(lat)) for lon, lat in zip(lons, lats, strict=True))


def _degrees(places: Iterable[LonLat]) -> Floats:
    return np.array([(place.lon, place.lat) for place in places], dtype=np.float64).reshape(-1, 2)
