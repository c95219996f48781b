"""Laws of room that hold on every line."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tendline.core.when import Span
from tendline.plan.budget import Budget
from tendline.plan.itinerary import RoundPlan, RoundProblem, SetTask
from tendline.plan.room_catch import Reach, Worth
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_ground import on_day, with_more
from tendline.plan.room_nouns import DayRoom, Spot
from tendline.plan.room_round import RoundSearch, round_room, template_of
from tendline.plan.room_spots import RoundSpots, round_spots
from tendline.plan.room_weeks import like_most, seen_first, weeks_room
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_nouns import WeeksPlan
from tests.room_lines import NO_PRICES, farm_line, plain_day, sites_on, weeks_line
from tests.validation.plan.verify import violations
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import every_hours

FARMS, DEVICES = st.integers(1, 3), st.integers(3, 9)


def room_of(problem: RoundProblem, each_min: float) -> DayRoom:
    """Count the room of a line."""
    day = plain_day(each_min)
    search = RoundSearch(1, Budget(seconds=4.0))
    return round_room(
        on_day(problem, day), sites_on(problem), day=day, prices=NO_PRICES, own={}, search=search
    )


def later(problem: RoundProblem, minutes: float) -> RoundProblem:
    """Let the outing end so much later."""
    span = problem.outing
    return replace(problem, outing=Span(span.start, span.end + timedelta(minutes=minutes)))


@settings(max_examples=20, deadline=None)
@given(
    farms=FARMS, devices=DEVICES, hours=st.floats(0.5, 3.0), more=st.floats(0.0, 60.0), each=st.floats(1, 9)
)
def test_a_wider_window_never_lowers_the_room(
    farms: int, devices: int, hours: float, more: float, each: float
) -> None:
    assume(devices >= farms)
    problem = farm_line(farms, devices, hours=hours)
    before, after = room_of(problem, each), room_of(later(problem, more), each)
    assert after.fits >= before.fits
    for narrow, wide in zip(before.rooms, after.rooms, strict=False):
        assert wide.more >= narrow.more


@settings(max_examples=15, deadline=None)
@given(farms=FARMS, devices=DEVICES, hours=st.floats(1.0, 3.0), each=st.floats(1, 9))
def test_so_many_fit_by_a_plan_that_holds_and_one_more_does_not(
    farms: int, devices: int, hours: float, each: float
) -> None:
    assume(devices >= farms)
    problem, day = farm_line(farms, devices, hours=hours), plain_day(each)
    found, fair = room_of(problem, each), on_day(problem, day)
    search = RoundSearch(2, Budget(seconds=4.0))
    for room in found.rooms:
        assert room.exact
        full = with_more(fair, room.site, room.more, day, template_of(fair))
        plan = search.fit(full)[0].plan
        assert isinstance(plan, RoundPlan)
        assert violations(full, plan) == []
        over = search.fit(with_more(fair, room.site, room.more + 1, day, template_of(fair)))[0]
        assert over.plan is None


@settings(max_examples=10, deadline=None)
@given(hours=st.integers(26, 50), minutes=st.integers(80, 150), more=st.integers(0, 40))
def test_wider_windows_never_lower_the_room_of_the_days_ahead(hours: int, minutes: int, more: int) -> None:
    day = plain_day(4.0)
    found = []
    for length in (minutes, minutes + more):
        line = weeks_line(farm_line(2, 4, hours=4, park_min=0.0), every_hours(hours), days=3, minutes=length)
        search = WeeksSearch(Limit(10.0))
        found.append(
            weeks_room(
                on_day(line, day), sites_on(line), day=day, prices=NO_PRICES, strict=None, search=search
            )
        )
        for room in found[-1].rooms:
            fair = on_day(line, day)
            full = seen_first(with_more(fair, room.site, room.more, day, like_most(fair)))
            plan = search.fit(full).plan
            assert isinstance(plan, WeeksPlan)
            assert weeks_violations(full, plan) == []
    narrow, wide = found
    assert wide.fits >= narrow.fits
    for one, other in zip(narrow.rooms, wide.rooms, strict=False):
        assert other.more >= one.more


PLACES = st.lists(
    st.tuples(st.floats(0, 6000), st.floats(0, 6000), st.floats(0.001, 0.2)), min_size=2, max_size=6
)


def worth_of(places: list[tuple[float, float, float]], nights: float = 30.0) -> Worth:
    """Give spots on a plane, with one set that stands in the middle."""
    spots = [Spot(f"s0.{k + 2}", rate, "coyote") for k, (_, _, rate) in enumerate(places)]
    at = np.array([[x, y] for x, y, _ in places])
    standing = [Spot("old", 0.01, "coyote")]
    return Worth(spots, at, standing, np.array([[3000.0, 3000.0]]), {"coyote": Reach(2000.0, 2.0)}, nights)


@settings(max_examples=30, deadline=None)
@given(places=PLACES, data=st.data())
def test_a_spot_more_never_lowers_the_worth_and_adds_the_less_the_more_there_are(
    places: list[tuple[float, float, float]], data: st.DataObject
) -> None:
    worth = worth_of(places)
    spot = data.draw(st.integers(0, len(places) - 1))
    rest = [k for k in range(len(places)) if k != spot]
    many = data.draw(st.lists(st.sampled_from(rest), unique=True))
    few = many[: len(many) // 2]
    assert worth.of([*many, spot]) >= worth.of(many) - 1e-12
    assert worth.adds(few, spot) >= worth.adds(many, spot) - 1e-12
    alone = 2.0 * (1.0 - (1.0 - places[spot][2] / 2.0) ** 30.0)
    assert worth.of([spot]) <= alone * 1.02
    values = worth.of_all()
    assert values[sum(1 << k for k in many)] == worth.of(many) or np.isclose(
        values[sum(1 << k for k in many)], worth.of(many)
    )


@settings(max_examples=12, deadline=None)
@given(places=PLACES, hours=st.floats(1.3, 2.2))
def test_a_candidate_more_never_lowers_the_value(
    places: list[tuple[float, float, float]], hours: float
) -> None:
    day = plain_day(2.0)
    problem = farm_line(1, 2 + len(places), hours=hours, look_min=1.0)
    fair = on_day(problem, day)
    base = replace(fair, sets=fair.sets[:2])
    tasks = [SetTask(t.name, 600.0, t.windows, must=False) for t in fair.sets[2:]]
    values = []
    for count in range(1, len(places) + 1):
        search = RoundSearch(1, Budget(seconds=6.0))
        fit, order = search.fit(base)
        assume(fit.plan is not None)
        spots = RoundSpots(base, tasks[:count], order, search)
        choice = round_spots(worth_of(places[:count]), spots, over=lambda: False)
        assert choice.best
        assert choice.bound >= choice.value - 1e-9
        values.append(choice.value)
        if choice.plan is not None:
            names = {one.name for one in choice.chosen}
            taken = tuple(k for k, t in enumerate(tasks[:count]) if t.name in names)
            assert isinstance(choice.plan, RoundPlan)
            assert violations(spots._with(taken), choice.plan) == []
    assert all(b >= a - 1e-3 * max(1.0, a) for a, b in pairwise(values))
