"""The days ahead against pinwheel scheduling: one site a day, site i at least once in every a_i days.

Holte, Mok, Rosier, Tulchinsky & Varvel (1989): (2, 3, n) can never be scheduled. Kawamura (STOC 2024;
arXiv 2606.27104): every instance of density 5/6 or less can. (2, 4, 8, 8) has density 1 and the cycle
1 2 1 3 1 2 1 4.
"""

import itertools
from functools import cache

import pytest

from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeeksStatus
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import pinwheel

SOLVED = (WeeksStatus.OPTIMAL, WeeksStatus.FEASIBLE)


def schedulable(gaps: tuple[int, ...], days: int) -> bool:
    """Say by trying everything whether so many days can be served, every site fresh at the beginning."""

    @cache
    def ahead(left: tuple[int, ...], day: int) -> bool:
        if min(left) <= 0:
            return False
        if day == days:
            return True
        spent = tuple(k - 1 for k in left)
        return any(ahead((*spent[:k], gaps[k], *spent[k + 1 :]), day + 1) for k in range(len(gaps)))

    return ahead(gaps, 0)


@pytest.mark.parametrize("last", [4, 6, 8])
def test_two_three_and_anything_is_proved_impossible(last: int) -> None:
    verdict = plan_weeks(pinwheel((2, 3, last), days=2 * last + 2), seconds=10, helps=False)
    assert verdict.status is WeeksStatus.IMPOSSIBLE
    assert verdict.plan is None
    assert verdict.why is not None
    assert set(verdict.why.sets) == {"S0.0", "S1.0", "S2.0"}


@pytest.mark.parametrize("gaps", [(2, 4, 8, 8), (2, 3), (3, 3, 3), (2, 4, 7), (3, 4, 5, 8)])
def test_instances_with_a_known_cycle_are_planned(gaps: tuple[int, ...]) -> None:
    problem = pinwheel(gaps, days=16)
    verdict = plan_weeks(problem, seconds=10)
    assert verdict.status in SOLVED
    assert verdict.plan is not None
    assert weeks_violations(problem, verdict.plan) == []


def test_small_instances_of_density_up_to_five_sixths_are_all_planned() -> None:
    some = [
        gaps
        for size in (2, 3, 4)
        for gaps in itertools.combinations_with_replacement(range(2, 9), size)
        if sum(1 / gap for gap in gaps) <= 5 / 6
    ]
    assert len(some) > 60
    for gaps in some[::4]:
        problem = pinwheel(gaps, days=2 * max(gaps))
        verdict = plan_weeks(problem, seconds=10)
        assert verdict.plan is not None, gaps
        assert weeks_violations(problem, verdict.plan) == [], gaps


def test_finite_answers_are_those_of_trying_everything() -> None:
    for gaps in itertools.combinations_with_replacement(range(2, 6), 3):
        days = 9
        verdict = plan_weeks(pinwheel(gaps, days=days), seconds=10, helps=False)
        assert (verdict.plan is not None) == schedulable(gaps, days), gaps
        assert (verdict.status is WeeksStatus.IMPOSSIBLE) == (not schedulable(gaps, days)), gaps
