"""Chances of being late against closed forms: the normal distribution of a logarithm, the binomial."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, timedelta, timezone, tzinfo

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


@pytest.mark.parametrize("fixes", [1, 2, 4])
def test_repairs_make_the_last_set_late_as_the_binomial_says(fixes: int) -> None:
    problem, plan = one_outing(12)
    last = plan.rounds[0].round.visits[-1]
    look, fix, share = 300.0, 600.0, 0.2
    due = last.look + timedelta(seconds=fix * fixes - 300)
    problem = replace(
        problem,
        sets=tuple(replace(one, due=due if one.name == last.set_name else one.due) for one in problem.sets),
    )
    chances = Chances(travel=0.0, per_night=0.0, look_s=look, fix_share=share, fix_s=fix, catch_spread=0.0)
    risk = risk_of(problem, plan, chances=chances, seed=11, runs=RUNS)
    # Late with at least so many repairs at the eleven sets before it: looks take what was planned, 5 minutes.
    binomial = 1 - sum(math.comb(11, k) * share**k * (1 - share) ** (11 - k) for k in range(fixes))
    assert within(risk.late.get(last.set_name, 0.0), binomial)


def test_storm_mornings_make_one_outing_in_so_many_late() -> None:
    problem, plan = one_outing(1)
    back = plan.rounds[0].round.back
    window = replace(plan.rounds[0].outing, span=replace(plan.rounds[0].outing.span, end=back))
    plan = replace(plan, rounds=(replace(plan.rounds[0], outing=window),))
    chances = Chances(travel=0.0, per_night=0.0, storm=0.15, storm_factor=1.4)
    risk = risk_of(problem, plan, chances=chances, seed=2, runs=RUNS)
    # Back exactly at the latest return without a storm; with one always after it.
    assert within(risk.over, 0.15)
    assert risk.any_bad == pytest.approx(risk.over)
    assert risk.any_late == 0.0


def storm_days(offsets_h: Sequence[float], zone: tzinfo) -> float:
    """Give the share of runs in which some of equal outings, so many hours apart, is hit by a storm."""
    problem, plan = one_outing(1)
    first = plan.rounds[0]
    ends = replace(first.outing, span=replace(first.outing.span, end=first.round.back))
    rounds = []
    for k, hours in enumerate(offsets_h):
        by = timedelta(hours=hours)
        span = replace(ends.span, start=ends.span.start + by, end=ends.span.end + by)
        stops = tuple(
            replace(stop, visits=tuple(replace(v, look=v.look + by) for v in stop.visits))
            for stop in first.round.stops
        )
        moved = replace(first.round, leave=first.round.leave + by, back=first.round.back + by, stops=stops)
        rounds.append(replace(first, outing=replace(ends, who=f"Nobody {k}", span=span), round=moved))
    chances = Chances(travel=0.0, per_night=0.0, storm=0.15, storm_factor=1.4, zone=zone)
    return risk_of(problem, replace(plan, rounds=tuple(rounds)), chances=chances, seed=2, runs=RUNS).over


def test_a_storm_lasts_all_day_for_everybody() -> None:
    # Outings at 6 h UTC and later: one storm or none for all of a day, 1 - (1 - p)^2 for two days.
    assert within(storm_days([0, 0, 6], UTC), 0.15)
    assert within(storm_days([0, 24, 24], UTC), 1 - 0.85**2)
    # By the clock nine hours behind, 6 h and 12 h are 21 h and 3 h: two days.
    west = timezone(timedelta(hours=-9))
    assert within(storm_days([0, 6], west), 1 - 0.85**2)
    assert within(storm_days([6, 24], west), 0.15)


def test_either_kind_of_late_counts_as_bad() -> None:
    problem, plan = one_outing(1)
    sigma, drive = 0.2, 3600.0
    due = plan.rounds[0].round.leave + timedelta(seconds=drive * math.exp(0.1))
    problem = replace(problem, sets=tuple(replace(one, due=due) for one in problem.sets))
    window = replace(
        plan.rounds[0].outing,
        span=replace(plan.rounds[0].outing.span, end=plan.rounds[0].round.leave + timedelta(seconds=9000)),
    )
    plan = replace(plan, rounds=(replace(plan.rounds[0], outing=window),))
    risk = risk_of(problem, plan, chances=Chances(travel=sigma, per_night=0.0), seed=4, runs=RUNS)
    # One factor moves both: the look is late over exp(0.1), the return over (9000 - 300) / 7200; the first of
    # the two decides, exp(0.1) = 1.105 under 1.208.
    z = (0.1 + sigma * sigma / 2) / sigma
    assert within(risk.any_bad, 0.5 * (1 - math.erf(z / math.sqrt(2))))
    assert risk.over < risk.any_bad


def test_walking_that_takes_longer_than_planned_is_late_by_so_much() -> None:
    problem = sites(
        [every_days(1)],
        windows(1, start_h=6, minutes=600),
        days=1,
        service_min=5.0,
        drive_min=1.0,
        walk_min=60.0,
    )
    plan = plan_weeks(problem, seconds=5).plan
    assert plan is not None
    sigma, walk = 0.2, 3600.0
    due = plan.rounds[0].round.leave + timedelta(seconds=1.3 * walk)
    problem = replace(
        problem,
        sets=tuple(replace(one, due=due) for one in problem.sets),
        drive=replace(problem.drive, seconds=problem.drive.seconds * 0.0),
    )
    stops = tuple(replace(stop, drive_s=0.0) for stop in plan.rounds[0].round.stops)
    plan = replace(plan, rounds=(replace(plan.rounds[0], round=replace(plan.rounds[0].round, stops=stops)),))
    risk = risk_of(problem, plan, chances=Chances(travel=sigma, per_night=0.0, walk=1.3), seed=8, runs=RUNS)
    # Planned 60 minutes, 78 on the mean; late when the factor is over 1.
    z = (sigma * sigma / 2) / sigma
    assert within(risk.any_late, 0.5 * (1 - math.erf(z / math.sqrt(2))))
