"""The two things the proof of a window rests on: its edge, and the block that holds every shorter way."""

import numpy as np
import pytest

from tendline.almanac.travel import pace_tobler1993
from tendline.terrain.matrix import Board, Survey, _box_of_ellipses
from tendline.terrain.moves import MOVES, move_costs
from tendline.terrain.window import Box, prepare
from tests.terrain_ground import ground

COSTS = move_costs(4.0, 9.0, pace=pace_tobler1993, factor=1.0, steepest_deg=45.0)
GRID = ground(np.zeros((90, 120)), dx=4.0, dy=9.0)


@pytest.mark.parametrize(
    "box", [Box(3, 9, 4, 12), Box(0, 9, 4, 12), Box(3, 90, 4, 120), Box(0, 90, 0, 12), Box(-5, 95, -5, 130)]
)
def test_the_edge_is_where_a_move_can_leave_the_window_and_stay_on_the_raster(box: Box) -> None:
    window = prepare(GRID, box, (), COSTS)
    inner, (rows, cols) = window.box, GRID.shape
    expected = []
    for row in range(inner.row0, inner.row1):
        for col in range(inner.col0, inner.col1):
            ends = [(row + down, col + across) for down, across in MOVES]
            if any(
                0 <= r < rows
                and 0 <= c < cols
                and not (inner.row0 <= r < inner.row1 and inner.col0 <= c < inner.col1)
                for r, c in ends
            ):
                expected.append((row, col))
    found = [divmod(number - window.pad, window.cols) for number in window.edge.tolist()]
    assert [(row + inner.row0, col + inner.col0) for row, col in found] == expected


@pytest.mark.parametrize(("a", "b"), [((40, 50), (46, 90)), ((30, 60), (60, 60)), ((45, 40), (45, 80))])
def test_the_wider_block_holds_the_whole_ellipse_and_little_more(
    a: tuple[int, int], b: tuple[int, int]
) -> None:
    board = Board(np.array([a, b]))
    rows, cols = np.mgrid[0:90, 0:120]
    away = [np.hypot((rows - r) * 9.0, (cols - c) * 4.0) for r, c in (a, b)]
    straight = float(np.hypot((a[0] - b[0]) * 9.0, (a[1] - b[1]) * 4.0))
    for stretch in (1.001, 1.1, 1.3):
        board.seconds[0, 1] = straight * stretch * COSTS.fastest
        unproven = np.array([[False, True], [False, False]])
        box = _box_of_ellipses(board, Survey(GRID, (), COSTS, 0.0), np.array([0, 1]), unproven)
        inside = np.argwhere(away[0] + away[1] <= straight * stretch)
        (row0, col0), (row1, col1) = inside.min(axis=0), inside.max(axis=0)
        assert box.row0 <= row0
        assert box.row1 > row1
        assert box.col0 <= col0
        assert box.col1 > col1
        assert (box.row1 - box.row0) - (row1 - row0) <= 6
        assert (box.col1 - box.col0) - (col1 - col0) <= 6


def test_a_pair_without_a_way_so_far_is_searched_on_the_whole_raster() -> None:
    board = Board(np.array([(40, 50), (46, 90)]))
    unproven = np.array([[False, True], [False, False]])
    box = _box_of_ellipses(board, Survey(GRID, (), COSTS, 0.0), np.array([0, 1]), unproven)
    assert box == Box(0, 90, 0, 120)
