"""Owns the names of columns and properties in files brought in, and which kinds of thing each belongs to.

Does not own how a value is read (`fields`) or the layout of a file.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from tendline.core.words import DeviceClass, Edge, FeatureClass, LandClass, Surface
from tendline.ground.brought import BroughtKind


@dataclass(frozen=True)
class Measure:
    """A length that a file may hold, and what it can be.

    Parameters
    ----------
    fact
        What it is called inside, in metres.
    noun
        What it is, for a person.
    least, most
        Range [m]; `least` itself is good only where `least_is_good`.
    times
        What the number in the file is multiplied by, besides its unit.
    """

    fact: str
    noun: str
    least: float
    most: float
    least_is_good: bool = False
    times: float = 1.0


MEASURES: dict[str, Measure] = {
    "loop": Measure("loop_m", "the width of the loop as a circle", 0.02, 1.0, least_is_good=True),
    "loop_circ": Measure(
        "loop_m", "the length round the loop", 0.02, 1.0, least_is_good=True, times=1.0 / math.pi
    ),
    "bottom": Measure("bottom_m", "the height of the loop's lowest point", 0.0, 2.0, least_is_good=True),
    "top": Measure("top_m", "the height of the loop's highest point", 0.0, 3.0, least_is_good=True),
    "accuracy": Measure("accuracy_m", "how well the place is known", 0.0, 1000.0),
    "width": Measure("width_m", "how wide the thing is", 0.0, 1000.0),
    "loop_min": Measure("loop_min_m", "the width to which the stop lets the loop close", 0.0, 1.0),
    "cable_diameter": Measure("cable_diameter_m", "the thickness of the cable", 0.0003, 0.03),
    "cable_length": Measure("cable_length_m", "the length from anchor end to lock", 0.05, 20.0),
}
"""By the stem of the name, before ``_in`` or another unit.

No loop on a coyote or fox trail is two centimetres or a metre wide, or hangs two metres high (common
practice, no source): such a number was read off in another unit. The record has the same bounds.
"""

UNITS = {"in": "inches", "ft": "feet", "mm": "millimetres", "cm": "centimetres", "m": "metres"}
TEXTS = (
    *("tag", "parcel", "landmark", "target", "parcels", "owner", "phone", "title", "barrier", "note"),
    *("county", "construction", "lock", "location_type"),
)
WORDS: dict[str, type[StrEnum]] = {
    "device_class": DeviceClass,
    "surface": Surface,
    "feature": FeatureClass,
    "edge": Edge,
    "land_class": LandClass,
}
FLAGS = (
    *("consent", "notice", "written", "own", "occupied", "closed_road", "exposed"),
    *("own_land", "farm_land", "relaxing_lock", "lock_moving_parts", "has_stop", "has_breakaway"),
)
SECONDS = ("seconds", "crossing_seconds")
RATES = ("per_100_nights",)
"""Catches that a place is expected to give in a hundred nights."""
TIMES = ("set_at", "built_at")
MOST_SECONDS = 7200.0
MOST_PER_100_NIGHTS = 100.0

FACT_NAMES = (
    *TEXTS,
    *WORDS,
    *FLAGS,
    *SECONDS,
    *RATES,
    *(f"{stem}_{unit}" for stem in MEASURES for unit in UNITS),
)
"""Every name of a column or property that ends up in `BroughtThing.facts`."""

FACTS_OF: dict[BroughtKind, set[str]] = {
    BroughtKind.SET: {
        *("tag", "parcel", "landmark", "target", "device_class", "surface", "location_type"),
        *("loop_m", "bottom_m", "top_m", "accuracy_m"),
    },
    BroughtKind.PARKING: {"parcels", "accuracy_m"},
    BroughtKind.PARCEL: {"title", "owner", "phone", "county", "land_class", "own_land", "farm_land"},
    BroughtKind.LANDMARK: {"accuracy_m"},
    BroughtKind.BARRIER: {"seconds"},
    BroughtKind.CROSSING: {"barrier", "accuracy_m"},
    BroughtKind.DEVICE: {
        *("tag", "device_class", "loop_m", "loop_min_m", "cable_diameter_m", "cable_length_m"),
        *("construction", "lock", "relaxing_lock", "lock_moving_parts", "has_stop", "has_breakaway"),
    },
    BroughtKind.TRACK: set(),
    BroughtKind.FEATURE: {
        *("feature", "edge", "width_m", "accuracy_m"),
        *("consent", "notice", "written", "own", "occupied", "closed_road", "exposed"),
    },
    BroughtKind.SPOT: {"parcel", "landmark", "target", "per_100_nights", "accuracy_m"},
}
TIME_OF = {BroughtKind.SET: "set_at", BroughtKind.DEVICE: "built_at"}


def measure_named(name: str) -> tuple[Measure, str] | None:
    """Give the measure and the unit that a column or property name such as ``loop_circ_in`` speaks of."""
    stem, _, unit = name.rpartition("_")
    return (MEASURES[stem], unit) if stem in MEASURES and unit in UNITS else None


def fact_named(name: str) -> str | None:
    """Give the fact that a column or property fills, or None when the name is not known."""
    if name in TEXTS or name in WORDS or name in FLAGS or name in RATES:
        return name
    if name in SECONDS:
        return "seconds"
    found = measure_named(name)
    return found[0].fact if found else None
