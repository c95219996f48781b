"""Owns the ground within a distance of a feature: the areas that a law keeps sets out of, drawn for a map.

Does not own the distances (`rules`), nor judging one set (`measure`).
"""

import shapely

from tendline.core.feature import Feature
from tendline.core.place import LonLat, Polygon
from tendline.core.words import Edge
from tendline.ground.measure import DOT_M, HALF_WIDTH_M, HAS_SIZE, shape_drawn
from tendline.ground.shapes import plane_about


def slack_m(feature: Feature) -> float:
    """Give how far a feature may reach beyond its drawing [m], as `measure.away` takes it."""
    if feature.width_m is not None and (feature.edge is Edge.CENTRE or feature.place is not None):
        return feature.width_m / 2.0
    if feature.edge is Edge.CENTRE:
        return HALF_WIDTH_M.get(feature.feature_class, 0.0)
    if feature.place is not None and feature.feature_class in HAS_SIZE:
        return DOT_M
    return 0.0


def setback(feature: Feature, metres: float) -> tuple[Polygon, ...]:
    """Give the ground nearer to a feature than so many metres, with what it may reach beyond its drawing.

    Parameters
    ----------
    feature
        A point, a line or an area; an area is part of its own setback.
    metres
        From its edge, above 0 [m].

    Returns
    -------
    tuple of Polygon
        Rounded corners are drawn with sixteen chords to the quarter turn: nowhere more than 0.5 % short.
    """
    shape = shape_drawn(feature)
    centre = shape.envelope.centroid
    plane = plane_about(LonLat(centre.x, centre.y))
    flat = shapely.transform(shape, lambda points: plane.to_xys(LonLat(*map(float, each)) for each in points))
    area = shapely.buffer(flat, metres + slack_m(feature), quad_segs=16)
    parts = shapely.get_parts(area)
    return tuple(
        tuple(plane.to_lonlats(shapely.get_coordinates(ring)) for ring in (part.exterior, *part.interiors))
        for part in parts
    )
