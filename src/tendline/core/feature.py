"""Owns one thing on the ground that a law may measure from: a house, a road, a den, a fence.

Does not own how far a set is from it (`ground.measure`) or what follows (`rules`).
"""

from dataclasses import dataclass
from functools import cached_property

from tendline.core.place import LonLat, Outline
from tendline.core.words import Edge, FeatureClass


@dataclass(frozen=True)
class Feature:
    """One thing on the ground, drawn as a point, a line or an area.

    Parameters
    ----------
    name
        What people call it; may be empty.
    feature_class
        What it is.
    place, path, outline
        Where: exactly one of them is there; a path has at least two places.
    edge
        What the drawing shows of it.
    width_m
        How wide it is across the line, or across the point [m]; None when not said.
    accuracy_m
        Radius that holds the true place in about two cases of three [m]; None when not said.
    consent, notice, written
        Who lives or farms there has agreed, has been told, has agreed in writing; None when not said.
    own, occupied, closed_road
        It is the trapper's own; somebody lives there; the road is closed to the public.
    exposed
        A bait that can be seen from above.
    where
        File and row, for a person.
    """

    name: str
    feature_class: FeatureClass
    place: LonLat | None = None
    path: tuple[LonLat, ...] = ()
    outline: Outline | None = None
    edge: Edge = Edge.NEAREST
    width_m: float | None = None
    accuracy_m: float | None = None
    consent: bool | None = None
    notice: bool | None = None
    written: bool | None = None
    own: bool | None = None
    occupied: bool | None = None
    closed_road: bool | None = None
    exposed: bool | None = None
    where: str = ""

    @cached_property
    def bbox(self) -> tuple[float, float, float, float]:
        """West, south, east, north [degrees]."""
        if self.outline is not None:
            return self.outline.bbox
        places = self.path or ((self.place,) if self.place is not None else ())
        if not places:
            raise ValueError("a feature is a point, a line or an area")
        lons, lats = [p.lon for p in places], [p.lat for p in places]
        return min(lons), min(lats), max(lons), max(lats)
