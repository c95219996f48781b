"""Plane geometry against figures worked out by hand."""

import numpy as np
import pytest

from tendline.terrain.plane import (
    edges_of,
    gap_between,
    holds,
    nearest_on,
    shortest_way_over,
    way_crosses,
)

SQUARE = np.array([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)], float)
EDGES = edges_of((SQUARE,))


def test_the_nearest_point_of_a_square() -> None:
    for point, away, foot in (((4, 13), 3.0, (4, 10)), ((13, 14), 5.0, (10, 10))):
        distance, where = nearest_on(EDGES, np.array(point, float))
        assert distance == away
        assert where == pytest.approx(foot)
    assert nearest_on(EDGES, np.array([5.0, 9.0]))[0] == 1.0


def test_a_line_of_one_point_is_an_edge_of_no_length() -> None:
    dot = edges_of((np.array([[3.0, 4.0]]),))
    assert nearest_on(dot, np.array([0.0, 0.0]))[0] == 5.0
    assert edges_of(()).shape == (0, 2, 2)


@pytest.mark.parametrize(
    ("start", "end", "crosses"),
    [
        ((5, 5), (15, 5), True),
        ((5, 5), (8, 8), False),
        ((-1, -1), (11, 11), True),
        ((12, 0), (12, 10), False),
        ((10, 12), (10, 20), False),  # in line with an edge, past its end
        ((10, 4), (14, 4), True),  # starts on the edge
    ],
)
def test_whether_a_way_crosses_a_square(start: tuple[int, int], end: tuple[int, int], crosses: bool) -> None:
    assert way_crosses(EDGES, np.array(start, float), np.array(end, float)) is crosses
    assert way_crosses(EDGES, np.array(end, float), np.array(start, float)) is crosses


def test_nothing_is_crossed_where_there_is_nothing() -> None:
    assert way_crosses(np.empty((0, 2, 2)), np.zeros(2), np.ones(2)) is False


def test_the_gap_between_a_square_and_a_line() -> None:
    gap, where = gap_between(EDGES, edges_of((np.array([(14.0, 3.0), (20.0, 9.0)]),)))
    assert gap == 4.0
    assert where == pytest.approx([10, 3])
    # Nearest at the corner of the square, to the middle of the line x + y = 24: (24 - 20) / sqrt 2.
    gap, where = gap_between(EDGES, edges_of((np.array([(24.0, 0.0), (0.0, 24.0)]),)))
    assert gap == pytest.approx(4 / np.sqrt(2))
    assert where == pytest.approx([10, 10])
    assert gap_between(EDGES, edges_of((np.array([(5.0, 5.0), (15.0, 5.0)]),)))[0] == 0.0


def test_the_shortest_way_over_a_strip_is_straight_across() -> None:
    strip = edges_of((np.array([(-100, 0), (100, 0), (100, 20), (-100, 20), (-100, 0)], float),))
    inside = shortest_way_over(strip, np.array([3.0, 5.0]))
    assert sorted(inside[:, 1]) == pytest.approx([0, 20])
    beside = shortest_way_over(strip, np.array([3.0, -12.0]))
    assert sorted(beside[:, 1]) == pytest.approx([-12, 20])
    assert beside[:, 0] == pytest.approx([3, 3])


def test_the_shortest_way_over_a_slanted_strip_is_across_to_within_the_fan_of_directions() -> None:
    # A strip 20 wide, turned by 31 degrees: the fan is 5 degrees fine, so 1 / cos(2.5 deg) at worst.
    turn = np.radians(31.0)
    strip = np.array([(-100, 0), (100, 0), (100, 20), (-100, 20), (-100, 0)], float)
    strip = strip @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    ends = shortest_way_over(edges_of((strip,)), strip.mean(axis=0))
    assert 20.0 <= np.hypot(*(ends[1] - ends[0])) <= 20.0 / np.cos(np.radians(2.6))


def test_an_area_holds_what_lies_between_its_rings() -> None:
    hole = np.array([(4, 4), (6, 4), (6, 6), (4, 6), (4, 4)], float)
    rings = edges_of((SQUARE, hole))
    told = [holds(rings, np.array(point, float)) for point in ((2, 5), (5, 5), (12, 5), (-1, 5), (5, 9))]
    assert told == [True, False, False, False, True]
    assert holds(np.empty((0, 2, 2)), np.zeros(2)) is False
