"""Owns making features of the ground out of the things that files hold.

Does not own reading the files, or distances (`measure`).
"""

from collections.abc import Iterable

from tendline.core.feature import Feature
from tendline.core.words import Edge, FeatureClass
from tendline.ground.brought import BroughtKind, BroughtThing

_DRAWN_ALONG_THE_MIDDLE = (FeatureClass.ROAD, FeatureClass.DRIVEWAY, FeatureClass.TRAIL)
"""What a line on a map shows the middle of, when nobody says otherwise (common practice, no source)."""


def features_of(things: Iterable[BroughtThing]) -> tuple[Feature, ...]:
    """Make features of all the things brought; other things are passed over.

    Parameters
    ----------
    things
        From any number of files.

    Returns
    -------
    tuple of Feature
        In order. A line without an edge is taken as the middle of a road, driveway or trail, and as the edge
        of anything else. A bait that says it is exposed is an exposed bait.
    """
    return tuple(_feature(thing) for thing in things if thing.kind is BroughtKind.FEATURE)


def _feature(thing: BroughtThing) -> Feature:
    facts = thing.facts
    kind = FeatureClass(str(facts["feature"]))
    exposed = _flag(thing, "exposed")
    if kind is FeatureClass.BAIT and exposed:
        kind = FeatureClass.EXPOSED_BAIT
    middle = bool(thing.path) and kind in _DRAWN_ALONG_THE_MIDDLE
    edge = Edge(str(facts["edge"])) if "edge" in facts else Edge.CENTRE if middle else Edge.NEAREST
    return Feature(
        name=thing.wanted_name,
        feature_class=kind,
        place=thing.place,
        path=thing.path,
        outline=thing.outline,
        edge=edge,
        width_m=_number(thing, "width_m"),
        accuracy_m=_number(thing, "accuracy_m"),
        consent=_flag(thing, "consent"),
        notice=_flag(thing, "notice"),
        written=_flag(thing, "written"),
        own=_flag(thing, "own"),
        occupied=_flag(thing, "occupied"),
        closed_road=_flag(thing, "closed_road"),
        exposed=exposed,
        where=thing.where,
    )


def _flag(thing: BroughtThing, name: str) -> bool | None:
    value = thing.facts.get(name)
    return value if isinstance(value, bool) else None


def _number(thing: BroughtThing, name: str) -> float | None:
    value = thing.facts.get(name)
    return float(value) if value is not None else None
