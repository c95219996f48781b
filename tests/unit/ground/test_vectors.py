"""GeoPackages and shapefiles, written by GDAL through pyogrio: layers, systems, missing parts, archives."""

import io
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio.raw
import pytest
import shapely
from pyproj import Transformer

from tendline.core.place import LonLat
from tendline.ground import vectors, zipped
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.read_any import FileFormat, format_of, read_bytes, read_file
from tests.unit.ground.support import NOW, ZONE, faults_of

PLACES = [(-78.1, 41.2), (-78.2, 41.3)]


def write(
    path: Path, *, crs: str | None = "EPSG:4326", layer: str | None = None, **fields: list[Any]
) -> Path:
    """Write two points with GDAL, in any coordinate system."""
    xys = PLACES
    if crs is not None and crs != "EPSG:4326":
        turn = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
        xys = [turn.transform(lon, lat) for lon, lat in PLACES]
    columns = {"name": ["A", "B"], **fields}
    pyogrio.raw.write(
        str(path),
        geometry=shapely.to_wkb(shapely.points(xys)),
        field_data=[
            np.array(values, dtype=object if isinstance(values[0], str) else None)
            for values in columns.values()
        ],
        fields=np.array(list(columns)),
        geometry_type="Point",
        crs=crs,
        **({"layer": layer} if layer else {}),
        append=path.exists(),
    )
    return path


def read(path: Path, default: BroughtKind | None = BroughtKind.SET) -> Brought:
    return read_file(path, zone=ZONE, now=NOW, default_kind=default)


def codes(path: Path) -> list[str]:
    return [fault.code.id for fault in faults_of(lambda: read(path))]


@pytest.mark.parametrize("ending", ["gpkg", "shp"])
@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:32617", "EPSG:3857", "EPSG:2271"])
def test_any_system_comes_out_in_degrees(tmp_path: Path, ending: str, crs: str) -> None:
    # 2271 is Pennsylvania north in US survey feet, as county parcels are handed out.
    brought = read(write(tmp_path / f"a.{ending}", crs=crs, tag=["1", "2"]))
    assert [(t.wanted_name, t.facts["tag"]) for t in brought.things] == [("A", "1"), ("B", "2")]
    for thing, (lon, lat) in zip(brought.things, PLACES, strict=True):
        assert thing.place is not None
        assert (thing.place.lon, thing.place.lat) == pytest.approx((lon, lat), abs=3e-6)


def test_layers_named_by_kind_say_what_their_things_are(tmp_path: Path) -> None:
    path = write(tmp_path / "a.gpkg", layer="parkings")
    write(path, layer="landmarks", note=["x", "y"])
    brought = read(path, None)
    assert [t.kind for t in brought.things] == [BroughtKind.PARKING] * 2 + [BroughtKind.LANDMARK] * 2
    assert format_of(path, read_bytes(path)) is FileFormat.GEOPACKAGE


def test_fields_without_a_value_are_left_out(tmp_path: Path) -> None:
    brought = read(write(tmp_path / "a.gpkg", loop_m=[0.28, np.nan]))
    assert [t.facts for t in brought.things] == [{"loop_m": 0.28}, {}]


@pytest.mark.parametrize("ending", ["gpkg", "shp"])
def test_a_layer_without_a_system_is_refused(tmp_path: Path, ending: str) -> None:
    with pytest.warns(UserWarning, match="crs"):
        path = write(tmp_path / f"a.{ending}", crs=None)
    assert codes(path)[0] == ("GND-902" if ending == "gpkg" else "GND-903")


@pytest.mark.parametrize("part", [".dbf", ".prj", ".shx"])
def test_a_shapefile_without_a_part_names_it(tmp_path: Path, part: str) -> None:
    path = write(tmp_path / "a.shp")
    path.with_suffix(part).unlink()
    (fault,) = faults_of(lambda: read(path))
    assert fault.code.id == "GND-903"
    assert f"the {part} file is missing" in fault.what
    assert f"a{part}" in fault.do


def test_a_zipped_shapefile_in_a_folder_is_read(tmp_path: Path) -> None:
    write(tmp_path / "a.shp")
    out = tmp_path / "b.zip"
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in tmp_path.glob("a.*"):
            archive.write(part, f"county/{part.name}")
        archive.writestr("__MACOSX/._a.shp", b"junk")
    assert [t.wanted_name for t in read(out).things] == ["A", "B"]


def kmz(name: str = "doc.kml") -> bytes:
    point = "<Placemark><name>Z</name><Point><coordinates>-78,41</coordinates></Point></Placemark>"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, f"<kml>{point}</kml>")
    return out.getvalue()


def test_a_kmz_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.kmz"
    path.write_bytes(kmz())
    assert [(t.wanted_name, t.place) for t in read(path).things] == [("Z", LonLat(-78, 41))]


def test_an_archive_with_nothing_to_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(kmz("notes.txt"))
    assert codes(path) == ["GND-905"]


def broken_inside() -> bytes:
    """An archive whose list of members is whole, and whose one member is not what it was packed to."""
    data = bytearray(kmz())
    data[37:41] = b"\x00\xff\xff\xff"
    return bytes(data)


@pytest.mark.parametrize("data", [b"PK\x03\x04rest", kmz()[:60], kmz()[:-30], broken_inside()])
def test_a_broken_archive_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "a.kmz"
    path.write_bytes(data)
    assert codes(path) == ["GND-904"]


def test_an_archive_that_unpacks_to_too_much_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(zipped, "MOST_UNPACKED", 3_000_000)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", b" " * 40_000_000)
    assert len(out.getvalue()) < 60_000
    path = tmp_path / "bomb.kmz"
    path.write_bytes(out.getvalue())
    assert codes(path) == ["GND-904"]
    monkeypatch.setattr(zipped, "MOST_MEMBERS", 0)
    path.write_bytes(kmz())
    assert codes(path) == ["GND-904"]


@pytest.mark.parametrize("keep", [120, 4096, 30_000])
def test_a_geopackage_that_is_cut_short_is_refused(tmp_path: Path, keep: int) -> None:
    whole = write(tmp_path / "a.gpkg").read_bytes()
    path = tmp_path / "b.gpkg"
    path.write_bytes(whole[:keep])
    assert codes(path) == ["GND-901"]


def test_a_whole_county_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(vectors, "MOST_FEATURES", 1)
    assert codes(write(tmp_path / "a.gpkg")) == ["GND-901"]
