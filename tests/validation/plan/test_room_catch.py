"""What spots catch together, against closed forms and against animals played through one by one."""

import math

import numpy as np
import pytest

from tendline.almanac.tending import roaming_of
from tendline.plan.room_catch import Reach, Worth
from tendline.plan.room_nouns import Spot

RADIUS, ANIMALS, NIGHTS = 2000.0, 2.0, 30.0


def worth(
    *places: tuple[float, float, float], standing: tuple[tuple[float, float, float], ...] = ()
) -> Worth:
    """Give spots at x, y with a rate a night, and sets that stand."""
    spots = [Spot(f"s{k}", rate, "coyote") for k, (_, _, rate) in enumerate(places)]
    old = [Spot(f"o{k}", rate, "coyote") for k, (_, _, rate) in enumerate(standing)]
    at = np.array([p[:2] for p in places])
    old_at = np.array([p[:2] for p in standing]).reshape(-1, 2)
    return Worth(spots, at, old, old_at, {"coyote": Reach(RADIUS, ANIMALS)}, NIGHTS)


def alone(rate: float) -> float:
    """Give what one spot catches: each of the animals in reach in one of the nights, 1 - (1 - q)^n."""
    return float(ANIMALS * (1.0 - (1.0 - rate / ANIMALS) ** NIGHTS))


def test_one_spot_catches_what_so_many_animals_over_so_many_nights_give() -> None:
    for rate in (0.005, 0.02, 0.1):
        assert worth((0, 0, rate)).of([0]) == pytest.approx(alone(rate), rel=0.01)


def test_spots_too_far_apart_to_share_an_animal_add_up() -> None:
    two = worth((0, 0, 0.02), (4 * RADIUS, 0, 0.05))
    assert two.of([0, 1]) == pytest.approx(alone(0.02) + alone(0.05), rel=0.01)
    assert two.shares([1], 0) == []


def test_three_spots_at_one_place_are_not_counted_thrice() -> None:
    three = worth((0, 0, 0.05), (1, 0, 0.05), (0, 1, 0.05))
    together = ANIMALS * (1.0 - (1.0 - 0.05 / ANIMALS) ** (3 * NIGHTS))
    assert three.of([0, 1, 2]) == pytest.approx(together, rel=0.02)
    assert three.of([0, 1, 2]) < 2.0 * three.of([0])
    assert three.adds([0, 1], 2) < 0.3 * three.of([2])


def test_two_spots_share_the_animals_of_the_lens_where_their_circles_meet() -> None:
    # Two circles of radius r, a distance d apart, share 2 r^2 acos(d / 2r) - d/2 sqrt(4 r^2 - d^2):
    # plane geometry, any handbook.
    for apart in (500.0, 1500.0, 3000.0):
        lens = 2 * RADIUS**2 * math.acos(apart / (2 * RADIUS))
        lens -= apart / 2 * math.sqrt(4 * RADIUS**2 - apart**2)
        share = lens / (math.pi * RADIUS**2)
        chance = 1.0 - (1.0 - 0.04 / ANIMALS) ** NIGHTS
        both = 1.0 - (1.0 - chance) ** 2
        expected = ANIMALS * (2 * (1 - share) * chance + share * both)
        assert worth((0, 0, 0.04), (apart, 0, 0.04)).of([0, 1]) == pytest.approx(expected, rel=0.01)


def test_what_stands_already_takes_its_part_of_the_animals() -> None:
    fresh = worth((0, 0, 0.04)).of([0])
    beside = worth((0, 0, 0.04), standing=((0, 0, 0.04),)).of([0])
    # The animals that the old set does not take are left: (1 - q)^n of them.
    assert beside == pytest.approx(fresh * (1.0 - 0.04 / ANIMALS) ** NIGHTS, rel=0.02)


def test_animals_played_through_one_by_one_give_the_same_within_their_error() -> None:
    chance = np.random.default_rng(5)
    places = chance.uniform(0, 5000, (4, 2))
    rates = np.array([0.01, 0.03, 0.02, 0.06])
    told = worth(*[(x, y, r) for (x, y), r in zip(places, rates, strict=True)]).of([0, 1, 2, 3])
    low, high = -RADIUS, 5000 + RADIUS
    area = (high - low) ** 2
    mean = ANIMALS / (math.pi * RADIUS**2) * area
    caught = []
    for _ in range(10_000):
        at = chance.uniform(low, high, (chance.poisson(mean), 2))
        near = np.hypot(*(at[:, None, :] - places[None]).transpose(2, 0, 1)) <= RADIUS
        free = np.where(near, (1.0 - rates / ANIMALS) ** NIGHTS, 1.0).prod(axis=1)
        caught.append(int((chance.uniform(size=len(at)) > free).sum()))
    error = float(np.std(caught)) / math.sqrt(len(caught))
    assert told == pytest.approx(float(np.mean(caught)), abs=4 * error + 0.01 * told)


def test_the_range_of_a_coyote_is_the_one_reported_from_michigan() -> None:
    # Mean home range of 11 residents 16.0 km2 (SD 5.7): as a circle 2.26 km in radius.
    assert roaming_of("Coyote").km2 == 16.0
    assert roaming_of("coyote").radius_m == pytest.approx(2257.0, abs=1.0)
    assert "no figure" in roaming_of("wolverine").source
    assert "from memory" in roaming_of("red fox").source
