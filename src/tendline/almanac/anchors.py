"""Owns what anchors hold in soil, as ranges: classes of soil, strength of clay, plates, rods and screws.

Does not own whether the anchor outlasts the breakaway (`gear.chain`).

These are formulas of foundation engineering for anchors far larger than a stake. They say in which order of
size an anchor holds, never that one will: pull on it.
"""

import math
from dataclasses import dataclass

from tendline.core.source import Status
from tendline.core.units import METRES_PER_FOOT, NEWTONS_PER_POUND

PASCALS_PER_TSF = 2000.0 * NEWTONS_PER_POUND / METRES_PER_FOOT**2
"""One US ton-force on a square foot [Pa]."""

PLATE_FACTOR = 9.0
"""Bearing of a deep plate in clay over the clay's own strength (Meyerhof 1973 and Das, from memory)."""

ROD_ADHESION = 0.5
"""Grip of stiff clay on a driven rod over the clay's own strength (from memory)."""

SCREW_PER_METRE = 33.0
"""Holding over the torque it was turned in with, square shaft to 1.75 in [1/m] (ICC AC358, from memory)."""

TXDOT = "TxDOT Geotechnical Manual, table 4-2"
BULLETIN = "utility-anchor bulletin 4-7504 (2000)"


@dataclass(frozen=True)
class Clay:
    """Clay of one consistency.

    Parameters
    ----------
    name
        ``medium stiff``.
    low_pa, high_pa
        Strength, undrained [Pa].
    sign
        How a person tells it.
    status
        How surely the range is known.
    """

    name: str
    low_pa: float
    high_pa: float
    sign: str
    status: Status


def _clay(name: str, low: float, high: float, sign: str) -> Clay:
    return Clay(name, low * PASCALS_PER_TSF, high * PASCALS_PER_TSF, sign, Status.TEXT)


CLAYS = {
    clay.name: clay
    for clay in (
        _clay("very soft", 0.0, 0.125, "the fist goes in by inches"),
        _clay("soft", 0.125, 0.25, "the thumb goes in by inches, easily"),
        _clay("medium stiff", 0.25, 0.5, "the thumb goes in with moderate effort"),
        _clay("stiff", 0.5, 1.0, "dented with effort"),
        _clay("very stiff", 1.0, 2.0, "not marked by fingers; a pencil goes in"),
        # The table has no upper end here; 4 keeps its own ratio to a blow count of 60.
        _clay("hard", 2.0, 4.0, "barely marked by a pencil"),
    )
}
"""Clay by consistency (TxDOT Geotechnical Manual, table 4-2)."""


@dataclass(frozen=True)
class SoilClass:
    """A class of soil of the utility trade: words, torque of the soil probe [N m], blow count."""

    number: int
    words: str
    probe_low_nm: float
    probe_high_nm: float
    blows: str


_INCH_POUND = 0.112984829
_CLASSES = (
    (1, "very dense or cemented sand, cobbles", 750, 1600, "60 to 100 and more"),
    (2, "dense fine sand; very hard silt or clay", 600, 750, "45 to 60"),
    (3, "dense sand or gravel; hard silt or clay", 500, 600, "35 to 50"),
    (4, "medium-dense sand or gravel; very stiff to hard silt or clay", 400, 500, "24 to 40"),
    (5, "medium-dense coarse sand; stiff to very stiff silt or clay", 300, 400, "14 to 25"),
    (6, "loose to medium sand; stiff clay and silt", 200, 300, "7 to 14"),
    (7, "loose fine sand; alluvium, loess; medium to stiff clay; fill", 100, 200, "4 to 8"),
    (8, "peat, organic silt, very loose sand, very soft clay", 0, 100, "0 to 5"),
)
SOIL_CLASSES = tuple(SoilClass(n, w, lo * _INCH_POUND, hi * _INCH_POUND, b) for n, w, lo, hi, b in _CLASSES)
"""Classes of soil, firmest first (utility-anchor bulletin 4-7504)."""

CLAY_OF_CLASS = {5: ("stiff", "very stiff"), 6: ("stiff", "stiff"), 7: ("medium stiff", "stiff")}
"""The clays that a class names, softest and hardest; a class whose clay the clay table lacks is not here."""


@dataclass(frozen=True)
class Holding:
    """What an anchor may hold, within bounds [N], and how that was worked out."""

    low_n: float
    high_n: float
    said: str


def class_of_probe(torque_nm: float) -> SoilClass:
    """Give the class of soil in which a probe turns at a torque [N m], 0 or more.

    References
    ----------
    Utility-anchor bulletin 4-7504 (2000), table of soil classes.
    """
    found = [c for c in SOIL_CLASSES if torque_nm >= c.probe_low_nm]
    return found[0]


def clay_named(name: str) -> Clay | None:
    """Give a clay by its consistency, or by the class of soil written ``class 5``; None when there is none.

    References
    ----------
    TxDOT Geotechnical Manual, table 4-2; utility-anchor bulletin 4-7504 for the classes that name clay.
    """
    plain = name.strip().lower()
    if plain.startswith("class ") and plain[6:].isdigit():
        ends = CLAY_OF_CLASS.get(int(plain[6:]))
        if ends is None:
            return None
        low, high = CLAYS[ends[0]], CLAYS[ends[1]]
        return Clay(plain, low.low_pa, high.high_pa, f"{ends[0]} to {ends[1]} clay", Status.TEXT)
    return CLAYS.get(plain)


def plate_holding(strength_pa: float, area_m2: float) -> float:
    """Give what a deep plate holds in clay pulled quickly [N]: Q = 9 Su A.

    References
    ----------
    Meyerhof, G. G. (1973) and Das, Earth anchors, for the factor 9: from memory.
    """
    return PLATE_FACTOR * strength_pa * area_m2


def rod_holding(
    strength_pa: float, diameter_m: float, length_m: float, *, adhesion: float = ROD_ADHESION
) -> float:
    """Give what a driven rod holds pulled straight out of clay [N]: Q = a Su pi d L.

    References
    ----------
    The adhesion method for piles in clay; 0.5 for stiff clay: from memory.
    """
    return adhesion * strength_pa * math.pi * diameter_m * length_m


def screw_holding(torque_nm: float) -> float:
    """Give what a screw anchor holds from the torque it was turned in with [N]: Q = K T.

    References
    ----------
    The torque rule for screw anchors; K = 33 per metre for square shafts to 1.75 in, ICC AC358: from memory.
    """
    return SCREW_PER_METRE * torque_nm
