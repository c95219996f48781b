"""Owns the conversions between the person's units and SI, each number once, and lengths as people write them.

Does not own rounding for law: a limit is converted exactly and never loosened.
"""

import math
import re
from dataclasses import dataclass
from enum import StrEnum

from tendline.core.errors import refuse
from tendline.core.faults import LENGTH

METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
METRES_PER_YARD = 0.9144
METRES_PER_MILE = 1609.344
NEWTONS_PER_POUND = 4.4482216152605
KILOGRAMS_PER_POUND = 0.45359237
METRES_PER_SURVEY_FOOT = 1200.0 / 3937.0
"""All exact by definition: NIST SP 811 (2008), appendix B.8."""

METRES_PER: dict[str, float] = {
    "mm": 0.001,
    "cm": 0.01,
    "m": 1.0,
    "km": 1000.0,
    "in": METRES_PER_INCH,
    "ft": METRES_PER_FOOT,
    "yd": METRES_PER_YARD,
    "mi": METRES_PER_MILE,
}
"""Metres in one of each length unit, by the short name used in column headers and on the command line."""

_ALIASES = {
    '"': "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "foot": "ft",
    "feet": "ft",
    "yard": "yd",
    "yards": "yd",
    "mile": "mi",
    "miles": "mi",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
}
_LENGTH = re.compile(
    r"^\s*(?P<sign>[+-]?)\s*(?:(?P<whole>\d+)\s+)?(?P<num>\d+(?:\.\d+)?|\.\d+)(?:/(?P<den>\d+))?\s*(?P<unit>[a-z\"']+)\s*$",
    re.IGNORECASE,
)


class Units(StrEnum):
    """Which units the person reads and writes."""

    US = "us"
    METRIC = "metric"


@dataclass(frozen=True)
class Written:
    """A length as it was written, beside its exact value.

    Parameters
    ----------
    text
        As written: ``3/32 in``.
    metres
        The same, in metres [m].
    """

    text: str
    metres: float


def parse_length(text: str, *, where: str = "") -> float:
    """Read a length with its unit: ``10in``, ``3/32 in``, ``1 1/2 in``, ``25.4 cm``.

    Parameters
    ----------
    text
        A number, a fraction or a mixed number, then a unit from `METRES_PER`. The unit is never guessed.
    where
        What to point at if it cannot be read.

    Returns
    -------
    float
        Length [m]; may be negative, the caller decides whether that has a meaning.

    Raises
    ------
    Refused
        CORE-101 when the number or the unit cannot be read.
    """
    found = _LENGTH.match(text)
    unit = _ALIASES.get(found["unit"].lower(), found["unit"].lower()) if found else ""
    if found is None or unit not in METRES_PER or (found["den"] and int(found["den"]) == 0):
        raise refuse(
            LENGTH,
            f"'{text}' is not a length.",
            where,
            f"Write a number and a unit, such as 10in or 25.4cm; units: {', '.join(METRES_PER)}.",
        )
    number = float(found["num"]) / (int(found["den"]) if found["den"] else 1)
    number += int(found["whole"]) if found["whole"] else 0
    return (-number if found["sign"] == "-" else number) * METRES_PER[unit]


def format_small(metres: float, units: Units) -> str:
    """Write a gear-sized length for a person: inches to a tenth, or whole centimetres to a tenth.

    Parameters
    ----------
    metres
        Length [m].
    units
        The person's units.
    """
    if units is Units.US:
        return f"{_trim(metres / METRES_PER_INCH, 1)} in"
    return f"{_trim(metres * 100.0, 1)} cm"


def format_distance(metres: float, units: Units) -> str:
    """Write a ground distance for a person: yards or miles, metres or kilometres.

    Parameters
    ----------
    metres
        Distance [m], zero or more.
    units
        The person's units.
    """
    if units is Units.US:
        if metres < METRES_PER_MILE / 4:
            return f"{round(metres / METRES_PER_YARD)} yd"
        return f"{metres / METRES_PER_MILE:.1f} mi"
    if metres < 1000:
        return f"{round(metres)} m"
    return f"{metres / 1000:.1f} km"


SQUARE_METRES_PER_ACRE = 4046.8564224
"""Exact for the international foot: 43 560 square feet (NIST SP 811 (2008), appendix B.8, footnote 16)."""


def format_area(square_metres: float, units: Units) -> str:
    """Write an area of ground for a person: acres, or hectares.

    Parameters
    ----------
    square_metres
        Area [m2], zero or more.
    units
        The person's units.
    """
    number = square_metres / (SQUARE_METRES_PER_ACRE if units is Units.US else 10_000)
    figure = f"{number:.0f}" if number >= 10 else f"{number:.1f}" if number >= 1 else f"{number:.2f}"
    return f"{figure} {'acres' if units is Units.US else 'ha'}"


def format_minutes(seconds: float) -> str:
    """Write a stretch of time as ``7 min`` or ``2 h 05``, rounded to the minute.

    Parameters
    ----------
    seconds
        Duration [s]; a negative one carries a minus sign.
    """
    sign = "-" if seconds < 0 else ""
    minutes = math.floor(abs(seconds) / 60 + 0.5)
    if minutes < 60:
        return f"{sign}{minutes} min"
    return f"{sign}{minutes // 60} h {minutes % 60:02d}"


def _trim(number: float, digits: int) -> str:
    text = f"{number:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
