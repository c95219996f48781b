"""Laws of rounds: what must hold of every plan, whatever was asked."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.when import Span
from tendline.plan.itinerary import RoundProblem, SetTask, Travel, Verdict
from tendline.plan.route import plan_round
from tests.validation.plan.build import START, at
from tests.validation.plan.verify import violations


@st.composite
def problems(draw: st.DrawFn, *, most_sets: int = 6, metric: bool = False) -> RoundProblem:
    """Draw a round of up to six sets on up to two properties, with limits that may or may not be kept."""
    count, parked = draw(st.integers(1, most_sets)), draw(st.integers(1, 3))
    dice = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    owners = dice.integers(0, draw(st.integers(1, 2)), count + parked)
    # Every property has a parking.
    owners[:count] = owners[count + dice.integers(0, parked, count)]
    walk = _ways(dice, count + parked, 900.0, metric=metric)
    walk[owners[:, None] != owners[None, :]] = np.inf
    drive = _ways(dice, parked + 1, 1800.0, metric=metric)
    hours = draw(st.floats(0.3, 4.0))
    names, stands = tuple(f"s{k}" for k in range(count)), tuple(f"p{k}" for k in range(parked))
    return RoundProblem(
        start="home",
        end="home",
        outing=Span(START, START + timedelta(hours=hours)),
        sets=tuple(draw(_tasks(name, hours)) for name in names),
        parkings=stands,
        park_s=draw(st.sampled_from([0.0, 60.0, 187.3])),
        drive=_travel(("home", *stands), drive),
        walk=_travel((*names, *stands), walk),
    )


@st.composite
def _tasks(draw: st.DrawFn, name: str, hours: float) -> SetTask:
    minutes = hours * 60.0
    kind = draw(st.sampled_from(["open", "due", "window", "two windows"]))
    opens = draw(st.floats(0.0, minutes)) if "window" in kind else -600.0
    spans = [Span(at(opens), at(opens + draw(st.floats(1.0, 90.0)) if "window" in kind else 2000.0))]
    if kind == "two windows":
        again = spans[0].end + timedelta(minutes=draw(st.floats(1.0, 60.0)))
        spans.append(Span(again, again + timedelta(minutes=draw(st.floats(1.0, 60.0)))))
    due = at(draw(st.floats(5.0, minutes))) if kind == "due" else None
    must = draw(st.sampled_from([True, True, True, False]))
    return SetTask(name, draw(st.floats(0.0, 600.0)), tuple(spans), due, must, draw(st.integers(1, 3)))


def _ways(dice: np.random.Generator, count: int, longest: float, *, metric: bool) -> np.ndarray:
    ways: np.ndarray = dice.uniform(1.0, longest, (count, count))
    if metric:
        spots = dice.uniform(0.0, longest, (count, 2))
        ways = np.hypot(*(spots[:, None] - spots[None, :]).transpose(2, 0, 1))
    np.fill_diagonal(ways, 0.0)
    return ways


def _travel(names: tuple[str, ...], seconds: np.ndarray) -> Travel:
    return Travel(names, seconds, seconds * 1.1, np.zeros(seconds.shape, dtype=np.bool_))


def planned(whole: RoundProblem) -> Verdict:
    return plan_round(whole, seconds=None, iterations=60)


def left(verdict: Verdict) -> int:
    return sum(one.must for one in verdict.plan.left_out)


def length(whole: RoundProblem, verdict: Verdict) -> float:
    return (verdict.plan.back - whole.outing.start).total_seconds()


@settings(max_examples=150, deadline=None)
@given(problems())
def test_every_plan_can_be_carried_out_and_keeps_every_limit(whole: RoundProblem) -> None:
    verdict = planned(whole)
    assert violations(whole, verdict.plan) == []
    assert verdict.fits == (left(verdict) == 0)
    assert not (verdict.fits and (verdict.proven or verdict.reliefs))
    if not verdict.fits:
        drop = verdict.reliefs[0]
        assert set(drop.sets) == {one.set_name for one in verdict.plan.left_out if one.must}


@settings(max_examples=60, deadline=None)
@given(problems(), st.data())
def test_relaxing_a_limit_never_makes_a_round_impossible_or_longer(
    whole: RoundProblem, data: st.DataObject
) -> None:
    before = planned(whole)
    which = data.draw(st.integers(0, len(whole.sets) - 1))
    more = timedelta(minutes=data.draw(st.floats(1.0, 120.0)))
    one = whole.sets[which]
    last = one.windows[-1]
    wider = replace(
        one,
        windows=(*one.windows[:-1], Span(last.start, last.end + more)),
        due=None if one.due is None else one.due + more,
    )
    sets = tuple(wider if k == which else other for k, other in enumerate(whole.sets))
    after = planned(replace(whole, sets=sets))
    assert left(after) <= left(before)
    if before.shortest and after.shortest and not before.plan.left_out:
        assert length(whole, after) <= length(whole, before)


@settings(max_examples=60, deadline=None)
@given(problems(), st.floats(1.0, 60.0), st.booleans())
def test_more_time_never_makes_a_round_impossible(whole: RoundProblem, minutes: float, earlier: bool) -> None:
    more = timedelta(minutes=minutes)
    span = whole.outing
    span = Span(span.start - more, span.end) if earlier else Span(span.start, span.end + more)
    assert left(planned(replace(whole, outing=span))) <= left(planned(whole))


@settings(max_examples=50, deadline=None)
@given(problems(metric=True), st.integers(0, 2**32 - 1))
def test_one_more_parking_never_makes_the_shortest_round_longer(whole: RoundProblem, seed: int) -> None:
    before = planned(whole)
    dice = np.random.default_rng(seed)
    walk = _wider(whole.walk, "extra", dice.uniform(10.0, 900.0, (2, len(whole.walk.names))))
    drive = _wider(whole.drive, "extra", dice.uniform(10.0, 1800.0, (2, len(whole.drive.names))))
    after = planned(replace(whole, parkings=(*whole.parkings, "extra"), walk=walk, drive=drive))
    assert left(after) <= left(before)
    if before.shortest and after.shortest and len(before.plan.left_out) == len(after.plan.left_out):
        assert length(whole, after) <= length(whole, before)


def _wider(table: Travel, name: str, ways: np.ndarray) -> Travel:
    """Add a place with ways `ways[0]` to it and `ways[1]` from it."""
    size = len(table.names)
    seconds = np.zeros((size + 1, size + 1))
    seconds[:size, :size] = table.seconds
    seconds[:size, size], seconds[size, :size] = ways
    return _travel((*table.names, name), seconds)


@settings(max_examples=50, deadline=None)
@given(problems(), st.data())
def test_the_order_in_which_sets_and_parkings_are_told_does_not_matter(
    whole: RoundProblem, data: st.DataObject
) -> None:
    sets = data.draw(st.permutations(whole.sets))
    stands = data.draw(st.permutations(whole.parkings))
    one, other = planned(whole), planned(replace(whole, sets=tuple(sets), parkings=tuple(stands)))
    assert left(one) == left(other)
    assert one.fits == other.fits
    if one.shortest and other.shortest:
        assert length(whole, one) == length(whole, other)


@settings(max_examples=40, deadline=None)
@given(problems(most_sets=5))
def test_a_relief_that_is_carried_out_leaves_out_no_more_than_it_said(whole: RoundProblem) -> None:
    verdict = planned(whole)
    for relief in verdict.reliefs:
        if relief.kind == "drop":
            rest = tuple(one for one in whole.sets if one.name not in relief.sets)
            if rest:
                assert left(planned(replace(whole, sets=rest))) == 0
            continue
        more = timedelta(minutes=relief.minutes)
        span = whole.outing
        if relief.kind == "earlier start":
            span = Span(span.start - more, span.end)
        else:
            span = Span(span.start, span.end + more)
        assert left(planned(replace(whole, outing=span))) <= len(relief.sets) < left(verdict)


@settings(max_examples=40, deadline=None)
@given(problems(), st.integers(0, 1000))
def test_the_same_seed_gives_the_same_verdict(whole: RoundProblem, seed: int) -> None:
    first, again = (plan_round(whole, seed=seed, seconds=None, iterations=40) for _ in range(2))
    assert first == again
