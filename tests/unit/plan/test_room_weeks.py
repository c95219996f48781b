"""Room over the days ahead: by windows, by gaps, by the person's own limit, and the choice among spots."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from tendline.core.when import Span
from tendline.plan.room_catch import Reach, Worth
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_ground import on_day, with_more
from tendline.plan.room_nouns import DayRoom, Gives, Site, Spot
from tendline.plan.room_spots import weeks_spots
from tendline.plan.room_weeks import as_new, like_most, seen_first, weeks_room
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_nouns import WeeksPlan, WeeksProblem
from tests.room_lines import NO_PRICES, farm_line, plain_day, sites_on, weeks_line
from tests.validation.plan.verify_weeks import weeks_violations
from tests.weeks_lines import every_hours

DAY = plain_day(3.0)


def line(hours: float = 30.0, minutes: float = 90.0) -> WeeksProblem:
    """Give two farms of two sets, one window each morning: all of it takes 54 min."""
    return weeks_line(farm_line(2, 4, hours=4, park_min=0.0), every_hours(hours), days=3, minutes=minutes)


def room_of(problem: WeeksProblem, *sites: Site, strict: WeeksProblem | None = None) -> DayRoom:
    """Count it."""
    return weeks_room(
        on_day(problem, DAY),
        sites or sites_on(problem),
        day=DAY,
        prices=NO_PRICES,
        strict=None if strict is None else on_day(strict, DAY),
        search=WeeksSearch(Limit(20.0)),
    )


def test_where_everything_must_be_seen_each_morning_the_window_gives_first() -> None:
    # A gap of 30 h asks for every set on every morning: 90 - 54 = 36 min are free, twelve sets of three.
    found = room_of(line())
    assert found.fits
    assert [room.more for room in found.rooms] == [12, 12]
    assert {room.gives for room in found.rooms} == {Gives.WINDOW}
    # The hopeful model knows nothing less than all of it here: 13 are proved too many by themselves.
    assert [room.most for room in found.rooms] == [12, 12]


def test_longer_gaps_make_more_room_because_farms_take_turns() -> None:
    # With 60 h a farm need not be seen each morning: by itself it takes 12 + 16 + 2 = 30 min, and sixty free
    # make twenty sets; its sets may take turns besides.
    found = room_of(line(hours=60.0))
    assert all(room.more >= 20 for room in found.rooms)


def test_where_longer_windows_do_not_help_the_gap_gives_first() -> None:
    # The limits that run now pass one hour into the first morning: the last look must be made by then, and
    # a longer window makes no room for more before it. By the window alone it would be 32 more.
    tight = line(hours=26.0, minutes=150.0)
    first = tight.span.start + timedelta(hours=8)
    sets = tuple(replace(one, due=first + timedelta(minutes=60)) for one in tight.sets)
    found = room_of(replace(tight, sets=sets))
    assert found.fits
    assert {room.gives for room in found.rooms} == {Gives.GAP}
    assert all(5 <= room.more < 20 for room in found.rooms)
    assert all(room.most is not None and room.most >= room.more for room in found.rooms)


def test_the_set_with_the_least_time_in_hand_is_named_where_the_gap_gives_way() -> None:
    tight = line(hours=26.0, minutes=150.0)
    first = tight.span.start + timedelta(hours=8)
    sets = tuple(
        replace(one, due=first + timedelta(minutes=40 if one.name == "s1.0" else 300)) for one in tight.sets
    )
    found = room_of(replace(tight, sets=sets))
    # The others' limits of the first morning pass after the window, those of later mornings two hours after.
    assert Gives.GAP in {room.gives for room in found.rooms}
    assert {room.first for room in found.rooms if room.gives is Gives.GAP} == {"s1.0"}


def test_what_is_proved_too_many_is_proved_before_time_is_spent() -> None:
    # No time at all: nothing is found, and still no more than twelve can be.
    problem = on_day(line(), DAY)
    search = WeeksSearch(Limit(0.6))
    found = weeks_room(problem, sites_on(problem), day=DAY, prices=NO_PRICES, strict=None, search=search)
    assert [room.most for room in found.rooms] == [12, 12]


def test_what_cannot_be_kept_is_proved_and_the_lack_told() -> None:
    found = room_of(line(minutes=40.0))
    assert not found.fits
    assert found.proved
    assert found.lacking_s > 0


def test_own_limits_leave_less_room_or_none() -> None:
    found = room_of(line(hours=60.0), strict=line(hours=30.0))
    assert found.own_fits
    assert [room.own_more for room in found.rooms] == [12, 12]
    none = room_of(line(hours=60.0), strict=line(hours=10.0))
    assert none.own_fits is False
    assert {room.own_more for room in none.rooms} == {None}


def test_hours_that_are_not_lawful_for_some_sets_are_planned_round() -> None:
    def late(span: Span) -> tuple[Span, ...]:
        start = span.start + timedelta(minutes=45)
        return (Span(start, span.end),) if start < span.end else ()

    problem = line(minutes=120.0)
    sets = tuple(replace(one, lawful=late) if one.name.startswith("s1") else one for one in problem.sets)
    curfew = replace(problem, sets=sets)
    found, free = room_of(curfew), room_of(problem)
    assert found.fits
    for tight, loose in zip(found.rooms, free.rooms, strict=True):
        assert 0 < tight.more <= loose.more
        full = seen_first(with_more(on_day(curfew, DAY), tight.site, tight.more, DAY, like_most(curfew)))
        plan = WeeksSearch(Limit(10.0)).fit(full).plan
        assert isinstance(plan, WeeksPlan)
        assert weeks_violations(full, plan) == []


def test_time_in_hand_for_catches_leaves_less_room() -> None:
    problem = line()
    kept = weeks_room(
        on_day(problem, DAY),
        sites_on(problem),
        day=DAY,
        prices=NO_PRICES,
        strict=None,
        search=WeeksSearch(Limit(20.0), early_s=1500.0),
    )
    # 36 min are free each morning, 25 of them kept for a catch: three sets of three.
    assert [room.more for room in kept.rooms] == [3, 3]


def test_new_ground_lies_beside_the_place_with_the_most_room() -> None:
    problem = line()
    new = Site("new", leg_s=300.0, walk_s=600.0)
    found = room_of(problem, *sites_on(problem), new)
    # 36 min are free each morning; drive and walk take 15: seven sets of three.
    assert found.rooms[-1].more == 7
    assert found.rooms[-1].site.beside in problem.parkings


def test_overdue_sets_are_taken_to_be_seen_first() -> None:
    problem = line()
    late = replace(problem.sets[0], go_now=True, due=None)
    seen = seen_first(replace(problem, sets=(late, *problem.sets[1:])))
    assert not seen.sets[0].go_now
    assert seen.sets[0].due == late.clock.next_due(problem.span.start)
    assert seen.sets[1:] == problem.sets[1:]


def test_spots_are_tended_under_the_rule_of_a_set_and_chosen_by_what_they_add() -> None:
    whole = line(minutes=70.0)
    problem, rest = replace(whole, sets=whole.sets[:3]), whole.sets[3:]
    spots = [as_new(problem.sets[0], rest[0].name, 600.0, problem)]
    # Two more at the same place as the first spot, by the tables: named apart.
    worth = Worth(
        [Spot(rest[0].name, 0.03, "coyote")],
        np.zeros((1, 2)),
        [],
        np.zeros((0, 2)),
        {"coyote": Reach(2000.0, 2.0)},
        30.0,
    )
    choice = weeks_spots(worth, problem, spots, WeeksSearch(Limit(10.0)))
    assert [one.name for one in choice.chosen] == [rest[0].name]
    assert choice.best
    assert isinstance(choice.plan, WeeksPlan)
    assert weeks_violations(replace(problem, sets=(*problem.sets, *spots)), choice.plan) == []
    long = [replace(spots[0], service_s=3600.0)]
    none = weeks_spots(worth, problem, long, WeeksSearch(Limit(10.0)))
    assert none.chosen == ()
    assert none.value == 0.0
    assert none.left[0].why.startswith("cannot be tended")
    assert none.bound == pytest.approx(0.0)


def test_a_spot_that_was_never_asked_is_not_called_impossible() -> None:
    whole = line()
    problem, rest = replace(whole, sets=whole.sets[:3]), whole.sets[3:]
    spots = [as_new(problem.sets[0], rest[0].name, 600.0, problem)]
    worth = Worth(
        [Spot(rest[0].name, 0.03, "coyote")],
        np.zeros((1, 2)),
        [],
        np.zeros((0, 2)),
        {"coyote": Reach(2000.0, 2.0)},
        30.0,
    )
    choice = weeks_spots(worth, problem, spots, WeeksSearch(Limit(0.0)))
    assert choice.chosen == ()
    assert not choice.best
    assert choice.bound > 0.0
    assert "time was up" in choice.left[0].why
