"""Owns what differs from one member of an ensemble to the next: weather, and what is drawn for each set.

Does not own what the weather does to the snow (`snowpack`).

How far members differ is listed in `Spread`: common practice, no source. Weather is shared by all sets of a
member, so that sums over the line are right; what differs from set to set is drawn from the set's own name,
so that one more set changes nothing for the others.
"""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from tendline.almanac.melt import melt_factor
from tendline.core.forecast import Between, Step

Floats = NDArray[np.float64]

DRIFT_KMH = 28.0
"""Wind that moves dry snow: 7.7 m/s at 10 m in the mean, 4 to 11 seen (Li, L. & Pomeroy, J. W. (1997),
Journal of Applied Meteorology 36, 205-213, from memory)."""


@dataclass(frozen=True)
class Spread:
    """How far members differ.

    Parameters
    ----------
    air_c, air_c_per_day, air_c_most
        One standard deviation of the air [degrees Celsius]: at once, more for each day ahead, at most.
    fall, fall_per_day, fall_most
        The same for the logarithm of what falls.
    density, settling, melting
        Of the logarithm of each model's result.
    place
        Of the logarithm of what comes to lie at a set that no wind moves: under trees, on a slope.
    drift
        How much of the variation of `almanac.drifts` is taken where wind moves the snow.
    """

    air_c: float = 1.0
    air_c_per_day: float = 0.35
    air_c_most: float = 4.0
    fall: float = 0.25
    fall_per_day: float = 0.07
    fall_most: float = 0.8
    density: float = 0.15
    settling: float = 0.2
    melting: float = 0.3
    place: float = 0.12
    drift: float = 1.0


SPREAD = Spread()


@dataclass(frozen=True)
class Weather:
    """What each member meets in one block of time.

    Parameters
    ----------
    air_c
        Air by member [degrees Celsius].
    water_mm, snow_m
        What falls, melted [mm], and new snow [m], by member; None where the forecast does not tell it.
    windy
        The wind moves dry snow, or may, for all that is told.
    hours
        How long it is [h].
    melt
        Melt for each degree in a day [mm].
    """

    air_c: Floats
    water_mm: Floats | None
    snow_m: Floats | None
    windy: bool
    hours: float
    melt: float


def drawn_weather(
    blocks: Sequence[Step], *, now: datetime, zone: ZoneInfo, members: int, seed: int, spread: Spread = SPREAD
) -> tuple[Weather, ...]:
    """Draw the weather of every member, block by block.

    Parameters
    ----------
    blocks
        The forecast, cut into blocks of six hours or less.
    now, zone
        For how far ahead they lie, and the day of the year.
    members, seed
        How many, and from which seed.
    spread
        How far they differ.
    """
    rng = np.random.default_rng(seed)
    place_air, place_fall = rng.random(members), rng.random(members)
    off_air, off_fall = rng.standard_normal(members), rng.standard_normal(members)
    found = []
    for block in blocks:
        ahead = max(0.0, (block.span.start - now).total_seconds() / 86400.0)
        wide = min(spread.fall + spread.fall_per_day * ahead, spread.fall_most)
        falls = np.exp(off_fall * wide - wide**2 / 2.0)
        off = off_air * min(spread.air_c + spread.air_c_per_day * ahead, spread.air_c_most)
        found.append(
            Weather(
                _within(block.air_c, place_air) + off,
                None if block.water_mm is None else _within(block.water_mm, place_fall) * falls,
                None if block.snow_m is None else _within(block.snow_m, place_fall) * falls,
                block.wind_kmh is None or block.wind_kmh.high >= DRIFT_KMH,
                block.span.seconds / 3600.0,
                melt_factor(block.span.start.astimezone(zone).timetuple().tm_yday),
            )
        )
    return tuple(found)


def _within(value: Between, place: Floats) -> Floats:
    drawn: Floats = value.low + (value.high - value.low) * place
    return drawn


def drawn_for(name: str, *, members: int, seed: int) -> Floats:
    """Draw seven numbers from 0 to 1 for each member at a set, by the name of the set."""
    rng = np.random.default_rng((seed, zlib.crc32(name.encode())))
    return rng.random((7, members))


def place_in_range(name: str, *, members: int, seed: int) -> Floats:
    """Draw where in the range of its height a loop hangs, 0 to 1 by member."""
    return np.random.default_rng((seed, zlib.crc32(name.encode()), 1)).random(members)


def normal(place: Floats) -> Floats:
    """Turn numbers from 0 to 1 into normal ones, near enough: the logistic curve with the same spread."""
    safe = np.clip(place, 1e-4, 1.0 - 1e-4)
    found: Floats = np.log(safe / (1.0 - safe)) * (np.sqrt(3.0) / np.pi)
    return found
