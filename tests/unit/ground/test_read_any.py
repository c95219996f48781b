"""Any file: which kind it is, and what is said of the others."""

import json
from pathlib import Path

import numpy as np
import pytest

from tendline.core.errors import Fault
from tendline.core.place import LonLat
from tendline.ground import read_any
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.read_any import FileFormat, format_of, read_bytes, read_file
from tests.unit.ground.support import NOW, ZONE, faults_of, origin, write_tif

POINT = {"type": "Point", "coordinates": [-78.1, 41.2]}
GPX = '<?xml version="1.0"?>\n<gpx version="1.1"><wpt lat="41.2" lon="-78.1"><type>set</type></wpt></gpx>'
CSV = "lon,lat\n-78.1,41.2\n"
DRIVES = "From;To;Minutes\na;b;10\n"


def read(path: Path) -> Brought:
    return read_file(path, zone=ZONE, now=NOW, default_kind=BroughtKind.SET)


def refused(path: Path) -> Fault:
    (fault,) = faults_of(lambda: read(path))
    assert fault.where == path.name
    return fault


@pytest.mark.parametrize("name", ["a.gpx", "a.csv", "a", "a.dat"])
@pytest.mark.parametrize("text", [GPX, json.dumps(POINT), "\ufeff" + GPX, "\n " + json.dumps(POINT), CSV])
def test_a_file_is_known_by_what_is_in_it_whatever_its_name(tmp_path: Path, name: str, text: str) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    brought = read(path)
    assert brought.file_name == name
    assert [(thing.kind, thing.place) for thing in brought.things] == [(BroughtKind.SET, LonLat(-78.1, 41.2))]


def test_an_elevation_model_and_a_drive_table_are_known_and_hold_no_places(tmp_path: Path) -> None:
    tif = write_tif(
        tmp_path / "dem",
        np.zeros((3, 3), np.float32),
        crs="EPSG:32617",
        transform=origin(5e5, 45e5, 9),
    )
    assert format_of(tif, read_bytes(tif)) is FileFormat.ELEVATION
    assert refused(tif).code.id == "GND-005"
    drives = tmp_path / "drives.csv"
    drives.write_text(DRIVES)
    assert format_of(drives, read_bytes(drives)) is FileFormat.DRIVES
    assert refused(drives).code.id == "GND-005"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"SQLite format 3\0" + bytes(200), "SQLite"),
        (b"%PDF-1.7", "PDF"),
        (b"\xff\xd8\xff\xe0", "JPEG"),
        (b"\x89PNG\r\n", "PNG"),
        (b"\x1f\x8b\x08", "gzip"),
        (b"dear diary, today we went out", "no kind that is known"),
    ],
)
def test_other_files_are_refused_with_the_kinds_that_are_read(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "thing.bin"
    path.write_bytes(data)
    fault = refused(path)
    assert fault.code.id == "GND-002"
    assert said in fault.what
    assert all(kind in fault.do for kind in ("GPX", "GeoJSON", ".csv", "GeoTIFF"))


@pytest.mark.parametrize("data", [b"", b" \n\n"])
def test_an_empty_file_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "a.gpx"
    path.write_bytes(data)
    assert refused(path).code.id == "GND-001"


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    assert refused(tmp_path / "nowhere.gpx").code.id == "GND-001"
    assert "No such file" in refused(tmp_path / "nowhere.gpx").what
    assert refused(tmp_path).code.id == "GND-001"


def test_a_file_that_is_too_large_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(read_any, "MOST_BYTES", 10)
    monkeypatch.setattr(read_any, "MOST_RASTER_BYTES", 20)
    path = tmp_path / "a.csv"
    path.write_text(CSV)
    assert refused(path).code.id == "GND-003"
    path.write_bytes(b"II*\0" + bytes(16))
    assert len(read_bytes(path)) == 20
    path.write_bytes(b"II*\0" + bytes(17))
    assert refused(path).code.id == "GND-003"


def test_a_table_with_a_foreign_header_is_told_about_its_columns(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("x,y\n1,2\n")
    assert [fault.code.id for fault in faults_of(lambda: read(path))] == ["GND-302", "GND-302", "GND-013"]
