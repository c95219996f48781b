"""Laws of planning the days ahead that hold on every line."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_nouns import WeeksPlan, WeeksProblem, WeeksStatus
from tests.weeks_lines import every_days, sites, windows

GAPS = st.lists(st.integers(1, 4), min_size=2, max_size=3)
MINUTES = st.integers(55, 140)


def line(gaps: list[int], minutes: int, *, noon: bool = False) -> WeeksProblem:
    """Give a line with one set a site and one window a day, or two."""
    outings = windows(5, start_h=6, minutes=minutes) + (
        windows(5, start_h=12, minutes=minutes) if noon else ()
    )
    ordered = tuple(sorted(outings, key=lambda one: one.span.start))
    return sites([every_days(gap) for gap in gaps], ordered, days=5)


def cost(plan: WeeksPlan) -> float:
    """Give what a plan is ranked by [s]."""
    return plan.seconds + 60.0 * len(plan.rounds) + plan.metres / 1000.0


@settings(max_examples=25, deadline=None)
@given(gaps=GAPS, minutes=MINUTES, which=st.integers(0, 2))
def test_a_wider_limit_never_takes_a_plan_away(gaps: list[int], minutes: int, which: int) -> None:
    before = plan_weeks(line(gaps, minutes), seconds=5, helps=False)
    wider = [gap + (k == which % len(gaps)) for k, gap in enumerate(gaps)]
    after = plan_weeks(line(wider, minutes), seconds=5, helps=False)
    if before.plan is not None:
        assert after.plan is not None
    if after.status is WeeksStatus.IMPOSSIBLE:
        assert before.plan is None


@settings(max_examples=20, deadline=None)
@given(gaps=GAPS, minutes=MINUTES)
def test_one_more_window_never_makes_the_best_plan_dearer(gaps: list[int], minutes: int) -> None:
    before = plan_weeks(line(gaps, minutes), seconds=5, helps=False)
    after = plan_weeks(line(gaps, minutes, noon=True), seconds=5, helps=False)
    if before.status is WeeksStatus.OPTIMAL and before.plan is not None:
        assert after.plan is not None
        assert after.status is WeeksStatus.OPTIMAL
        assert cost(after.plan) <= cost(before.plan) * 1.0002


@settings(max_examples=20, deadline=None)
@given(gaps=GAPS, minutes=MINUTES)
def test_no_plan_goes_below_the_floor_or_the_bound(gaps: list[int], minutes: int) -> None:
    verdict = plan_weeks(line(gaps, minutes), seconds=5, helps=False)
    if verdict.plan is not None:
        assert verdict.floor_s is not None
        assert verdict.floor_s <= verdict.plan.seconds + 1.0
        assert verdict.bound_s is not None
        assert verdict.floor_s <= verdict.bound_s <= verdict.plan.seconds + 1.0


@settings(max_examples=10, deadline=None)
@given(gaps=GAPS, minutes=MINUTES)
def test_time_in_hand_never_makes_a_plan_cheaper(gaps: list[int], minutes: int) -> None:
    plain = plan_weeks(line(gaps, minutes), seconds=5, helps=False)
    held = plan_weeks(line(gaps, minutes), seconds=5, helps=False, early_s=300.0)
    if held.plan is not None and plain.plan is not None and plain.status is WeeksStatus.OPTIMAL:
        assert cost(plain.plan) <= cost(held.plan) * 1.0002
    assert replace(held, plan=None).status is not WeeksStatus.IMPOSSIBLE or plain.plan is None
