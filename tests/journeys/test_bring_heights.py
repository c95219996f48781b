"""A model in feet that says metres is told by a recorded walk, whichever of the two is brought first."""

from pathlib import Path

import numpy as np
import pytest

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.ground.raster_out import geotiff
from tests.journeys.run import done

AT = "2027-01-15T20:30-05:00"
CRS, WEST, NORTH, CELL = "EPSG:32617", 740_000.0, 4_600_000.0, 20.0


@pytest.fixture
def line(tmp_path: Path) -> str:
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    return folder


def hill(factor: float) -> bytes:
    """A gentle rise of 45 m over two kilometres, so that even in feet it is no steep ground."""
    _, x = np.mgrid[0:60, 0:100] * CELL
    z = np.ascontiguousarray((400.0 + x * 0.0225) * factor, np.float32)
    return geotiff(Grid(z, CRS, WEST, NORTH, CELL, CELL))


def walk() -> bytes:
    """Sixty points across the hill; the recorder is 30 m low and unsteady by 3 m."""
    turn, chance = Projector(CRS), np.random.default_rng(6)
    points = []
    for x in np.linspace(20.0, 1980.0, 60):
        place = turn.to_lonlat(WEST + x, NORTH - 600.0)
        ele = 400.0 + x * 0.0225 - 30.0 + chance.normal(0.0, 3.0)
        points.append(f'<trkpt lat="{place.lat:.7f}" lon="{place.lon:.7f}"><ele>{ele:.1f}</ele></trkpt>')
    return (
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>walk</name>'
        f"<trkseg>{''.join(points)}</trkseg></trk></gpx>"
    ).encode()


def said(line: str, *files: Path) -> list[str]:
    warnings = done("bring", *map(str, files), "--line", line, "--at", AT, "--json").data["warnings"]
    return [one for one in warnings if "feet called metres" in one]


def test_feet_called_metres_are_told_in_either_order(line: str, tmp_path: Path) -> None:
    feet, true, track = (tmp_path / name for name in ("feet.tif", "true.tif", "walk.gpx"))
    feet.write_bytes(hill(1 / 0.3048))
    true.write_bytes(hill(1.0))
    track.write_bytes(walk())
    assert said(line, feet) == []
    (told,) = said(line, track)
    assert told.startswith("feet.tif: at 60 places of walk.gpx it says 1")
    assert "--elevation-unit ft" in told
    # Brought again, it is told again, until the model under that name is right.
    assert said(line, track) == [told]
    assert said(line, true) == []
    feet.write_bytes(hill(1.0))
    assert said(line, feet) == []


def test_the_model_may_come_after_the_walk(line: str, tmp_path: Path) -> None:
    feet, track = tmp_path / "feet.tif", tmp_path / "walk.gpx"
    feet.write_bytes(hill(1 / 0.3048))
    track.write_bytes(walk())
    assert said(line, track) == []
    assert len(said(line, feet)) == 1
