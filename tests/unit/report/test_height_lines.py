"""Lines of equal height on a paper map: where PROJ says, under everything, never on a sign."""

import re

import pytest
from pyproj import Geod

from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.report.ground_map import Ground, Mark, draw_ground
from tendline.report.height_lines import HeightLines, HeightWord

GEOD = Geod(ellps="WGS84")
HERE = LonLat(-78.0, 41.5)


def away(metres: float, bearing: float) -> LonLat:
    """A place so far off, by GeographicLib as in PROJ (Karney 2013)."""
    lon, lat, _ = GEOD.fwd(HERE.lon, HERE.lat, bearing, metres)
    return LonLat(lon, lat)


MARKS = (Mark("set", "A", HERE), Mark("set", "B", away(300.0, 90.0)))
NORTH = (away(60.0, 0.0), away(60.0, 30.0))
FAR = (away(9000.0, 0.0), away(9000.0, 10.0))
HEIGHTS = HeightLines(
    ((NORTH, True), (NORTH, False), (FAR, True)),
    (
        HeightWord(away(60.0, 0.0), 30.0, "1600 <ft"),
        HeightWord(away(2.0, 0.0), 0.0, "1700 ft"),
        HeightWord(FAR[0], 0.0, "1800 ft"),
    ),
    "40 ft",
)


@pytest.fixture(scope="module")
def svg() -> str:
    return draw_ground(Ground(MARKS, heights=HEIGHTS), Units.US).svg.decode()


def test_a_line_starts_where_it_is_on_the_ground(svg: str) -> None:
    (ax, ay), (bx, _) = [
        (float(x), float(y))
        for x, y in re.findall(r"<circle r='5'[^>]*translate\(([-\d.]+) ([-\d.]+)\)", svg)
    ]
    pixels = (bx - ax) / 300.0
    found = re.findall(r"<path d='M ([-\d.]+) ([-\d.]+) L [^']*' fill='none' stroke='#(888|999)'", svg)
    assert [grey for *_, grey in found] == ["888", "999"]  # what lies far off is not drawn
    assert float(found[0][0]) == pytest.approx(ax, abs=0.3)
    assert float(found[0][1]) == pytest.approx(ay - 60.0 * pixels, abs=0.3)


def test_lines_lie_under_everything_else_and_heights_off_the_signs(svg: str) -> None:
    assert svg.index("#888") < svg.index("#bbb") < svg.index("<circle")
    assert "1600 &lt;ft" in svg
    assert "rotate(-30)" in svg  # counter-clockwise is negative where y runs down (SVG 1.1, 7.6)
    assert "1700 ft" not in svg
    assert "1800 ft" not in svg
    assert "grey lines: every 40 ft of height" in svg


def test_a_map_without_heights_says_nothing_of_them() -> None:
    svg = draw_ground(Ground(MARKS), Units.US).svg.decode()
    assert "grey lines" not in svg
    assert "#888" not in svg
