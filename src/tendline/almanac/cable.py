"""Owns what wire rope and its ends hold and weigh, by construction, diameter and kind of end.

Does not own a build made of them (`gear.build`) or the chain of strengths (`gear.chain`).

Loads are the least at which new rope of that make may part in a test. Kinks, wear, rust, frost and a bend
round a lock all take from them, by how much no source read says: test your own.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from tendline.core.source import Status
from tendline.core.units import KILOGRAMS_PER_POUND, METRES_PER_FOOT, METRES_PER_INCH, NEWTONS_PER_POUND

MAKES = ("7x7", "7x19", "1x19")
MATERIALS = ("galvanised", "stainless")

SOURCE_MEMORY = (
    "military and commercial tables of wire rope (MIL-DTL-83420, RR-W-410, MIL-DTL-87161), from memory"
)
SOURCE_SEEN = "table of small wire rope, 304 and 316 stainless (read in a copy)"
SOURCE_CHECKED = "MIL-DTL-83420 from memory; AS 3569 supplier table 7x19 3.2 mm 8.9 kN agrees"

_G, _S = MATERIALS
_DIAMETERS = (Fraction(1, 16), Fraction(5, 64), Fraction(3, 32), Fraction(7, 64), Fraction(1, 8))
# Least breaking loads [lbf], in the order of the diameters [in].
_LOADS: dict[tuple[str, str], tuple[int | None, ...]] = {
    ("7x7", _G): (480, 650, 920, 1260, 1700),
    ("7x7", _S): (480, 650, 920, 1260, 1700),
    ("7x19", _G): (480, None, 1000, None, 2000),
    ("7x19", _S): (480, None, 920, None, 1760),
    ("1x19", _G): (500, 800, 1200, 1600, 2100),
    ("1x19", _S): (500, 800, 1200, 1600, 2100),
}
_SEEN = {("7x7", _S, Fraction(1, 16)), ("1x19", _S, Fraction(1, 16))}
_CHECKED = {("7x19", _G, Fraction(1, 8))}
# Pounds in 1,000 ft, in the order of the diameters; from memory of makers' tables.
_POUNDS: dict[str, tuple[float | None, ...]] = {
    "7x7": (7.5, 11.0, 16.0, 22.0, 28.5),
    "7x19": (7.5, None, 17.4, None, 29.0),
    "1x19": (8.5, 14.0, 20.0, 27.0, 35.0),
}


@dataclass(frozen=True)
class Load:
    """A breaking load [N] and where it is known from."""

    newtons: float
    status: Status
    source: str


@dataclass(frozen=True)
class Termination:
    """A kind of end: the share of the rope's load it holds, lowest and highest, and where that is from."""

    name: str
    low: float
    high: float
    status: Status
    source: str


_TM = "US Army TM 5-3810-305-10, table 4"
TERMINATIONS = {
    each.name: each
    for each in (
        # The sheet on eyelets reaches lower than the manual; the whole range of both is carried.
        Termination(
            "swaged-sleeve",
            0.90,
            0.96,
            Status.SECONDARY,
            f"{_TM} (95 % on a steel core, 92.5 % on fibre); caving sheet on swaged eyelets (90 to 96 %)",
        ),
        Termination("clips", 0.80, 0.80, Status.TEXT, _TM),
        Termination("wedge-socket", 0.75, 0.95, Status.TEXT, _TM),
        Termination("hand-splice", 0.76, 0.86, Status.TEXT, f"{_TM}; stainless the lower"),
        Termination("hammered-ferrule", 0.0, 0.96, Status.UNKNOWN, "no source read gives a figure"),
    )
}
"""Kinds of end, by name."""


def diameters() -> tuple[float, ...]:
    """Give the cable diameters that the tables hold [m], smallest first.

    References
    ----------
    Sizes of small wire rope in the inch tables: 1/16, 5/64, 3/32, 7/64 and 1/8 in.
    """
    return tuple(float(size) * METRES_PER_INCH for size in _DIAMETERS)


def least_breaking(make: str, diameter_m: float, *, material: str) -> Load | None:
    """Give the least breaking load of new rope; None where the table holds none for it.

    Parameters
    ----------
    make
        One of `MAKES`.
    diameter_m
        Nominal [m]; must be a size of the table, to a fortieth of a millimetre.
    material
        One of `MATERIALS`.

    References
    ----------
    1/16 in stainless: table read in a copy. 7x19 galvanised 1/8 in: agrees with AS 3569, 3.2 mm, 8.9 kN. The
    rest: MIL-DTL-83420, RR-W-410 and MIL-DTL-87161, from memory.
    """
    place = _place(diameter_m)
    row = _LOADS.get((make, material))
    pounds = row[place] if row is not None and place is not None else None
    if pounds is None or place is None:
        return None
    key = (make, material, _DIAMETERS[place])
    status, source = Status.MEMORY, SOURCE_MEMORY
    if key in _SEEN:
        status, source = Status.SECONDARY, SOURCE_SEEN
    elif key in _CHECKED:
        status, source = Status.SECONDARY, SOURCE_CHECKED
    return Load(pounds * NEWTONS_PER_POUND, status, source)


def mass_per_metre(make: str, diameter_m: float) -> float | None:
    """Give the mass of a metre of rope [kg/m]; None where the table holds none.

    References
    ----------
    Makers' tables of pounds in 1,000 ft, from memory.
    """
    place = _place(diameter_m)
    row = _POUNDS.get(make)
    pounds = row[place] if row is not None and place is not None else None
    return None if pounds is None else pounds * KILOGRAMS_PER_POUND / (1000.0 * METRES_PER_FOOT)


def stress_of(load_n: float, diameter_m: float) -> float:
    """Give load over diameter squared [N/mm2]: a figure by which a slip in a table shows.

    References
    ----------
    Arithmetic; 650 to 1,000 N/mm2 for small aircraft cable.
    """
    return load_n / (diameter_m * 1000.0) ** 2


def _place(diameter_m: float) -> int | None:
    for place, size in enumerate(_DIAMETERS):
        if math.isclose(float(size) * METRES_PER_INCH, diameter_m, abs_tol=2.5e-5):
            return place
    return None
