"""Walking times on ground small enough to work out by hand."""

import math

import numpy as np
import numpy.typing as npt
import pytest

from tendline.core.errors import Refused
from tendline.core.line import Barrier
from tendline.core.place import LonLat
from tendline.core.settings import WalkCosts
from tendline.terrain import search
from tendline.terrain.walk import walk_matrix
from tests.terrain_ground import area, at, centre, ground, line

FLAT = 0.6 * math.exp(0.175)
"""Tobler's pace on the level [s/m]: 3.6 / (6 exp(-3.5 x 0.05)) = 0.71475."""

BARE = WalkCosts(off_path=1.0)


def codes(error: Refused) -> set[str]:
    return {fault.code.id for fault in error.faults}


def test_level_ground_takes_length_times_pace() -> None:
    grid = ground(np.zeros((12, 12)), dx=10, dy=5)
    found = walk_matrix(
        grid, {"a": centre(grid, 2, 1), "b": centre(grid, 2, 6), "c": centre(grid, 4, 5)}, costs=BARE
    )
    # a to b: five cells of 10 m. a to c: two rows and four columns are two knight's moves of 20 m by 5 m.
    assert found.seconds[0, 1] == pytest.approx(50 * FLAT, rel=1e-6)
    assert found.seconds[0, 2] == pytest.approx(2 * math.hypot(20, 5) * FLAT, rel=1e-6)
    assert found.metres[0, 2] == pytest.approx(2 * math.hypot(20, 5), rel=1e-6)
    assert np.all(np.diag(found.seconds) == 0)


def test_up_and_down_take_different_times() -> None:
    # A plane that rises 1 m per 10 m eastward; straight up is the fastest way below a slope of 1/3.5.
    grid = ground(np.tile(np.arange(20.0), (9, 1)))
    found = walk_matrix(grid, {"low": centre(grid, 4, 2), "high": centre(grid, 4, 12)}, costs=BARE)
    assert found.seconds[0, 1] == pytest.approx(100 * 0.6 * math.exp(3.5 * 0.15), rel=2e-6)
    assert found.seconds[1, 0] == pytest.approx(100 * 0.6 * math.exp(3.5 * 0.05), rel=2e-6)


def test_off_the_path_and_snow_multiply_the_time() -> None:
    grid = ground(np.zeros((5, 20)))
    places = {"a": centre(grid, 2, 2), "b": centre(grid, 2, 12)}
    found = walk_matrix(grid, places, costs=WalkCosts(off_path=0.6, snow=1.5))
    assert found.seconds[0, 1] == pytest.approx(100 * FLAT * 1.5 / 0.6, rel=1e-6)


def test_two_sets_in_one_cell_are_as_far_apart_as_they_are() -> None:
    grid = ground(np.zeros((5, 5)), dx=90, dy=90)
    found = walk_matrix(grid, {"a": at(100, 100), "b": at(130, 140), "c": at(100, 100)}, costs=BARE)
    assert found.seconds[0, 1] == pytest.approx(50 * FLAT, rel=1e-6)  # 30 m by 40 m
    assert found.metres[1, 0] == pytest.approx(50, rel=1e-6)
    assert found.seconds[0, 2] == 0.0
    assert found.path("a", "b") == (found.places[0], found.places[1])


def test_a_wall_is_walked_round() -> None:
    grid = ground(np.zeros((30, 21)))
    wall = line("wall", (-5, 105), (155, 105))  # columns 0 to 15 of row 10
    found = walk_matrix(
        grid, {"n": centre(grid, 9, 2), "s": centre(grid, 11, 2)}, costs=BARE, barriers=(wall,)
    )
    rows, cols = found.cells_along("n", "s").T
    assert found.metres[0, 1] > 2 * 130
    assert cols.max() == 16
    assert not np.any((rows == 10) & (cols < 16))


