"""A week that can be repeated, against pinwheel scheduling and a verifier of its own.

Pinwheel: Holte, R. et al. (1989), The pinwheel, HICSS-22; Kawamura, A. (2024),
Proof of the density threshold conjecture for pinwheel scheduling, STOC 2024: every instance with density of
5/6 or less can be scheduled for ever. Here a day is a slot that holds one walk, and a week is seven slots.
"""

import itertools
from datetime import timedelta

import pytest

from tendline.plan.weeks_cycle import WEEK, plan_cycle
from tests.weeks_lines import every_days, every_hours, sites, windows

ONE_WALK_MIN = 75
"""A window that holds one walk of an hour and a drive, and not two."""


def cyclic_by_hand(gaps: tuple[int, ...], days: int) -> bool:
    """Try every way to fill the days with one task each."""
    for order in itertools.product(range(len(gaps)), repeat=days):
        if all(_holds(order, task, gap, days) for task, gap in enumerate(gaps)):
            return True
    return False


def _holds(order: tuple[int, ...], task: int, gap: int, days: int) -> bool:
    on = [day for day in range(days) if order[day] == task]
    if not on:
        return False
    return all((b - a) <= gap for a, b in itertools.pairwise([*on, on[0] + days]))


@pytest.mark.parametrize(
    "gaps", [(2, 3), (3, 3, 3), (2, 4, 7), (1, 7), (2, 3, 7), (3, 4, 4), (2, 2), (3, 3, 4)]
)
def test_one_walk_a_day_repeats_just_when_a_pinwheel_of_seven_days_does(gaps: tuple[int, ...]) -> None:
    problem = sites(
        [every_days(gap) for gap in gaps],
        windows(7, start_h=6, minutes=ONE_WALK_MIN),
        days=8,
        service_min=45,
    )
    found = plan_cycle(problem, seconds=10)
    assert (found.plan is not None) == cyclic_by_hand(gaps, 7), gaps
    assert found.plan is not None or found.proved or sum(1 / g for g in gaps) <= 1


def test_a_week_that_repeats_keeps_every_gap_over_its_end() -> None:
    problem = sites([every_hours(h) for h in (50, 60, 80)], windows(8, start_h=6, minutes=200), days=8)
    found = plan_cycle(problem, seconds=8)
    assert found.plan is not None
    for one, hours in zip(found.plan.looks, (50, 60, 80), strict=True):
        looks = sorted(one.looks)
        gaps = [b - a for a, b in itertools.pairwise([*looks, looks[0] + WEEK])]
        assert max(gaps) <= timedelta(hours=hours)
    assert found.bound_s is not None
    assert found.bound_s <= found.plan.seconds + 1.0
