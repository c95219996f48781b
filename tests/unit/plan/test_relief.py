"""What helps when not everything fits, against planning the changed outing and against every order."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tendline.core.when import Span
from tendline.plan.itinerary import Relief, RoundProblem, Verdict
from tendline.plan.route import plan_round
from tests.validation.plan.build import at, invented, limited, one_loop, span, task, whole_seconds
from tests.validation.plan.exact import every_order
from tests.validation.plan.verify import violations


def planned(whole: RoundProblem, *, iterations: int = 200) -> Verdict:
    return plan_round(whole, seconds=None, iterations=iterations)


def of_kind(verdict: Verdict, kind: str) -> Relief | None:
    found = [relief for relief in verdict.reliefs if relief.kind == kind]
    assert len(found) <= 1
    return found[0] if found else None


def moved(whole: RoundProblem, *, earlier: int = 0, later: int = 0) -> RoundProblem:
    start = whole.outing.start - timedelta(minutes=earlier)
    return replace(whole, outing=Span(start, whole.outing.end + timedelta(minutes=later)))


def test_an_outing_too_short_by_minutes_is_told_all_three_ways_out() -> None:
    # a, b and c at 5, 9, 12 minutes: 10 + 12 + 3 looks + 12 + 10 = 47 minutes. Without c 10+9+2+9+10 = 40.
    windows = ((-600.0, 600.0),)
    sets = [task("a", windows=windows), task("b", windows=windows), task("c", windows=windows, due=300.0)]
    whole = one_loop(sets, {"a": 5.0, "b": 9.0, "c": 12.0}, hours=42.0 / 60.0)
    verdict = planned(whole)
    assert not verdict.fits
    assert verdict.proven
    drop, start, back = verdict.reliefs
    assert (drop.kind, drop.sets, drop.proven_smallest) == ("drop", ("c",), True)
    assert drop.breaks == {"c": at(300)}
    assert (start.kind, start.minutes, start.proven_smallest, start.breaks) == ("earlier start", 5, True, {})
    assert (back.kind, back.minutes, back.proven_smallest, back.breaks) == ("later return", 5, True, {})
    assert start.what == "Start 5 min earlier."
    assert back.what == "Be back 5 min later."


def test_nothing_later_helps_against_a_limit_and_nothing_earlier_against_an_opening() -> None:
    # a is due at 12, 15 minutes away: only an earlier start helps, by 3 minutes.
    windows = ((-600.0, 600.0),)
    sets = [task("a", windows=windows, due=12.0), task("b", windows=windows)]
    verdict = planned(one_loop(sets, {"a": 5.0, "b": 9.0}))
    start = of_kind(verdict, "earlier start")
    assert start is not None
    assert (start.minutes, start.proven_smallest) == (3, True)
    later = of_kind(verdict, "later return")
    # A later return helps only with the rest, which fits as it is: nothing to tell.
    assert later is None
    # b opens when it is too late to be back: 50 + 1 + 9 + 10 = 70 of 60 minutes.
    sets = [task("a", windows=windows), task("b", windows=((50.0, 600.0),))]
    verdict = planned(one_loop(sets, {"a": 5.0, "b": 9.0}, hours=1.0))
    back = of_kind(verdict, "later return")
    assert back is not None
    assert (back.minutes, back.proven_smallest) == (10, True)
    assert of_kind(verdict, "earlier start") is None


def test_a_set_that_nothing_helps_is_given_up_by_name() -> None:
    # a can only be looked at before anyone can be there, whenever they start; b and c need 10 minutes more.
    windows = ((-600.0, 600.0),)
    sets = [
        task("a", windows=((0.0, 1.0),), due=1.0),
        task("b", windows=windows),
        task("c", windows=windows),
    ]
    whole = one_loop(sets, {"a": 700.0, "b": 9.0, "c": 12.0}, hours=36.0 / 60.0)
    verdict = planned(whole)
    for kind in ("earlier start", "later return"):
        relief = of_kind(verdict, kind)
        assert relief is not None
        # 10 + 12 + 2 + 12 + 10 = 46 of 36 minutes.
        assert (relief.minutes, dict(relief.breaks)) == (10, {"a": at(1)})


def test_hours_are_written_as_hours() -> None:
    windows = ((-900.0, 900.0),)
    whole = one_loop([task("a", windows=windows)], {"a": 100.0}, hours=0.4)
    verdict = planned(whole)
    # 10 + 100 + 1 + 100 + 10 = 221 of 24 minutes: 197 more.
    assert [relief.what for relief in verdict.reliefs[1:]] == [
        "Start 3 h 17 min earlier.",
        "Be back 3 h 17 min later.",
    ]


@pytest.mark.parametrize(("seed", "share"), [(0, 0.7), (1, 0.6), (2, 0.5), (3, 0.6), (5, 0.6)])
def test_reliefs_are_the_smallest_by_trying_every_order(seed: int, share: float) -> None:
    whole = invented(seed, properties=1 + seed % 2, sets=4, parkings=3)
    whole = whole_seconds(limited(whole, seed, slack_min=15.0, opening_share=0.5)[0])
    whole = replace(whole, outing=span(0.0, int(whole.outing.seconds * share) / 60.0))
    verdict = planned(whole)
    assert violations(whole, verdict.plan) == []
    drop = of_kind(verdict, "drop")
    assert drop is not None
    assert drop.proven_smallest
    assert len(drop.sets) == every_order(whole)[0]
    for kind in ("earlier start", "later return"):
        relief = of_kind(verdict, kind)
        if relief is None:
            continue
        field = kind.split()[0]
        given_up = len(relief.breaks)
        assert relief.proven_smallest
        assert every_order(moved(whole, **{field: relief.minutes}))[0] == given_up
        assert every_order(moved(whole, **{field: relief.minutes - 1}))[0] > given_up


def test_a_relief_that_is_carried_out_makes_everything_fit() -> None:
    whole, _ = limited(invented(4, properties=3, sets=24, parkings=6), 4, slack_min=20.0)
    sets = tuple(replace(one, windows=(Span(at(-720), one.windows[0].end),)) for one in whole.sets)
    late = replace(whole, sets=sets, outing=Span(at(25), whole.outing.end))
    verdict = planned(late, iterations=3000)
    assert not verdict.fits
    assert verdict.proven
    start = of_kind(verdict, "earlier start")
    assert start is not None
    assert 0 < start.minutes <= 25
    assert planned(moved(late, earlier=start.minutes), iterations=3000).fits
    drop = of_kind(verdict, "drop")
    assert drop is not None
    rest = replace(late, sets=tuple(one for one in late.sets if one.name not in drop.sets))
    assert planned(rest, iterations=3000).fits
    assert set(drop.breaks) == set(drop.sets)
