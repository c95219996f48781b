"""The ways on a finder sheet against GeographicLib, and places as printed against the record.

Source: C. F. F. Karney, Algorithms for geodesics (2013), as in the Python package geographiclib: inverse
problem on WGS84.
"""

import math
import re
from pathlib import Path

import pypdfium2
import pytest
from geographiclib.geodesic import Geodesic

from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.jobs.workspace import open_workspace
from tendline.report.paper_words import PACE_M, degrees_text, way_text
from tests.journeys.run import done

AT = "2027-01-15T20:30"
WAY = re.compile(r"from ([\w-]+): ([\d.]+) (m|km), (\d+) paces, bearing (\d{3}) \((\w+)\)")
POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """The example line, and the text of its finder sheet."""
    folder = str(tmp_path_factory.mktemp("finder") / "line")
    done("demo", folder, "--at", AT)
    made = done("paper", "finder-sheet", "--line", folder, "--at", AT, "--units", "metric", "--json")
    document = pypdfium2.PdfDocument(made.data["file"])
    text = " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in document)
    return folder, text


def test_every_place_is_printed_to_a_metre(sheet: tuple[str, str]) -> None:
    folder, text = sheet
    line = open_workspace(folder, at=AT).line()
    for one in line.in_field:
        assert degrees_text(one.fix.place) in text
        lat, north, lon, east = re.split(r",? ", degrees_text(one.fix.place))
        near = LonLat(float(lon) * (1 if east == "E" else -1), float(lat) * (1 if north == "N" else -1))
        inverse = Geodesic.WGS84.Inverse(one.fix.place.lat, one.fix.place.lon, near.lat, near.lon)
        assert inverse["s12"] < 1.0


def test_every_way_from_a_parking_is_the_geodesic(sheet: tuple[str, str]) -> None:
    folder, text = sheet
    line = open_workspace(folder, at=AT).line()
    ways = [m for m in WAY.finditer(text) if m[1] in line.parkings]
    assert len(ways) >= len(line.in_field)
    for way in ways:
        start = line.parkings[way[1]].place
        wanted = [
            Geodesic.WGS84.Inverse(start.lat, start.lon, one.fix.place.lat, one.fix.place.lon)
            for one in line.in_field
        ]
        metres = float(way[2]) * (1000 if way[3] == "km" else 1)
        fits = [
            found
            for found in wanted
            if abs(found["s12"] - metres) <= (51 if way[3] == "km" else 0.51)
            and abs((found["azi1"] - int(way[5]) + 180) % 360 - 180) <= 0.51
        ]
        assert fits, way[0]
        assert any(abs(found["s12"] / PACE_M - int(way[4])) <= 0.51 for found in fits)


@pytest.mark.parametrize("bearing", range(0, 360, 15))
def test_the_point_of_the_compass_is_the_nearest(bearing: int) -> None:
    point = way_text(100.0, float(bearing), Units.METRIC)
    named = point.rpartition("(")[2].rstrip(")")
    away = abs((POINTS.index(named) * 45 - bearing + 180) % 360 - 180)
    assert away <= 22.5
    assert math.isclose(PACE_M, 30 * 0.0254)


def test_the_file_is_where_it_says(sheet: tuple[str, str]) -> None:
    assert list((Path(sheet[0]) / "papers").glob("finder-sheet-2027-01-15.pdf"))
