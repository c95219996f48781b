"""Tiny calendars against trying every choice of sites in every outing."""

import itertools
from functools import cache

import numpy as np
import pytest

from tendline.plan.itinerary import Travel
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeeksProblem, WeeksStatus
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import every_days, sites, table, windows

LOOK_MIN = 1.0 + 20.0 + 1.0
"""To the set, the look, back to the truck."""


def drives(seed: int, count: int) -> Travel:
    """Give whole minutes between places on a plane, home first; a kilometre a minute."""
    chance = np.random.default_rng(seed)
    at = chance.uniform(0, 20, (count + 1, 2))
    minutes = np.ceil(np.linalg.norm(at[:, None] - at[None], axis=2))
    return table(["home", *(f"P{k}" for k in range(count))], lambda a, b: float(minutes[a, b]))


def tour_min(drive: Travel, chosen: tuple[int, ...]) -> float:
    """Give the shortest outing over some sites by trying every order [min]."""
    if not chosen:
        return 0.0
    minutes = drive.seconds / 60.0
    ways = (
        sum(minutes[a, b] for a, b in itertools.pairwise([0, *(k + 1 for k in order), 0]))
        for order in itertools.permutations(chosen)
    )
    return float(min(ways)) + LOOK_MIN * len(chosen)


def least_cost(drive: Travel, gaps: tuple[int, ...], days: int, most_min: float) -> float | None:
    """Give the least cost of all plans: time away, a minute an outing, a second a kilometre [s]."""
    choices = [c for size in range(len(gaps) + 1) for c in itertools.combinations(range(len(gaps)), size)]
    priced = []
    for chosen in choices:
        away = tour_min(drive, chosen)
        if away <= most_min:
            km = away - LOOK_MIN * len(chosen)
            priced.append((chosen, 60.0 * away + (60.0 + km if chosen else 0.0)))

    @cache
    def ahead(left: tuple[int, ...], day: int) -> float:
        if min(left) <= 0:
            return float("inf")
        if day == days:
            return 0.0
        return min(
            cost + ahead(tuple(gaps[k] if k in chosen else left[k] - 1 for k in range(len(gaps))), day + 1)
            for chosen, cost in priced
        )

    best = ahead(gaps, 0)
    return None if best == float("inf") else best


@pytest.mark.parametrize("seed", range(12))
def test_the_plan_of_a_tiny_calendar_is_the_best_of_all(seed: int) -> None:
    chance = np.random.default_rng(1000 + seed)
    gaps = tuple(int(g) for g in chance.integers(1, 4, 3))
    days, most = 5, float(chance.integers(70, 130))
    drive = drives(seed, 3)
    problem: WeeksProblem = sites(
        [every_days(g) for g in gaps], windows(days, start_h=6, minutes=most), days=days, service_min=20.0
    )
    problem = type(problem)(**{**vars(problem), "drive": drive})
    best = least_cost(drive, gaps, days, most)
    alone = max(tour_min(drive, (k,)) for k in range(3))
    if alone > most:
        pytest.skip("a site that no window reaches is bad input")
    verdict = plan_weeks(problem, seconds=10, helps=False)
    if best is None:
        assert verdict.plan is None
        assert verdict.status in (WeeksStatus.IMPOSSIBLE, WeeksStatus.UNKNOWN)
        return
    plan = verdict.plan
    assert plan is not None
    assert weeks_violations(problem, plan) == []
    cost = plan.seconds + 60.0 * len(plan.rounds) + plan.metres / 1000.0
    # The engine stops within a ten-thousandth of the best.
    assert best * (1 - 1e-6) <= cost <= best * 1.0002
    assert verdict.status is WeeksStatus.OPTIMAL
