"""Chances of being late against closed forms: the normal distribution of a logarithm, the binomial."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest

from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeeksPlan, WeeksProblem
from tendline.plan.weeks_risk import Chances, risk_of
from tests.weeks_lines import every_days, sites, windows

RUNS = 20_000


def one_outing(count: int, *, drive_min: float = 60.0) -> tuple[WeeksProblem, WeeksPlan]:
    """Give one site with some sets and the plan of its one outing."""
    problem = sites(
        [every_days(1)],
        windows(1, start_h=6, minutes=600),
        days=1,
        per_site=count,
        service_min=5.0,
        drive_min=drive_min,
        walk_min=1e-9,
    )
    plan = plan_weeks(problem, seconds=5).plan
    assert plan is not None
    return problem, plan


def within(share: float, chance: float) -> bool:
    """Say whether a share of runs is a chance to four standard errors."""
    return abs(share - chance) <= 4.0 * math.sqrt(chance * (1 - chance) / RUNS) + 1e-9


@pytest.mark.parametrize("late_by", [-0.1, 0.0, 0.1, 0.25])
def test_one_drive_is_late_as_the_normal_distribution_says(late_by: float) -> None:
    problem, plan = one_outing(1)
    sigma, drive = 0.2, 3600.0
    due = plan.rounds[0].round.leave + timedelta(seconds=drive * math.exp(late_by))
    problem = replace(problem, sets=tuple(replace(one, due=due) for one in problem.sets))
    risk = risk_of(problem, plan, chances=Chances(travel=sigma, per_night=0.0), seed=3, runs=RUNS)
    # Late when the factor is over exp(late_by); its logarithm is normal with mean -sigma^2/2, so
    # P = 1 - Phi((late_by + sigma^2/2) / sigma), and Phi by the error function.
    z = (late_by + sigma * sigma / 2) / sigma
    assert within(risk.any_late, 0.5 * (1 - math.erf(z / math.sqrt(2))))


@pytest.mark.parametrize("catches", [1, 2, 3])
def test_catches_make_the_last_set_late_as_the_binomial_says(catches: int) -> None:
    problem, plan = one_outing(12)
    last = plan.rounds[0].round.visits[-1]
    per_look = 0.15
    # One night from the last look: the looks are 22 h and some after it, so the chance is told per night.
    nights = (last.look - problem.sets[0].last_look) / timedelta(days=1)  # type: ignore[operator]
    due = last.look + timedelta(minutes=20 * catches - 10)
    problem = replace(
        problem,
        sets=tuple(replace(one, due=due if one.name == last.set_name else one.due) for one in problem.sets),
    )
    chances = Chances(travel=0.0, catch_s=1200.0, catch_spread=0.0, per_night=per_look)
    risk = risk_of(problem, plan, chances=chances, seed=5, runs=RUNS)
    # Each of the eleven before holds a catch with 1 - (1 - p)^nights, nights differing by under an hour.
    p = 1 - (1 - per_look) ** nights
    binomial = 1 - sum(math.comb(11, k) * p**k * (1 - p) ** (11 - k) for k in range(catches))
    assert risk.late[last.set_name] == pytest.approx(binomial, abs=0.02)


def test_the_same_random_numbers_give_the_same_chances() -> None:
    problem, plan = one_outing(5)
    ones = [risk_of(problem, plan, chances=Chances(), seed=7, runs=500) for _ in range(2)]
    assert ones[0] == ones[1]


def test_nothing_is_late_when_nothing_varies() -> None:
    problem, plan = one_outing(5)
    risk = risk_of(problem, plan, chances=Chances(travel=0.0, per_night=0.0), runs=100)
    assert (risk.any_late, risk.over, dict(risk.late)) == (0.0, 0.0, {})
