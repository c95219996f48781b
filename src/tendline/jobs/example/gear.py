"""Owns what the invented handler noted of devices, parts, leave, how the sets hang; a few things are wrong.

Does not own places (`farms`) or the diary of the mornings (`diary`).
"""

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

from tendline.jobs.example.diary import Entry
from tendline.jobs.example.farms import FARMS
from tendline.jobs.example.files import FIRST_TAG, SAYS

SPARES = 12
"""Devices built beyond those that are set."""

TOO_STRONG, TOO_HIGH = 217, "M7"
"""A device whose breakaway is too strong, and a set that hangs too high, for the law of the example."""

LAPSED = "kiln"
"""A farm whose leave has run out."""

PAPERS = """
[[papers]]
kind = "cable-restraint-course"
first = {year}-09-12
carried = true

[[papers]]
kind = "trapping-licence"
first = {year}-10-01
last = {next_year}-06-30
carried = true

[[people]]
name = "Ben Example"
phone = "555-0142 (invented)"
leave = true
landowner = false
papers = [
  {{ kind = "cable-restraint-course", carried = true }},
  {{ kind = "trapping-licence", last = {next_year}-06-30 }},
]

[[people]]
name = "Cal Example"
phone = "555-0143 (invented)"
landowner = false
lacks = ["trapping-licence"]
"""
"""What the invented handler holds, and who else there is, for the end of `line.toml`."""

TOLD = {
    "[person]\n": "[person]\nlandowner = false\n",
    "[law]\n": '[law]\ndrawn = ["dwelling", "driveway", "trail"]\n',
}
"""What the invented handler has put into the tables of `line.toml`."""

_BUILD = {
    "device_class": "live-restraint",
    "subtype": "neck-type",
    "loop_m": 0.3048,
    "loop_min_m": 0.0762,
    "has_stop": True,
    "has_breakaway": True,
    "breakaway_at": "lock",
    "breakaway_method": "maker",
    "cable_diameter_m": 0.00238125,
    "construction": "7x7",
    "cable_length_m": 1.2192,
    "cable_whole_m": 1.8288,
    "relaxing_lock": True,
    "lock_moving_parts": False,
    "power_assisted": False,
    "single_piece_lock": True,
    "swivels": 1,
    "swivel_at": ["anchor"],
    "swivel_free": True,
    "tag_says": ["name", "address"],
    "tag_material": "copper",
    "tag_ferrous": False,
    "tag_durable": True,
    "tag_attached": True,
    "good_order": True,
}

_HANGING = {
    "anchor_kind": "stake",
    "anchor_immovable": True,
    "extension_m": 0.3048,
    "slope_deg": 6.0,
    "reach_clear": True,
    "attached_to_fence": False,
    "in_livestock_enclosure": False,
    "in_path_of_people": False,
    "in_path_of_domestic_animals": False,
    "in_right_of_way": False,
    "in_water": False,
    "looked_for": ["dwelling", "exposed-bait", "bait", "den", "fence", "trail", "road"],
}


_WINDY, _FROZEN = "RT", "KM"
"""First letters of the farms that lie open to the wind, and of those whose anchors went into frost."""


def devices(count: int, at: datetime) -> Iterator[Entry]:
    """Give the devices built before the season: those to be set, and some to spare."""
    for number in range(count + SPARES):
        tag = FIRST_TAG + number
        pounds = 400.0 if tag == TOO_STRONG else 285.0
        body = {"tag": str(tag), **_BUILD, "breakaway_n": round(pounds * 4.4482216152605, 3), "note": SAYS}
        yield Entry("device-built", at, body)


def leaves(at: datetime, first: date) -> Iterator[Entry]:
    """Give the leave for every farm; one has run out."""
    for farm in FARMS:
        last = first + timedelta(days=9 if farm.name == LAPSED else 120)
        body = {
            "parcel": farm.name,
            "first": (first - timedelta(days=40)).isoformat(),
            "last": last.isoformat(),
            "given_by": farm.owner,
            "written": True,
            "signed": True,
            "carried": True,
            "names_cables": True,
            "species": ["coyote", "red fox", "gray fox"],
            "note": SAYS,
        }
        yield Entry("permission", at, body)


def hangings(names: Sequence[str], at: datetime) -> Iterator[Entry]:
    """Give how each set hangs, as measured the evening the example looks at the line."""
    for name in names:
        bottom = 0.3556 if name == TOO_HIGH else 0.2286
        body = {
            "set": name,
            **_HANGING,
            "bottom_m": bottom,
            "top_m": round(bottom + 0.3048, 4),
            "surface": "packed-snow",
            "snow_m": 0.1016,
            "exposure": "exposed" if name[0] in _WINDY else "sheltered",
            "driven_in_frost": name[0] in _FROZEN,
            "landmark_height_m": 1.8 if name[0] in _WINDY else 3.5,
            "note": SAYS,
        }
        yield Entry("adjusted", at, body)


_PARTS = {"cable": 24, "stop": 90, "lock": 30, "breakaway": 40, "swivel": 18, "end": 60, "support": 35}
"""Loose parts that the invented handler laid in."""

_ROLL_M = 304.8
KINKED, MENDED = 11, 3
"""The spare device, from 0, that was found kinked, and the device in the field order that was rebuilt."""


def workshop(count: int, built: datetime, first_look: datetime) -> Iterator[Entry]:
    """Give what happened at the bench: parts laid in, used and counted, a device mended, one found kinked.

    Parameters
    ----------
    count
        Sets, and so devices that hang in one.
    built, first_look
        When the devices were built, and when the first round began.
    """
    for part, number in _PARTS.items():
        yield Entry("parts-received", built, {"part": part, "count": number, "note": SAYS})
    roll = {"part": "cable", "count": 1, "length_m": _ROLL_M, "note": SAYS}
    yield Entry("parts-received", built, roll)
    evening = first_look + timedelta(days=3, hours=13)
    tag, parts = str(FIRST_TAG + MENDED), {"cable": 1, "stop": 3, "end": 1, "breakaway": 1}
    yield Entry("device-rebuilt", evening, {"tag": tag, "parts": parts, "good_order": True, "note": SAYS})
    lost = {"part": "stop", "count": 6, "note": f"crimped wrong. {SAYS}"}
    yield Entry("parts-used", evening, lost)
    yield Entry("stock-count", evening + timedelta(days=8), {"part": "stop", "count": 78, "note": SAYS})
    spoilt = {"tag": str(FIRST_TAG + count + KINKED), "cable": "kinked", "note": SAYS}
    yield Entry("device-inspected", evening + timedelta(days=8), spoilt)
