"""What holds for every forecast: snow never lifts a loop, chances are chances, a seed says the same."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.almanac.datum import Base, Snow
from tendline.core.forecast import NOTHING, Between, Forecast, Step
from tendline.core.when import Span
from tendline.core.words import Surface
from tendline.plan.spoil import Asked, outlook
from tendline.plan.spoil_nouns import AtStake, Band, Outlook, Point

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 2, 3, 20, tzinfo=UTC)
FEW = settings(max_examples=25, deadline=None)

BAND = Band(Point.BOTTOM, Base.FIRST_HARD, 0.15, 0.30, "law")
TOP = Band(Point.TOP, Base.FOOTPRINT, None, 0.61, "law of another place")
ANIMAL = Band(Point.BOTTOM, Base.FIRST_HARD, 0.25, 0.30, "coyote")

airs = st.lists(st.floats(-25.0, 10.0), min_size=4, max_size=8)
depths = st.floats(0.0, 0.6)
surfaces = st.sampled_from([None, *Surface])


def forecast(air: list[float], snow: float, rain: float) -> Forecast:
    steps = []
    for i, degrees in enumerate(air):
        span = Span(NOW + timedelta(hours=6 * i), NOW + timedelta(hours=6 * i + 6))
        falls = Between(snow, snow) if i in (1, 2) else NOTHING
        wet = Between(rain, rain) if i == 1 and degrees > 3.0 else None
        steps.append(Step(span, Between(degrees, degrees), wet, None if wet else falls, Between(10.0, 35.0)))
    return Forecast("drawn", tuple(steps))


def at_stake(depth: float, surface: Surface | None) -> AtStake:
    above = {Base.GROUND: Between(0.3, 0.4 + depth)}
    top = {Base.GROUND: Between(0.7, 0.8 + depth)}
    heights = {Point.BOTTOM: above, Point.TOP: top}
    return AtStake("S", heights=heights, snow=Snow(depth, surface), laws=(BAND, TOP), animal=ANIMAL)


def asked(seed: int = 7) -> Asked:
    return Asked(NOW, ZONE, days=3, members=60, seed=seed)


def told(air: list[float], snow: float, depth: float, surface: Surface | None, *, seed: int = 7) -> Outlook:
    return outlook([at_stake(depth, surface)], forecast(air, snow, 5.0), asked(seed))


@FEW
@given(airs, depths, surfaces, st.floats(0.0, 0.3), st.floats(0.0, 0.3))
def test_more_snow_never_raises_the_loop_above_what_the_animal_walks_on(
    air: list[float], depth: float, surface: Surface | None, snow: float, more: float
) -> None:
    less, deeper = told(air, snow, depth, surface), told(air, snow + more, depth, surface)
    for one, other in zip(less.sets[0].days, deeper.sets[0].days, strict=True):
        assert one.animal is not None
        assert other.animal is not None
        assert other.animal.low_m <= one.animal.low_m + 1e-3
        assert other.animal.wrong_low >= one.animal.wrong_low - 1 / 60
        assert other.depth_m.low >= one.depth_m.low - 1e-3
        assert (other.top_covered or 0.0) >= (one.top_covered or 0.0)


@FEW
@given(airs, depths, surfaces, st.floats(0.0, 0.8))
def test_chances_are_chances_and_ranges_are_ranges(
    air: list[float], depth: float, surface: Surface | None, snow: float
) -> None:
    found = told(air, snow, depth, surface)
    for day in found.sets[0].days:
        chances = [day.bottom_buried, day.top_covered, day.frozen, day.thawed]
        for band in (*day.laws, *((day.animal,) if day.animal else ())):
            chances += [band.wrong_low, band.wrong_high]
            assert band.low_m <= band.high_m
        assert all(chance is not None and 0.0 <= chance <= 1.0 for chance in chances)
        # Loose snow settles, and is never more than lay there and fell; trodden it is less than loose.
        assert 0.0 <= day.packed_m.low <= day.loose_m.low
        assert day.loose_m.high <= day.fallen_m.high + depth + 1e-9
        assert day.depth_m.high <= day.fallen_m.high + depth + 1e-9
    for line in found.days:
        assert 0.0 <= line.to_fix.low <= line.to_fix.high <= 1.0
        assert line.chill_c <= line.air_c.low + 1e-9


@FEW
@given(airs, depths, surfaces, st.integers(0, 2**31))
def test_the_same_seed_says_the_same(
    air: list[float], depth: float, surface: Surface | None, seed: int
) -> None:
    first, second = (told(air, 0.1, depth, surface, seed=seed) for _ in range(2))
    assert first == second