def test_a_wall_right_across_leaves_no_way_and_the_pairs_are_named() -> None:
    grid = ground(np.zeros((20, 20)))
    wall = line("wall", (-5, 3), (250, 187))
    found = walk_matrix(
        grid, {"n": centre(grid, 2, 15), "s": centre(grid, 17, 3)}, costs=BARE, barriers=(wall,)
    )
    assert math.isinf(found.seconds[0, 1])
    assert found.without_way() == (("n", "s"), ("s", "n"))
    with pytest.raises(KeyError, match="no way"):
        found.path("n", "s")
    with pytest.raises(KeyError, match="among"):
        found.path("n", "x")


@pytest.mark.parametrize("slant", [0.0, 3.0, 17.0, 41.0, 90.0])
def test_a_fence_costs_its_seconds_once_for_each_crossing(slant: float) -> None:
    grid = ground(np.zeros((40, 30)))
    fence = line("fence", (-5, 150), (305, 150 + slant), seconds=30.0)
    second = line("lane fence", (-5, 175), (305, 175 + slant), seconds=12.0)
    places = {"n": centre(grid, 5, 12), "s": centre(grid, 35, 12), "n2": centre(grid, 3, 20)}
    bare = walk_matrix(grid, places, costs=BARE)
    one = walk_matrix(grid, places, costs=BARE, barriers=(fence,))
    two = walk_matrix(grid, places, costs=BARE, barriers=(fence, second))
    assert one.seconds - bare.seconds == pytest.approx(
        np.array([[0, 30, 0], [30, 0, 30], [0, 30, 0]], float), abs=1e-3
    )
    assert two.seconds - bare.seconds == pytest.approx(
        np.array([[0, 42, 0], [42, 0, 42], [0, 42, 0]], float), abs=1e-3
    )


def test_a_wade_is_paid_on_entering_the_water_and_not_again_on_leaving() -> None:
    grid = ground(np.zeros((30, 30)))
    pond = area("pond", [(-5, 100), (305, 100), (305, 180), (-5, 180)], seconds=100.0)
    places = {"n": centre(grid, 5, 12), "mid": centre(grid, 14, 12), "s": centre(grid, 25, 12)}
    bare = walk_matrix(grid, places, costs=BARE).seconds
    wet = walk_matrix(grid, places, costs=BARE, barriers=(pond,)).seconds
    # In: 100 s from either bank. Out: nothing. Across: once.
    assert wet - bare == pytest.approx(np.array([[0, 100, 100], [0, 0, 0], [100, 100, 0]], float), abs=1e-3)


@pytest.mark.parametrize("slant", [0.0, 30.0, 140.0, 300.0])
def test_a_gate_opens_a_wall_even_when_it_was_marked_a_little_off(slant: float) -> None:
    grid = ground(np.zeros((60, 30)))
    middle = 150 + slant / 2
    shut = line("wall", (-50, 150 - slant / 6), (350, 150 + slant * 7 / 6))
    for off in (0.0, 14.0, -14.0):
        gate = line(
            "wall", (-50, 150 - slant / 6), (350, 150 + slant * 7 / 6), crossings=[[(150.0, middle + off)]]
        )
        places = {"n": centre(grid, 1, 14), "s": centre(grid, 58, 14)}
        assert walk_matrix(grid, places, costs=BARE, barriers=(shut,)).without_way()
        assert not walk_matrix(grid, places, costs=BARE, barriers=(gate,)).without_way()


@pytest.mark.parametrize("where", [(150.0, 150.0), (150.0, 128.0), (150.0, 75.0)])
def test_a_ford_given_as_one_place_opens_a_river_from_bank_to_bank(where: tuple[float, float]) -> None:
    grid = ground(np.zeros((30, 30)))
    banks = [(-50, 100), (350, 100), (350, 200), (-50, 200)]
    places = {"n": centre(grid, 2, 14), "s": centre(grid, 27, 14)}
    assert walk_matrix(grid, places, costs=BARE, barriers=(area("river", banks),)).without_way()
    ford = area("river", banks, crossings=[[where]])
    found = walk_matrix(grid, places, costs=BARE, barriers=(ford,))
    assert not found.without_way()
    bridge = area("river", banks, crossings=[[(60.0, 95.0), (60.0, 205.0)]])
    assert walk_matrix(grid, places, costs=BARE, barriers=(bridge,)).cells_along("n", "s")[:, 1].min() <= 7


