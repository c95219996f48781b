"""Owns the closed lists of words that rules on devices, places, papers and catches are written in.

Does not own the facts told in them (`rules.facts`) or what a rule asks of those (`rules.needs`).
"""

from enum import StrEnum


class Subject(StrEnum):
    """What a finding is about."""

    DEVICE = "device"
    SET = "set"
    PARCEL = "parcel"
    PERSON = "person"
    CATCH = "catch"


class Across(StrEnum):
    """How the size of a loop is given."""

    CIRCUMFERENCE = "circumference"
    DIAMETER = "diameter"


class Datum(StrEnum):
    """The surface from which a law measures a height."""

    GROUND = "ground"
    FIRST_HARD = "first-hard-surface"
    PACKED_SNOW = "packed-snow"
    FOOTPRINT = "footprint"
    SNOW_SURFACE = "snow-surface"


class Point(StrEnum):
    """A named point along a device, between which lengths are given and at which parts sit."""

    ANCHOR = "anchor"
    EXTENSION_END = "extension-end"
    HALFWAY = "halfway"
    LOCK_AT_STOP = "lock-at-stop"
    LOCK_OPEN = "lock-open"
    LOCK = "lock"
    CABLE_END = "cable-end"


class Part(StrEnum):
    """A kind of part that a device may have one or more of."""

    SWIVEL = "swivel"
    STOP = "stop"
    LOCK = "lock"
    BREAKAWAY = "breakaway"
    EXTENSION = "extension"
    SUPPORT = "support"
    TAG = "tag"


TAG_WORDS = (
    "name",
    "address",
    "telephone",
    "agency-number",
    "agency-telephone",
    "licence-number",
    "driver-licence-number",
    "state",
    "state-id-number",
    "registration-number",
)
"""What a tag may carry; ``agency-number`` is any number that the agency gave the person."""

FEATURES = (
    "dwelling",
    "driveway",
    "building",
    "school",
    "road",
    "right-of-way",
    "trail",
    "trailhead",
    "campground",
    "fence",
    "livestock-passage",
    "feedlot",
    "exposed-bait",
    "bait",
    "den",
    "other-set",
    "water",
    "river",
    "village",
    "obstacle",
)
"""What a distance may be measured to."""

EDGES = ("nearest-point", "outside-edge", "centre-line", "maintained-edge", "wall")
"""Which part of a feature is measured to."""

WAIVERS = ("consent", "notice", "ownership", "in-water", "under-ice", "closed-road", "written-permission")
"""What may waive a distance."""

LAND_CLASSES = ("private", "public", "commercial-forest", "public-hunting-area", "road-right-of-way", "park")
"""Classes of land as laws tell them apart."""

ACTS = (
    *("report", "seal", "move", "release", "dispatch"),
    *("keep", "surrender", "tell-owner", "tell-town", "pay"),
)
"""What may be done about a catch."""
