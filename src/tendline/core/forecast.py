"""Owns the nouns of a weather forecast: a value within bounds, a step of time, the whole with its place.

Does not own reading one (`ground.forecast`) or what it does to the line (`plan.spoil`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from tendline.core.place import LonLat
from tendline.core.when import Span


@dataclass(frozen=True)
class Between:
    """A value as it is told, from `low` to `high`, the same for a single number."""

    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse bounds the wrong way round."""
        if not self.low <= self.high:
            raise ValueError("the lower bound is above the upper one")

    @property
    def middle(self) -> float:
        """Half-way."""
        return (self.low + self.high) / 2.0

    def times(self, factor: float) -> "Between":
        """Give the value times a factor that is not negative."""
        return Between(self.low * factor, self.high * factor)

    def plus(self, other: "Between") -> "Between":
        """Give the sum, low with low and high with high."""
        return Between(self.low + other.low, self.high + other.high)


NOTHING = Between(0.0, 0.0)


@dataclass(frozen=True)
class Step:
    """One stretch of a forecast.

    Parameters
    ----------
    span
        From when until when, not empty.
    air_c
        Air temperature [degrees Celsius].
    water_mm
        What falls, melted [mm]; None when the forecast does not tell water.
    snow_m
        New snow [m]; None when the forecast does not tell snow.
    wind_kmh
        Wind at 10 m [km/h]; None when it does not tell wind.
    """

    span: Span
    air_c: Between
    water_mm: Between | None = None
    snow_m: Between | None = None
    wind_kmh: Between | None = None


@dataclass(frozen=True)
class Forecast:
    """A forecast, as it was handed in.

    Parameters
    ----------
    source
        What it is and where it was read from, for people.
    steps
        In order of time, one following on the other; at least one.
    issued_at
        When it was made; None when it does not say.
    place, elevation_m
        What it is for [m]; None when it does not say.
    notes
        What has to be told with it, a sentence each.
    """

    source: str
    steps: tuple[Step, ...]
    issued_at: datetime | None = None
    place: LonLat | None = None
    elevation_m: float | None = None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse steps that do not follow on one another."""
        if not self.steps:
            raise ValueError("a forecast has at least one step")
        for one, following in pairwise(self.steps):
            if one.span.end != following.span.start:
                raise ValueError("the steps of a forecast follow on one another")

    @property
    def span(self) -> Span:
        """From its first instant to its last."""
        return Span(self.steps[0].span.start, self.steps[-1].span.end)


def in_blocks(steps: Sequence[Step], edges: Sequence[datetime]) -> tuple[Step, ...]:
    """Sum steps up into blocks: amounts by the share of time, temperature and wind as their mean.

    An amount that one step of a block does not tell is not told for the block: cut where that changes, with
    `telling_changes`.

    Parameters
    ----------
    steps
        Following on one another.
    edges
        Rising, two or more; the whole must lie within the steps.

    Returns
    -------
    tuple of Step
        One for each pair of neighbouring edges.
    """
    blocks, first = [], 0
    for start, end in pairwise(edges):
        block = Span(start, end)
        while steps[first].span.end <= start:
            first += 1
        parts: list[tuple[Step, float]] = []
        for step in steps[first:]:
            shared = step.span.meet(block)
            if shared is None:
                break
            if shared.seconds > 0.0:
                parts.append((step, shared.seconds))
        blocks.append(_block(block, parts))
    return tuple(blocks)


def telling_changes(steps: Sequence[Step]) -> tuple[datetime, ...]:
    """Give every instant at which a forecast begins or ceases to tell water or snow."""
    return tuple(
        following.span.start
        for one, following in pairwise(steps)
        if (one.water_mm is None, one.snow_m is None)
        != (following.water_mm is None, following.snow_m is None)
    )


def _block(block: Span, parts: Sequence[tuple[Step, float]]) -> Step:
    return Step(
        block,
        _sum([step.air_c.times(seconds / block.seconds) for step, seconds in parts]),
        _amount([(step.water_mm, seconds / step.span.seconds) for step, seconds in parts]),
        _amount([(step.snow_m, seconds / step.span.seconds) for step, seconds in parts]),
        _mean([(step.wind_kmh, seconds) for step, seconds in parts]),
    )


def _amount(parts: Sequence[tuple[Between | None, float]]) -> Between | None:
    """Add up amounts by their share; what is not told in one part is not told for the whole."""
    told = [value.times(share) for value, share in parts if value is not None]
    return _sum(told) if len(told) == len(parts) else None


def _mean(parts: Sequence[tuple[Between | None, float]]) -> Between | None:
    """Give the mean over the parts that tell it."""
    told = [(value, seconds) for value, seconds in parts if value is not None]
    whole = sum(seconds for _, seconds in told)
    return _sum([value.times(seconds / whole) for value, seconds in told]) if told else None


def _sum(values: Sequence[Between]) -> Between:
    total = NOTHING
    for value in values:
        total = total.plus(value)
    return total
