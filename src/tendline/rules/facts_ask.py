"""Owns finding a fact by the name a profile asks it under: measures, yes-or-no qualities, words.

Does not own the facts (`rules.facts`) or what they must be (`rules.meet`).
"""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from tendline.core.words import DeviceClass
from tendline.rules.facts import (
    CatchFacts,
    DeviceFacts,
    Facts,
    LoopSize,
    Measure,
    PersonFacts,
    PlaceFacts,
    SetFacts,
)
from tendline.rules.nouns import LAND_CLASSES, Point
from tendline.rules.quantities import Dimension

LOOPS = ("loop-open", "loop-now", "stop")
"""Measures that are sizes of a loop."""

DIMENSIONS: Mapping[str, Dimension] = {
    **dict.fromkeys(LOOPS, Dimension.LENGTH),
    "cable-diameter": Dimension.LENGTH,
    "extension": Dimension.LENGTH,
    "reach": Dimension.LENGTH,
    "stem-clear": Dimension.LENGTH,
    "breakaway": Dimension.FORCE,
}
"""Every measure a profile may ask for."""

WORDS: Mapping[str, tuple[str, ...]] = {
    "construction": (),
    "lock": (),
    "subtype": (),
    "breakaway-method": ("static-load", "maker", "other"),
    "breakaway-at": tuple(Point),
    "device-class": tuple(DeviceClass),
    "target": (),
    "species": (),
    "land-class": LAND_CLASSES,
    "county": (),
    "held": ("live", "green-pelt", "pelt"),
    "wish": ("keep", "release"),
}
"""Every word a profile may ask for, with the words allowed; empty where any is."""

_SOURCES: tuple[tuple[str, type[Any]], ...] = (
    ("device", DeviceFacts),
    ("set", SetFacts),
    ("place", PlaceFacts),
    ("person", PersonFacts),
    ("catch", CatchFacts),
)
_YES_OR_NO = (bool, bool | None)

QUALITIES: Mapping[str, tuple[str, str]] = {
    field.name.replace("_", "-"): (source, field.name)
    for source, kind in _SOURCES
    for field in fields(kind)
    if field.type in _YES_OR_NO
}
"""Every yes-or-no quality a profile may ask for: whose it is, and its field."""

_WORD_AT = {
    "construction": ("device", "construction"),
    "lock": ("device", "lock"),
    "subtype": ("device", "subtype"),
    "breakaway-method": ("device", "breakaway_method"),
    "breakaway-at": ("device", "breakaway_at"),
    "device-class": ("device", "device_class"),
    "target": ("set", "species"),
    "species": ("catch", "species"),
    "land-class": ("place", "land_class"),
    "county": ("place", "county"),
    "held": ("catch", "held"),
    "wish": ("catch", "wish"),
}
_MEASURE_AT = {
    "loop-open": ("device", "loop_open"),
    "loop-now": ("device", "loop_now"),
    "stop": ("device", "stop"),
    "cable-diameter": ("device", "cable_diameter"),
    "extension": ("device", "extension"),
    "breakaway": ("device", "breakaway"),
    "reach": ("set", "reach"),
    "stem-clear": ("set", "stem_clear"),
}


def quality_of(facts: Facts, name: str) -> bool | None:
    """Give a quality; None when it is not recorded."""
    found = _read(facts, *QUALITIES[name])
    return found if isinstance(found, bool) else None


def word_of(facts: Facts, name: str) -> str | None:
    """Give a word; None when it is not recorded."""
    found = _read(facts, *_WORD_AT[name])
    return str(found) if found else None


def measure_of(facts: Facts, name: str) -> Measure | LoopSize | None:
    """Give a measure; None when it was not taken."""
    found = _read(facts, *_MEASURE_AT[name])
    return found if isinstance(found, Measure | LoopSize) else None


def _read(facts: Facts, source: str, field: str) -> object:
    holder = getattr(facts, source)
    return None if holder is None else getattr(holder, field)
