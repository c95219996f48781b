"""Room on one outing: which limit gives way first, and whose."""

from datetime import timedelta

import pytest

from tendline.plan.budget import Budget
from tendline.plan.itinerary import RoundProblem
from tendline.plan.room_ground import on_day
from tendline.plan.room_nouns import DayRoom, Gives, Site
from tendline.plan.room_round import RoundSearch, round_room
from tests.room_lines import NO_PRICES, START, farm_line, plain_day, sites_on, with_due

DAY = plain_day(3.0)


def room_of(problem: RoundProblem, *sites: Site, own: dict[str, float] | None = None) -> DayRoom:
    """Count a line; own limits in minutes after the earliest start."""
    limits = {name: START + timedelta(minutes=m) for name, m in (own or {}).items()}
    search = RoundSearch(1, Budget(seconds=8.0))
    return round_room(
        on_day(problem, DAY),
        sites or sites_on(problem),
        day=DAY,
        prices=NO_PRICES,
        own=limits,
        search=search,
    )


def test_with_no_limit_in_the_way_the_window_end_gives_first() -> None:
    # Three drives of 6, two parks of 2, two walks of 16, four looks of 1: 58 min of 2 h; 62 / 3 = 20.
    found = room_of(farm_line(2, 4, hours=2))
    assert found.spare_s == pytest.approx(62 * 60.0, abs=0.1)
    assert [room.more for room in found.rooms] == [20, 20]
    assert all(room.exact and room.gives is Gives.WINDOW for room in found.rooms)


def test_a_limit_inside_the_outing_gives_first_and_is_named() -> None:
    # p0 first: s0.1 is looked at after 6 + 2 + 16/3 + 1 + 16/3, about 20 min; s1.1 after about 52.
    line = with_due(farm_line(2, 4, hours=6), s0_0=20, s0_1=25, s1_0=60, s1_1=60)
    found = room_of(line)
    first, last = found.rooms
    assert first.gives is Gives.GAP
    assert first.more < 6
    assert first.first in ("s0.0", "s0.1", "s1.0", "s1.1")
    # Time at the last farm comes after its last limit but for the first of its two sets.
    assert last.more > first.more


def test_own_limits_are_counted_beside_the_law() -> None:
    line = farm_line(2, 4, hours=3)
    plain, strict = room_of(line), room_of(line, own={f"s{k}.{j}": 70.0 for k in (0, 1) for j in (0, 1)})
    assert strict.own_fits
    for law, own in zip(plain.rooms, strict.rooms, strict=True):
        assert own.more == law.more
        assert own.own_more is not None
        assert own.own_more < own.more
    broken = room_of(line, own={"s1.1": 1.0})
    assert broken.own_fits is False
    assert broken.own_first == "s1.1"
    assert all(room.own_more is None for room in broken.rooms)


def test_what_does_not_fit_as_it_is_has_no_room_and_the_lack_is_told() -> None:
    found = room_of(farm_line(2, 4, hours=0.5))
    assert not found.fits
    assert found.proved
    assert found.lacking_s == pytest.approx(28 * 60.0, abs=0.1)
    # One farm alone takes 6 + 2 + 16 + 2 + 6 = 32 min, one set on it 6 + 2 + 2 x 16/3 + 1 + 6 = 25.7.
    assert found.too_many == 3
    assert found.rooms == ()


def test_new_ground_takes_its_drive_and_walk_before_a_set_fits() -> None:
    # 62 min are free: a leg of 10, a park of 2, a walk of 20 leave 30: ten sets of three.
    site = Site("new", leg_s=600.0, walk_s=1200.0)
    found = room_of(farm_line(2, 4, hours=2), site)
    assert found.rooms[0].more == 10
    assert found.rooms[0].exact
    far = Site("far", leg_s=6000.0, walk_s=1200.0)
    assert room_of(farm_line(2, 4, hours=2), far).rooms[0].more == 0
