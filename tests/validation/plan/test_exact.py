"""Small rounds with parkings and limits, against a public constraint solver and against every order there is.

Sources: Google OR-Tools CP-SAT (AddCircuit, one circuit for the truck and one for each parking), and plain
enumeration; both in `exact.py`, which shares no code with the planner.
"""

from dataclasses import replace

import pytest

from tendline.plan.route import plan_round
from tests.validation.plan.build import invented, limited, span, whole_seconds
from tests.validation.plan.exact import circuits, every_order
from tests.validation.plan.verify import shortest_possible, violations


@pytest.mark.parametrize("seed", range(8))
def test_four_sets_with_limits_are_planned_as_well_as_by_trying_every_order(seed: int) -> None:
    whole = invented(seed, properties=1 + seed % 2, sets=4, parkings=3)
    whole = whole_seconds(limited(whole, seed, slack_min=15.0, opening_share=0.5)[0])
    if seed % 2:
        whole = replace(whole, outing=span(0.0, int(whole.outing.seconds * 0.6) / 60.0))
    left, weight, end = every_order(whole)
    verdict = plan_round(whole, seconds=None, iterations=100)
    plan = verdict.plan
    assert violations(whole, plan) == []
    # Every set weighs one here, so the fewest are the lightest.
    assert (len(plan.left_out), len(plan.left_out)) == (left, weight)
    assert verdict.fits == (left == 0)
    assert verdict.proven == (left > 0)
    assert shortest_possible(whole, plan) == end
    assert (plan.back - whole.outing.start).total_seconds() == end


@pytest.mark.parametrize(
    ("seed", "properties", "sets", "parkings"), [(1, 1, 12, 3), (2, 2, 20, 5), (3, 3, 24, 6)]
)
def test_rounds_without_limits_are_as_short_as_the_solver_proves(
    seed: int, properties: int, sets: int, parkings: int
) -> None:
    whole = whole_seconds(invented(seed, properties=properties, sets=sets, parkings=parkings))
    solved = circuits(whole)
    assert solved.status == "OPTIMAL"
    verdict = plan_round(whole, seconds=None, iterations=10)
    assert verdict.shortest
    assert violations(whole, verdict.plan) == []
    assert (verdict.plan.back - whole.outing.start).total_seconds() == solved.end


@pytest.mark.parametrize(
    ("seed", "sets", "slack"),
    [(1, 10, 30.0), (3, 10, 30.0), (5, 14, 10.0), (6, 12, 12.0), (7, 14, 10.0), (9, 16, 6.0)],
)
def test_rounds_with_limits_are_as_short_as_the_solver_proves(seed: int, sets: int, slack: float) -> None:
    whole = invented(seed, properties=1 + seed % 2, sets=sets, parkings=4)
    whole = whole_seconds(limited(whole, seed, slack_min=slack, opening_share=0.4)[0])
    solved = circuits(whole)
    assert solved.status == "OPTIMAL"
    verdict = plan_round(whole, seconds=None, iterations=4000)
    assert verdict.fits
    assert verdict.shortest
    assert violations(whole, verdict.plan) == []
    assert (verdict.plan.back - whole.outing.start).total_seconds() == solved.end


@pytest.mark.parametrize("seed", [2, 4, 7, 8])
def test_what_the_solver_proves_impossible_is_said_to_be_impossible(seed: int) -> None:
    whole = invented(seed, properties=2, sets=10, parkings=4)
    whole = whole_seconds(limited(whole, seed, slack_min=10.0, opening_share=0.3)[0])
    whole = replace(whole, outing=span(0.0, int(whole.outing.seconds * 0.8) / 60.0))
    assert circuits(whole).status == "INFEASIBLE"
    verdict = plan_round(whole, seconds=None, iterations=2000)
    assert (verdict.fits, verdict.proven) == (False, True)
    assert violations(whole, verdict.plan) == []
