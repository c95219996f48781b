"""Owns turning the record of one set into what the law looks at of a set: heights, reach, obstacles, places.

Does not own the law (`rules`). What is not recorded stays None.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tendline.almanac.reach import BODY_M, Circle, reach_circle
from tendline.core.feature import Feature
from tendline.core.line import Device, LineState, SetStanding, SetState
from tendline.core.settings import LawSettings
from tendline.core.words import AnchorKind, FeatureClass
from tendline.jobs.law_heights import heights_of
from tendline.jobs.law_near import near_of, stands_in
from tendline.report.reach_drawing import ReachPicture
from tendline.rules.facts import Measure, Obstacle, SetFacts

_SAME_NAME = (
    *("in_path_of_people", "in_path_of_domestic_animals", "in_right_of_way", "in_water"),
    *("suspends_catch", "bait_covered"),
)
"""Fields that the record and the law call alike."""


def set_facts(one: SetState, line: LineState, features: Sequence[Feature], *, law: LawSettings) -> SetFacts:
    """Give a set as the law looks at it.

    Parameters
    ----------
    one
        The set.
    line
        The line it belongs to: its device, the other sets, the snow.
    features
        Everything drawn on the ground.
    law
        What the person has said of the features drawn.
    """
    told, heights = one.told, heights_of(one, line.snow)
    circle = reach_of(one, line.devices.get(one.tag or ""))
    return SetFacts(
        name=one.name,
        species=one.target or None,
        made_at=one.made_at,
        pulled_at=one.pulled_at,
        in_field=one.standing.in_field,
        working=one.standing is SetStanding.WORKING,
        bottom=heights.bottom,
        top=heights.top,
        snow_at_set=heights.snow_at_set,
        reach=_device_reach(circle),
        near=near_of(one, features, line.in_field),
        looked_for=looked_for(one, law),
        obstacles=_obstacles(told),
        stem_clear=_measure(told, "stem_clear_m"),
        attached_to_fence=_fastened_to_fence(told),
        in_livestock_enclosure=_with_livestock(one, features, law),
        closed_to_stop=told.get("closed_to_stop"),
        **_same(told),
    )


def reach_of(one: SetState, device: Device | None) -> Circle | None:
    """Give the circle that an animal held at a set can reach; None where its length of cable is not known."""
    if device is None or "cable_length_m" not in device.build:
        return None
    return reach_circle(
        float(device.build["cable_length_m"]),
        extension_m=one.told.get("extension_m"),
        slope_deg=one.told.get("slope_deg"),
    )


def reach_picture(one: SetState, device: Device | None) -> ReachPicture | None:
    """Give the circle of a set to be drawn; None where its length of cable is not known."""
    circle = reach_of(one, device)
    if circle is None:
        return None
    metres, looked = one.told.get("obstacle_m"), one.told.get("reach_clear")
    return ReachPicture(one.name, circle, one.told.get("obstacle_kind", "obstacle"), metres, looked)


def looked_for(one: SetState, law: LawSettings) -> frozenset[str]:
    """Give the kinds of feature looked for: at the set, on the whole map; one's own other sets are known."""
    return frozenset({*one.told.get("looked_for", ()), *law.drawn, FeatureClass.OTHER_SET.value})


def _same(told: Mapping[str, Any]) -> dict[str, Any]:
    return {name: told.get(name) for name in _SAME_NAME}


def _measure(told: Mapping[str, Any], name: str) -> Measure | None:
    return Measure(float(told[name])) if name in told else None


def _device_reach(circle: Circle | None) -> Measure | None:
    """Give how far the device reaches; the margin for the body is the law's to add."""
    if circle is None:
        return None
    low, high = circle.low_m - BODY_M, circle.high_m - BODY_M
    return Measure(low, low, high, how="; ".join(circle.said))


def _obstacles(told: Mapping[str, Any]) -> tuple[Obstacle, ...] | None:
    if "obstacle_m" in told:
        name = told.get("obstacle_kind", "an obstacle")
        distance = Measure(float(told["obstacle_m"]), how="as noted at the set")
        return (Obstacle(name, distance, _measure(told, "obstacle_high_m")),)
    if "reach_clear" not in told:
        return None
    if told["reach_clear"]:
        return ()
    # Somebody said that it is not clear, and not how near: it may be right there.
    return (Obstacle(told.get("obstacle_kind", "an obstacle"), Measure(0.0, how="within reach, as noted")),)


def _fastened_to_fence(told: Mapping[str, Any]) -> bool | None:
    if told.get("anchor_kind") == AnchorKind.FENCE:
        return True
    found: bool | None = told.get("attached_to_fence")
    return found


def _with_livestock(one: SetState, features: Iterable[Feature], law: LawSettings) -> bool | None:
    """Say whether a set stands where livestock is kept: as noted, else by what is drawn."""
    if "in_livestock_enclosure" in one.told:
        return bool(one.told["in_livestock_enclosure"])
    kind = FeatureClass.LIVESTOCK_ENCLOSURE
    found = stands_in(one, features, kind, sure=law.sure)
    # Outside all that are drawn is outside only where all are drawn.
    return found if found or kind.value in looked_for(one, law) else None
