"""Owns whether measured values keep inside the bounds of the law: sizes, heights, lengths, distances.

Does not own which value is looked at (`rules.meet_device`, `rules.meet_place`). A value with a range is
inside only when the whole range is, outside only when none of it is, and else too close to call.
"""

import math
from fractions import Fraction

from tendline.rules.dated import Quantity
from tendline.rules.facts import Measure
from tendline.rules.finding import Shown
from tendline.rules.needs import Bounds
from tendline.rules.outcome import Met, Outcome
from tendline.rules.quantities import in_si, in_unit, same, written

R95_PER_SIGMA = 2.4477468306808166
"""Radius of 95 % over the standard deviation along one axis, circular normal: sqrt(-2 ln 0.05)."""


def inside(measure: Measure, bounds: Bounds, what: str, *, note: str = "") -> Outcome:
    """Say whether a measure keeps inside bounds.

    Parameters
    ----------
    measure
        SI.
    bounds
        As the law writes them.
    what
        What was measured, for people: ``the loop, open``.
    note
        Added behind the value: ``(37.7 in round)``.
    """
    met = min((_side(measure, kind, limit) for kind, limit in _pairs(bounds)), key=list(Met).index)
    shown = show(measure, bounds)
    said = f"{what} is {shown.value_words}{note}; the limit is {shown.limit_words}"
    ask = (f"measure again: {what}",) if met is Met.CLOSE else ()
    return Outcome(met, (said,), ask, shown)


def inside_by_chance(
    measure: Measure, bounds: Bounds, what: str, *, error95_m: float, sure: float
) -> Outcome:
    """Say whether a distance keeps inside bounds when the position is uncertain.

    Notes
    -----
    The error along the line to the feature is normal, with the standard deviation of a circular normal
    error whose 95 % radius is `error95_m`: P = Phi(d / sigma) for a signed distance d from a straight edge.
    The range of the measure itself is taken at its worse end for either call.

    References
    ----------
    Circular normal distribution: 95 % radius 2.4477 sigma, CEP 1.1774 sigma (ratio 2.0789).
    """
    sigma = error95_m / R95_PER_SIGMA
    chances = []
    for kind, limit in _pairs(bounds):
        sign = 1.0 if kind in ("at_least", "more_than") else -1.0
        bound = float(in_si(limit))
        ends = sorted(_phi(sign * (d - bound) / sigma) for d in (measure.least, measure.value, measure.most))
        chances.append((ends[0], _phi(sign * (measure.value - bound) / sigma), ends[-1]))
    low, best, high = min(chances)
    met = Met.YES if low >= sure else Met.NO if high <= 1.0 - sure else Met.CLOSE
    shown = show(measure, bounds)
    said = (
        f"{what} is {shown.value_words}, position good to {written(error95_m, shown.unit)} in 95 of 100; "
        f"the limit is {shown.limit_words}; {_percent(best)} sure to keep it"
    )
    ask = ("tape the distance",) if met is Met.CLOSE else ()
    return Outcome(met, (said,), ask, shown, best)


def show(measure: Measure, bounds: Bounds) -> Shown:
    """Set a measure beside its bounds, in the unit of the nearer one."""
    margins = [(_margin(measure.value, kind, limit), limit) for kind, limit in _pairs(bounds)]
    margin, nearer = min(margins, key=lambda pair: pair[0])
    unit = nearer.unit
    words = written(measure.value, unit, beside=nearer)
    if measure.least < measure.most:
        words += f" ({written(measure.least, unit)} to {written(measure.most, unit)})"
    return Shown(measure.value, measure.least, measure.most, unit, words, bounds.words, in_unit(margin, unit))


def _pairs(bounds: Bounds) -> list[tuple[str, Quantity]]:
    names = ("at_least", "at_most", "more_than", "less_than")
    return [(name, limit) for name in names if (limit := getattr(bounds, name)) is not None]


def _side(measure: Measure, kind: str, limit: Quantity) -> Met:
    bound = in_si(limit)
    keeps = {end: _keeps(end, kind, bound) for end in (measure.least, measure.most)}
    if all(keeps.values()):
        return Met.YES
    return Met.CLOSE if any(keeps.values()) else Met.NO


def _keeps(value: float, kind: str, bound: Fraction) -> bool:
    if same(value, bound):
        return kind in ("at_least", "at_most")
    over = Fraction(value) > bound
    return over if kind in ("at_least", "more_than") else not over


def _margin(value: float, kind: str, limit: Quantity) -> float:
    bound = in_si(limit)
    if same(value, bound):
        return 0.0
    over = float(Fraction(value) - bound)
    return over if kind in ("at_least", "more_than") else -over


def _phi(z: float) -> float:
    return 0.5 * (1.0 + math.erf(z / math.sqrt(2.0)))


def _percent(chance: float) -> str:
    """Write a chance so that it is never rounded up to certain: ``95 %``, ``99.9 %``."""
    return f"{math.floor(chance * 1000) / 10:g} %"
