"""GeoPackages, shapefiles and KML brought by a person: kept whole, read again, named where a part lacks."""

import json
from pathlib import Path

import numpy as np
import pyogrio.raw
import pytest
import shapely
from pyproj import Transformer

from tests.journeys.run import done, run

AT = "2027-01-12T06:00-05:00"


@pytest.fixture
def line(tmp_path: Path) -> str:
    """A new, empty line."""
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    return folder


def parcels(path: Path, *squares: tuple[str, float, float]) -> str:
    """Write squares of half a kilometre as a county would: a shapefile in UTM, capitals in the table."""
    turn = Transformer.from_crs("EPSG:4326", "EPSG:32617", always_xy=True)
    corners = [turn.transform(lon, lat) for _, lon, lat in squares]
    shapes = [shapely.box(x, y, x + 500, y + 500) for x, y in corners]
    pyogrio.raw.write(
        str(path),
        geometry=shapely.to_wkb(shapes),
        field_data=[np.array([name for name, _, _ in squares], dtype=object)] * 2,
        fields=np.array(["NAME", "OWNER"]),
        geometry_type="Polygon",
        crs="EPSG:32617",
    )
    return str(path)


def test_county_parcels_become_parcels_and_the_overlap_is_told(line: str, tmp_path: Path) -> None:
    path = parcels(tmp_path / "county.shp", ("mill", -78.0, 41.5), ("heron", -77.997, 41.5))
    seen = done("bring", path, "--as", "parcel", "--line", line, "--at", AT, "--json")
    (told,) = seen.data["files"]
    assert (told["format"], told["new"]) == ("a zipped shapefile or KMZ", ["mill", "heron"])
    assert any("parcels heron and mill overlap by" in warning for warning in seen.data["warnings"])
    (kept,) = (Path(line) / "ground").iterdir()
    assert kept.name.endswith("-county.shp.zip")
    again = done("bring", path, "--as", "parcel", "--line", line, "--at", AT)
    assert "brought before; nothing changed" in again.out
    history = done("note", "list", "--line", line, "--at", AT, "--json").data["events"]
    ring = history[0]["body"]["outline"][0][0]
    # Half a kilometre square in UTM zone 17, where a kilometre on the plane is one on the ground to 0.2 %.
    assert (min(x for x, _ in ring), min(y for _, y in ring)) == pytest.approx((-78.0, 41.5), abs=2e-4)


def test_a_barrier_out_of_a_geopackage_is_walked_round_later(line: str, tmp_path: Path) -> None:
    path = tmp_path / "water.gpkg"
    pyogrio.raw.write(
        str(path),
        geometry=shapely.to_wkb([shapely.LineString([(-78.0, 41.49), (-78.0, 41.51)])]),
        field_data=[np.array(["creek"], dtype=object)],
        fields=np.array(["name"]),
        layer="barriers",
        geometry_type="LineString",
        crs="EPSG:4326",
    )
    point = (
        '<Placemark><name>{}</name><ExtendedData><Data name="kind"><value>{}</value></Data></ExtendedData>'
    )
    point += "<Point><coordinates>{},41.5</coordinates></Point></Placemark>"
    kml = tmp_path / "places.kml"
    marks = point.format("gate", "parking", -78.002) + point.format("N1", "set", -77.998)
    kml.write_text(f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{marks}</Document></kml>')
    done("bring", str(path), str(kml), "--made", "2027-01-11 05:00", "--line", line, "--at", AT)
    sheet = done("paper", "finder-sheet", "--line", line, "--at", AT, "--json").data
    assert sheet["sets"] == ["N1"]
    import pypdfium2

    text = " ".join(p.get_textpage().get_text_range() for p in pypdfium2.PdfDocument(sheet["file"]))
    assert "meets creek: go" in " ".join(text.split())


def test_a_shapefile_without_its_prj_is_refused_and_nothing_kept(line: str, tmp_path: Path) -> None:
    path = parcels(tmp_path / "county.shp", ("mill", -78.0, 41.5))
    (tmp_path / "county.prj").unlink()
    seen = run("bring", path, "--as", "parcel", "--line", line, "--at", AT)
    assert seen.code == 2
    assert "GND-903" in seen.err
    assert "county.prj" in seen.err
    assert list((Path(line) / "ground").iterdir()) == []
    assert json.loads(done("audit", "--line", line, "--json").out)["events"] == 0
