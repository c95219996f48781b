"""Time in hand until a plan is safe enough, and one's own rounds as one more thing to give up."""

from datetime import timedelta

from tendline.core.when import Span
from tendline.jobs.weeks_problem import Ahead
from tendline.jobs.weeks_solve import Asks, solved
from tendline.plan.weeks_kept import Kept
from tendline.plan.weeks_nouns import WeeksProblem, WeeksStatus
from tendline.plan.weeks_risk import Chances
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import MIDNIGHT, every_days, sites, windows


def wanted(problem: WeeksProblem) -> Ahead:
    """Give a problem with nothing that could be added to it."""
    return Ahead(problem.span, problem.sets, problem.outings, (), (), ())


def test_own_rounds_that_leave_no_plan_are_offered_to_be_given_up() -> None:
    # Windows of 55 minutes hold one site of 52; two sites cannot both be kept on the same day.
    problem = sites([every_days(3)] * 2, windows(4, start_h=6, minutes=55), days=4)
    day = Span(MIDNIGHT + timedelta(days=2), MIDNIGHT + timedelta(days=3))
    asks = Asks(kept=(Kept(day, ("S0.0", "S1.0"), told="both"),), seconds=6)
    found = solved(problem, wanted(problem), asks)
    assert found.verdict.plan is None
    assert found.verdict.status is WeeksStatus.IMPOSSIBLE
    relief = next(one for one in found.verdict.reliefs if one.kind == "own rounds")
    assert relief.plan is not None
    assert weeks_violations(problem, relief.plan) == []


def test_time_in_hand_is_added_until_the_plan_is_safe_enough() -> None:
    # A round of 52 minutes of which travel, 22, varies by a fifth; windows of 80 leave room for time in hand.
    problem = sites([every_days(2)], windows(4, start_h=6, minutes=80), days=4)
    chances = Chances(travel=0.2, per_night=0.0)
    free = solved(problem, wanted(problem), Asks(chances=chances, seconds=3))
    safe = solved(problem, wanted(problem), Asks(chances=chances, safe=0.99, seconds=3))
    assert free.in_hand_min == 0
    assert len(free.tried) == 1
    assert safe.risk is not None
    assert safe.risk.any_bad <= 0.01
    assert safe.verdict.plan is not None


def test_a_plan_that_cannot_be_made_safe_enough_is_the_safest_found() -> None:
    # The window has three minutes more than the round, and travel often takes more than that.
    problem = sites([every_days(1)], windows(3, start_h=6, minutes=55), days=3)
    found = solved(problem, wanted(problem), Asks(chances=Chances(travel=0.4), safe=0.99, seconds=3))
    assert found.risk is not None
    assert found.risk.any_bad > 0.01
    assert found.risk.any_bad == min(one.any_bad for one in found.tried)