def test_a_crossing_goes_to_the_part_of_its_barrier_that_is_nearest() -> None:
    grid = ground(np.zeros((60, 60)))
    pond = [(400.0, 400.0), (500.0, 400.0), (500.0, 500.0), (400.0, 500.0)]
    stream = area("water", pond, crossings=[[(100.0, 305.0)]])
    far = Barrier("water", stream.areas, crossings=stream.crossings)
    with pytest.raises(Refused) as caught:
        walk_matrix(grid, {}, costs=BARE, barriers=(far,))
    assert codes(caught.value) == {"TERR-113"}
    both = Barrier("water", stream.areas, line("", (-50, 300), (650, 300)).lines, crossings=stream.crossings)
    places = {"n": centre(grid, 20, 10), "s": centre(grid, 40, 10), "e": centre(grid, 45, 55)}
    found = walk_matrix(grid, places, costs=BARE, barriers=(both,))
    assert not found.without_way()
    rows, cols = found.cells_along("s", "e").T
    assert not np.any((rows >= 40) & (rows < 50) & (cols >= 40) & (cols < 50))


def test_a_gap_between_cells_that_touch_at_a_corner_is_not_squeezed_through() -> None:
    z = np.zeros((12, 12))
    z[np.arange(12), np.arange(12)] = np.nan
    grid = ground(z)
    found = walk_matrix(grid, {"ne": centre(grid, 2, 9), "sw": centre(grid, 9, 2)}, costs=BARE)
    assert found.without_way()


def test_a_ravine_one_cell_wide_is_not_jumped() -> None:
    z = np.zeros((20, 20))
    z[10] = -15.0  # 15 m deep, 10 m wide: its walls are steeper than 45 degrees
    grid = ground(z)
    places = {"n": centre(grid, 5, 5), "s": centre(grid, 15, 5)}
    assert walk_matrix(grid, places, costs=BARE).without_way()
    z[10, 3:6] = -5.0
    assert not walk_matrix(ground(z), places, costs=BARE).without_way()


def test_ground_that_is_too_steep_is_not_climbed_in_zigzags() -> None:
    # 50 degrees: a slope of 1.19 up, but of less than 1 for whoever goes at a slant.
    z = np.cumsum(np.where((np.arange(40) > 15) & (np.arange(40) < 25), 11.9, 0.0))[:, None] + np.zeros(
        (40, 40)
    )
    grid = ground(z)
    places = {"top": centre(grid, 35, 20), "foot": centre(grid, 5, 20)}
    assert walk_matrix(grid, places, costs=BARE).without_way()
    assert not walk_matrix(grid, places, costs=WalkCosts(off_path=1.0, steepest_deg=55.0)).without_way()


def test_a_barrier_that_takes_most_of_a_day_still_counts_to_the_second() -> None:
    grid = ground(np.zeros((20, 20)), dx=1, dy=1)
    bog = line("bog", (-5, 10.5), (25, 10.5), seconds=80_000.0)
    found = walk_matrix(
        grid, {"n": centre(grid, 5, 5), "s": centre(grid, 15, 5)}, costs=BARE, barriers=(bog,)
    )
    assert found.seconds[0, 1] == pytest.approx(80_000 + 10 * FLAT, abs=0.05)


def test_the_pool_of_the_search_grows_as_it_must(monkeypatch: pytest.MonkeyPatch) -> None:
    chance = np.random.default_rng(4)
    grid = ground(np.cumsum(chance.normal(size=(90, 90)), axis=1) * 0.4)
    places = {"a": centre(grid, 3, 3), "b": centre(grid, 80, 85), "c": centre(grid, 50, 10)}
    usual = walk_matrix(grid, places, costs=BARE)
    grown: list[int] = []
    enlarge = search.Workspace._enlarge

    def watched(self: search.Workspace, counts: npt.NDArray[np.int64]) -> None:
        grown.append(self._pool.size)
        enlarge(self, counts)

    monkeypatch.setattr(search, "_FIRST_BLOCKS", 8)
    monkeypatch.setattr(search.Workspace, "_enlarge", watched)
    assert np.array_equal(walk_matrix(grid, places, costs=BARE).seconds, usual.seconds)
    assert len(grown) > 3


