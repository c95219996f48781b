"""The outlook on the weather, against one plain pass of numpy over arrays of the same size.

Three hundred sets, ten days, five hundred members. The plain pass does for every block what any snow model
must do at least: one exponential and one product over sets by members. The ratio is what the model adds.
"""

import time
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tendline.almanac.datum import Base, Snow
from tendline.core.forecast import NOTHING, Between, Forecast, Step
from tendline.core.when import Span
from tendline.core.words import Surface
from tendline.plan.spoil import Asked, outlook
from tendline.plan.spoil_nouns import AtStake, Band, Point

SETS, DAYS, MEMBERS = 300, 10, 500
NOW = datetime(2027, 1, 15, 18, tzinfo=UTC)
LIMIT_S = 3.0


def forecast() -> Forecast:
    """Make ten days of invented weather in steps of an hour, with two falls and a thaw."""
    steps = []
    for hour in range(24 * DAYS):
        span = Span(NOW + timedelta(hours=hour), NOW + timedelta(hours=hour + 1))
        air = -6.0 + 5.0 * np.sin(2 * np.pi * hour / 24.0) + (8.0 if 120 <= hour < 150 else 0.0)
        falls = hour % 72 in range(6, 18)
        snow = Between(0.01, 0.02) if falls else NOTHING
        water = Between(0.8, 1.6) if falls else NOTHING
        steps.append(Step(span, Between(air - 1.0, air + 1.0), water, snow, Between(10.0, 35.0)))
    return Forecast("invented", tuple(steps))


def sets() -> list[AtStake]:
    """Make sets with two limits of the law and an animal each."""
    laws = (
        Band(Point.BOTTOM, Base.FIRST_HARD, 0.1524, 0.3048, "bottom"),
        Band(Point.TOP, Base.FOOTPRINT, None, 0.6096, "top"),
    )
    heights = {Point.BOTTOM: {Base.GROUND: Between(0.4, 0.45)}, Point.TOP: {Base.GROUND: Between(0.75, 0.8)}}
    return [
        AtStake(
            f"S{i}",
            heights=heights,
            snow=Snow(0.2, Surface.PACKED_SNOW),
            laws=laws,
            animal=Band(Point.BOTTOM, Base.SNOW_SURFACE, 0.25, 0.30, "coyote"),
            up_m=float(i),
        )
        for i in range(SETS)
    ]


def plain_pass() -> float:
    """Do one exponential and one product for each block over sets by members [s]."""
    values = np.random.default_rng(1).random((SETS, MEMBERS))
    start = time.perf_counter()
    for _ in range(4 * DAYS):
        values *= np.exp(-0.01 * values)
    return time.perf_counter() - start


def main() -> None:
    """Print seconds and ratios, best of three."""
    at_stake, ahead = sets(), forecast()
    asked = Asked(NOW, ZoneInfo("America/New_York"), DAYS, MEMBERS, 1)
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        outlook(at_stake, ahead, asked)
        taken.append(time.perf_counter() - start)
    plain = min(plain_pass() for _ in range(3))
    print(f"{SETS} sets x {DAYS} days x {MEMBERS} members")
    print(f"outlook        {min(taken):6.2f} s   (at most {LIMIT_S:g} s asked for)")
    print(f"plain pass     {plain:6.2f} s")
    print(f"ratio          {min(taken) / plain:6.1f}")


if __name__ == "__main__":
    main()
