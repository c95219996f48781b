"""A map on a paper: to scale, north up, marks in their squares; distances and directions checked by PROJ."""

import math
import re

import pytest
from pyproj import Geod

from tendline.core.place import LonLat, Outline
from tendline.core.units import Units
from tendline.report.ground_map import Ground, Mark, draw_ground
from tendline.report.map_labels import Box, place_labels

GEOD = Geod(ellps="WGS84")
HERE = LonLat(-78.0, 41.5)


def away(metres: float, bearing: float) -> LonLat:
    """A place so far off, by GeographicLib as in PROJ (Karney 2013)."""
    lon, lat, _ = GEOD.fwd(HERE.lon, HERE.lat, bearing, metres)
    return LonLat(lon, lat)


def spots(svg: str) -> list[tuple[float, float]]:
    """The middles of the filled dots."""
    found = re.findall(r"<circle r='5'[^>]*translate\(([-\d.]+) ([-\d.]+)\)", svg)
    return [(float(x), float(y)) for x, y in found]


def bar(svg: str) -> float:
    """The length of the scale bar [px]."""
    found = re.search(r"<path d='M ([\d.]+) [\d.]+ V [\d.]+ H ([\d.]+) V [\d.]+' fill='none'", svg)
    assert found is not None
    return float(found[2]) - float(found[1])


@pytest.mark.parametrize(("units", "side_m"), [(Units.METRIC, 100.0), (Units.US, 182.88)])
def test_the_map_is_to_scale_and_north_is_up(units: Units, side_m: float) -> None:
    marks = (
        Mark("set", "A", HERE),
        Mark("set", "B", away(300.0, 90.0)),
        Mark("set", "C", away(200.0, 0.0)),
        Mark("set", "D", away(500.0, 233.0)),
    )
    drawn = draw_ground(Ground(marks), units)
    svg = drawn.svg.decode()
    (ax, ay), *others = spots(svg)
    pixels = bar(svg) / side_m
    for (x, y), (metres, bearing) in zip(others, [(300, 90), (200, 0), (500, 233)], strict=True):
        assert math.hypot(x - ax, y - ay) == pytest.approx(metres * pixels, abs=0.3)
        turned = math.degrees(math.atan2(x - ax, ay - y)) % 360
        assert abs((turned - bearing + 180) % 360 - 180) < 0.2
    assert drawn.side == ("100 m" if units is Units.METRIC else "200 yd")


def test_a_mark_lies_in_the_square_it_is_said_to_lie_in() -> None:
    marks = tuple(Mark("set", f"S{k}", away(40.0 * k, 37.0 * k)) for k in range(1, 12))
    drawn = draw_ground(Ground(marks), Units.METRIC)
    svg = drawn.svg.decode()
    for mark, (x, y) in zip(marks, spots(svg), strict=True):
        letter, number = drawn.squares[mark.name][0], int(drawn.squares[mark.name][1:])
        assert ord(letter) - ord("A") == int(x // bar(svg))
        assert number == int(y // bar(svg)) + 1


def test_bounds_are_shown_whole_only_when_asked() -> None:
    ring = (away(3000, 45), away(3000, 135), away(3000, 225), away(3000, 315), away(3000, 45))
    ground = Ground((Mark("set", "A", HERE),), (Outline(((ring,),)),))
    near, whole = draw_ground(ground, Units.METRIC), draw_ground(Ground(*vars(ground).values()), Units.METRIC)
    assert near.side == whole.side
    assert draw_ground(Ground(ground.marks, ground.bounds, whole_bounds=True), Units.METRIC).side == "1 km"


def test_a_name_that_would_break_the_drawing_is_escaped_and_cleaned() -> None:
    drawn = draw_ground(Ground((Mark("set", "<A>&\x1b[31m", HERE),)), Units.US)
    assert b"&lt;A&gt;&amp; [31m" in drawn.svg
    assert b"\x1b" not in drawn.svg


def test_names_keep_off_signs_and_one_another_where_there_is_room() -> None:
    at = [(100.0, 100.0), (130.0, 100.0), (115.0, 118.0)]
    taken = [Box(x - 7, y - 7, 14, 14) for x, y in at]
    placed = place_labels(at, ["AB1", "AB2", "AB3"], taken=taken, wide=400, tall=300)
    everything = [*taken, *placed]
    for k, one in enumerate(everything):
        assert all(one.over(other) == 0 for other in everything[k + 1 :])
    corner = place_labels([(395.0, 5.0)], ["long-name"], taken=[], wide=400, tall=300)[0]
    assert corner.outside(400, 300) < corner.wide * corner.tall * 0.5
