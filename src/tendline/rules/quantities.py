"""Owns turning a quantity as the law writes it into SI exactly, and a value back into the law's own unit.

Does not own reading one from a file (`rules.tables`). A bound is a fraction: nothing is rounded, so no limit
becomes looser.
"""

from enum import StrEnum
from fractions import Fraction

from tendline.rules.dated import Quantity

NEARLY = Fraction(1, 10**9)
"""How far apart, as a share of the bound, a value and a bound may be and still be the same: what the last
bits of a number in metres can be off; under a millionth of a millimetre for a loop."""


class Dimension(StrEnum):
    """What a unit measures."""

    LENGTH = "length"
    FORCE = "force"
    COUNT = "count"


_METRES = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "km": Fraction(1000),
    "in": Fraction(254, 10000),
    "ft": Fraction(3048, 10000),
    "yd": Fraction(9144, 10000),
    "mi": Fraction(1609344, 1000),
}
_STANDARD_GRAVITY = Fraction(980665, 100000)
_NEWTONS = {
    "N": Fraction(1),
    "kg": _STANDARD_GRAVITY,
    "lb": Fraction(45359237, 10**8) * _STANDARD_GRAVITY,
}
_COUNT = {"": Fraction(1)}
_PER = {Dimension.LENGTH: _METRES, Dimension.FORCE: _NEWTONS, Dimension.COUNT: _COUNT}


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """Give the units in which a dimension may be written; a count has the empty one."""
    return tuple(_PER[dimension])


def is_a(quantity: Quantity, dimension: Dimension) -> bool:
    """Say whether a quantity is written in a unit of the dimension."""
    return quantity.unit in _PER[dimension]


def dimension_of(quantity: Quantity) -> Dimension | None:
    """Give what a quantity measures; kg and lb are forces here, as a load at which something parts."""
    return next((dimension for dimension, per in _PER.items() if quantity.unit in per), None)


def in_si(quantity: Quantity) -> Fraction:
    """Give the exact value in metres, newtons or as a count.

    Notes
    -----
    A load in kg or lb is the weight of that mass under standard gravity, 9.806 65 m/s2.

    References
    ----------
    NIST SP 811 (2008), appendix B.8: inch, foot, yard, mile, pound, pound-force, kilogram-force.
    """
    dimension = dimension_of(quantity)
    if dimension is None:
        raise ValueError(f"'{quantity.text}' is neither a length nor a load nor a count")
    return quantity.exact * _PER[dimension][quantity.unit]


def in_unit(value: float, unit: str) -> float:
    """Give an SI value in the unit of a law."""
    per = next(per[unit] for per in _PER.values() if unit in per)
    return value / float(per)


def written(value: float, unit: str, *, beside: Quantity | None = None) -> str:
    """Write an SI value in a unit, to four figures, or to more where it would read as the bound beside it.

    Parameters
    ----------
    value
        SI.
    unit
        The law's.
    beside
        The bound it is shown against.
    """
    number = in_unit(value, unit)
    text = f"{number:.4g}"
    if beside is not None:
        bound = in_si(beside)
        if same(value, bound):
            text = f"{in_unit(float(bound), unit):.7g}"
        figures = 4
        while figures < 15 and not same(value, bound) and _reads_otherwise(text, value, bound, unit):
            figures += 1
            text = f"{number:.{figures}g}"
    plain = f"{float(text):f}".rstrip("0").rstrip(".") if "e" in text else text
    return f"{plain} {unit}".rstrip()


def _reads_otherwise(text: str, value: float, bound: Fraction, unit: str) -> bool:
    """Say whether a value, as rounded, would read as on the bound or on its other side."""
    limit = in_unit(float(bound), unit)
    return float(text) == limit or (float(text) > limit) is not (Fraction(value) > bound)


def same(value: float, bound: Fraction) -> bool:
    """Say whether a value is the bound, to the last bit that a number in SI can carry."""
    return abs(Fraction(value) - bound) <= NEARLY * abs(bound)