def test_only_pairs_inside_a_group_are_worked_out() -> None:
    grid = ground(np.zeros((20, 20)))
    places = {name: centre(grid, 3, 2 + 3 * k) for k, name in enumerate("abcd")}
    found = walk_matrix(grid, places, groups=[{"a", "b"}, {"b", "c"}], costs=BARE)
    told: list[tuple[int, int]] = []
    overlapping = [{"a", "b", "c"}, {"a", "b"}, {"b", "c", "d"}]
    walk_matrix(grid, places, groups=overlapping, costs=BARE, on_progress=lambda *now: told.append(now))
    assert told[-1] == (6, 6)  # a, b, c; none, since they are known; b, c and d for what is left
    finite = np.isfinite(found.seconds)
    expected = np.eye(4, dtype=bool)
    expected[[0, 1, 1, 2], [1, 0, 2, 1]] = True
    assert np.array_equal(finite, expected)
    assert found.without_way() == ()
    with pytest.raises(KeyError, match="nobody"):
        walk_matrix(grid, places, groups=[{"a", "nobody"}], costs=BARE)


def test_several_threads_find_the_same_and_progress_is_told() -> None:
    chance = np.random.default_rng(3)
    z = np.cumsum(chance.normal(size=(60, 60)), axis=0)
    grid = ground(z)
    wall = line("wall", (305, -5), (305, 700))
    spots = chance.permutation(3600)[:12]
    places = {f"p{k}": centre(grid, int(s) // 60, int(s) % 60) for k, s in enumerate(spots)}
    told: list[tuple[int, int]] = []
    one = walk_matrix(
        grid, places, costs=BARE, barriers=(wall,), on_progress=lambda done, total: told.append((done, total))
    )
    three = walk_matrix(grid, places, costs=BARE, barriers=(wall,), threads=3)
    assert np.array_equal(one.seconds, three.seconds)
    assert np.array_equal(one.metres, three.metres)
    assert one.without_way()
    assert told[-1][0] == told[-1][1] == len(told)


def test_a_path_goes_from_place_to_place_and_turns_only_where_the_way_turns() -> None:
    grid = ground(np.zeros((12, 30)))
    a, b = at(12, 58), at(287, 54)
    found = walk_matrix(grid, {"a": a, "b": b}, costs=BARE)
    assert found.path("a", "b") == (a, b)
    wall = line("wall", (150, -5), (150, 95))
    bent = walk_matrix(grid, {"a": a, "b": b}, costs=BARE, barriers=(wall,)).path("a", "b")
    assert bent[0] == a
    assert bent[-1] == b
    assert 3 <= len(bent) <= 12


def test_a_raster_that_must_not_be_written_to_is_read_all_the_same() -> None:
    z = np.zeros((9, 9), np.float32)
    z.flags.writeable = False
    grid = ground(z)
    assert not grid.z.flags.writeable
    found = walk_matrix(grid, {"a": centre(grid, 1, 1), "b": centre(grid, 1, 5)}, costs=BARE)
    assert found.seconds[0, 1] == pytest.approx(40 * FLAT, rel=1e-6)


def test_no_places_and_no_groups_are_no_trouble() -> None:
    grid = ground(np.zeros((5, 5)))
    assert walk_matrix(grid, {}, costs=BARE).seconds.shape == (0, 0)
    alone = walk_matrix(grid, {"a": centre(grid, 1, 1)}, groups=[], costs=BARE)
    assert alone.seconds.tolist() == [[0.0]]


def test_every_place_without_a_cell_is_named_in_one_go() -> None:
    z = np.zeros((30, 30))
    z[20:, 20:] = np.nan
    z[:, 0:6] = np.arange(6) * -30.0
    grid = ground(z)
    lake = area("lake", [(100, 100), (190, 100), (190, 190), (100, 190)])
    places = {
        "fine": centre(grid, 3, 20),
        "off-1": at(-20, 50),
        "off-2": LonLat(10.0, 50.0),
        "blank": centre(grid, 25, 25),
        "wet-1": at(150, 150),
        "wet-2": at(140, 150),
        "cliff": centre(grid, 10, 2),
    }
    with pytest.raises(Refused) as caught:
        walk_matrix(grid, places, costs=BARE, barriers=(lake,))
    told = {fault.code.id: fault.where for fault in caught.value.faults}
    assert told == {
        "TERR-101": "off-1, off-2",
        "TERR-102": "blank",
        "TERR-103": "wet-1, wet-2",
        "TERR-104": "cliff",
    }


def test_a_set_beside_a_creek_or_fence_is_taken_to_open_ground_on_its_own_side() -> None:
    grid = ground(np.zeros((20, 20)))
    for seconds in (None, 60.0):
        creek = line("creek", (-5, 104), (205, 104), seconds=seconds)  # row 10 holds it
        places = {
            "n": at(55, 102),
            "s": at(55, 107),
            "far n": centre(grid, 5, 5),
            "far s": centre(grid, 15, 5),
        }
        found = walk_matrix(grid, places, costs=BARE, barriers=(creek,))
        assert found.cells[found.nodes[:2]].tolist() == [[9, 5], [11, 5]]
        assert found.seconds[0, 2] == pytest.approx(40 * FLAT, rel=1e-6)
        assert found.seconds[1, 3] == pytest.approx(40 * FLAT, rel=1e-6)
        assert math.isinf(found.seconds[0, 1]) == (seconds is None)


def test_costs_out_of_range_are_refused_together() -> None:
    grid = ground(np.zeros((5, 5)))
    with pytest.raises(Refused) as caught:
        walk_matrix(grid, {}, costs=WalkCosts(off_path=0.0, snow=float("nan"), steepest_deg=89.0))
    assert codes(caught.value) == {"TERR-105"}
    assert [fault.where for fault in caught.value.faults] == [
        "walk.off_path",
        "walk.snow",
        "walk.steepest_deg",
    ]


def test_barriers_that_make_no_sense_are_refused_with_the_places_that_do_not() -> None:
    grid = ground(np.zeros((20, 20)))
    barriers = (
        Barrier("nothing"),
        Barrier("dot", lines=((at(10, 10),),)),
        line("slow", (0, 50), (200, 50), seconds=-3.0),
        line("creek", (0, 50), (200, 50), crossings=[[(100, 52)], [(100, 150)]]),
        Barrier("abroad", lines=((at(10, 10), LonLat(9.0, 0.0)),)),
        Barrier("gate abroad", lines=((at(10, 10), at(90, 10)),), crossings=((LonLat(9.0, 0.0),),)),
    )
    with pytest.raises(Refused) as caught:
        walk_matrix(grid, {"off": at(-100, 0)}, costs=BARE, barriers=barriers)
    told = [(fault.code.id, fault.where) for fault in caught.value.faults]
    assert told == [
        ("TERR-111", "barrier 'nothing'"),
        ("TERR-111", "barrier 'dot'"),
        ("TERR-112", "barrier 'slow'"),
        ("TERR-113", "barrier 'creek'"),
        ("TERR-115", "barrier 'abroad'"),
        ("TERR-115", "barrier 'gate abroad'"),
        ("TERR-101", "off"),
    ]
    assert "100 m" in caught.value.faults[3].what


def test_more_different_barriers_than_can_be_told_apart_are_refused() -> None:
    grid = ground(np.zeros((20, 600)))
    fences = tuple(line(f"f{k}", (15 + 20 * k, 20), (15 + 20 * k, 180), seconds=5.0 + k) for k in range(255))
    with pytest.raises(Refused) as caught:
        walk_matrix(grid, {"a": centre(grid, 0, 1), "b": centre(grid, 0, 598)}, costs=BARE, barriers=fences)
    assert codes(caught.value) == {"TERR-114"}
    fewer = walk_matrix(
        grid, {"a": centre(grid, 10, 2), "b": centre(grid, 10, 4)}, costs=BARE, barriers=fences[:254]
    )
    # Between a and b stands the second fence, at 35 m: 6 s.
    assert fewer.seconds[0, 1] == pytest.approx(20 * FLAT + 6.0, rel=1e-6)
