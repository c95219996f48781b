"""Owns asking for a plan of the days ahead as safe as wanted, with one's own rounds kept, or one repaired.

Does not own the search (`plan.weeks`) or what is told of it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from tendline.jobs.walks import Tell
from tendline.jobs.weeks_problem import Ahead
from tendline.plan.weeks import plan_weeks
from tendline.plan.weeks_change import price_of_change
from tendline.plan.weeks_check import under
from tendline.plan.weeks_kept import Kept, keeping
from tendline.plan.weeks_nouns import (
    WeekOuting,
    WeeksPlan,
    WeeksProblem,
    WeeksRelief,
    WeeksStatus,
    WeeksVerdict,
)
from tendline.plan.weeks_risk import Chances, Risk, risk_of
from tendline.report.weeks_facts import Tried

IN_HAND_MIN = (0, 15, 30, 45, 60, 90)
"""For a plan as safe as asked, time in hand is tried in these steps, the least first."""


@dataclass(frozen=True)
class Asks:
    """What is asked of the plan besides the law.

    Parameters
    ----------
    kept
        Rounds to be kept.
    was
        By window, the sets an earlier plan looks at; None when there is none to repair.
    chances, safe
        What varies, and the chance of nothing late that is wanted [0, 1]; None for any.
    seed, seconds
        How long to search, for each step of time in hand.
    """

    kept: tuple[Kept, ...] = ()
    was: Mapping[WeekOuting, frozenset[str]] | None = None
    chances: Chances = field(default_factory=Chances)
    safe: float | None = None
    seed: int = 1
    seconds: float = 30.0


@dataclass(frozen=True)
class Solved:
    """What came of it: the verdict, its chances, the time in hand, and every step that was tried."""

    verdict: WeeksVerdict
    risk: Risk | None = None
    in_hand_min: int = 0
    tried: tuple[Tried, ...] = ()


def solved(
    law: WeeksProblem,
    wanted: Ahead,
    asks: Asks,
    *,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Solved:
    """Plan with as little time in hand as is safe enough.

    Parameters
    ----------
    law
        The days ahead with the law's own clocks: chances and slack are told by these.
    wanted
        Windows and people that could be added when there is no plan.
    """
    problem = keeping(law, asks.kept) if asks.kept else law
    if asks.was is not None:
        problem = replace(problem, price_s=price_of_change(asks.was), was=asks.was)
    best: Solved | None = None
    tried: list[Tried] = []
    verdict = WeeksVerdict(WeeksStatus.UNKNOWN)
    for minutes in IN_HAND_MIN if asks.safe is not None else (0,):
        verdict = plan_weeks(
            problem,
            seconds=asks.seconds,
            seed=asks.seed,
            early_s=60.0 * minutes,
            windows=wanted.windows,
            people=wanted.people,
            helps=minutes == 0,
            on_progress=lambda words: tell(f"weeks: {words}"),
            should_stop=should_stop,
        )
        if verdict.plan is None:
            break
        plan = under(law, verdict.plan)
        risk = risk_of(law, plan, chances=asks.chances, seed=asks.seed)
        tried.append(Tried(minutes, plan.seconds / 3600.0, risk.any_bad))
        if best is None or best.risk is None or risk.any_bad < best.risk.any_bad:
            best = Solved(_told(verdict, plan, problem), risk, minutes)
        if asks.safe is None or risk.any_bad <= 1.0 - asks.safe or should_stop():
            break
    if best is not None:
        return replace(best, tried=tuple(tried))
    return Solved(_without_kept(law, verdict, asks, should_stop))


def _told(verdict: WeeksVerdict, plan: WeeksPlan, problem: WeeksProblem) -> WeeksVerdict:
    """Give the verdict with the plan under the law; a bound on a price is no bound on hours."""
    priced = problem.price_s is not None or problem.wish_s > 0.0
    return replace(verdict, plan=plan, bound_s=None if priced else verdict.bound_s)


def _without_kept(
    law: WeeksProblem, verdict: WeeksVerdict, asks: Asks, should_stop: Callable[[], bool]
) -> WeeksVerdict:
    """Where rounds of one's own were to be kept, try without them: that is one more thing that may help."""
    if not asks.kept or should_stop():
        return verdict
    free = plan_weeks(law, seconds=0.5 * asks.seconds, seed=asks.seed, helps=False, should_stop=should_stop)
    if free.plan is None:
        return verdict
    what = f"give up {len(asks.kept)} round(s) of your own"
    relief = WeeksRelief("own rounds", what, len(asks.kept), plan=free.plan)
    return replace(verdict, reliefs=(relief, *verdict.reliefs))
