"""Laws of drawing lines and areas into cells, against shapely."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage
from shapely import LineString, Point, Polygon, box

from tendline.terrain.draw import Frame, draw_area, draw_line

FRAME = Frame(rows=9, cols=11, row0=2, col0=3, west=100.0, north=900.0, dx=10.0, dy=7.0)
TINY = 1e-6


def cell_box(row: int, col: int, grow: float) -> Polygon:
    west, north = FRAME.west + (FRAME.col0 + col) * FRAME.dx, FRAME.north - (FRAME.row0 + row) * FRAME.dy
    return box(west - grow, north - FRAME.dy - grow, west + FRAME.dx + grow, north + grow)


coordinates = st.tuples(st.floats(100, 260), st.floats(790, 900)) | st.tuples(
    st.integers(10, 26).map(lambda k: 10.0 * k), st.integers(0, 15).map(lambda k: 900.0 - 7.0 * k)
)


@settings(max_examples=120, deadline=None)
@given(st.lists(coordinates, min_size=1, max_size=5))
def test_a_line_marks_the_cells_it_goes_through_and_no_others(points: list[tuple[float, float]]) -> None:
    mask = FRAME.empty()
    draw_line(mask, FRAME, np.array(points, float))
    shape = LineString(points) if len(set(points)) > 1 else Point(points[0])
    for row in range(FRAME.rows):
        for col in range(FRAME.cols):
            inner = shape.intersection(cell_box(row, col, -TINY))
            if not inner.is_empty:
                assert mask[row, col]
            if mask[row, col]:
                assert shape.intersects(cell_box(row, col, TINY))


@settings(max_examples=60, deadline=None)
@given(st.tuples(coordinates, coordinates))
def test_the_cells_of_a_line_hang_together_by_their_edges(ends: tuple[tuple[float, float], ...]) -> None:
    around = FRAME.grown().grown().grown()  # holds the whole line
    mask = Frame(30, 30, 0, 0, 90.0, 910.0, 10.0, 7.0).empty()
    draw_line(mask, Frame(30, 30, 0, 0, 90.0, 910.0, 10.0, 7.0), np.array(ends, float))
    assert around.rows == FRAME.rows + 6
    assert ndimage.label(mask)[1] == 1  # scipy's label joins cells by edges


@settings(max_examples=80, deadline=None)
@given(
    st.floats(100, 240),
    st.floats(800, 900),
    st.lists(st.floats(5, 60), min_size=3, max_size=9),
    st.booleans(),
)
def test_an_area_marks_what_it_covers_or_touches(
    x: float, y: float, radii: list[float], hollow: bool
) -> None:
    far = np.array(radii)
    angles = np.arange(len(radii)) * 2 * np.pi / len(radii)
    ring = np.stack([x + far * np.cos(angles), y + far * np.sin(angles)], axis=1)
    outer = np.concatenate([ring, ring[:1]])
    hole = (outer - [x, y]) * 0.4 + [x, y]
    rings = (outer, hole) if hollow else (outer,)
    mask = FRAME.empty()
    draw_area(mask, FRAME, rings)
    shape = Polygon(outer, [hole] if hollow else None)
    for row in range(FRAME.rows):
        for col in range(FRAME.cols):
            cell = cell_box(row, col, 0.0)
            if shape.buffer(-TINY).intersects(cell.centroid):
                assert mask[row, col]
            if shape.boundary.intersects(cell_box(row, col, -TINY)):
                assert mask[row, col]
            if mask[row, col]:
                assert shape.intersects(cell_box(row, col, TINY))


def test_a_part_of_a_raster_is_drawn_as_in_the_whole() -> None:
    whole = Frame(rows=40, cols=40, row0=0, col0=0, west=100.0, north=900.0, dx=10.0, dy=7.0)
    chance = np.random.default_rng(2)
    for _ in range(20):
        points = chance.uniform([50, 600], [550, 950], (4, 2)).round(int(chance.integers(-1, 3)))
        all_, part = whole.empty(), FRAME.empty()
        ring = np.concatenate([points, points[:1]])
        draw_area(all_, whole, (ring,))
        draw_area(part, FRAME, (ring,))
        assert np.array_equal(all_[2:11, 3:14], part)


def test_nothing_is_drawn_outside() -> None:
    mask = FRAME.empty()
    draw_line(mask, FRAME, np.array([[0.0, 0.0], [90.0, 950.0]]))
    assert not mask.any()
    assert pytest.approx(FRAME.to_cells(np.array([[130.0, 886.0]]))) == [[0.0, 0.0]]
